// The rule of this file: a heater passes only in its maker's window; what is
// usual is enough to doubt it and no more.

package checks

import (
	"fmt"

	"fenderside/checks/diagnosis"
	"fenderside/checks/heater"
	"fenderside/checks/quantity"
)

func heaterCircuit() Check {
	c := Check{
		Name:  "heater",
		Title: "Heater of a sensor and its circuit",
		Doc: "Judges a sensor's heater from resistances and voltages taken with the plug apart: the element in the maker's window, open or short-circuited, its current and power, " +
			"and the wires that feed it. What was not measured is left out. Without the maker's window it cannot pass.",
		Inputs:  heaterInputs(),
		Outputs: heaterOutputs(),
		Sources: []string{
			"R(T) = R0·(1 + α·(T - T0)), I = U/R, P = U²/R", heater.Platinum().Alpha.Source,
			"usual cold resistance, about 2 Ω to 14 Ω: " + heater.CommonPractice, "isolation, short circuit and voltage drop: " + heater.OwnDefault,
		},
		Example: Arguments{"element": one("9.1 Ω"), "low": one("8 Ω"), "high": one("11 Ω"), "battery": one("12.6 V")},
	}
	c.Run = c.runHeater
	return c
}

// What a meter shows of an element.
const meterReads, meterOver = "a resistance", "over its range"

func heaterInputs() []Input {
	return []Input{
		takes("element", quantity.Resistance, "between the two heater pins of the sensor"),
		{Name: "meter", Kind: KindChoice, Options: []string{meterReads, meterOver}, Optional: true, Doc: "what the meter shows between the heater pins; a resistance when left out"},
		takes("at", quantity.Temperature, "temperature of the sensor when it was measured; 20 °C when left out"),
		takes("leads", quantity.Resistance, "of the meter's leads held together, which is taken off; none when left out"),
		{Name: "low", Kind: KindQuantity, Dimension: quantity.Resistance, Optional: true, Fact: "sensors.{position}.heater_low", Doc: "least cold resistance, the maker's figure"},
		{Name: "high", Kind: KindQuantity, Dimension: quantity.Resistance, Optional: true, Fact: "sensors.{position}.heater_high", Doc: "greatest cold resistance, the maker's figure"},
		{Name: "window-at", Kind: KindQuantity, Dimension: quantity.Temperature, Optional: true, Fact: "sensors.{position}.heater_at", Doc: "temperature that the maker's figures are for; 20 °C when left out"},
		takes("alpha", quantity.Number, "the maker's temperature coefficient for 20 °C, in 1/K; that of platinum when left out"),
		takes("to-body", quantity.Resistance, "from a heater pin to the sensor's body or a signal pin, the lower"),
		takes("to-ground", quantity.Resistance, "from the control pin of the harness to ground, ignition off"),
		takes("battery", quantity.Voltage, "needed with either voltage below, and for current and power"),
		takes("supply", quantity.Voltage, "at the supply pin of the harness, ignition on"),
		takes("control", quantity.Voltage, "at the control pin of the harness, ignition on"),
		{Name: "position", Kind: KindText, Optional: true, Doc: "the sensor, such as B1S1, to take its window from a vehicle card"},
	}
}

func heaterOutputs() []Output {
	return []Output{
		{Name: "shows", Words: true, Options: []string{diagnosis.Passed, diagnosis.Failed, diagnosis.CannotTell}, Doc: "what was measured of the heater shows"},
		{Name: "resistance", Dimension: quantity.Resistance, Decimals: 2, Unit: "Ω", Maybe: true, Doc: "of the element at the window's temperature"},
		{Name: "current", Dimension: quantity.Current, Decimals: 2, Unit: "A", Maybe: true, Doc: "of the cold element under the battery's voltage"},
		{Name: "power", Decimals: 1, Unit: "W", Maybe: true, Doc: "the same"},
		{Name: "fault", Many: true, Doc: "what is wrong"},
	}
}

// roomTemperature is where makers mostly state a cold resistance, K.
const roomTemperature = 293.15

func (c Check) runHeater(args Arguments) (Result, error) {
	circuit, err := circuitOf(args)
	if err != nil {
		return Result{}, err
	}
	j, err := circuit.Judge()
	if err != nil {
		return Result{}, err
	}
	shows := map[heater.Verdict]string{heater.Sound: diagnosis.Passed, heater.Faulty: diagnosis.Failed, heater.CannotTell: diagnosis.CannotTell}
	figures := []named{stated("shows", shows[j.Verdict])}
	for _, v := range []named{amount("resistance", j.Resistance), amount("current", j.Current), amount("power", j.Power)} {
		if v.base > 0 {
			figures = append(figures, v)
		}
	}
	for i, fault := range j.Faults {
		figures = append(figures, stated(fmt.Sprintf("fault: %d", i+1), string(fault)))
	}
	verdict := map[heater.Verdict]Verdict{heater.Sound: Pass, heater.Faulty: Fail, heater.CannotTell: More}[j.Verdict]
	return c.result(verdict, j.Because, j.Workings, figures...)
}

func circuitOf(args Arguments) (heater.Circuit, error) {
	ohms := func(name string) *heater.Ohms {
		if !args.has(name) {
			return nil
		}
		return &heater.Ohms{Value: args.base(name, 0)}
	}
	circuit := heater.Circuit{
		Element: ohms("element"), ToBody: ohms("to-body"), ToGround: ohms("to-ground"),
		At: args.base("at", roomTemperature), Leads: args.base("leads", 0),
		Battery: args.base("battery", 0), Supply: optional(args, "supply"), Control: optional(args, "control"),
		Window: heater.CommonWindow(), Material: heater.Platinum(), Limits: heater.Usual(),
	}
	if args["meter"].Choice == meterOver {
		if args.has("element") {
			return circuit, fmt.Errorf("element, meter: an element that is over the meter's range has no resistance; give one of the two")
		}
		circuit.Element = &heater.Ohms{Over: true}
	}
	if args.has("low") != args.has("high") {
		return circuit, fmt.Errorf("low, high: give both ends of the maker's window, or neither")
	}
	if args.has("low") {
		circuit.Window = heater.Window{Low: heater.Limit{Value: args.base("low", 0), Source: "given"}, High: heater.Limit{Value: args.base("high", 0), Source: "given"},
			At: args.base("window-at", roomTemperature)}
	}
	if args.has("alpha") {
		circuit.Material = heater.Material{Alpha: heater.Limit{Value: args.base("alpha", 0), Source: "given"}, At: roomTemperature}
	}
	return circuit, nil
}

// The rule of this file: a zirconia cell's voltage and the oxygen it stands for
// are one equation, worked either way.

package checks

import (
	"fmt"
	"strconv"

	"fenderside/checks/quantity"
	"fenderside/checks/zirconia"
)

func zirconiaEMF() Check {
	c := Check{
		Name:    "zirconia-emf",
		Title:   "Voltage of a zirconia cell, or the oxygen it stands for",
		Doc:     "Works Nernst's equation for a zirconia cell: from the oxygen in the gas to the voltage, or back. Near λ = 1 the cell sees the equilibrium at its surface, not the exhaust's own oxygen.",
		Reckons: true,
		Inputs: []Input{
			needs("temperature", quantity.Temperature, "of the cell"),
			takes("oxygen", quantity.Ratio, "in the gas, such as 1 %; this or voltage"),
			{Name: "pressure", Kind: KindText, Optional: true, Doc: "oxygen in the gas as a bare share, for what is too little to write in %, such as 1e-15; this, oxygen or voltage"},
			takes("voltage", quantity.Voltage, "of the cell, to find the oxygen; this or oxygen"),
			takes("reference", quantity.Ratio, "oxygen on the air side; that of dry air when left out"),
		},
		Outputs: []Output{
			{Name: "emf", Dimension: quantity.Voltage, Decimals: 3, Unit: "mV", Doc: "voltage of the cell"},
			{Name: "oxygen", Words: true, Doc: "share of oxygen in the gas"},
			{Name: "slope", Dimension: quantity.Voltage, Decimals: 3, Unit: "mV", Doc: "for each factor of ten in oxygen"},
			{Name: "conducts", Words: true, Doc: "whether the cell is hot enough to be measured"},
		},
		Sources: []string{"Nernst: E = (R·T / 4F)·ln(pref / p), R and F of CODATA 2018", zirconia.Conducting().Source, zirconia.DryAir().Source},
		Example: Arguments{"temperature": one("600 °C"), "oxygen": one("1 %")},
	}
	c.Run = c.runZirconia
	return c
}

func (c Check) runZirconia(args Arguments) (Result, error) {
	cell := zirconia.Cell{Kelvin: args.base("temperature", 0), Reference: args.base("reference", zirconia.DryAir().Value), Conducts: zirconia.Conducting()}
	given := 0
	for _, name := range []string{"oxygen", "pressure", "voltage"} {
		if args.has(name) {
			given++
		}
	}
	if given != 1 {
		return Result{}, fmt.Errorf("oxygen, pressure, voltage: give one of the three")
	}
	var r zirconia.Reading
	var err error
	if args.has("voltage") {
		r, err = cell.Pressure(args.base("voltage", 0))
	} else {
		if cell.Measured, err = oxygenShare(args); err != nil {
			return Result{}, err
		}
		r, err = cell.EMF()
	}
	if err != nil {
		return Result{}, err
	}
	oxygen := strconv.FormatFloat(settle(r.Measured), 'g', 6, 64)
	if r.Measured >= 1e-6 {
		oxygen = short(100*r.Measured) + " %"
	}
	said := fmt.Sprintf("%s mV with %s of oxygen in the gas; %s", plain(1000*r.Volts, 1), oxygen, r.Because)
	return c.result(None, said, r.Workings,
		amount("emf", r.Volts), stated("oxygen", oxygen), amount("slope", r.Slope), stated("conducts", yesNo(r.Usable)))
}

func oxygenShare(args Arguments) (float64, error) {
	if args.has("oxygen") {
		return args.base("oxygen", 0), nil
	}
	v, err := strconv.ParseFloat(args["pressure"].Text, 64)
	if err != nil || !(v > 0 && v <= 1) {
		return 0, fmt.Errorf("pressure %q: no share between 0 and 1; write it as 1e-15", clip(args["pressure"].Text))
	}
	return v, nil
}

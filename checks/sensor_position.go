// The rule of this file: words and codes lead to one sensor or to the choices
// that are left, and a fact that nobody stated is not filled in.

package checks

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"fenderside/checks/location"
	"fenderside/checks/troublecode"
)

func sensorPosition() Check {
	c := Check{
		Name:  "sensor-position",
		Title: "Which sensor the words or the code mean on this vehicle",
		Doc: "Turns a trouble code, or the words of the trade (upstream bank 2, post-cat near side, B2S1, front left), into the one sensor of this vehicle. " +
			"Words that fit more than one sensor fail, with the choices and the question that decides; nothing is guessed. " +
			"With `expected` it also fails where they mean another sensor than that.",
		Inputs:  positionInputs(),
		Outputs: positionOutputs(),
		Sources: append(location.Sources, troublecode.Source),
		Example: Arguments{
			"words": text("P0155"), "arrangement": pick("V"), "mounting": pick("crosswise"),
			"bank-1-side": pick("rear"), "bank-2-side": pick("front"), "fitted": text("B1S1, B1S2, B2S1, B2S2"), "expected": text("B2S1"),
		},
	}
	c.Run = c.runSensorPosition
	return c
}

func positionInputs() []Input {
	fact := func(name, path, doc string, options ...string) Input {
		kind := KindChoice
		if len(options) == 0 {
			kind = KindText
		}
		return Input{Name: name, Kind: kind, Options: options, Optional: true, Fact: path, Doc: doc}
	}
	return []Input{
		{Name: "words", Kind: KindText, Doc: "a trouble code, or what somebody called the sensor, such as P0155 or upstream bank 2"},
		fact("arrangement", "engine.arrangement", "of the cylinders", "in-line", "V", "flat"),
		fact("mounting", "engine.mounting", "how the engine lies", "lengthwise", "crosswise"),
		fact("cylinder-1", "engine.cylinder_1", "end where cylinder 1 stands", "front", "rear", "left", "right"),
		fact("bank-1-side", "engine.banks.B1.side", "as seated, facing forward", "left", "right", "front", "rear"),
		fact("bank-2-side", "engine.banks.B2.side", "as seated, facing forward", "left", "right", "front", "rear"),
		fact("bank-1-cylinders", "engine.banks.B1.cylinders", "their numbers, such as 1, 3, 5"),
		fact("bank-2-cylinders", "engine.banks.B2.cylinders", "their numbers, such as 2, 4, 6"),
		fact("steering", "vehicle.steering", "side the driver sits on", "left", "right"),
		fact("traffic", "vehicle.traffic", "side of the road it is driven on", "left", "right"),
		fact("fitted", "sensors.fitted", "sensors of this vehicle, such as B1S1, B1S2; when left out, three on each bank count as possible"),
		{Name: "expected", Kind: KindText, Optional: true, Doc: "the sensor that they should mean, such as B2S1"},
	}
}

func positionOutputs() []Output {
	return []Output{
		{Name: "sensor", Words: true, Maybe: true, Doc: "the one sensor"},
		{Name: "mend", Words: true, Maybe: true, Doc: "how soon a fault of it wants mending"},
		{Name: "meanwhile", Words: true, Maybe: true, Doc: "what the engine does until then"},
		{Name: "choice", Many: true, Doc: "a sensor that the words allow, where they allow more than one"},
		{Name: "question", Words: true, Maybe: true, Doc: "what would decide"},
	}
}

func (c Check) runSensorPosition(args Arguments) (Result, error) {
	phrase, lines, named, err := withoutCodes(args["words"].Text)
	if err != nil {
		return Result{}, err
	}
	if !named {
		return c.result(Fail, lines[len(lines)-1]+"; say the bank and the sensor", lines)
	}
	facts, notes, err := VehicleFacts(args)
	if err != nil {
		return Result{}, err
	}
	a, err := location.Find(phrase, facts)
	if err != nil {
		return Result{}, err
	}
	lines = append(append(lines, notes...), a.Workings...)
	figures := placeFigures(a)
	if a.Outcome != location.Found {
		return c.result(Fail, fmt.Sprintf("%s: %s; %s", a.Outcome, a.Because, a.Question), lines, figures...)
	}
	if args.has("expected") {
		want, err := location.ParsePosition(strings.TrimSpace(args["expected"].Text))
		if err != nil {
			return Result{}, fmt.Errorf("expected: %w", err)
		}
		if want != a.Sensor {
			return c.result(Fail, fmt.Sprintf("%q means %s, and not %s; find out which is right before a part is bought or touched", clip(args["words"].Text), a.Because, want), lines, figures...)
		}
	}
	return c.result(Pass, a.Because, lines, figures...)
}

func placeFigures(a location.Answer) []named {
	var figures []named
	if a.Outcome == location.Found {
		return append(figures, stated("sensor", a.Sensor.String()), stated("mend", a.Urgency.When), stated("meanwhile", a.Urgency.Meanwhile))
	}
	for _, choice := range a.Choices {
		figures = append(figures, stated("choice: "+choice.Position.String(), choice.Means))
	}
	if a.Question != "" {
		figures = append(figures, stated("question", a.Question))
	}
	return figures
}

// codeLike finds a code as it is pasted or written by hand too: P 0141, p-0141, PO141 with a letter for its nought, P0141-13 with the
// byte that says how it failed.
var codeLike = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)\b([PCBU])[ -]?([0-3][0-9A-F]{3}|O[0-9]{3})(?:-[0-9]{2})?\b`)
})

// plainCode is what codeLike found, written as a code is.
func plainCode(found string) string {
	parts := codeLike().FindStringSubmatch(found)
	return parts[1] + strings.NewReplacer("O", "0", "o", "0").Replace(parts[2])
}

// withoutCodes puts the place that a trouble code names where the code stood.
// named is false when nothing is left that could name a place.
func withoutCodes(words string) (phrase string, lines []string, named bool, err error) {
	phrase = codeLike().ReplaceAllStringFunc(words, func(found string) string {
		code, parseErr := troublecode.Parse(plainCode(found))
		if parseErr != nil {
			err = parseErr
			return ""
		}
		lines = append(lines, troublecode.Explain(code))
		entry, _ := troublecode.Find(code)
		return entry.Position()
	})
	if err != nil {
		return "", nil, false, err
	}
	if len(lines) > 0 {
		phrase = strings.NewReplacer(",", " ", ";", " ").Replace(phrase)
	}
	phrase = strings.TrimSpace(phrase)
	return phrase, lines, phrase != "", nil
}

// VehicleFacts takes the facts that sensor-position was given, with a note on what was supposed.
func VehicleFacts(args Arguments) (location.Facts, []string, error) {
	f := location.Facts{Arrangement: args["arrangement"].Choice, Mounting: args["mounting"].Choice, CylinderOne: args["cylinder-1"].Choice,
		Steering: args["steering"].Choice, Traffic: args["traffic"].Choice}
	var err error
	for number := 1; number <= 2; number++ {
		b := location.Bank{Number: number, Side: args[fmt.Sprintf("bank-%d-side", number)].Choice}
		name := fmt.Sprintf("bank-%d-cylinders", number)
		if args.has(name) {
			if b.Cylinders, err = numbers(name, args[name].Text); err != nil {
				return f, nil, err
			}
		}
		if b.Side != "" || len(b.Cylinders) > 0 || number == 1 && args.has("arrangement") || f.Arrangement == "V" || f.Arrangement == "flat" {
			f.Banks = append(f.Banks, b)
		}
	}
	if !args.has("fitted") {
		f.Sensors, f.Banks = anySensor(f.Banks)
		return f, []string{"fitted: not stated, so every usual place counts as possible"}, nil
	}
	for _, word := range split(args["fitted"].Text) {
		p, err := location.ParsePosition(word)
		if err != nil {
			return f, nil, fmt.Errorf("fitted: %w", err)
		}
		f.Sensors = append(f.Sensors, p)
		known := func(b location.Bank) bool { return b.Number == p.Bank }
		if len(f.Banks) > 0 && !slices.ContainsFunc(f.Banks, known) {
			f.Banks = append(f.Banks, location.Bank{Number: p.Bank})
		}
	}
	return f, nil, nil
}

// anySensor is three places on each bank that is stated, or on two.
func anySensor(banks []location.Bank) ([]location.Position, []location.Bank) {
	all := []location.Position{}
	for bank := 1; bank <= 2; bank++ {
		if len(banks) == 1 && banks[0].Number != bank {
			continue
		}
		for sensor := 1; sensor <= 3; sensor++ {
			all = append(all, location.Position{Bank: bank, Sensor: sensor})
		}
	}
	return all, banks
}

func split(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == ' ' })
}

// numbers reads cylinder numbers.
func numbers(name, text string) ([]int, error) {
	var all []int
	for _, word := range split(text) {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > 16 {
			return nil, fmt.Errorf("%s: %q is no cylinder; write their numbers, such as 1, 3, 5", name, clip(word))
		}
		all = append(all, n)
	}
	return all, nil
}

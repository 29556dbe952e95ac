// The rule of this file: findings reach the verdict as they were given; what is
// missing was not tested, and what trims mean is looked up where it stands.

package checks

import (
	"fmt"
	"slices"
	"strings"

	"fenderside/checks/diagnosis"
	"fenderside/checks/fueltrim"
	"fenderside/checks/troublecode"
)

// sensorInputs are the inputs that are answers as they stand, by question.
var sensorInputs = []struct {
	name     string
	question diagnosis.Question
	doc      string
}{
	{"wiring", diagnosis.Wiring, "what the connector and the wiring show"},
	{"leak", diagnosis.Leak, "leak in the exhaust ahead of the sensor"},
	{"supply", diagnosis.Supply, "supply and ground at the vehicle's half of the connector"},
	{"heater", diagnosis.Heater, "heater circuit, as the check heater says"},
	{"rich", diagnosis.Rich, "the signal, with the mixture forced rich"},
	{"lean", diagnosis.Lean, "the signal, with the mixture forced lean"},
	{"trace", diagnosis.Trace, "the signal over time, as the check sensor-trace says"},
	{"swap", diagnosis.Swap, "the fault, with the sensors of two places changed over"},
}

func faultVerdict() Check {
	c := Check{
		Name:  "fault-verdict",
		Title: "What the findings say of a suspected sensor",
		Doc: "Weighs what was found around a suspected oxygen sensor by a table of rules. An outside cause comes before the sensor, and the sensor is named " +
			"only where two kinds of evidence speak for it and none against. The vehicle maker's own test comes first.",
		Inputs: slices.Concat(findingInputs(diagnosis.SensorTests()), trimInputs(), codeInputs()),
		Outputs: []Output{
			{Name: "verdict", Words: true, Options: words(diagnosis.ThisSensor, diagnosis.LookElsewhere, diagnosis.NotShown), Doc: "this sensor, look elsewhere or not shown"},
			{Name: "for", Decimals: 0, Doc: "kinds of evidence for the sensor"},
			{Name: "against", Decimals: 0, Doc: "kinds of evidence against it"},
			{Name: "where", Many: true, Doc: "where to look instead, and why"},
			{Name: "next", Many: true, Doc: "what to test next"},
		},
		Sources: ruleSources(diagnosis.SensorRules()),
		Example: Arguments{"wiring": pick(diagnosis.Sound), "leak": pick(diagnosis.NoLeak), "supply": pick(diagnosis.Good), "heater": pick(diagnosis.Passed),
			"rich": pick(diagnosis.Slow), "lean": pick(diagnosis.NotAtAll), "trace": pick(diagnosis.Suspect)},
	}
	c.Run = c.runFaultVerdict
	return c
}

// findingInputs takes the answers of each question from its test.
func findingInputs(tests []diagnosis.Test) []Input {
	var all []Input
	for _, in := range sensorInputs {
		i := slices.IndexFunc(tests, func(t diagnosis.Test) bool { return t.Question == in.question })
		all = append(all, Input{Name: in.name, Kind: KindChoice, Optional: true, Doc: in.doc,
			Options: append(slices.Clone(tests[i].Answers), diagnosis.NotTested)})
	}
	return all
}

func trimInputs() []Input {
	choice := func(name, doc string, options ...string) Input {
		return Input{Name: name, Kind: KindChoice, Optional: true, Doc: doc, Options: append(options, diagnosis.NotTested)}
	}
	return []Input{
		choice("trims", "fuel trims of this sensor's bank, as the check fuel-trim names them",
			string(fueltrim.Level), string(fueltrim.Lean), string(fueltrim.Rich), string(fueltrim.Tilted), string(fueltrim.Mixed)),
		choice("trims-where", "where they are worst; measured at one end only when left out",
			string(fueltrim.AtIdle), string(fueltrim.AtLoad), string(fueltrim.Even), string(fueltrim.Unknown)),
		choice("trims-banks", "which banks lie so; the only bank when left out",
			string(fueltrim.OnlyBank), string(fueltrim.EveryBank), string(fueltrim.SomeBanks)),
	}
}

func codeInputs() []Input {
	return []Input{
		{Name: "codes", Kind: KindText, Optional: true, Doc: "trouble codes as they were read, such as P0135 stored; with the position alone"},
		{Name: "position", Kind: KindText, Optional: true, Doc: "the suspected sensor, such as B1S1"},
	}
}

// codesFound says whether one of the codes names the heater of the sensor in question. What is no code is passed over.
func codesFound(codes, position string) string {
	answer := diagnosis.NotTested
	for _, found := range codeLike().FindAllString(codes, -1) {
		code, err := troublecode.Parse(plainCode(found))
		if err != nil || position == "" {
			continue
		}
		answer = diagnosis.OfOthers
		if e, known := troublecode.Find(code); known && e.Class.OfHeater() && strings.EqualFold(e.Position(), strings.TrimSpace(position)) {
			return diagnosis.OfHeater
		}
	}
	return answer
}

// ruleSources lists the sources of a table, each once.
func ruleSources(rules []diagnosis.Rule) []string {
	var all []string
	for _, r := range rules {
		if !slices.Contains(all, r.Source) {
			all = append(all, r.Source)
		}
	}
	return all
}

func (c Check) runFaultVerdict(args Arguments) (Result, error) {
	found := diagnosis.Found{}
	for _, in := range sensorInputs {
		found[in.question] = args[in.name].Choice
	}
	answer, suspects := trimsFound(args)
	found[diagnosis.Trims] = answer
	found[diagnosis.Coded] = codesFound(args["codes"].Text, args["position"].Text)
	v, err := diagnosis.Sensor(found, suspects)
	if err != nil {
		return Result{}, err
	}
	figures := []named{stated("verdict", string(v.Blame)), amount("for", float64(len(v.For))), amount("against", float64(len(v.Against)))}
	figures = append(append(figures, numbered("where", v.Where)...), numbered("next", v.Next)...)
	verdict := map[diagnosis.Blame]Verdict{diagnosis.ThisSensor: Pass, diagnosis.LookElsewhere: Fail, diagnosis.NotShown: More}[v.Blame]
	return c.result(verdict, string(v.Blame)+": "+v.Because, v.Workings, figures...)
}

// trimsFound says what the pattern of the trims is worth: whether the sensor is
// among its suspects, and who the others are.
func trimsFound(args Arguments) (answer string, suspects []string) {
	given := func(name, otherwise string) string {
		if said := args[name].Choice; said != "" && said != diagnosis.NotTested {
			return said
		}
		return otherwise
	}
	way := fueltrim.Direction(given("trims", ""))
	switch way {
	case "":
		return diagnosis.NotTested, nil
	case fueltrim.Level:
		return diagnosis.TrimsLevel, nil
	}
	where := fueltrim.Where(given("trims-where", string(fueltrim.Unknown)))
	if way == fueltrim.Tilted || way == fueltrim.Mixed {
		where = fueltrim.AtLoad // the pattern itself says that both ends were measured
	}
	for _, s := range fueltrim.Suspects(way, where, fueltrim.Spread(given("trims-banks", string(fueltrim.OnlyBank)))) {
		if s == fueltrim.BankSensor {
			return diagnosis.TrimsAmong, nil
		}
		suspects = append(suspects, string(s))
	}
	return diagnosis.TrimsOther, suspects
}

// numbered makes one figure of each text, in order.
func numbered(name string, texts []string) []named {
	var all []named
	for i, text := range texts {
		all = append(all, stated(fmt.Sprintf("%s: %d", name, i+1), strings.TrimSpace(text)))
	}
	return all
}

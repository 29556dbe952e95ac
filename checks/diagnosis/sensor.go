package diagnosis

// The rule of this file: an outside cause beats the sensor, and the sensor is
// blamed only where every outside cause was looked for and two findings that do
// not rest on the same evidence speak for it, and none against.

import (
	"fmt"
	"slices"
	"strings"
)

// Blame is the verdict on a suspected sensor.
type Blame string

// The verdicts.
const (
	ThisSensor    Blame = "this sensor"
	LookElsewhere Blame = "look elsewhere"
	NotShown      Blame = "not shown"
)

// enough is how many findings on separate evidence it takes, for or against.
// Own default: one test can be done wrong, two seldom in the same way.
const enough = 2

// Fault is what the findings say of a suspected sensor.
type Fault struct {
	Blame    Blame
	Because  string
	For      []string // evidence for the sensor, each kind once
	Against  []string
	Where    []string // where to look instead, with the reason
	Next     []string // what to test next, first things first
	Workings []string
}

// Sensor weighs the findings. Suspects are what the trims point to where their
// answer is TrimsOther. Errors name an answer that cannot be.
func Sensor(found Found, suspects []string) (Fault, error) {
	tests, rules := SensorTests(), SensorRules()
	if err := found.check(tests); err != nil {
		return Fault{}, err
	}
	var v Fault
	var missing, later, again []string // to look at first, to test, to repeat
	for _, t := range tests {
		r, ok := found.weigh(t.Question, rules)
		if !ok {
			v.Workings = append(v.Workings, t.untested())
			if step := string(t.Question) + ": " + t.How; t.First {
				missing = append(missing, step)
			} else {
				later = append(later, step)
			}
			continue
		}
		if t.Question == Trims && len(suspects) > 0 {
			r.Then += ": " + strings.Join(suspects, "; or ")
		}
		v.Workings = append(v.Workings, r.line())
		v.count(t, r)
		if r.Then != "" {
			again = append(again, string(t.Question)+": "+r.Then)
		}
	}
	v.Workings = append(v.Workings, fmt.Sprintf("for the sensor: %s; against it: %s; outside causes: %d; outside causes not looked for: %d",
		counted(v.For), counted(v.Against), len(v.Where), len(missing)))
	v.decide(missing, later, again)
	return v, nil
}

// count books one finding; what rests on the same evidence is booked once.
func (v *Fault) count(t Test, r Rule) {
	book := func(into *[]string) {
		if !slices.Contains(*into, t.Rests) {
			*into = append(*into, t.Rests)
		}
	}
	switch r.Worth {
	case For:
		book(&v.For)
	case Against:
		book(&v.Against)
	case Outside:
		v.Where = append(v.Where, r.Then+" ("+string(t.Question)+", "+r.Answer+": "+r.Because+")")
	}
}

func counted(kinds []string) string {
	if len(kinds) == 0 {
		return "0"
	}
	return fmt.Sprintf("%d (%s)", len(kinds), strings.Join(kinds, ", "))
}

func (v *Fault) decide(missing, later, again []string) {
	switch {
	case len(v.Where) > 0:
		v.Blame = LookElsewhere
		v.Because = "a cause outside the sensor was found, and a new sensor would not cure it: " + strings.Join(v.Where, "; ")
	case len(v.Against) >= enough && len(v.For) == 0:
		v.Blame = LookElsewhere
		v.Where = []string{"a fault that comes and goes, the connector's contacts, the controller's input, and the mixture itself (the sensor answers as a good one does)"}
		v.Because = "the sensor answered as a good one does in " + strings.Join(v.Against, " and ") + "; look for " + v.Where[0]
	case len(v.Against) > 0 && len(v.For) > 0:
		v.open("the findings contradict each other: "+strings.Join(v.For, ", ")+" for the sensor, "+strings.Join(v.Against, ", ")+" against it", again, missing, later)
	case len(missing) > 0:
		v.open("an outside cause was not looked for, and each gives the codes of a bad sensor", missing, later)
	case len(v.For) >= enough && len(v.Against) == 0:
		v.Blame = ThisSensor
		v.Because = "no outside cause is left, and " + strings.Join(v.For, " and ") + " speak for the sensor with nothing against it"
	case len(v.For) == 1:
		v.open("one kind of evidence alone speaks for the sensor ("+v.For[0]+"), and one test can be done wrong", later, again)
	case len(v.Against) > 0:
		v.open("what was tested speaks against the sensor ("+v.Against[0]+"), and one test can be done wrong", later, again)
	default:
		v.open("nothing speaks for the sensor or against it yet", later, again)
	}
}

// open leaves the question open and says what to do, the first list first.
func (v *Fault) open(because string, steps ...[]string) {
	v.Blame, v.Because = NotShown, because
	for _, s := range steps {
		v.Next = append(v.Next, s...)
	}
	if len(v.Next) == 0 {
		v.Next = []string{"the vehicle maker's own test for this code: every test here was done and has shown nothing"}
	}
	v.Because += "; next, " + v.Next[0]
}

package diagnosis

// The rule of this file: one thing against a repair leaves it unproved, one
// thing not looked at leaves it open, and monitors still to run are a follow-up
// that is named.

import (
	"fmt"
	"slices"
	"strings"
)

// Proof is the verdict on a repair.
type Proof string

// The verdicts. NotProved is said both of a repair that failed and of one that
// was not looked at enough; Proving.Open tells them apart.
const (
	Proved         Proof = "proved"
	ProvedFollowUp Proof = "proved, with a follow-up"
	NotProved      Proof = "not proved"
)

// Proving is what was found of a repair.
type Proving struct {
	Proof    Proof
	Open     bool // nothing speaks against it, but something was not looked at
	Because  string
	Against  []string // what speaks against it
	Next     []string // what to do next, first things first
	ToRun    []string // monitors still to run
	Workings []string
}

// Repair weighs what was found after the work. ToRun names the monitors that
// are not complete. Errors name an answer that cannot be.
func Repair(found Found, toRun []string) (Proving, error) {
	tests, rules := RepairTests(), RepairRules()
	if err := found.check(tests); err != nil {
		return Proving{}, err
	}
	var v Proving
	var missing []string
	follow := false
	for _, t := range tests {
		r, ok := found.weigh(t.Question, rules)
		if !ok {
			v.Workings = append(v.Workings, t.untested())
			missing = append(missing, string(t.Question)+": "+t.How)
			continue
		}
		v.Workings = append(v.Workings, r.line())
		switch r.Worth {
		case Refutes:
			v.Against = append(v.Against, fmt.Sprintf("%s, %s: %s", r.Question, r.Answer, r.Because))
			v.Next = append(v.Next, r.Then)
		case FollowUp:
			follow, v.ToRun = true, slices.Clone(toRun)
			v.Next = append(v.Next, r.Then)
		}
	}
	v.decide(missing, follow)
	return v, nil
}

func (v *Proving) decide(missing []string, follow bool) {
	switch {
	case len(v.Against) > 0:
		v.Proof, v.Because = NotProved, "not proved: "+strings.Join(v.Against, "; ")
	case len(missing) > 0:
		v.Proof, v.Open = NotProved, true
		v.Because = "not proved yet: nothing speaks against it, but this was not looked at: " + strings.Join(missing, "; ")
	case follow:
		v.Proof, v.Because = ProvedFollowUp, "proved by what was read, with a follow-up: "+v.Next[0]
		if len(v.ToRun) > 0 {
			v.Because += "; still to run: " + strings.Join(v.ToRun, ", ")
		}
	default:
		v.Proof, v.Because = Proved, "proved: no leak, no code, a good signal, settled trims and every monitor complete"
	}
	v.Next = append(v.Next, missing...)
}

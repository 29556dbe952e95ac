package runner

// The rule of this file: who works alone is told so before the first step, not at the one that wants a second person.

import (
	"slices"

	"fenderside/procedures"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// Unwitnessed are the steps that another person would have to sign, where nobody else on the roster may witness now. It is
// empty where somebody may.
func (s State) Unwitnessed(now Moment) (steps []*procedures.Step) {
	alone := !slices.ContainsFunc(s.job.Roster.Entries(), func(e roster.Entry) bool {
		return e.Fingerprint != s.acting().Fingerprint && e.Fingerprint != s.performer.Fingerprint && e.May(seal.Witness, now.Wall) == nil
	})
	for i := range s.steps {
		if alone && s.needsWitness(i, now) {
			steps = append(steps, s.spec(i))
		}
	}
	return steps
}

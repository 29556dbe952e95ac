package runner

// What a check was given may be seen, so that a picture of it is drawn from the very same values. Nothing is decided by it.

import (
	"slices"

	"fenderside/checks"
	"fenderside/procedures"
)

// Given is what a check of a step is given as things stand, or, where the check refused the latest value of a reading, what
// it was given then. Ok is false where something that it needs is not in yet, or where no such check of the step applies.
func (s State) Given(step, check string) (args checks.Arguments, ok bool) {
	i, ok := s.job.step(step)
	if !ok {
		return nil, false
	}
	for k := range s.spec(i).Checks {
		use := &s.spec(i).Checks[k]
		if use.Name != check || !s.holdsIn(i, use.When) {
			continue
		}
		if args, ok := s.arguments(i, use); ok {
			return args, true
		}
		judged := s.withRefused(i, use)
		return judged.arguments(i, use)
	}
	return nil, false
}

// withRefused is the state as the check saw it: with the readings that it refused.
func (s State) withRefused(i int, use *procedures.CheckUse) State {
	by := func(no Reason) bool { return no.Code == CheckNotPassed && no.Item == use.Name }
	s.steps = slices.Clone(s.steps)
	s.steps[i].readings = slices.Clone(s.steps[i].readings)
	for k := range s.steps[i].readings {
		r := &s.steps[i].readings[k]
		if n := len(r.refused); n > 0 && len(r.values) == 0 && slices.ContainsFunc(r.refused[n-1].Reasons, by) {
			r.values = r.refused[n-1:]
		}
	}
	return s
}

package runner

// What a check was given may be seen, so that a picture of it is drawn from the very same values.

import "fenderside/checks"

// Given is what a check of a step is given as things stand; ok is false where something that it needs is not in yet, or
// where the step has no such check that applies.
func (s State) Given(step, check string) (args checks.Arguments, ok bool) {
	i, ok := s.job.step(step)
	if !ok {
		return nil, false
	}
	for k := range s.spec(i).Checks {
		use := &s.spec(i).Checks[k]
		if use.Name == check && s.holdsIn(i, use.When) {
			return s.arguments(i, use)
		}
	}
	return nil, false
}

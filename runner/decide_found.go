package runner

// What a check found is passed on to those that take it, and is never entered again: where it changes, they are made again,
// and what rested on them is judged again.

import (
	"fenderside/checks"
	"fenderside/procedures"
)

// foundArgument is what a check of an earlier step found, as an input takes it. Where that check was not made, or gave no such
// figure, there is none.
func (s *State) foundArgument(found *procedures.Found, spec checks.Input) (checks.Argument, bool) {
	text, ok := s.foundText(found)
	if !ok {
		return checks.Argument{}, false
	}
	return spec.Take(text)
}

// foundIn is the check of an earlier step that is named, as it stands now.
func (s *State) foundIn(found *procedures.Found) (computedState, bool) {
	i, ok := s.job.step(found.Step)
	if !ok {
		return computedState{}, false
	}
	for k, use := range s.spec(i).Checks {
		if use.Name == found.Check && s.holdsIn(i, use.When) {
			return s.steps[i].computed[k], true
		}
	}
	return computedState{}, false
}

// foundText is the figure that a check of a step found last. A step whose entries were wiped is still known by it, as its
// readings are.
func (s *State) foundText(found *procedures.Found) (string, bool) {
	from, _ := s.foundIn(found)
	for _, f := range from.found() {
		if f.Name == found.Output {
			return f.Text, true
		}
	}
	return "", false
}

// lostBehind names a check that a check rests on and that could not have its file, and that file.
func (s *State) lostBehind(use *procedures.CheckUse) (check, file string) {
	for _, in := range use.Inputs {
		if in.Found == nil {
			continue
		}
		if from, ok := s.foundIn(in.Found); ok && from.missing != "" {
			return in.Found.Check, from.missing
		}
	}
	return "", ""
}

// passOn makes again the checks that take what one has just found, where they were made already.
func (d *decision) passOn(i int, from *procedures.CheckUse) {
	for n := i + 1; n < d.s.job.main; n++ {
		for k := range d.s.spec(n).Checks {
			use := &d.s.spec(n).Checks[k]
			if d.s.steps[n].computed[k].ran && takesFound(use, d.s.spec(i).ID, from.Name) && d.s.holdsIn(n, use.When) {
				d.shaken = true
				d.computeUse(n, use)
			}
		}
	}
}

// takesFound says whether a check takes something that a check of a step found.
func takesFound(use *procedures.CheckUse, step, check string) bool {
	for _, in := range use.Inputs {
		if in.Found != nil && in.Found.Step == step && in.Found.Check == check {
			return true
		}
	}
	return false
}

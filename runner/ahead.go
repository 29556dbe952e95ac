package runner

import (
	"slices"

	"fenderside/procedures"
)

// What comes after the step at hand is foretold for the track, and nothing is decided by it. It goes by what was chosen, and
// at a question by the first answer that does not end the job early.

// ahead are the next n steps of the main line after step from. A step that can no longer come is none of them.
func (s *State) ahead(from, n int) []Mark {
	var out []Mark
	passed := []int{from}
	for i := s.onward(from); i != noStep && len(out) < n && !slices.Contains(passed, i); {
		to := i + 1
		if !s.ruledOut(i, passed) {
			out = append(out, s.mark(i))
			to = s.onward(i)
		}
		passed = append(passed, i)
		if i = to; i >= s.job.main {
			i = noStep
		}
	}
	return out
}

// onward is where step i leads as far as can be told, or noStep where that is an end.
func (s *State) onward(i int) int {
	st := s.spec(i)
	to := st.Then
	if st.Ask != nil {
		to = likely(st.Ask)
	}
	next := i + 1
	if to.Step != "" {
		next, _ = s.job.step(to.Step)
	}
	if to.End != "" || i >= s.job.main || next >= s.job.main {
		return noStep
	}
	return next
}

// likely is where a question leads by the first answer that goes on. An answer of an earlier round is none of this one.
func likely(ask *procedures.Ask) procedures.Target {
	for _, a := range ask.Answers {
		if !early(a.Then) {
			return a.Then
		}
	}
	return ask.Answers[0].Then
}

// ruledOut says whether the cursor will go by step i: what was chosen leaves it out, or it would make safe what neither is
// in place nor comes before it.
func (s *State) ruledOut(i int, before []int) bool {
	st := s.spec(i)
	for _, clause := range st.When {
		if made := s.choice(clause.Choice, noStep); made != "" && !slices.Contains(clause.In, made) {
			return true
		}
	}
	if !s.makesSafe(i) || s.isDue(i) {
		return false
	}
	return !slices.ContainsFunc(before, func(b int) bool {
		return slices.Contains(st.DueAfter, b) || slices.Contains(st.Releases, s.spec(b).Secures)
	})
}

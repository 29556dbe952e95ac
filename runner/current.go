package runner

import "fenderside/procedures"

// The current step is derived from the cursor and what stands; see the package comment. This file is the only place
// that says which step it is.

// current returns the step that may take entries now, or noStep: in the briefing, while an interruption waits for its
// resume, while a stop-work is not cleared, and when only the signature is left.
func (s *State) current() int {
	if s.hold != nil || len(s.lost) > 0 {
		return noStep
	}
	if s.handover != nil {
		return s.handoverStep()
	}
	switch s.phase {
	case Working:
		return s.reach(s.cursor)
	case Closing:
		return s.closingStep()
	}
	return noStep
}

// reach is target, or the gate that must be secured before it.
func (s *State) reach(target int) int {
	for range len(s.steps) + 1 {
		next := s.blocker(target)
		if next == noStep {
			return target
		}
		target = next
	}
	return noStep
}

// blocker is the step to do before target: the gate of its first need that does not stand, or a pinned step that runs.
func (s *State) blocker(target int) int {
	for _, n := range s.spec(target).Needs {
		if s.unmetNeed(n) {
			if n.Pin >= 0 {
				return n.Pin
			}
			return s.job.Procedure.Safeguards[n.Safeguard].Gate
		}
	}
	return noStep
}

// unmetNeed says whether a need is missing now.
func (s *State) unmetNeed(n procedures.Need) bool {
	if !s.holds(n.When) {
		return false
	}
	if n.Pin >= 0 {
		return s.steps[n.Pin].running
	}
	return !s.guards[n.Safeguard].stands
}

// missing lists the safeguards and pinned steps that step i needs and that do not stand.
func (s *State) missing(i int) []procedures.Need {
	var out []procedures.Need
	for _, n := range s.spec(i).Needs {
		if s.unmetNeed(n) {
			out = append(out, n)
		}
	}
	return out
}

// handoverStep is the next gate that the incoming person must secure again, in the order of the procedure.
func (s *State) handoverStep() int {
	next := noStep
	for _, g := range s.handover.Owed {
		gate := s.job.Procedure.Safeguards[g].Gate
		if !s.guards[g].stands && (next == noStep || gate < next) {
			next = gate
		}
	}
	if next == noStep {
		return noStep
	}
	return s.reach(next)
}

// closingStep is the next make-safe step that is due, then a pinned step that still runs.
func (s *State) closingStep() int {
	if due := s.due(); len(due) > 0 {
		if s.spec(due[0]).Kind == procedures.Pinned {
			return due[0]
		}
		return s.reach(due[0])
	}
	return noStep
}

// due lists what a close still waits for: the make-safe steps in their order, then the pinned steps that run. What was
// put on a left-in-this-state line is no longer waited for.
func (s *State) due() []int {
	var out []int
	for _, id := range s.job.Procedure.MakeSafe {
		if i, _ := s.job.step(id); s.isDue(i) && !s.isLeft(id) {
			out = append(out, i)
		}
	}
	for i := s.job.main; i < len(s.steps); i++ {
		if s.steps[i].running && !s.isLeft(s.spec(i).ID) {
			out = append(out, i)
		}
	}
	return out
}

// isDue says whether make-safe step i has something to make safe: a safeguard that is engaged, or work that was begun.
func (s *State) isDue(i int) bool {
	st := s.spec(i)
	for _, g := range st.Releases {
		if s.guards[g].engaged && !s.job.Procedure.Safeguards[g].Lasting {
			return true
		}
	}
	return s.steps[i].bequest || s.steps[i].owed && s.holds(st.When)
}

func (s *State) isLeft(id string) bool {
	for _, l := range s.left {
		if l.Step == id {
			return true
		}
	}
	return false
}

// makesSafe says whether step i is one of the procedure's make-safe steps.
func (s *State) makesSafe(i int) bool {
	for _, id := range s.job.Procedure.MakeSafe {
		if id == s.spec(i).ID {
			return true
		}
	}
	return false
}

// workable says whether step i takes entries now: it is the current one, or a pinned step that runs.
func (s *State) workable(i int) bool {
	if s.hold != nil || len(s.lost) > 0 || s.phase == Closed {
		return false
	}
	return i == s.open || s.steps[i].running
}

package runner

import "fenderside/procedures"

// A step is completed only as the current one, with everything it asks for; then the job moves on from it.

func (d *decision) takeProgress(c Command) bool {
	switch c := c.(type) {
	case Finish:
		d.finish(c)
	case Answer:
		d.answer(c)
	case Skip:
		d.skip(c)
	default:
		return false
	}
	return true
}

func (d *decision) finish(c Finish) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	d.lookAgain(i)
	if d.refuse(d.s.unmet(i, d.now)...) {
		return
	}
	d.complete(i, d.s.spec(i).Then)
}

// answer takes the answer to a step's question once all else is in; it completes the step.
func (d *decision) answer(c Answer) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	ask := d.s.spec(i).Ask
	if ask == nil {
		d.refuse(Reason{Code: UnknownItem, Step: c.Step})
		return
	}
	d.lookAgain(i)
	for _, r := range d.s.unmet(i, d.now) {
		if r.Code != AnswerMissing {
			d.refuse(r)
		}
	}
	if len(d.reasons) > 0 {
		return
	}
	for _, a := range ask.Answers {
		if a.Say == c.Say {
			if early(a.Then) && !d.s.inTurn(i) {
				d.refuse(Reason{Code: NotNow, Step: c.Step}) // a close by hand says it, with its reason
				return
			}
			d.emit(Answered(c))
			d.complete(i, a.Then)
			return
		}
	}
	d.refuse(Reason{Code: NotAChoice, Step: c.Step, Item: c.Say})
}

func (d *decision) skip(c Skip) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	st := d.s.spec(i)
	switch {
	case st.Kind != procedures.Do:
		d.refuse(Reason{Code: GateNotSkippable, Step: c.Step})
	case !st.Optional:
		d.refuse(Reason{Code: NotOptional, Step: c.Step})
	case d.refuseText(c.Reason, true):
	default:
		d.emit(Skipped(c))
		d.advance(st.Then, i)
	}
}

// complete writes down that step i is done, with what that does to safeguards, and moves on where it was on the cursor.
func (d *decision) complete(i int, then procedures.Target) {
	st := d.s.spec(i)
	d.emit(Done{Step: st.ID})
	if st.Secures >= 0 && !early(then) {
		d.emit(Secured{Safeguard: d.s.job.Procedure.Safeguards[st.Secures].ID})
	}
	d.release(st)
	if d.s.inTurn(i) {
		d.advance(then, i)
	}
}

// inTurn says whether step i is done on the main line, so that completing it moves the cursor, and not beside it.
func (s *State) inTurn(i int) bool {
	return s.phase == Working && i == s.cursor && s.handover == nil
}

// early says whether a target ends the job before its end. Whoever answers so at a gate has not met it.
func early(to procedures.Target) bool {
	return to.End == procedures.Referred || to.End == procedures.Abandoned
}

// release takes the safeguards of a step away on purpose, all together; then what rested on them falls.
func (d *decision) release(st *procedures.Step) {
	for _, g := range st.Releases {
		if d.s.guards[g].stands || d.s.guards[g].engaged {
			d.emit(Released{Safeguard: d.s.job.Procedure.Safeguards[g].ID, Step: st.ID})
		}
	}
	for _, g := range st.Releases {
		for _, r := range d.s.restingOn(g) {
			if d.s.guards[r].stands {
				d.fall(r, ByRest, d.s.job.Procedure.Safeguards[g].ID)
			}
		}
	}
}

// advance moves the cursor from a step to where its completion leads, past what needs no doing.
func (d *decision) advance(to procedures.Target, from int) {
	for range len(d.s.steps) + 1 {
		if to.End != "" {
			d.emit(EndReached{Outcome: to.End})
			return
		}
		next := from + 1
		if to.Step != "" {
			next, _ = d.s.job.step(to.Step)
		}
		if next >= d.s.job.main {
			d.emit(EndReached{Outcome: procedures.Complete})
			return
		}
		why, pass := d.s.passes(next)
		if !pass {
			d.enter(next)
			return
		}
		d.emit(PassedBy{Step: d.s.spec(next).ID, Why: why})
		from, to = next, procedures.Target{}
		if why == AlreadyStands {
			to = d.s.spec(next).Then
		}
	}
}

// passes says whether the cursor goes by step i: it does not apply, its safeguard stands already, or there is nothing for
// it to make safe. A step that asks a question is never gone by for standing.
func (s *State) passes(i int) (PassWhy, bool) {
	st := s.spec(i)
	switch {
	case s.makesSafe(i) && !s.isDue(i):
		return NotDue, true
	case s.makesSafe(i):
		return "", false
	case !s.holds(st.When):
		return NotApplicable, true
	case st.Secures >= 0 && s.guards[st.Secures].stands && st.Ask == nil:
		return AlreadyStands, true
	}
	return "", false
}

// enter brings the cursor to step i, unless it was entered as often as it may be.
func (d *decision) enter(i int) {
	st := d.s.spec(i)
	round := d.s.steps[i].rounds + 1
	if st.Repeat != nil && round > st.Repeat.AtMost {
		d.refuse(Reason{Code: RoundsSpent, Step: st.ID, Detail: number(st.Repeat.AtMost)})
		return
	}
	d.emit(Entered{Step: st.ID, Round: round})
}

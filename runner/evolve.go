package runner

import (
	"slices"

	"fenderside/checks"
	"fenderside/procedures"
)

// Evolve is the state after an event. It decides nothing: an event is a fact. The state given is not changed.
func Evolve(s State, e Event, at Moment) State {
	n := s.clone()
	n.apply(e, at)
	return n
}

// apply changes s, which the caller owns.
func (s *State) apply(e Event, at Moment) {
	if e, ok := e.(Refused); ok && e.untimely() {
		s.refusals++ // a moment that cannot follow the last one does not take its place
		return
	}
	s.last = at
	if s.applyEntry(e, at) || s.applyProgress(e, at) || s.applySafeguard(e, at) || s.applyPeople(e, at) {
		return
	}
	s.applyClosing(e)
}

// applyEntry takes the events that record something at a step.
func (s *State) applyEntry(e Event, at Moment) bool {
	switch e := e.(type) {
	case WayChosen:
		s.begin(e.Step).way = e.Way
	case Affirmed:
		s.begin(e.Step).affirmed |= 1 << e.Statement
	case ReadingTaken:
		s.takeReading(e, at)
	case Computed:
		s.takeComputed(e)
	case Attached:
		st := s.begin(e.Step)
		for k, ev := range s.specOf(e.Step).Evidence {
			if ev.ID == e.Item {
				file := e.File
				st.evidence[k] = &file
			}
		}
	case WaitStarted:
		st := s.begin(e.Step)
		st.waiting, st.waitFrom = true, at
	case WitnessSigned:
		by, st := e.By, s.begin(e.Step)
		st.witness, st.voided = &by, false
	case WitnessVoided:
		st := s.at(e.Step)
		st.witness, st.voided = nil, true
	case Answered:
		s.begin(e.Step).answer = e.Say
	case InstrumentTaken:
		for i, in := range s.job.Procedure.Instruments {
			if in.ID == e.Instrument {
				s.instruments[i] = Instrument{Name: e.Name, Due: e.Due}
			}
		}
	case Corrected:
		s.takeCorrection(e)
	case Overruled:
		place := s.job.reads[e.Reading]
		s.own(place.step).readings[place.reading].refuseAll(e.Reasons[0])
	default:
		return false
	}
	return true
}

// at is the state of a step by id, ready to be changed.
func (s *State) at(id string) *stepState {
	i, ok := s.job.step(id)
	if !ok {
		return &stepState{}
	}
	return s.own(i)
}

func (s *State) specOf(id string) *procedures.Step {
	i, _ := s.job.step(id)
	return s.spec(i)
}

// begin is at, for an entry: what makes the step safe again is owed from now, and the safeguard it secures is engaged,
// whether or not it comes to stand.
func (s *State) begin(id string) *stepState {
	i, _ := s.job.step(id)
	s.owe(i)
	if g := s.specOf(id).Secures; g >= 0 {
		s.guards[g].engaged = true
	}
	return s.at(id)
}

// owe makes every step that is due after step i due.
func (s *State) owe(i int) {
	for _, id := range s.job.Procedure.MakeSafe {
		if m, ok := s.job.step(id); ok && slices.Contains(s.spec(m).DueAfter, i) {
			s.steps[m].owed = true
		}
	}
}

func (s *State) takeReading(e ReadingTaken, at Moment) {
	st := s.begin(e.Step)
	v := Value{Text: e.Value, Instrument: e.Instrument, At: at, Reasons: e.Reasons}
	for k, r := range s.specOf(e.Step).Readings {
		if r.ID != e.Reading {
			continue
		}
		rs := &st.readings[k]
		if !e.Accepted {
			rs.refused = append(rs.refused[:len(rs.refused):len(rs.refused)], v)
			rs.last = true
			return
		}
		rs.last = false
		rs.values = append(rs.values[:len(rs.values):len(rs.values)], v)
	}
}

// takeComputed keeps a check's result. A failed check refuses what was measured for it; that is taken afresh.
func (s *State) takeComputed(e Computed) {
	st := s.at(e.Step)
	for k, use := range s.specOf(e.Step).Checks {
		if use.Name != e.Check {
			continue
		}
		st.computed[k] = computedState{ran: true, verdict: e.Verdict, figures: e.Figures, because: e.Because, workings: e.Workings, missing: e.Missing}
		if e.Verdict == checks.Fail && !use.Advice {
			st.refuseMeasured(s.specOf(e.Step), use)
		}
	}
}

// refuseMeasured refuses what a failed check judged. A file is what was measured where the check takes one of this step:
// another is wanted then, and the words that say where in it to look stay.
func (st *stepState) refuseMeasured(spec *procedures.Step, use procedures.CheckUse) {
	files := filesOf(spec, use)
	for _, k := range files {
		st.evidence[k] = nil
	}
	if len(files) > 0 {
		return
	}
	for _, r := range measured(spec, use) {
		st.readings[r].refuseAll(Reason{Code: CheckNotPassed, Step: spec.ID, Item: use.Name})
	}
}

// measured lists the readings of a step that a check of it judges: those taken with an instrument or as a series, and
// where there is none of these, every reading of the step that it uses. What a person copied from a plate or a sheet is
// corrected where it is wrong; only a measurement is taken again.
func measured(st *procedures.Step, use procedures.CheckUse) []int {
	var used, taken []int
	for i, r := range st.Readings {
		if !usesReading(use, r.ID) {
			continue
		}
		used = append(used, i)
		if r.Instrument >= 0 || r.Series {
			taken = append(taken, i)
		}
	}
	if len(taken) > 0 {
		return taken
	}
	return used
}

func usesReading(use procedures.CheckUse, id string) bool {
	for _, in := range use.Inputs {
		if in.Ref == id {
			return true
		}
	}
	return false
}

// refuseAll moves what was accepted to what was refused.
func (r *readingState) refuseAll(why Reason) {
	refused := append([]Value(nil), r.refused...)
	for _, v := range r.values {
		v.Reasons = append(v.Reasons[:len(v.Reasons):len(v.Reasons)], why)
		refused = append(refused, v)
	}
	r.last = r.last || len(r.values) > 0
	r.values, r.refused = nil, refused
}

func (s *State) takeCorrection(e Corrected) {
	switch {
	case e.Sheet != "":
		s.setSheet(e.Sheet, e.Value, !e.FromCard)
	case e.Answer != "":
		if i, _ := s.job.step(e.Answer); s.steps[i].status == Current {
			s.wipe(i)
		}
	case e.Statement != "":
		s.at(e.Statement).affirmed &^= 1 << e.Index
	case e.Reading != "":
		place := s.job.reads[e.Reading]
		rs := &s.own(place.step).readings[place.reading]
		if e.Index >= len(rs.values) {
			return
		}
		rs.values = append([]Value(nil), rs.values...)
		rs.values[e.Index].Text = e.Value
		if len(e.Reasons) > 0 {
			rs.refuseAll(e.Reasons[0])
		}
	}
}

// applyProgress takes the events that move through the steps.
func (s *State) applyProgress(e Event, at Moment) bool {
	switch e := e.(type) {
	case Acknowledged:
		for i, b := range s.job.briefs {
			s.acknowledged[i] = s.acknowledged[i] || b.ID == e.Item
		}
	case Began:
		s.phase = Working
	case Entered:
		s.enter(e)
	case PassedBy:
		st := s.at(e.Step)
		st.status, st.passed = Passed, e.Why
	case Opened:
		s.openStep(e.Step, at)
	case Done:
		s.finish(e.Step)
	case Skipped:
		s.at(e.Step).status = SkippedIt
	case Undone:
		i, _ := s.job.step(e.Step)
		s.steps[i].status = Untouched
		s.steps[i].owed = s.steps[i].owed || s.makesSafe(i)
	case PinStarted:
		i, _ := s.job.step(e.Step)
		s.steps[i] = fresh(s.spec(i), s.steps[i])
		s.steps[i].running, s.steps[i].waitFrom, s.steps[i].status = true, at, Current
		s.owe(i)
	case Happened, Noted:
	case Refused:
		s.refusals++
	default:
		return false
	}
	return true
}

func (s *State) enter(e Entered) {
	i, _ := s.job.step(e.Step)
	s.came, s.cursor = s.cursor, i
	s.phase, s.outcome, s.reached, s.reason, s.left = Working, "", "", "", nil
	s.steps[i] = fresh(s.spec(i), s.steps[i])
	s.steps[i].status, s.steps[i].rounds = Current, e.Round
}

// openStep makes a step the one that takes entries. A step with only a longest time is timed from here.
func (s *State) openStep(id string, at Moment) {
	i, ok := s.job.step(id)
	if !ok {
		s.open = noStep
		return
	}
	s.open = i
	st := &s.steps[i]
	if st.status == Finished || st.status == Untouched || st.status == Passed {
		rounds := st.rounds
		*st = fresh(s.spec(i), *st)
		st.status, st.rounds = Current, rounds
	}
	if w := s.spec(i).Wait; w != nil && !w.AtLeast.Set && !st.waiting {
		st.waiting, st.waitFrom = true, at
	}
}

func (s *State) finish(id string) {
	i, _ := s.job.step(id)
	st := s.begin(id)
	st.status, st.running, st.beside = Finished, false, !s.inTurn(i)
	s.trail = append(s.trail, i)
	st.owed, st.bequest = false, false
}

// applySafeguard takes the events that put safeguards in place and take them away.
func (s *State) applySafeguard(e Event, at Moment) bool {
	switch e := e.(type) {
	case Secured:
		g, _ := s.job.Procedure.SafeguardByID(e.Safeguard)
		s.guards[g] = guardState{stands: true, engaged: true, since: at, rests: s.neededThen(g)}
	case Released:
		g, _ := s.job.Procedure.SafeguardByID(e.Safeguard)
		s.drop(g)
		s.guards[g] = guardState{since: at}
		s.noLongerOwed(g)
	case Fell:
		g, _ := s.job.Procedure.SafeguardByID(e.Safeguard)
		s.drop(g)
		s.noteFall(g, e)
		fell := e
		s.guards[g] = guardState{engaged: s.guards[g].engaged, since: at, fell: &fell}
	case WorkStopped:
		for _, id := range e.Safeguards {
			g, _ := s.job.Procedure.SafeguardByID(id)
			s.lost = append(s.lost, g)
		}
	case Cleared:
		s.lost = nil
	default:
		return false
	}
	return true
}

// noteFall writes a fall down with the interruption or handover it belongs to. How the vehicle was left is no protection
// that passes from hand to hand: in a handover, a lasting safeguard is owed only where the handover itself felled it. A
// gate that was only begun is not owed either: it never stood.
func (s *State) noteFall(g int, e Fell) {
	spec := s.job.Procedure.Safeguards[g]
	if s.hold != nil {
		h := *s.hold
		h.Fell = append(h.Fell[:len(h.Fell):len(h.Fell)], spec.ID)
		s.hold = &h
	}
	if s.handover == nil || !s.guards[g].stands || spec.Lasting && e.Of != handoverCause {
		return
	}
	h := *s.handover
	h.SignedOn = false // what was signed for is not so any more
	if !slices.Contains(h.Owed, g) {
		h.Owed = append(h.Owed[:len(h.Owed):len(h.Owed)], g)
	}
	s.handover = &h
}

// noLongerOwed takes a safeguard that was released on purpose off what a handover waits for.
func (s *State) noLongerOwed(g int) {
	if s.handover == nil {
		return
	}
	h := *s.handover
	h.Owed = slices.DeleteFunc(slices.Clone(h.Owed), func(owed int) bool { return owed == g })
	s.handover = &h
}

// drop takes the evidence of a safeguard that no longer stands: its gate starts without entries, and so does a step
// under way that needs it.
func (s *State) drop(g int) {
	gate := s.job.Procedure.Safeguards[g].Gate
	s.wipe(gate)
	if s.steps[gate].status == Finished {
		s.steps[gate].status = Untouched
	}
	for i := range s.steps {
		if s.steps[i].status != Current || i == gate {
			continue
		}
		for _, n := range s.spec(i).Needs {
			if n.Safeguard == g && s.holds(n.When) {
				s.wipe(i)
				break
			}
		}
	}
}

// wipe takes a step's entries away; a pinned step's time runs on.
func (s *State) wipe(i int) { s.steps[i] = fresh(s.spec(i), s.steps[i]) }

// applyPeople takes interruptions and changes of person.
func (s *State) applyPeople(e Event, at Moment) bool {
	switch e := e.(type) {
	case Interrupted:
		s.interrupt(e, at)
	case Resumed:
		s.hold = nil
	case HandoverBegun:
		s.handover = &Handover{To: e.To}
	case SignedOn:
		h := *s.handover
		h.SignedOn = true
		s.handover = &h
	case SignedOff:
		s.performer, s.handover = e.To, nil
	case JobKept:
		s.handover = nil
	case TakenOver:
		s.unsigned = append(s.unsigned, e.From)
		s.performer, s.handover = e.By, nil
	default:
		return false
	}
	return true
}

// interrupt breaks the work off. Waits that run get no credit: they start again when the work is taken up. Series that
// are not finished start again too, for the time between their values is not known. A pause is the exception: the program
// still counts, so waits and series go on; a pinned step, which somebody must attend to, starts again all the same.
func (s *State) interrupt(e Interrupted, at Moment) {
	where := ""
	if s.open >= 0 {
		where = s.spec(s.open).ID
	} else if s.hold != nil {
		where = s.hold.Step
	}
	var fell []string // an interruption on top of another: what fell with the first was not seen to yet
	if s.hold != nil {
		fell = s.hold.Fell
	}
	s.hold = &Hold{Why: e.Cause, Reason: e.Reason, At: at, Step: where, Fell: fell}
	for i := range s.steps {
		if s.steps[i].running {
			s.steps[i].waitFrom = at
		}
		if s.steps[i].status == Current && e.Cause != ByPause {
			s.loseTime(i)
		}
	}
}

// loseTime takes from step i what only unbroken time could show.
func (s *State) loseTime(i int) {
	st := s.own(i)
	st.waiting = false
	for k, r := range s.spec(i).Readings {
		if r.Series {
			old := st.readings[k]
			st.readings[k] = readingState{refused: old.refused, last: old.last, kept: old.known()}
		}
	}
}

// applyClosing takes the events that end a job.
func (s *State) applyClosing(e Event) {
	switch e := e.(type) {
	case EndReached:
		s.phase, s.outcome, s.cursor = Closing, e.Outcome, atEnd
		s.reached, s.reason, s.left = e.Outcome, "", nil
	case CloseBegun:
		s.phase, s.outcome, s.reason = Closing, e.Outcome, e.Reason
	case CloseWithdrawn:
		s.phase, s.outcome, s.reason, s.left = Working, "", "", nil
		if slices.Contains(s.acknowledged, false) {
			s.phase = Briefing
		}
	case LeftInState:
		s.left = append(s.left, Left(e))
	case FollowUpSet:
		s.follow = append(s.follow, Promise(e))
	case Sealed:
		sealed := e
		s.phase, s.sealed, s.open = Closed, &sealed, noStep
	}
}

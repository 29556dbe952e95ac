package runner

import (
	"fenderside/procedures"
)

// Decision is the answer to a command: the events that follow from it and the state after them. A refusal is one of the
// events, the last, and also stands in Refusal; where it is nil the command was taken. Events is empty where there is
// nothing to write down: time passed without effect, or the job is closed. OnTrust are the results that were taken from a
// record, for want of the files they rest on; only Redecide does that.
type Decision struct {
	Events  []Event
	Refusal *Refused
	State   State
	OnTrust []Computed
}

// Decide answers a command. It changes nothing outside its result.
func Decide(s State, c Command, now Moment) Decision {
	if s.phase == Closed {
		no := Refused{Command: c.command(), Reasons: []Reason{{Code: JobClosed}}}
		return Decision{Refusal: &no, State: s}
	}
	d := &decision{s: s.clone(), start: &s, now: now, mark: -1}
	return d.run(c)
}

// Advance is Decide for a caller who gives the state up: it may be changed in place, and is not copied. It reports false
// where the answer would have to take back what the command did, or the job is closed; the state is then of no more use.
func Advance(s State, c Command, now Moment) (Decision, bool) {
	d := &decision{s: s, now: now, mark: -1}
	if s.phase == Closed {
		return Decision{State: s}, false
	}
	answer := d.run(c)
	return answer, !d.spoilt
}

// Redecide is Decide for a replay of what was recorded. Where a file is not to be had any more, the result that rests on it
// is taken from the record, and named in OnTrust; a file that was not to be had then is not looked for now.
func Redecide(s State, c Command, now Moment, recorded []Event) Decision {
	if s.phase == Closed {
		return Decide(s, c, now)
	}
	d := &decision{s: s.clone(), start: &s, now: now, mark: -1, recorded: recorded}
	answer := d.run(c)
	answer.OnTrust = d.onTrust
	return answer
}

func (d *decision) run(c Command) Decision {
	if d.passTime(c) {
		d.settle() // what fell with time is not current any more when the command is looked at
		if d.admit(c) {
			d.take(c)
		}
	}
	if len(d.reasons) > 0 {
		d.undo()
	}
	d.settle()
	if len(d.reasons) == 0 {
		return Decision{Events: d.events, State: d.s}
	}
	no := Refused{Command: c.command(), Reasons: d.reasons}
	d.emit(no)
	return Decision{Events: d.events, Refusal: &no, State: d.s}
}

// decision is a Decide under way. Events are applied as they are made, so that each rule sees what the last one did.
type decision struct {
	s       State
	now     Moment
	events  []Event
	reasons []Reason

	broke  bool   // time itself broke the work off just now
	shaken bool   // a check that others had rested on was made again
	start  *State // as it was before; nil where it was given up
	spoilt bool   // it would have been needed

	recorded []Event    // in a replay, what followed then
	onTrust  []Computed // results taken from it
	mark     int        // how many events there were when the command itself was taken up; -1 while it was not
}

func (d *decision) emit(e Event) {
	d.events = append(d.events, e)
	d.s.apply(e, d.now)
}

// refuse adds reasons; it reports whether there are any so far.
func (d *decision) refuse(r ...Reason) bool {
	d.reasons = append(d.reasons, r...)
	return len(d.reasons) > 0
}

// undo takes back what a refused command did, so that a refusal changes nothing. What time did stays: its events are
// applied again, to the state as it was.
func (d *decision) undo() {
	if d.mark < 0 || d.mark >= len(d.events) {
		return
	}
	if d.spoilt = d.start == nil; d.spoilt {
		return
	}
	d.events, d.s, d.shaken = d.events[:d.mark], d.start.clone(), false
	for _, e := range d.events {
		d.s.apply(e, d.now)
	}
}

// take hands the command to its rule.
func (d *decision) take(c Command) {
	d.mark = len(d.events)
	if d.takeEntry(c) || d.takeProgress(c) || d.takeInterruption(c) || d.takeHandover(c) || d.takeClosing(c) {
		return
	}
	switch c := c.(type) {
	case Correct:
		d.correct(c.Correction)
	case StopWork:
		d.stopWork(c)
	case Clear:
		d.clear()
	case Note:
		if !d.refuseText(c.Text, true) {
			d.emit(Noted(c))
		}
	}
}

// admit refuses commands that do not belong to how the job stands, whatever they say.
func (d *decision) admit(c Command) bool {
	switch c.(type) {
	case Tick, Note, StopWork, Reopen, Pause, Take:
		return true
	}
	if _, again := c.(Resume); again && d.broke {
		return !d.refuse(Reason{Code: Interruption, Step: d.s.hold.Step}) // nobody has seen yet what fell
	}
	if len(d.s.lost) > 0 {
		switch c.(type) {
		case Clear, Resume, TakeOver:
			return true
		}
		return !d.refuse(Reason{Code: NotClear})
	}
	if d.s.hold != nil {
		switch c.(type) {
		case Resume, TakeOver:
			return true
		}
		return !d.refuse(Reason{Code: Interruption, Step: d.s.hold.Step})
	}
	if d.s.phase == Briefing {
		return d.admitBriefing(c)
	}
	return d.admitHandover(c)
}

func (d *decision) admitBriefing(c Command) bool {
	switch c.(type) {
	case Acknowledge, Resume, Close, TakeOver, FollowUp:
		return true
	}
	return !d.refuse(d.s.unacknowledged()...)
}

// admitHandover holds a handover to its own order: gates, signing on, signing off.
func (d *decision) admitHandover(c Command) bool {
	switch c.(type) {
	case SignOn, SignOff, KeepJob:
		return d.s.handover != nil || !d.refuse(Reason{Code: NoHandover})
	case Choose, Affirm, Read, Attach, StartWait, Witnessed, Finish, Answer, TakeOver:
		return true
	}
	return d.s.handover == nil || !d.refuse(Reason{Code: HandoverOpen, Item: d.s.handover.To.Name})
}

// settle makes the derived current step the open one, once what was shaken is judged again. The causes of a step happen as it
// is opened and as it is left.
func (d *decision) settle() {
	for range 2*len(d.s.steps) + 2 {
		if d.shaken {
			d.judgeAgain()
		}
		next := d.s.current()
		if next == d.s.open {
			return
		}
		if left := d.s.open; left >= 0 {
			d.happen(left)
			next = d.s.current()
		}
		id := ""
		if next >= 0 {
			id = d.s.spec(next).ID
		}
		d.emit(Opened{Step: id})
		if next >= 0 {
			d.happen(next)
			d.computeGiven(next)
		}
	}
}

// happen lets the causes of step i happen: safeguards that lapse on them fall, pinned steps that start on them start.
func (d *decision) happen(i int) {
	st := d.s.spec(i)
	for _, cause := range st.Causes {
		d.emit(Happened{Cause: cause, Step: st.ID})
		d.fallOn(cause)
		for k := d.s.job.main; k < len(d.s.steps); k++ {
			if has(d.s.spec(k).Pin.On, cause) {
				d.emit(PinStarted{Step: d.s.spec(k).ID, Of: cause})
			}
		}
	}
}

// fallOn fells every safeguard that lapses on a cause.
func (d *decision) fallOn(cause string) {
	for g, spec := range d.s.job.Procedure.Safeguards {
		if has(spec.LapseOn, cause) {
			d.fall(g, ByCause, cause)
		}
	}
}

// fall fells a safeguard and what rests on it. One that does not stand, but whose gate was begun, loses what was entered.
func (d *decision) fall(g int, why FallWhy, of string) {
	gate := d.s.job.Procedure.Safeguards[g].Gate
	if d.s.guards[g].stands || d.s.hasEntries(gate) {
		d.emit(Fell{Safeguard: d.s.job.Procedure.Safeguards[g].ID, Why: why, Of: of})
	}
	for _, r := range d.s.restingOn(g) {
		if d.s.guards[r].stands || d.s.hasEntries(d.s.job.Procedure.Safeguards[r].Gate) {
			d.fall(r, ByRest, d.s.job.Procedure.Safeguards[g].ID)
		}
	}
}

// hasEntries says whether something was entered at step i since it was opened.
func (s *State) hasEntries(i int) bool {
	st := &s.steps[i]
	if st.way != "" || st.affirmed != 0 || st.waiting || st.witness != nil || st.answer != "" {
		return true
	}
	for _, r := range st.readings {
		if len(r.values) > 0 {
			return true
		}
	}
	for _, f := range st.evidence {
		if f != nil {
			return true
		}
	}
	return false
}

func has(list []string, v string) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

// passTime lets the time since the last event have its effect. It reports whether the command may still be considered.
func (d *decision) passTime(c Command) bool {
	_, reopening := c.(Reopen)
	last := d.s.last
	switch {
	case reopening && d.now.Session == last.Session+1:
	case reopening || d.now.Session != last.Session:
		return !d.refuse(Reason{Code: WrongSession})
	case d.now.Mono < last.Mono:
		return !d.refuse(Reason{Code: ClockBackwards})
	case apart(last, d.now):
		d.broke = true
		d.interrupt(Interrupted{Cause: ByClock, Drift: drift(last, d.now).Milliseconds()})
	}
	for g, spec := range d.s.job.Procedure.Safeguards {
		if spec.After > 0 && d.s.guards[g].stands && d.ranOut(g, spec) {
			d.fall(g, ByTime, "")
		}
	}
	return true
}

// ranOut says whether a safeguard has stood as long as it may. Across a restart the longest time counts as passed.
func (d *decision) ranOut(g int, spec procedures.Safeguard) bool {
	from := d.s.guards[g].since
	return from.Session != d.now.Session || since(from, d.now) >= spec.After
}

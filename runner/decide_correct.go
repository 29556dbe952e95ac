package runner

import (
	"slices"
	"strings"

	"fenderside/procedures"
)

// A wrong entry is corrected by appending; the old value stays readable. What rested on it is judged again: a step that
// would not be accepted now is undone, the safeguard it secured falls, and the job returns to it. A refused reading is
// never corrected into a pass: it is taken afresh.

func (d *decision) correct(c Correction) {
	if d.refuseText(c.Reason, true) || d.refuseText(c.Value, false) {
		return
	}
	switch {
	case c.Reading != "" && c.Answer == "" && c.Statement == "" && c.Sheet == "":
		d.correctReading(c)
	case c.Answer != "" && c.Reading == "" && c.Statement == "" && c.Sheet == "":
		d.correctAnswer(c)
	case c.Statement != "" && c.Reading == "" && c.Answer == "" && c.Sheet == "":
		d.takeBack(c)
	case c.Sheet != "" && c.Reading == "" && c.Answer == "" && c.Statement == "":
		d.correctSheet(c)
	default:
		d.refuse(Reason{Code: NothingToCorrect})
	}
}

func (d *decision) correctReading(c Correction) {
	place, ok := d.s.job.reads[c.Reading]
	if !ok {
		d.refuse(Reason{Code: UnknownItem, Item: c.Reading})
		return
	}
	spec := &d.s.spec(place.step).Readings[place.reading]
	rs := d.s.steps[place.step].readings[place.reading]
	c.Value = strings.TrimSpace(c.Value)
	switch {
	case len(rs.values) == 0 && len(rs.refused) > 0:
		d.refuse(Reason{Code: TakeFresh, Step: d.s.spec(place.step).ID, Item: c.Reading})
	case c.Index < 0 || c.Index >= len(rs.values) || rs.values[c.Index].Text == c.Value:
		d.refuse(Reason{Code: NothingToCorrect, Item: c.Reading})
	case d.refuse(d.s.unreadable(spec, c.Value)...):
	default:
		d.emit(Corrected{Correction: c, Old: rs.values[c.Index].Text, Reasons: d.s.outside(place.step, spec, c.Value)})
		d.recompute(func(i int, use *procedures.CheckUse) bool {
			_, chosen := d.s.job.choices[c.Reading]
			return chosen || usesReading(*use, c.Reading)
		})
		d.voidWitness(place.step)
		d.judgeAgain()
	}
}

// voidWitness takes away the signature that covered a corrected entry.
func (d *decision) voidWitness(i int) {
	if d.s.steps[i].witness != nil {
		d.emit(WitnessVoided{Step: d.s.spec(i).ID})
	}
}

// correctAnswer returns the job to the decision: an answer, or the way taken through a step.
func (d *decision) correctAnswer(c Correction) {
	i, ok := d.s.job.step(c.Answer)
	st := &d.s.steps[i]
	switch {
	case ok && st.status == Finished && st.answer+st.way != "":
		d.emit(Corrected{Correction: c, Old: st.choice()})
		d.returnTo([]int{i})
	case ok && st.status == Current && st.way != "":
		d.emit(Corrected{Correction: c, Old: st.way}) // the step is not done yet: it starts again without entries
	default:
		d.refuse(Reason{Code: NothingToCorrect, Step: c.Answer})
	}
}

// takeBack takes an affirmation back.
func (d *decision) takeBack(c Correction) {
	i, ok := d.s.job.step(c.Statement)
	if !ok || c.Index < 0 || c.Index > 63 || d.s.steps[i].affirmed&(1<<c.Index) == 0 {
		d.refuse(Reason{Code: NothingToCorrect, Step: c.Statement})
		return
	}
	d.emit(Corrected{Correction: c, Old: d.s.spec(i).Statements[c.Index].Text})
	d.voidWitness(i)
	d.judgeAgain()
}

// correctSheet corrects a figure of the job sheet, and with it those that the card gives for it.
func (d *decision) correctSheet(c Correction) {
	c.Value = strings.TrimSpace(c.Value)
	old, ok := d.s.sheetValue(c.Sheet)
	if !ok || old == c.Value {
		d.refuse(Reason{Code: NothingToCorrect, Item: c.Sheet})
		return
	}
	p := d.s.job.Procedure
	typed := map[string]string{c.Sheet: c.Value}
	for i, f := range p.Sheet {
		if d.s.typed[i] && f.ID != c.Sheet {
			typed[f.ID] = d.s.sheet[i]
		}
	}
	values, missing, faults := procedures.Resolve(p, d.s.job.Card, typed)
	if len(faults) > 0 || len(missing) > 0 {
		d.refuse(sheetReason(c.Sheet, missing, faults))
		return
	}
	d.emit(Corrected{Correction: c, Old: old})
	for i, f := range p.Sheet {
		if v := values[f.ID].Value; v != d.s.sheet[i] {
			d.emit(Corrected{Correction: Correction{Sheet: f.ID, Value: v, Reason: c.Reason}, Old: d.s.sheet[i], FromCard: true})
		}
	}
	d.recompute(func(int, *procedures.CheckUse) bool { return true })
	d.judgeAgain()
}

// recompute runs again the checks that ran already and that a correction may change, wherever they stand.
func (d *decision) recompute(changed func(i int, use *procedures.CheckUse) bool) {
	for i := range d.s.steps {
		for k := range d.s.spec(i).Checks {
			use := &d.s.spec(i).Checks[k]
			if d.s.steps[i].computed[k].ran && d.s.holdsIn(i, use.When) && changed(i, use) {
				d.computeUse(i, use)
			}
		}
	}
}

func sheetReason(id string, missing []procedures.Field, faults []error) Reason {
	if len(faults) > 0 {
		return Reason{Code: NotAQuantity, Item: id, Detail: faults[0].Error()}
	}
	return Reason{Code: ReadingMissing, Item: missing[0].ID}
}

// judgeAgain undoes every completed step that would not be accepted now, and returns to the first of them. So it does
// with a step that was gone by and applies now. A pinned step is watched again in full.
func (d *decision) judgeAgain() {
	d.shaken = false
	d.overrule()
	var undone []int
	for i := range d.s.job.main {
		if d.s.steps[i].status == Finished && len(d.s.notAccepted(i)) > 0 || d.s.appliesAfterAll(i) {
			undone = append(undone, i)
		}
	}
	d.returnTo(undone)
	for i := d.s.job.main; i < len(d.s.steps); i++ {
		if d.s.steps[i].status == Finished && len(d.s.notAccepted(i)) > 0 {
			d.emit(PinStarted{Step: d.s.spec(i).ID, Of: string(ByCorrection)})
		}
	}
}

// overrule refuses the readings of unfinished steps that are outside their limits now.
func (d *decision) overrule() {
	for i := range d.s.steps {
		if d.s.steps[i].status != Current {
			continue
		}
		for k := range d.s.spec(i).Readings {
			spec := &d.s.spec(i).Readings[k]
			if why := d.s.outsideNow(i, k); len(why) > 0 {
				d.emit(Overruled{Step: d.s.spec(i).ID, Reading: spec.ID, Reasons: why})
				d.voidWitness(i)
			}
		}
	}
}

// outsideNow says which limits the recorded values of a reading do not keep as things are now.
func (s *State) outsideNow(i, k int) []Reason {
	var out []Reason
	spec := &s.spec(i).Readings[k]
	if !s.holdsIn(i, spec.When) {
		return nil
	}
	for _, v := range s.steps[i].readings[k].values {
		out = append(out, s.outside(i, spec, v.Text)...)
	}
	return out
}

// appliesAfterAll says whether step i was gone by because it did not apply, and does now.
func (s *State) appliesAfterAll(i int) bool {
	st := &s.steps[i]
	return st.status == Passed && st.passed == NotApplicable && s.holds(s.spec(i).When) && (s.cursor == atEnd || i < s.cursor)
}

// notAccepted lists what of a completed step would be missing or refused now. What it needed then is not asked again, and
// neither is its wait. A witness who was not asked for then, because of who did the work, is not asked for now.
func (s *State) notAccepted(i int) []Reason {
	var out []Reason
	for _, r := range s.unmet(i, s.last) {
		switch r.Code {
		case SafeguardMissing, PinRunning, WaitRunning, WaitNotStarted, WaitMissed:
		case WitnessMissing:
			if s.spec(i).Witness || s.steps[i].voided {
				out = append(out, r)
			}
		default:
			out = append(out, r)
		}
	}
	for k := range s.spec(i).Readings {
		out = append(out, s.outsideNow(i, k)...)
	}
	return out
}

// returnTo undoes steps, fells what they secured, and brings the cursor back to the first place of the main line that rested on
// one of them.
func (d *decision) returnTo(undone []int) {
	first := noStep
	for _, i := range undone {
		if at := d.s.restedOn(i); at != noStep && (first == noStep || at < first) {
			first = at
		}
	}
	back := first != noStep && d.s.comesBack(first)
	for _, i := range undone {
		st := d.s.spec(i)
		d.emit(Undone{Step: st.ID})
		if st.Secures >= 0 {
			d.fall(st.Secures, ByCorrection, st.ID)
		}
	}
	if back {
		d.emit(Entered{Step: d.s.spec(first).ID, Round: d.s.steps[first].rounds + 1})
	}
}

// restedOn is the place of the main line that rested on step i: the step itself, where it was done there and applies. A step that
// was done in a hold or a close is no place on the line; what rested on it is the first step that was done there since and needs
// what it secured, or what rests on that. It is asked for again by itself.
func (s *State) restedOn(i int) int {
	if s.steps[i].status != Finished || !s.steps[i].beside {
		if s.holds(s.spec(i).When) || s.makesSafe(i) {
			return i
		}
		return noStep
	}
	since := len(s.trail)
	for since > 0 && s.trail[since-1] != i {
		since--
	}
	gone := s.fellWith(s.spec(i).Secures)
	for _, k := range s.trail[since:] {
		needs := func(n procedures.Need) bool { return slices.Contains(gone, n.Safeguard) && s.holds(n.When) }
		if st := &s.steps[k]; st.status == Finished && !st.beside && k < s.job.main && slices.ContainsFunc(s.spec(k).Needs, needs) {
			return k
		}
	}
	return noStep
}

// comesBack says whether a return to step i goes back. A step ahead of the cursor was done before the job turned back from
// beyond it: jumping to it would leave out the work between, so the main line comes to it again by itself. Only where
// nothing was done since it is the job still there.
func (s *State) comesBack(i int) bool {
	if s.cursor == atEnd || i <= s.cursor {
		return true
	}
	return i == s.came && len(s.trail) > 0 && s.trail[len(s.trail)-1] == i && !s.hasEntries(s.cursor)
}

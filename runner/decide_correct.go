package runner

import (
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
		d.emit(Corrected{Correction: c, Old: rs.values[c.Index].Text, Reasons: d.s.outside(spec, c.Value)})
		d.compute(place.step, c.Reading)
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

// correctAnswer returns the job to the decision.
func (d *decision) correctAnswer(c Correction) {
	i, ok := d.s.job.step(c.Answer)
	if !ok || d.s.steps[i].answer == "" {
		d.refuse(Reason{Code: NothingToCorrect, Step: c.Answer})
		return
	}
	d.emit(Corrected{Correction: c, Old: d.s.steps[i].answer})
	d.returnTo([]int{i})
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
	for i := range d.s.steps {
		for k := range p.Steps[i].Checks {
			if use := &p.Steps[i].Checks[k]; d.s.steps[i].computed[k].ran && d.s.holds(use.When) {
				d.computeUse(i, use)
			}
		}
	}
	d.judgeAgain()
}

func sheetReason(id string, missing []procedures.Field, faults []error) Reason {
	if len(faults) > 0 {
		return Reason{Code: NotAQuantity, Item: id, Detail: faults[0].Error()}
	}
	return Reason{Code: ReadingMissing, Item: missing[0].ID}
}

// judgeAgain undoes every completed step that would not be accepted now, and returns to the first of them.
func (d *decision) judgeAgain() {
	var undone []int
	for i := range d.s.job.main {
		if d.s.steps[i].status == Finished && len(d.s.notAccepted(i)) > 0 {
			undone = append(undone, i)
		}
	}
	if len(undone) > 0 {
		d.returnTo(undone)
	}
}

// notAccepted lists what of a completed step would be missing or refused now. What it needed then is not asked again, and
// neither is its wait.
func (s *State) notAccepted(i int) []Reason {
	var out []Reason
	for _, r := range s.unmet(i, s.last) {
		switch r.Code {
		case SafeguardMissing, PinRunning, WaitRunning, WaitNotStarted, WaitMissed:
		default:
			out = append(out, r)
		}
	}
	for k, spec := range s.spec(i).Readings {
		for _, v := range s.steps[i].readings[k].values {
			if s.holds(spec.When) {
				out = append(out, s.outside(&spec, v.Text)...)
			}
		}
	}
	return out
}

// returnTo undoes steps, fells what they secured, and brings the cursor back to the first of them.
func (d *decision) returnTo(undone []int) {
	for _, i := range undone {
		st := d.s.spec(i)
		d.emit(Undone{Step: st.ID})
		if st.Secures >= 0 {
			d.fall(st.Secures, ByCorrection, st.ID)
		}
	}
	first := undone[0]
	d.emit(Entered{Step: d.s.spec(first).ID, Round: d.s.steps[first].rounds + 1})
}

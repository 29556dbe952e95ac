package runner

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"fenderside/checks"
	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// A reading that can be read is recorded, whatever it says; one outside its limits is recorded as not accepted, and a
// fresh one is wanted. What cannot be read as its kind at all is refused.

func (d *decision) read(c Read) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	k, spec := d.s.readingOf(i, c.Reading)
	if spec == nil {
		d.refuse(Reason{Code: UnknownItem, Step: c.Step, Item: c.Reading})
		return
	}
	c.Value = strings.TrimSpace(c.Value)
	if d.refuseText(c.Value, true) || d.refuseReadingNow(i, k, spec) || d.refuse(d.s.unreadable(spec, c.Value)...) {
		return
	}
	reasons := d.s.outside(i, spec, c.Value)
	d.enterAt(i, ReadingTaken{Step: c.Step, Reading: c.Reading, Value: c.Value, Instrument: d.s.instrumentName(spec),
		Accepted: len(reasons) == 0, Reasons: reasons})
	if len(reasons) == 0 {
		d.compute(i, c.Reading, false)
	}
	d.compute(i, c.Reading, true)
}

func (s *State) readingOf(i int, id string) (int, *procedures.Reading) {
	for k := range s.spec(i).Readings {
		if s.spec(i).Readings[k].ID == id {
			return k, &s.spec(i).Readings[k]
		}
	}
	return 0, nil
}

func (s *State) instrumentName(spec *procedures.Reading) string {
	if spec.Instrument < 0 {
		return ""
	}
	return s.instruments[spec.Instrument].Name
}

// refuseReadingNow refuses a reading that is not wanted now, or whose instrument may not be used.
func (d *decision) refuseReadingNow(i, k int, spec *procedures.Reading) bool {
	at := Reason{Step: d.s.spec(i).ID, Item: spec.ID}
	if !d.s.holdsIn(i, spec.When) {
		at.Code = NotApplicableHere
		return d.refuse(at)
	}
	if d.refuse(d.s.unknownLimits(i, spec)...) {
		return true
	}
	values := d.s.steps[i].readings[k].values
	if len(values) > 0 && !spec.Series {
		at.Code = AlreadyEntered
		return d.refuse(at)
	}
	if len(values) > 0 && spec.Apart.Set {
		gap, _ := d.s.duration(spec.Apart, i)
		if passed := since(values[len(values)-1].At, d.now); passed < gap {
			at.Code, at.Detail = TooSoon, clock(gap-passed)
			return d.refuse(at)
		}
	}
	return d.refuseInstrument(spec)
}

// refuseInstrument refuses a reading whose instrument is not named, or is past its calibration date.
func (d *decision) refuseInstrument(spec *procedures.Reading) bool {
	if spec.Instrument < 0 {
		return false
	}
	kind, in := d.s.job.Procedure.Instruments[spec.Instrument], d.s.instruments[spec.Instrument]
	if in.Name == "" {
		return d.refuse(Reason{Code: InstrumentMissing, Item: kind.ID})
	}
	return d.refuseOverdue(kind, in.Due)
}

// refuseOverdue refuses an instrument whose calibration date is past: when it is named, and again at each reading, for a
// job can outlast it.
func (d *decision) refuseOverdue(kind procedures.Instrument, date string) bool {
	if !kind.Calibration {
		return false
	}
	due, err := time.Parse(time.DateOnly, date)
	if err != nil || !d.now.Wall.Before(due.AddDate(0, 0, 1)) {
		return d.refuse(Reason{Code: InstrumentOverdue, Item: kind.ID, Detail: date})
	}
	return false
}

// unreadable says why a value cannot be read as its kind.
func (s *State) unreadable(spec *procedures.Reading, value string) []Reason {
	switch spec.Kind {
	case procedures.TakesQuantity:
		if _, err := quantity.ParseAs(value, spec.Quantity); err != nil {
			return []Reason{{Code: NotAQuantity, Item: spec.ID, Detail: err.Error()}}
		}
	case procedures.TakesChoice:
		if !has(spec.Choose, value) {
			return []Reason{{Code: NotAChoice, Item: spec.ID, Detail: strings.Join(spec.Choose, ", ")}}
		}
	case procedures.TakesDate:
		if _, err := time.Parse(time.DateOnly, value); err != nil {
			return []Reason{{Code: NotADate, Item: spec.ID, Detail: value}}
		}
	}
	return nil
}

// unknownLimits lists the readings that must be taken before this one, because they limit it: a limit that is not known
// yet would let anything pass.
func (s *State) unknownLimits(i int, spec *procedures.Reading) []Reason {
	var out []Reason
	for _, id := range []string{spec.AtLeast.Ref, spec.AtMost.Ref, spec.Apart.Ref, spec.SameAs} {
		if s.unknown(id, i) {
			out = append(out, Reason{Code: ReadingMissing, Step: s.spec(i).ID, Item: id})
		}
	}
	return out
}

// unknown says whether step i refers to a reading that applies and was not taken.
func (s *State) unknown(id string, i int) bool {
	place, ok := s.job.reads[id]
	if !ok {
		return false
	}
	if _, known := s.valueOf(id, i); known {
		return false
	}
	spec := &s.spec(place.step).Readings[place.reading]
	return s.holdsIn(place.step, spec.When) && (place.step == i || s.holds(s.spec(place.step).When))
}

// outside says which limits a readable value does not keep.
func (s *State) outside(i int, spec *procedures.Reading, value string) []Reason {
	var out []Reason
	if spec.SameAs != "" {
		if want, ok := s.valueOf(spec.SameAs, i); !ok || !procedures.Same(spec.Kind, spec.Quantity, value, want) {
			out = append(out, Reason{Code: NotTheSame, Item: spec.ID, Detail: want})
		}
	}
	if spec.Kind != procedures.TakesQuantity {
		return out
	}
	q, err := quantity.ParseAs(value, spec.Quantity)
	if err != nil {
		return append(out, Reason{Code: NotAQuantity, Item: spec.ID, Detail: err.Error()})
	}
	if spec.Magnitude {
		q = q.Abs()
	}
	if low, ok := s.bound(spec.AtLeast, spec.Quantity, i); ok && below(q, low) {
		out = append(out, Reason{Code: BelowLimit, Item: spec.ID, Detail: low.String()})
	}
	if high, ok := s.bound(spec.AtMost, spec.Quantity, i); ok && below(high, q) {
		out = append(out, Reason{Code: AboveLimit, Item: spec.ID, Detail: high.String()})
	}
	return out
}

// below says whether a is less than b. Quantities that cannot be compared are below each other, so that neither passes.
func below(a, b quantity.Quantity) bool {
	less, err := a.Less(b)
	return less || err != nil
}

// valueOf is what stands under the id of a sheet field or a reading, as step i refers to it. Another step's reading whose
// entries were wiped is still known by its last value; one of the step itself is not.
func (s *State) valueOf(id string, i int) (string, bool) {
	if v, ok := s.sheetValue(id); ok {
		return v, v != ""
	}
	place, ok := s.job.reads[id]
	if !ok {
		return "", false
	}
	rs := s.steps[place.step].readings[place.reading]
	v, ok := rs.latest()
	if !ok && place.step != i {
		return rs.kept, rs.kept != ""
	}
	return v.Text, ok
}

// bound is the quantity a limit of step i stands for, where it is known.
func (s *State) bound(b procedures.Bound, d quantity.Dimension, i int) (quantity.Quantity, bool) {
	if !b.Set {
		return quantity.Quantity{}, false
	}
	if b.Ref == "" {
		return b.Figure, true
	}
	text, ok := s.valueOf(b.Ref, i)
	if !ok {
		return quantity.Quantity{}, false
	}
	q, err := quantity.ParseAs(text, d)
	return q, err == nil
}

// duration is the time a limit of step i stands for.
func (s *State) duration(b procedures.Bound, i int) (time.Duration, bool) {
	q, ok := s.bound(b, quantity.Time, i)
	if !ok {
		return 0, false
	}
	t, err := q.Duration()
	return t, err == nil
}

// compute runs the checks of step i that use a reading, where their inputs are all in: those that hold the step, or those
// that advise.
func (d *decision) compute(i int, reading string, advice bool) {
	for k := range d.s.spec(i).Checks {
		use := &d.s.spec(i).Checks[k]
		if use.Advice == advice && usesReading(*use, reading) && d.s.holdsIn(i, use.When) {
			d.computeUse(i, use)
		}
	}
}

// computeGiven runs the checks of step i that use no reading of the step itself: all they need was given before.
func (d *decision) computeGiven(i int) {
	for k := range d.s.spec(i).Checks {
		use := &d.s.spec(i).Checks[k]
		if !d.s.steps[i].computed[k].ran && d.s.holdsIn(i, use.When) && !usesStep(d.s.spec(i), use) {
			d.computeUse(i, use)
		}
	}
}

func usesStep(st *procedures.Step, use *procedures.CheckUse) bool {
	for _, r := range st.Readings {
		if usesReading(*use, r.ID) {
			return true
		}
	}
	return len(filesOf(st, *use)) > 0
}

// computeUse runs one check and writes down what it found, then those that rest on it. A check that cannot judge its inputs
// has failed.
func (d *decision) computeUse(i int, use *procedures.CheckUse) {
	args, ok := d.s.arguments(i, use)
	if !ok {
		return
	}
	if takesFile(*use) {
		d.computeFile(i, use, args)
	} else {
		d.computeGivens(i, use, args)
	}
	d.passOn(i, use)
}

func (d *decision) computeGivens(i int, use *procedures.CheckUse, args checks.Arguments) {
	r, err := use.Check.Run(args)
	if err != nil {
		r = checks.Result{Verdict: checks.Fail, Because: err.Error()}
	}
	d.emit(Computed{Step: d.s.spec(i).ID, Check: use.Name, Verdict: r.Verdict, Figures: r.Figures, Because: r.Because, Workings: r.Workings})
}

// arguments gathers a check's inputs; it reports whether all that are required, and all that can still be given, are in.
func (s *State) arguments(i int, use *procedures.CheckUse) (checks.Arguments, bool) {
	args := checks.Arguments{}
	for _, in := range use.Inputs {
		spec, _ := use.Check.Input(in.Name)
		var arg checks.Argument
		var ok, wanted bool
		switch {
		case in.Found != nil:
			arg, ok = s.foundArgument(in.Found, spec)
		case in.Ref == "":
			arg, ok = in.Literal, true
		default:
			arg, ok = s.argument(i, in.Ref, spec, use.Advice)
			wanted = s.stillWanted(in.Ref)
		}
		if ok {
			args[in.Name] = arg
		} else if !spec.Optional || wanted {
			return nil, false
		}
	}
	return args, true
}

// stillWanted says whether a reading or a file is applicable, required and not in yet.
func (s *State) stillWanted(id string) bool {
	if place, ok := s.job.proofs[id]; ok {
		ev := s.spec(place.step).Evidence[place.evidence]
		return !ev.Optional && s.holdsIn(place.step, ev.When)
	}
	place, ok := s.job.reads[id]
	if !ok {
		return false
	}
	spec := s.spec(place.step).Readings[place.reading]
	return !spec.Optional && s.holdsIn(place.step, spec.When) && s.holds(s.spec(place.step).When)
}

// argument is one input of a check at step i. A reading that does not apply any more is none, whatever was entered.
func (s *State) argument(i int, id string, spec checks.Input, advice bool) (checks.Argument, bool) {
	if place, ok := s.job.reads[id]; ok && !s.holdsIn(place.step, s.spec(place.step).Readings[place.reading].When) {
		return checks.Argument{}, false
	}
	if spec.Kind == checks.KindData {
		return s.fileGiven(i, id)
	}
	if spec.Kind == checks.KindSeries {
		return s.series(id, spec.Dimension, advice)
	}
	text, ok := s.valueOf(id, i)
	if !ok {
		return checks.Argument{}, false
	}
	return spec.Take(text)
}

// series is every value of a reading in order; for advice, those that were refused too.
func (s *State) series(id string, d quantity.Dimension, advice bool) (checks.Argument, bool) {
	place, ok := s.job.reads[id]
	if !ok {
		return checks.Argument{}, false
	}
	var out []checks.Sample
	rs := s.steps[place.step].readings[place.reading]
	values := rs.values
	if advice {
		values = rs.inOrder(s.last.Session)
	}
	for _, v := range values {
		q, err := quantity.ParseAs(v.Text, d)
		if err != nil {
			return checks.Argument{}, false
		}
		out = append(out, checks.Sample{After: v.At.Mono - values[0].At.Mono, Value: q})
	}
	return checks.Argument{Series: out}, len(out) > 0
}

// inOrder is every value of a session, accepted or not, in the order in which they were taken.
func (r readingState) inOrder(session int) []Value {
	var out []Value
	for _, v := range slices.Concat(r.refused, r.values) {
		if v.At.Session == session {
			out = append(out, v)
		}
	}
	slices.SortStableFunc(out, func(a, b Value) int { return cmp.Compare(a.At.Mono, b.At.Mono) })
	return out
}

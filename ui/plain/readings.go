package plain

// The rule kept here: a reading goes to the job as it was typed, a bare figure with the unit that was asked for; whether it
// will do is not judged here.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// readingWant asks for the first reading that is missing, was refused, or may still be given.
func (d *desk) readingWant(v runner.StepView) (want, bool) {
	for _, r := range v.Readings {
		missing := false
		for _, w := range v.Wants {
			missing = missing || w.Item == r.Spec.ID && (w.Code == runner.ReadingMissing || w.Code == runner.ReadingRefused)
		}
		offered := r.Spec.Optional && len(r.Values) == 0 && !d.declined[r.Spec.ID]
		if missing || offered {
			return d.readWant(v, r, !missing), true
		}
	}
	return want{}, false
}

// seriesWant asks for another value of a series: where a check wants more, or, without a check, until that was all.
func (d *desk) seriesWant(v runner.StepView) (want, bool) {
	for _, r := range v.Readings {
		if !r.Spec.Series || len(r.Values) == 0 {
			continue
		}
		if judged := checkOf(v, r.Spec.ID); judged == nil && !d.declined[r.Spec.ID] {
			return d.readWant(v, r, true), true
		} else if judged != nil && wantsMore(v, judged.Use.Name) {
			return d.readWant(v, r, false), true
		}
	}
	return want{}, false
}

// checkOf is the check of the step that uses a reading.
func checkOf(v runner.StepView, id string) *runner.CheckView {
	for i := range v.Checks {
		for _, in := range v.Checks[i].Use.Inputs {
			if in.Ref == id {
				return &v.Checks[i]
			}
		}
	}
	return nil
}

func wantsMore(v runner.StepView, check string) bool {
	for _, w := range v.Wants {
		if w.Item == check && (w.Code == runner.CheckWantsMore || w.Code == runner.CheckNotPassed) {
			return true
		}
	}
	return false
}

// readWant asks for one value, and for the instrument before it where none is named. Where the reading may be left out,
// Enter leaves it out.
func (d *desk) readWant(v runner.StepView, r runner.ReadingView, mayLeave bool) want {
	prompt := readingPrompt(v, r)
	take := func(line string) error {
		return d.do(runner.Read{Step: v.Step.ID, Reading: r.Spec.ID, Value: valueOf(r.Spec, line)})
	}
	if kind, named := d.instrumentFor(r); kind != nil && !named {
		prompt = []string{fmt.Sprintf("For the reading “%s”: %s", r.Spec.Title, instrumentPrompt(*kind))}
		take = func(line string) error { return d.takeInstrument(*kind, line) }
	} else if kind != nil {
		in, _ := d.s.State().InstrumentOf(kind.ID)
		prompt = append(prompt, fmt.Sprintf("Taken with: %s %s. If you hold another, type .instrument first.", kind.Title, in.Name))
	}
	if mayLeave {
		prompt = append(prompt, "It may be left out: press Enter.")
	}
	return want{prompt: append(prompt, d.latest(v)...), take: func(line string) error {
		if line == "" {
			d.declined[r.Spec.ID] = mayLeave
			return nil
		}
		return take(line)
	}}
}

// valueOf is the value of a reading as it was typed: one of a list in its words, a bare figure with its unit.
func valueOf(spec *procedures.Reading, line string) string {
	return reading.WithUnit(chosen(spec.Choose, strings.TrimSpace(line)), spec.Kind, spec.Unit)
}

// instrumentFor is the kind of instrument that a reading is taken with, nil where it takes none, and whether one is named.
func (d *desk) instrumentFor(r runner.ReadingView) (*procedures.Instrument, bool) {
	if r.Spec.Instrument < 0 {
		return nil, false
	}
	kind := &d.s.Job().Procedure.Instruments[r.Spec.Instrument]
	_, named := d.s.State().InstrumentOf(kind.ID)
	return kind, named
}

func readingPrompt(v runner.StepView, r runner.ReadingView) []string {
	spec := r.Spec
	line := "Reading: " + spec.Title
	if spec.Series {
		series := "a series"
		if len(r.Refused) > 0 {
			series = "a fresh series"
		}
		line += fmt.Sprintf(", value %d of %s", len(r.Values)+1, series)
	}
	out := []string{line + "." + readingForm(r)}
	if limit := reading.Limit(v, r); limit != "" {
		out = append(out, limit)
	}
	if r.Same != "" {
		out = append(out, "It must agree with what is on record; look, do not copy.")
	}
	if r.Next > 0 {
		out = append(out, "The next value may be taken in "+span(r.Next)+".")
	}
	return append(out, listed(spec.Choose)...)
}

// readingForm says in which form a reading is wanted, and its limits.
func readingForm(r runner.ReadingView) string {
	switch r.Spec.Kind {
	case procedures.TakesQuantity:
		form := " Type the figure"
		if r.Spec.Unit != "" {
			form += " in " + r.Spec.Unit + ", or with its unit"
		}
		form += bounds(r.Low, r.High)
		if r.Spec.Magnitude {
			form += ", judged without its sign"
		}
		return form + "."
	case procedures.TakesDate:
		return " Type a date as year-month-day, such as 2031-04-30."
	case procedures.TakesChoice:
		return " Choose what you see:"
	}
	return " Type it in words."
}

func instrumentPrompt(kind procedures.Instrument) string {
	return kind.Title + " in your hand: type its number or name."
}

// takeInstrument names the instrument of a kind that is in hand, with its calibration date where it must have one.
func (d *desk) takeInstrument(kind procedures.Instrument, name string) error {
	name, err := d.askWords(name, instrumentPrompt(kind))
	if err != nil {
		return err
	}
	due := ""
	if kind.Calibration {
		if due, err = d.ask("On which date is its calibration due? Type year-month-day, such as 2031-04-30."); err != nil {
			return err
		}
	}
	return d.do(runner.Take{Instrument: kind.ID, Name: name, Due: due})
}

// instrument changes the instrument in hand.
func (d *desk) instrument() error {
	kinds := d.s.Job().Procedure.Instruments
	var titles []string
	for _, k := range kinds {
		titles = append(titles, k.Title)
	}
	if len(titles) == 0 {
		d.say("This procedure names no instrument.")
		return nil
	}
	i, ok, err := d.askNumber("Which kind of instrument?", titles)
	if err != nil || !ok {
		return err
	}
	return d.takeInstrument(kinds[i], "")
}

// evidenceWant asks for a file that is missing or may still be given.
func (d *desk) evidenceWant(v runner.StepView) (want, bool) {
	for _, e := range v.Evidence {
		if e.File != nil && !reading.WantsFile(v, e.Spec.ID) || e.Spec.Optional && d.declined[e.Spec.ID] {
			continue
		}
		prompt := []string{"Evidence: " + e.Spec.Title + ". Type the path of the photo or file."}
		if e.Spec.Optional {
			prompt = append(prompt, "It may be left out: press Enter.")
		}
		return want{prompt: prompt, take: func(line string) error {
			if line == "" {
				d.declined[e.Spec.ID] = e.Spec.Optional
				return nil
			}
			return d.result(d.s.Attach(v.Step.ID, e.Spec.ID, reading.Path(line)))
		}}, true
	}
	return want{}, false
}

// attach binds a file by hand: also one more to an item that has one.
func (d *desk) attach(path string) error {
	st := d.here()
	if st == nil || len(st.Evidence) == 0 {
		d.say("The open step takes no evidence.")
		return nil
	}
	var titles []string
	for _, e := range st.Evidence {
		titles = append(titles, e.Title)
	}
	i, ok, err := d.askNumber("Evidence of what?", titles)
	if err != nil || !ok {
		return err
	}
	if path, err = d.askWords(path, "Type the path of the photo or file."); err != nil {
		return err
	}
	return d.result(d.s.Attach(st.ID, st.Evidence[i].ID, reading.Path(path)))
}

// read records a reading of the open step out of turn.
func (d *desk) readOutOfTurn(value string) error {
	st := d.here()
	if st == nil || len(st.Readings) == 0 {
		d.say("The open step takes no reading.")
		return nil
	}
	v, _ := d.s.State().View(st.ID, d.s.Moment())
	var titles []string
	for _, r := range v.Readings {
		titles = append(titles, r.Spec.Title)
	}
	i, ok, err := d.askNumber("Which reading?", titles)
	if err != nil || !ok {
		return err
	}
	if value, err = d.askWords(value, readingPrompt(v, v.Readings[i])...); err != nil {
		return err
	}
	r := v.Readings[i].Spec
	return d.do(runner.Read{Step: st.ID, Reading: r.ID, Value: valueOf(r, value)})
}

package ui

// The rule of this file: what a check makes of a reading stands under it as soon as it is recorded, and a refused value
// stays in sight with its reason.

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// seriesOf is the reading of which a check that cannot judge yet wants another value.
func seriesOf(v runner.StepView, check string) string {
	for _, c := range v.Checks {
		if c.Use.Name != check {
			continue
		}
		for _, in := range c.Use.Inputs {
			for _, r := range v.Readings {
				if in.Ref == r.Spec.ID && r.Spec.Series {
					return r.Spec.ID
				}
			}
		}
	}
	return ""
}

// readingWant asks for a reading, after the instrument it is taken with.
func (w *work) readingWant(v runner.StepView, id string) want {
	var r runner.ReadingView
	for _, one := range v.Readings {
		if one.Spec.ID == id {
			r = one
		}
	}
	if r.Spec == nil {
		return want{id: id, title: words(id)}
	}
	if r.Spec.Instrument >= 0 {
		kind := w.job.Procedure.Instruments[r.Spec.Instrument]
		if _, in := w.state.InstrumentOf(kind.ID); !in {
			return w.instrumentWant(kind)
		}
	}
	n := len(r.Values) + len(r.Refused)
	ask := want{id: fmt.Sprintf("read %s %d", id, n), title: r.Spec.Title, notes: w.limits(v, r), enter: "records it"}
	if c := reading.RefusedBy(v, r); c != nil {
		ask.notes = judged(v, c, r) // in place of the limits of the instrument, which it kept
		ask.more, ask.told = reading.Advice(v, id)
		ask.told = append(ask.told, c.Use.Name)
	} else if n := len(r.Refused); n > 0 {
		ask.notes = append(ask.notes, "NOT ACCEPTED: "+w.refusal(r.Spec.Title, r.Refused[n-1])+" Take a fresh reading.")
	}
	ask.compared = r.Same != ""
	if r.Spec.Kind == procedures.TakesChoice {
		ask.choices = r.Spec.Choose
		ask.act = func(m *model, _ string, i int) tea.Cmd {
			return m.do(runner.Read{Step: v.Step.ID, Reading: id, Value: r.Spec.Choose[i]}, accepted)
		}
		return ask
	}
	ask.typed, ask.unit = true, r.Spec.Unit
	ask.act = func(m *model, text string, _ int) tea.Cmd {
		return m.do(runner.Read{Step: v.Step.ID, Reading: id, Value: reading.WithUnit(text, r.Spec.Kind, r.Spec.Unit)}, accepted)
	}
	return ask
}

// instrumentWant asks which instrument is in hand.
func (w *work) instrumentWant(kind procedures.Instrument) want {
	ask := want{id: "take " + kind.ID, title: "Which one is in your hand? " + kind.Title, typed: true, enter: "names it",
		notes: []string{"Type the number or name that stands on it."}}
	ask.act = func(m *model, name string, _ int) tea.Cmd {
		if kind.Calibration {
			return m.instrument(kind, name, nil)
		}
		return m.do(runner.Take{Instrument: kind.ID, Name: name}, accepted)
	}
	return ask
}

// limits says what a reading is held to, and what it is so far.
func (w *work) limits(v runner.StepView, r runner.ReadingView) []string {
	var out []string
	if limit := reading.Limit(v, r); limit != "" {
		out = append(out, limit)
	}
	switch {
	case r.Low != "" && r.High != "":
		out = append(out, "Between "+r.Low+" and "+r.High+".")
	case r.High != "":
		out = append(out, "At most "+r.High+".")
	case r.Low != "":
		out = append(out, "At least "+r.Low+".")
	}
	if r.Same != "" {
		with := "what was entered before"
		if _, sheet := w.job.Procedure.FieldByID(r.Spec.SameAs); sheet {
			with = "the sheet"
		}
		out = append(out, "Enter what you see: it is compared with "+with+".")
	}
	if r.Spec.Kind == procedures.TakesDate {
		out = append(out, "Year-month-day, such as 2027-01-31.")
	}
	if r.Spec.Series && len(r.Values) > 0 {
		next := "The next value can be taken now."
		if r.Next > 0 {
			next = "The next value in " + runner.InWords(r.Next) + "."
		}
		out = append(out, fmt.Sprintf("So far %s. %s", list(r.Values), next))
	}
	return out
}

// judged is a reading that a check refused, in the check's own words, and what is to be corrected before it is taken again.
func judged(v runner.StepView, c *runner.CheckView, r runner.ReadingView) []string {
	last := plaintext.Show(r.Refused[len(r.Refused)-1].Text)
	out := []string{"NOT ACCEPTED: " + sentence(last+": "+plaintext.Show(c.Because))}
	if first := reading.Instead(v, c, r.Spec.ID); len(first) > 0 {
		out = append(out, fmt.Sprintf("With F5, correct first: %s.", strings.Join(first, "; ")))
	}
	return out
}

// refusal is a refused value and why; the reading it is of is named once, above it.
func (w *work) refusal(title string, v runner.Value) string {
	var why []string
	for _, r := range v.Reasons {
		if r.Code == runner.CheckNotPassed {
			r.Item = words(r.Item)
		}
		what, _ := w.job.Text(r)
		why = append(why, strings.ReplaceAll(what, "“"+title+"”", "it"))
	}
	return sentence(plaintext.Show(v.Text) + ": " + strings.Join(why, "; "))
}

func list(values []runner.Value) string {
	var out []string
	for _, v := range values {
		out = append(out, plaintext.Show(v.Text))
	}
	return strings.Join(out, ", ")
}

// found is what the checks of a step say, and the workings of each. What is told already is not said again.
func found(v runner.StepView, told []string) (said, worked []string) {
	for _, c := range v.Checks {
		if !c.Ran {
			continue
		}
		verdict := strings.ToUpper(c.Verdict.Words())
		if !slices.Contains(told, c.Use.Name) {
			said = append(said, fmt.Sprintf("Check %s: %s. %s", words(c.Use.Name), verdict, sentence(plaintext.Show(reading.Because(c.Use.Name, c.Because)))))
		}
		if len(c.Workings) == 1 && c.Workings[0] == c.Because {
			continue
		}
		if len(v.Checks) > 1 {
			worked = append(worked, words(c.Use.Name)+":")
		}
		for _, line := range c.Workings {
			worked = append(worked, "  "+plaintext.Show(line))
		}
	}
	return said, worked
}

// given is what is recorded of a step.
func (w *work) given(v runner.StepView) []string {
	var out []string
	if v.Way != "" {
		for _, way := range v.Step.Ways {
			if way.ID == v.Way {
				out = append(out, "way: "+way.Say)
			}
		}
	}
	for _, s := range v.Statements {
		if s.Affirmed {
			out = append(out, "said: "+s.Text)
		}
	}
	for _, r := range v.Readings {
		for _, no := range r.Refused {
			out = append(out, fmt.Sprintf("NOT ACCEPTED: %s: %s", r.Spec.Title, w.refusal(r.Spec.Title, no)))
		}
		if len(r.Values) > 0 {
			out = append(out, fmt.Sprintf("read: %s: %s", r.Spec.Title, list(r.Values)))
		}
	}
	for _, e := range v.Evidence {
		if e.File != nil {
			out = append(out, fmt.Sprintf("file: %s: %s", e.Spec.Title, plaintext.Show(e.File.Name)))
		}
	}
	for _, line := range reading.PassedOn(v) {
		out = append(out, "found: "+line)
	}
	out = append(out, mayBe(v)...)
	if v.Witness != nil {
		out = append(out, "witnessed by "+plaintext.Show(v.Witness.Name))
	}
	return out
}

// mayBe is what can be given beside what is asked.
func mayBe(v runner.StepView) []string {
	var out []string
	for _, r := range v.Readings {
		if r.Spec.Optional && len(r.Values) == 0 {
			out = append(out, "may be given with F7: "+r.Spec.Title)
		}
	}
	for _, e := range v.Evidence {
		if e.Spec.Optional && e.File == nil {
			out = append(out, "may be attached with F7: "+e.Spec.Title)
		}
	}
	return out
}

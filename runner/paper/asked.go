package paper

// What a step asks for, as boxes and lines, filled with what the journal holds.

import (
	"fmt"
	"strings"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner"
)

func joined(all []string) string { return strings.Join(all, " / ") }

func (w *writer) asked(st *procedures.Step, view runner.StepView) {
	if len(st.Ways) > 0 {
		w.line(indent, "One way of these:")
		for _, way := range st.Ways {
			w.line(indent+"  "+box(view.Way == way.ID), way.Say)
		}
	}
	for k, say := range st.Statements {
		w.ticked(st, affirmed(view, k), say.Text+w.only(say.When))
	}
	for k := range st.Readings {
		w.reading(&st.Readings[k], view)
	}
	for _, e := range st.Evidence {
		w.ticked(st, attached(view, e.ID), "Evidence: "+e.Title+optional(e.Optional)+w.only(e.When)+": "+gap(16))
	}
	for k := range st.Checks {
		w.check(&st.Checks[k], view)
	}
	w.timed(st, view)
}

// ticked writes one thing to tick. What must be seen afresh is left open, and what the journal holds of it is said.
func (w *writer) ticked(st *procedures.Step, held bool, text string) {
	if held && w.afresh(st) {
		w.line(indent+box(false), text+" (by the journal: yes)")
		return
	}
	w.line(indent+box(held), text)
}

// only words under which choice something is asked.
func (w *writer) only(c procedures.Condition) string {
	if len(c) == 0 {
		return ""
	}
	return " (only when " + w.condition(c) + ")"
}

func optional(yes bool) string {
	if yes {
		return ", optional"
	}
	return ""
}

func affirmed(view runner.StepView, index int) bool {
	for _, s := range view.Statements {
		if s.Index == index {
			return s.Affirmed
		}
	}
	return false
}

func attached(view runner.StepView, id string) bool {
	for _, e := range view.Evidence {
		if e.Spec.ID == id {
			return e.File != nil
		}
	}
	return false
}

// reading writes one reading: what the journal holds of it, then a line to write on.
func (w *writer) reading(r *procedures.Reading, view runner.StepView) {
	text := r.Title + optional(r.Optional) + w.only(r.When) + w.asks(r)
	w.line(indent+"* ", text)
	for _, v := range view.Readings {
		if v.Spec.ID != r.ID {
			continue
		}
		for _, value := range v.Values {
			w.line(indent+"    ", "by the journal: "+value.Text+with(value.Instrument))
		}
		for _, value := range v.Refused {
			w.line(indent+"    ", "by the journal, NOT ACCEPTED: "+value.Text)
		}
	}
	lines := 1
	if r.Series {
		lines = 4
	}
	for range lines {
		line := gap(18)
		if r.Kind == procedures.TakesText {
			line = gap(Width - len(indent) - 4)
		}
		if r.Series {
			line += " at time " + gap(8)
		}
		if r.Instrument >= 0 {
			line += " with " + gap(14)
		}
		w.line(indent+"    ", line)
	}
}

func with(instrument string) string {
	if instrument == "" {
		return ""
	}
	return " with " + instrument
}

// asks says what a reading takes and its limits.
func (w *writer) asks(r *procedures.Reading) string {
	text := ""
	switch r.Kind {
	case procedures.TakesQuantity:
		text = " [" + r.Unit + w.limits(r.AtLeast, r.AtMost)
		if r.Magnitude {
			text += ", whatever its sign"
		}
		if r.Apart.Set {
			text += ", each " + w.bound(r.Apart) + " after the one before"
		}
		text += "]"
	case procedures.TakesChoice:
		text = " [" + joined(r.Choose) + "]"
	case procedures.TakesDate:
		text = " [year-month-day]"
	}
	if r.SameAs != "" {
		text += ", the same as " + w.named(r.SameAs)
		if v := w.sheetValue(r.SameAs); v != "" {
			text += ", " + v
		}
	}
	if r.Instrument >= 0 && w.p.Instruments[r.Instrument].Calibration {
		text += ", with an instrument whose calibration is in date"
	}
	return text
}

func (w *writer) limits(low, high procedures.Bound) string {
	text := ""
	if low.Set {
		text += ", at least " + w.bound(low)
	}
	if high.Set {
		text += ", at most " + w.bound(high)
	}
	return text
}

// bound is a limit as a figure where the procedure or the job's sheet gives one, else what holds it.
func (w *writer) bound(b procedures.Bound) string {
	if b.Ref == "" {
		return b.Figure.String()
	}
	if v := w.sheetValue(b.Ref); v != "" {
		return v
	}
	return w.named(b.Ref)
}

// check writes a computation that the program would have done.
func (w *writer) check(c *procedures.CheckUse, view runner.StepView) {
	for _, v := range view.Checks {
		if v.Use.Name == c.Name && v.Use.Place == c.Place && v.Ran {
			w.line(indent, fmt.Sprintf("Check %s, by the journal: %s. %s", c.Name, v.Verdict, v.Because))
		}
	}
	text := w.reckoned(c)
	if c.Advice {
		w.line(indent+"To help: ", text)
		return
	}
	w.line(indent+"Check: ", text+" Reckon it by hand or with another copy of the program, on the back of this sheet. Without a result nobody goes on.")
	w.line(indent+"    ", "result "+gap(30))
}

// reckoned is what a check works out, and from what.
func (w *writer) reckoned(c *procedures.CheckUse) string {
	var in []string
	for _, input := range c.Inputs {
		in = append(in, input.Name+" "+w.input(input))
	}
	return fmt.Sprintf("%s (%s), from %s%s.", c.Check.Title, c.Name, strings.Join(in, ", "), w.only(c.When))
}

func (w *writer) input(in procedures.CheckInput) string {
	switch {
	case in.Found != nil:
		return "“" + in.Found.Output + "” of " + in.Found.Check + " at " + w.named(in.Found.Step)
	case in.Ref != "" && w.sheetValue(in.Ref) != "":
		return w.sheetValue(in.Ref)
	case in.Ref != "":
		return w.named(in.Ref)
	}
	return literal(in.Literal)
}

func literal(a checks.Argument) string {
	switch {
	case a.Choice != "":
		return a.Choice
	case a.Text != "":
		return "“" + a.Text + "”"
	}
	return a.Quantity.String()
}

// timed writes the clock of a timed step. What the program had counted does not carry over to paper.
func (w *writer) timed(st *procedures.Step, view runner.StepView) {
	least, most, what := procedures.Bound{}, procedures.Bound{}, ""
	switch {
	case st.Pin != nil:
		least, what = st.Pin.AtLeast, "Runs"
	case st.Wait != nil:
		least, most, what = st.Wait.AtLeast, st.Wait.AtMost, "Wait for "+st.Wait.Title
	default:
		return
	}
	w.line(indent, what+w.limits(least, most)+": from "+gap(8)+" to "+gap(8))
	if view.Wait.Started && (view.Status == runner.Current || st.Pin != nil) {
		w.line(indent, "Its time ran when the journal ended. On paper it is counted anew from its start.")
	}
	if st.Wait != nil && st.Wait.IfMissed != "" {
		w.line(indent, "If the time is missed: "+st.Wait.IfMissed)
	}
}

package paper

// What stands before the steps: what the form is, where the job stands, the safeguards, the sheet, the briefing.

import (
	"fmt"

	"fenderside/procedures"
	"fenderside/runner"
)

func (w *writer) whatThisIs() {
	w.title("WHAT THIS FORM IS")
	for _, l := range runner.Limits {
		w.line("- ", l)
	}
	w.line("- ", "Paper holds nobody back and knows no lapse. Keep the order. Where a step needs a safeguard, look that it stands each time, and go back to its gate where it does not.")
	w.line("- ", "Write with a pen; strike out what is wrong so that it stays readable. This form is no signed record: keep it beside the record of the job.")
}

// standing says where the job stands, in the words of the core.
func (w *writer) standing() {
	if w.job == nil {
		return
	}
	s := w.job
	w.title("WHERE THE JOB STANDS")
	w.line("", "Work by "+s.Performer().Name+". Phase: "+string(s.Phase())+".")
	switch st := s.Current(); {
	case st != nil:
		w.line("", fmt.Sprintf("Current step: %s, %s", w.number(st.Index), st.Title))
	case s.Cursor() != nil:
		w.line("", fmt.Sprintf("No step takes entries. The work was at step %s, %s", w.number(s.Cursor().Index), s.Cursor().Title))
	}
	for _, r := range s.HeldBy() {
		what, next := s.Job().Text(r)
		w.line("Held: ", what+": "+next)
	}
	if h := s.Hold(); h != nil {
		w.line("Held: ", "the work was broken off and was not resumed")
	}
	for _, lost := range s.StopWork() {
		w.line("STOPPED: ", "no longer true: "+lost.Title)
		for _, first := range lost.IfLost {
			w.line("    first: ", first)
		}
	}
	if s.Outcome() != "" {
		w.line("", "It is being closed as "+string(s.Outcome())+".")
	}
}

// safeguards lists every safeguard, to be looked at again.
func (w *writer) safeguards() {
	if len(w.p.Safeguards) == 0 {
		return
	}
	if w.job == nil {
		w.title("SAFEGUARDS, tick each while it stands")
	} else {
		w.title("SAFEGUARDS, all to be looked at again")
		w.line("", "Going over to paper is an interruption. Before you go on, do the gate of each safeguard that the work needs again, with fresh evidence, whatever stood before.")
	}
	var strip []runner.SafeguardView
	if w.job != nil {
		strip = w.job.Strip(w.job.Last())
	}
	for i, g := range w.p.Safeguards {
		w.line("[ ] ", fmt.Sprintf("%s (gate %s)", g.Title, w.number(g.Gate)))
		if strip != nil {
			w.line("      ", w.stood(strip[i]))
		}
		for _, first := range g.IfLost {
			w.line("      if lost: ", first)
		}
	}
}

// stood says how a safeguard stood when the journal ended.
func (w *writer) stood(v runner.SafeguardView) string {
	text := "when the journal ended: " + string(v.State)
	if v.Fell != nil && v.State != runner.InPlace {
		text += ", " + w.job.Job().Why(*v.Fell)
	}
	if v.Engaged && !v.Safeguard.Lasting {
		text += "; begun and not taken back, so it is undone at the close"
	}
	return text
}

func (w *writer) sheet() {
	if len(w.p.Sheet) == 0 {
		return
	}
	w.title("JOB SHEET")
	for _, f := range w.p.Sheet {
		value := gap(30)
		if v := w.sheetValue(f.ID); v != "" {
			value = v
		}
		w.line("- ", f.Title+w.takes(f)+": "+value)
		w.proposed(f)
	}
}

// proposed says of a line that is empty what the program would propose it by, and of a job's where it holds something else.
func (w *writer) proposed(f procedures.Field) {
	if f.Propose == nil {
		return
	}
	stands := w.sheetValue(f.ID)
	if stands == "" {
		w.line("    To help: ", w.reckoned(&f.Propose.By))
		return
	}
	values := map[string]procedures.SheetValue{}
	for _, e := range w.job.Sheet() {
		values[e.ID] = procedures.SheetValue{Value: e.Value}
	}
	if made, ok := w.p.Propose(f, w.job.Job().Card, values); ok && made.Differs(f, stands) {
		w.line("    NOTE: ", "the lines above lead to "+made.Said()+". Find out which is right.")
	}
}

func (w *writer) takes(f procedures.Field) string {
	switch {
	case w.sheetValue(f.ID) != "":
		return ""
	case f.Kind == procedures.TakesChoice:
		return fmt.Sprintf(" (%s)", joined(f.Choose))
	case f.Kind == procedures.TakesQuantity:
		return fmt.Sprintf(" (%s%s)", f.Unit, w.limits(f.AtLeast, f.AtMost))
	case f.Kind == procedures.TakesDate:
		return " (year-month-day)"
	}
	return ""
}

// sheetValue is what the job's sheet says, or "".
func (w *writer) sheetValue(id string) string {
	if w.job == nil {
		return ""
	}
	for _, e := range w.job.Sheet() {
		if e.ID == id {
			return e.Value
		}
	}
	return ""
}

func (w *writer) briefing() {
	var read []bool
	if w.job != nil {
		read = w.job.Acknowledged()
	}
	for i, b := range runner.Briefs(w.p) {
		if b.ID == "limits" {
			continue // said at the top of the form
		}
		w.block()
		w.line(box(read != nil && read[i]), "Read: "+b.Title)
		for _, l := range b.Lines {
			w.line("      - ", l)
		}
	}
}

package paper

// One step: its warnings, then its box and title, then what it needs, says and asks for.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

const indent = "        "

// step writes the block of one step.
func (w *writer) step(st *procedures.Step) {
	w.block()
	view, mark := w.held(st)
	if mark.Here {
		w.now = append(w.now, strings.Repeat(">", Width))
		w.line(">>> ", "THE WORK STOOD HERE")
	}
	for _, x := range st.Warnings {
		w.marked("  ! ", string(x.Word)+": "+x.Hazard)
		w.marked("  !   ", x.Consequence)
		w.marked("  !   ", x.Avoid)
	}
	kind := ""
	if st.Kind == procedures.Gate {
		kind = "GATE: "
	}
	w.line(fmt.Sprintf("%s %2s. ", w.tick(mark), w.number(st.Index)), kind+st.Title)
	w.status(mark)
	w.conditions(st)
	w.effects(st)
	for _, how := range st.How {
		w.line(indent+"- ", how)
	}
	if st.Why != "" {
		w.line(indent+"Why: ", st.Why)
	}
	w.goneBy(st, view)
	w.asked(st, view)
	w.after(st, view)
}

// goneBy is what the step is gone by: what the job holds of it, or else where it is written.
func (w *writer) goneBy(st *procedures.Step, view runner.StepView) {
	if w.job != nil {
		for _, s := range view.Shown {
			w.line(indent+"Go by: ", s.Title+": "+plaintext.Show(s.Value))
		}
		return
	}
	for _, id := range st.Shows {
		if f, ok := w.p.FieldByID(id); ok {
			w.line(indent+"Go by: ", f.Title+", on the sheet")
			continue
		}
		for _, other := range w.p.Steps[:st.Index] {
			for _, r := range other.Readings {
				if r.ID == id {
					w.line(indent+"Go by: ", r.Title+", written down before")
				}
			}
		}
	}
}

// held is what the journal holds of a step.
func (w *writer) held(st *procedures.Step) (runner.StepView, runner.Mark) {
	if w.job == nil {
		return runner.StepView{}, runner.Mark{Step: st}
	}
	view, _ := w.job.View(st.ID, w.job.Last())
	mark := w.job.Marks()[st.Index]
	if here := w.job.Cursor(); w.job.Current() == nil && here != nil {
		mark.Here = here.Index == st.Index
	}
	return view, mark
}

// afresh says whether what the journal holds of a step must be shown again on paper: a gate whose safeguard may have fallen
// unseen.
func (w *writer) afresh(st *procedures.Step) bool {
	return st.Secures >= 0 && !w.p.Safeguards[st.Secures].Lasting
}

func (w *writer) tick(m runner.Mark) string {
	switch m.Status {
	case runner.Finished:
		if w.afresh(m.Step) {
			return "[ ]"
		}
		return "[x]"
	case runner.Passed, runner.SkippedIt:
		return "[-]"
	}
	return "[ ]"
}

// status says what the journal says of a step.
func (w *writer) status(m runner.Mark) {
	switch m.Status {
	case runner.Finished:
		if w.afresh(m.Step) {
			w.line(indent, "(done, by the journal; do it again before what needs it)")
			return
		}
		w.line(indent, "(done, by the journal)")
	case runner.Passed:
		w.line(indent, "("+w.job.Job().Tell(runner.PassedBy{Step: m.Step.ID, Why: m.Why})+")")
	case runner.SkippedIt:
		w.line(indent, "(skipped, by the journal)")
	case runner.Current:
		w.line(indent, "(begun, by the journal)")
	}
}

// conditions writes when the step applies and what must stand for it.
func (w *writer) conditions(st *procedures.Step) {
	if len(st.When) > 0 {
		w.line(indent, "Only when "+w.condition(st.When)+"; otherwise strike it out.")
	}
	if len(st.DueAfter) > 0 || len(st.Releases) > 0 {
		w.line(indent, "Makes safe: do it at every close where it is due.")
	}
	if len(st.Needs) == 0 {
		return
	}
	w.line(indent, "Look that these stand, now:")
	for _, n := range st.Needs {
		text := ""
		if n.Safeguard >= 0 {
			g := w.p.Safeguards[n.Safeguard]
			text = fmt.Sprintf("%s (gate %s)", g.Title, w.number(g.Gate))
		} else {
			text = fmt.Sprintf("over: %s (%s)", w.p.Steps[n.Pin].Title, w.number(n.Pin))
		}
		if len(n.When) > 0 {
			text += ", when " + w.condition(n.When)
		}
		w.line(indent+"  [ ] ", text)
	}
}

// effects writes what doing the step takes away. What rests on a felled safeguard falls with it.
func (w *writer) effects(st *procedures.Step) {
	for _, r := range st.Releases {
		w.line(indent, "Takes away: "+w.p.Safeguards[r].Title)
	}
	for _, c := range st.Causes {
		for _, g := range w.p.Safeguards {
			if contains(g.LapseOn, c) {
				w.line(indent, fmt.Sprintf("Fells, with what rests on it: %s (gate %s)", g.Title, w.number(g.Gate)))
			}
		}
	}
}

// after writes what closes the step: rounds, witness, time and initials, and where it leads.
func (w *writer) after(st *procedures.Step, view runner.StepView) {
	if st.Repeat != nil {
		rounds := ""
		for k := range min(st.Repeat.AtMost, 10) {
			rounds += fmt.Sprintf(" %d %s", k+1, strings.TrimSpace(box(k < view.Rounds)))
		}
		w.line(indent, fmt.Sprintf("Rounds, at most %d, until %s:%s", st.Repeat.AtMost, st.Repeat.Until, rounds))
	}
	w.ask(st, view)
	if st.Witness || view.NeedsSign {
		if view.Witness != nil {
			w.line(indent, "Witnessed by "+view.Witness.Name+", by the journal")
		}
		w.line(indent, "Second person: "+gap(16)+" signature: "+gap(16))
	}
	if st.Then.Step != "" || st.Then.End != "" {
		w.line(indent, "Then "+w.target(st.Then)+".")
	}
	w.line(indent, "Done: date "+gap(12)+" time "+gap(8)+" initials "+gap(8))
}

func (w *writer) ask(st *procedures.Step, view runner.StepView) {
	if st.Ask == nil {
		return
	}
	w.line(indent, st.Ask.Question)
	for _, a := range st.Ask.Answers {
		text := a.Say
		if a.Then != (procedures.Target{}) {
			text += " -> " + w.target(a.Then)
		}
		w.line(indent+"  "+box(view.Answer == a.Say), text)
	}
}

func (w *writer) target(t procedures.Target) string {
	if t.End != "" {
		return "close as " + string(t.End)
	}
	if st, ok := w.p.StepByID(t.Step); ok {
		return "go to " + w.number(st.Index)
	}
	return "go on"
}

func contains(all []string, one string) bool {
	for _, s := range all {
		if s == one {
			return true
		}
	}
	return false
}

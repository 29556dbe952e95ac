// Package paper prints a procedure as a form to work by with a pen, should the laptop die: every step with boxes to tick and
// lines to write on, and, for a job, what its journal holds and where it stands.
//
// The rule kept here: paper knows no lapse. It cannot tell when a safeguard falls, so the form asks for every safeguard to be
// looked at again before the work goes on, says which stood when the journal ended, and puts what a step needs in front of
// that step as boxes. A warning stands before its step, on the same page. Nothing is shown as done that the journal does not
// hold, and the form says that it is no signed record.
package paper

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures"
	"fenderside/procedures/wrap"
	"fenderside/runner"
)

// Width is how many cells a line has at most.
const Width = 72

// Form is a printed form: the lines that head every page, and the blocks that are not torn apart where a page ends.
type Form struct {
	Head   []string
	Blocks [][]string
}

// Blank is the form of a procedure that nobody has begun.
func Blank(p *procedures.Procedure) Form { return (&writer{p: p}).form() }

// Of is the form of a job as it stands.
func Of(s runner.State) Form {
	return (&writer{p: s.Job().Procedure, job: &s}).form()
}

// writer fills a form.
type writer struct {
	p   *procedures.Procedure
	job *runner.State // nil for a blank form
	out Form
	now []string // the block being written
}

func (w *writer) form() Form {
	w.head()
	w.whatThisIs()
	w.standing()
	w.safeguards()
	w.sheet()
	w.briefing()
	main := w.p.MainLine()
	for i := range w.p.Steps[:main] {
		w.step(&w.p.Steps[i])
	}
	w.pinned(main)
	w.closing()
	return w.out
}

func (w *writer) head() {
	job := "Job: " + strings.Repeat("_", 24)
	if w.job != nil {
		o := w.job.Job().Opening
		job = fmt.Sprintf("Job %s (%s), journal read up to %s", o.Job, o.Mode, w.job.Last().Wall.UTC().Format("2006-01-02 15:04Z"))
	}
	w.line("", w.p.Title)
	w.line("", fmt.Sprintf("%s, revision %d, sha256 %s", w.p.Name, w.p.Revision, w.p.Digest[:16]))
	w.line("", job)
	w.out.Head, w.now = w.now, nil
}

// block ends the block being written.
func (w *writer) block() {
	if len(w.now) > 0 {
		w.out.Blocks, w.now = append(w.out.Blocks, w.now), nil
	}
}

// title begins a block with a heading.
func (w *writer) title(text string) {
	w.block()
	w.line("", text)
	w.now = append(w.now, strings.Repeat("-", min(Width, ansi.StringWidth(text))))
}

// line writes a text behind a lead; what does not fit goes on under its beginning.
func (w *writer) line(lead, text string) {
	room := Width - ansi.StringWidth(lead)
	for k, part := range wrap.Text(text, room) {
		if k > 0 {
			lead = strings.Repeat(" ", ansi.StringWidth(lead))
		}
		w.now = append(w.now, strings.TrimRight(lead+part, " "))
	}
}

// marked writes a text behind a lead that stands before each of its lines.
func (w *writer) marked(lead, text string) {
	for _, part := range wrap.Text(text, Width-ansi.StringWidth(lead)) {
		w.now = append(w.now, strings.TrimRight(lead+part, " "))
	}
}

// gap is a line to write on.
func gap(n int) string { return strings.Repeat("_", n) }

// box is a box to tick, ticked where the journal says so.
func box(ticked bool) string {
	if ticked {
		return "[x] "
	}
	return "[ ] "
}

// number is how a step is referred to on paper.
func (w *writer) number(i int) string {
	if main := w.p.MainLine(); i >= main {
		return fmt.Sprintf("P%d", i-main+1)
	}
	return fmt.Sprint(i + 1)
}

// condition words when something applies, by the titles that the form shows.
func (w *writer) condition(c procedures.Condition) string {
	var out []string
	for _, clause := range c {
		out = append(out, w.named(clause.Choice)+" is "+strings.Join(w.values(clause), " or "))
	}
	return strings.Join(out, " and ")
}

// named is how the form calls what an id stands for.
func (w *writer) named(id string) string {
	if st, ok := w.p.StepByID(id); ok {
		return "step " + w.number(st.Index)
	}
	if f, ok := w.p.FieldByID(id); ok {
		return "“" + f.Title + "”"
	}
	for _, st := range w.p.Steps {
		for _, r := range st.Readings {
			if r.ID == id {
				return "“" + r.Title + "”"
			}
		}
		for _, ev := range st.Evidence {
			if ev.ID == id {
				return "“" + ev.Title + "”"
			}
		}
	}
	return id
}

// values are the choices of a clause; a way is shown by what choosing it says.
func (w *writer) values(c procedures.Clause) []string {
	st, ok := w.p.StepByID(c.Choice)
	if !ok || len(st.Ways) == 0 {
		return quoted(c.In)
	}
	var out []string
	for _, way := range st.Ways {
		for _, in := range c.In {
			if way.ID == in {
				out = append(out, way.Say)
			}
		}
	}
	return quoted(out)
}

func quoted(all []string) []string {
	out := make([]string, len(all))
	for i, s := range all {
		out[i] = "“" + s + "”"
	}
	return out
}

package rehearsal

// A rehearsal that fails says where in its script, at which step, every reason, and what to do about each.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// Failure is the end of a rehearsal that did not go as its script says.
type Failure struct {
	File    string
	Place   procedures.Place
	Step    string // the step the item does, where it does one
	What    string
	Reasons []Told
}

// Told is one reason in words, with its next action. Code is as it stands in the record.
type Told struct {
	Code runner.Code
	What string
	Next string
}

// Error is file:line:column: what, then a line for each reason.
func (f *Failure) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d:%d: ", plaintext.Show(f.File), f.Place.Line, f.Place.Column)
	if f.Step != "" {
		fmt.Fprintf(&b, "step %s: ", quote(f.Step))
	}
	b.WriteString(f.What)
	for _, r := range f.Reasons {
		fmt.Fprintf(&b, "\n  %s: %s (%s)", r.Code, r.What, r.Next)
	}
	return b.String()
}

// fail is a failure at the item being played.
func (j *Journey) fail(reasons []runner.Reason, sentence string, args ...any) error {
	f := &Failure{File: j.o.ScriptName, Place: j.item.Place, Step: j.item.Step, What: fmt.Sprintf(sentence, args...)}
	for _, r := range reasons {
		what, next := j.sess.Job().Text(r)
		f.Reasons = append(f.Reasons, Told{r.Code, what, next})
	}
	return f
}

// notCurrent is the failure of an item whose step is not the one that takes entries.
func (j *Journey) notCurrent(step string) error {
	s := j.sess.State()
	reasons := s.HeldBy()
	switch {
	case s.Stopped():
		reasons = []runner.Reason{{Code: runner.NotClear}}
	case s.Hold() != nil:
		reasons = []runner.Reason{{Code: runner.Interruption, Step: s.Hold().Step}}
	case s.Current() != nil:
		reasons = append([]runner.Reason{{Code: runner.NotCurrent, Step: step, Item: s.Current().ID}}, reasons...)
	}
	if c := s.Current(); c != nil {
		return j.fail(reasons, "the script names this step, but the current one is %s", quote(c.ID))
	}
	return j.fail(reasons, "the script names this step, but none is open; the job is %s", s.Phase())
}

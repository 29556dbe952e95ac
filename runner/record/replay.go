package record

import (
	"fmt"

	"fenderside/runner"
)

// Replay drives the core through the lines of a journal and holds each to what the core decides. It is the one way back
// from a file to a state: a job that is taken up again goes through it, and so does the audit.
type Replay struct {
	Job   *runner.Job
	State runner.State

	// Reworded says that the line just replayed agrees with the rules, but explains a result in other words than these rules
	// do: another release wrote it, or somebody did.
	Reworded bool

	// OnTrust are the results of the line just replayed that were taken from it, for want of the files they rest on.
	OnTrust []runner.Computed

	next int
}

// Start reads the first line of a journal.
func Start(b *Binder, first Line) (*Replay, error) {
	switch {
	case first.Open == nil || first.Seq != 0:
		return nil, fmt.Errorf("the first line does not open a job")
	case first.Session != 1 || first.Mono != 0:
		return nil, fmt.Errorf("the first line is not at the start of its time")
	case first.Mode != first.Open.Mode:
		return nil, fmt.Errorf("the first line says %q, its opening %q", first.Mode, first.Open.Mode)
	case first.By != first.Open.Performer.Name:
		return nil, fmt.Errorf("the first line is by %q, its opening by %q", first.By, first.Open.Performer.Name)
	}
	job, err := b.Bind(*first.Open)
	if err != nil {
		return nil, err
	}
	return &Replay{Job: job, State: runner.Begin(job, first.Moment()), next: 1}, nil
}

// Mismatch is a line that the core would not have written.
type Mismatch struct {
	Seq  int
	What string
}

// Error says what differs.
func (m *Mismatch) Error() string { return m.What }

// Step replays one line. Its error is a *Mismatch; the state then stays as it was.
func (r *Replay) Step(l Line) error {
	switch {
	case l.Seq != r.next:
		return &Mismatch{l.Seq, fmt.Sprintf("number %d stands where %d belongs", l.Seq, r.next)}
	case l.Open != nil:
		return &Mismatch{l.Seq, "a second opening"}
	case l.Mode != r.Job.Opening.Mode:
		return &Mismatch{l.Seq, fmt.Sprintf("mode %q in a %s job", l.Mode, r.Job.Opening.Mode)}
	}
	if by := r.author(l.Do); by != l.By {
		return &Mismatch{l.Seq, fmt.Sprintf("written as by %q, but %q was acting", l.By, by)}
	}
	if len(l.Events) == 0 {
		return &Mismatch{l.Seq, "nothing follows from this line, and such a line is never written"}
	}
	d := runner.Redecide(r.State, l.Do, l.Moment(), l.Events)
	if what := Unlike(d.Events, l.Events); what != "" {
		return &Mismatch{l.Seq, what}
	}
	r.Reworded = !letterForLetter(d.Events, l.Events)
	r.State, r.OnTrust = d.State, d.OnTrust
	r.next++
	return nil
}

// Next is the number of the line that comes next.
func (r *Replay) Next() int { return r.next }

func (r *Replay) author(c runner.Command) string { return Author(r.State, c) }

// Author is the name a line is written under: the person who acts, or the one who signs for themselves.
func Author(s runner.State, c runner.Command) string {
	switch c := c.(type) {
	case runner.TakeOver:
		return c.By.Name
	case runner.SignOff, runner.KeepJob:
		return s.Performer().Name
	}
	return s.Acting().Name
}

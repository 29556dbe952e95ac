package home

// The rule kept here: to list jobs changes nothing and trusts nothing. An open
// job is replayed through the core; of a record only its first and last lines
// are read, and a list of records is no audit of them.

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/store"
)

// Stage is how far a job is, in one word.
type Stage string

// The stages.
const (
	Open       Stage = "open"        // the work goes on where it stood
	Held       Stage = "held"        // something must be put right or resumed first
	Unsigned   Stage = "unsigned"    // sealed, and its record not signed yet
	Done       Stage = "closed"      // signed and kept
	NeverBegan Stage = "never began" // its folder was made and nothing was written down: no work was done under it
	Unreadable Stage = "unreadable"  // its file cannot be read or does not follow from the rules
)

// Standing is how one job stands, for a list.
type Standing struct {
	Job       string      `json:"job"`
	Number    int         `json:"number"`
	Stage     Stage       `json:"stage"`
	Mode      runner.Mode `json:"mode,omitempty"`
	Procedure string      `json:"procedure,omitempty"`
	Title     string      `json:"title,omitempty"` // of the procedure; a record gives its name alone
	Card      string      `json:"card,omitempty"`  // the vehicle card's name
	Performer string      `json:"performer,omitempty"`
	Opened    time.Time   `json:"opened,omitzero"`
	Last      time.Time   `json:"last,omitzero"`     // of the latest line
	At        string      `json:"at,omitempty"`      // the step where the work is
	Held      []string    `json:"held,omitempty"`    // why it is held, each with what to do
	Outcome   string      `json:"outcome,omitempty"` // once it is closed
	After     string      `json:"after,omitempty"`   // the job that it follows
	Problem   string      `json:"problem,omitempty"` // why it is unreadable, or what was left out
	Dir       string      `json:"dir"`
}

// Standings lists every job of a store: the open ones, then the records, each
// in order of opening. A job that cannot be read is listed with its problem.
func Standings(st *store.Store) ([]Standing, error) {
	open, err := st.OpenJobs()
	if err != nil {
		return nil, err
	}
	closed, err := st.Records()
	if err != nil {
		return nil, err
	}
	out := make([]Standing, 0, len(open)+len(closed))
	var binder record.Binder
	for _, id := range open {
		out = append(out, standing(&binder, id, st.JobDir(id)))
	}
	for _, id := range closed {
		out = append(out, kept(id, st.RecordDir(id)))
	}
	return out, nil
}

func unreadable(s Standing, err error) Standing {
	if errors.Is(err, journal.ErrNeverBegan) {
		s.Stage, s.Problem = NeverBegan, fmt.Sprintf("no work was done under it, and its folder %q may be removed", s.Dir)
		return s
	}
	s.Stage, s.Problem = Unreadable, err.Error()
	return s
}

// standing reads an open job.
func standing(b *record.Binder, id, dir string) Standing {
	s := Standing{Job: id, Dir: dir}
	data, err := os.ReadFile(filepath.Join(dir, store.JournalFile))
	if errors.Is(err, os.ErrNotExist) {
		if _, kept := os.Stat(filepath.Join(dir, store.RecordFile)); kept == nil {
			s = ends(s, filepath.Join(dir, store.RecordFile))
			s.Stage = Unsigned
			return s
		}
		return unreadable(s, journal.ErrNeverBegan)
	}
	if err != nil {
		return unreadable(s, err)
	}
	lines, torn, err := whole(data)
	if err != nil {
		return unreadable(s, err)
	}
	if torn {
		s.Problem = "its last line is not whole yet; if nobody works on it, it is cut off when the job is resumed"
	}
	replay, first, last, err := play(b, lines)
	if err != nil {
		return unreadable(s, err)
	}
	return describe(opened(s, replay.Job.Opening), replay, first, last)
}

// whole returns the lines of a journal. A line without its end, which another
// process may be writing, is left out.
func whole(data []byte) (lines [][]byte, torn bool, err error) {
	lines, err = journal.Read(data)
	if err == nil || bytes.HasSuffix(data, []byte("\n")) {
		return lines, false, err
	}
	before := data[:bytes.LastIndexByte(data, '\n')+1]
	if len(before) == 0 {
		return nil, true, journal.ErrNeverBegan
	}
	lines, err = journal.Read(before)
	return lines, true, err
}

func play(b *record.Binder, lines [][]byte) (replay *record.Replay, first, last record.Line, err error) {
	if len(lines) == 0 {
		return nil, first, last, journal.ErrNeverBegan
	}
	for i, data := range lines {
		if last, err = record.Decode(data); err == nil && i == 0 {
			first = last
			replay, err = record.Start(b, last)
		} else if err == nil {
			err = replay.Step(last)
		}
		if err != nil {
			return nil, first, last, fmt.Errorf("line %d: %w", i+1, err)
		}
	}
	return replay, first, last, nil
}

func opened(s Standing, o runner.Opening) Standing {
	s.Number, s.Mode, s.Procedure, s.Card = o.Number, o.Mode, o.Procedure.Name, o.Card.Name
	s.Performer, s.After = o.Performer.Name, o.After
	return s
}

// describe says where a replayed job stands.
func describe(s Standing, r *record.Replay, first, last record.Line) Standing {
	state := r.State
	s.Title, s.Stage, s.Performer = r.Job.Procedure.Title, Open, state.Performer().Name
	s.Opened, s.Last = first.At, last.At
	s.At = place(r)
	if state.Phase() == runner.Closed {
		s.Stage, s.At, s.Outcome = Unsigned, "", string(state.Outcome())
		return s
	}
	if s.Held = held(r); len(s.Held) > 0 {
		s.Stage = Held
	}
	return s
}

// place names the step where the work is, or where it was when it was broken off or stopped; else the phase.
func place(r *record.Replay) string {
	state := r.State
	step := state.Current()
	if hold := state.Hold(); step == nil && hold != nil {
		step, _ = r.Job.Procedure.StepByID(hold.Step)
	}
	if step == nil {
		step = state.Cursor()
	}
	if step != nil && state.Phase() != runner.Closed {
		return step.Title
	}
	return string(state.Phase())
}

// held words what holds a job up, as the core gives it.
func held(r *record.Replay) []string {
	reasons := r.State.HeldBy()
	if r.State.Hold() != nil {
		reasons = append(reasons, runner.Reason{Code: runner.Interruption, Step: r.State.Hold().Step})
	}
	if r.State.Stopped() {
		reasons = append(reasons, runner.Reason{Code: runner.NotClear})
	}
	var out []string
	for _, reason := range reasons {
		what, next := r.Job.Text(reason)
		out = append(out, what+": "+next)
	}
	return out
}

// kept reads the first and last lines of a finished record.
func kept(id, dir string) Standing {
	return ends(Standing{Job: id, Dir: dir, Stage: Done}, filepath.Join(dir, store.RecordFile))
}

func ends(s Standing, path string) Standing {
	data, err := os.ReadFile(path)
	if err != nil {
		return unreadable(s, err)
	}
	data = bytes.TrimSuffix(data, []byte("\n"))
	lines := bytes.Split(data, []byte("\n"))
	first, err := record.Decode(lines[0])
	if err != nil || first.Open == nil {
		return unreadable(s, fmt.Errorf("the first line of %q does not open a job: audit it", path))
	}
	last, err := record.Decode(lines[len(lines)-1])
	if err != nil {
		return unreadable(s, fmt.Errorf("the last line of %q cannot be read: audit it", path))
	}
	s = opened(s, *first.Open)
	s.Opened, s.Last = first.At, last.At
	for _, e := range last.Events {
		if sealed, ok := e.(runner.Sealed); ok {
			s.Outcome = string(sealed.Outcome)
		}
	}
	if s.Outcome == "" {
		return unreadable(s, fmt.Errorf("the last line of %q does not close the job: audit it", path))
	}
	return s
}

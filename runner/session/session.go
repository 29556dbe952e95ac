// Package session is one job in hand: the core's state, the journal it is written to, the clock and the store. Every front
// end works through it, so that nothing is shown as done before it is on disk.
//
// The rule kept here: decide, write, sync, and only then move on. A write that fails locks the job in this process; the
// state stays as it was.
package session

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/store"
)

// Session is an open job. Its methods may be called from several goroutines, one at a time taking effect.
type Session struct {
	mu      sync.Mutex
	store   *store.Store
	clock   Clock
	journal *journal.Journal
	job     *runner.Job
	state   runner.State
	lines   []record.Line
	session int
	locked  error
	looked  map[string]look // copies of attached files, by digest
}

// Locked is the error of a job that cannot go on: its journal is unreadable, or could not be written.
type Locked struct {
	Job   string
	Cause error
}

// Error says what is wrong and what to do.
func (l *Locked) Error() string {
	return fmt.Sprintf("job %s is locked: %v. Nothing more is written to it. Make the vehicle safe under a new job that follows it: fenderside start PROCEDURE --after %s",
		l.Job, l.Cause, l.Job)
}

func (l *Locked) Unwrap() error { return l.Cause }

// Start opens a new job. The opening's Job, Store, Number, Chain, Semantics and Fenderside are filled in here.
func Start(st *store.Store, o runner.Opening, clock Clock) (*Session, error) {
	o.Fenderside, o.Semantics, o.Store = runner.RecordFormat, runner.Semantics, st.ID()
	var binder record.Binder
	if _, err := binder.Bind(o); err != nil {
		return nil, err // before a number is spent on it
	}
	chain, err := st.Next(o.Performer.Fingerprint)
	if err != nil {
		return nil, err
	}
	number, id, dir, err := st.NewJob()
	if err != nil {
		return nil, err
	}
	o.Number, o.Job, o.Chain = number, id, chain
	job, err := binder.Bind(o)
	if err != nil {
		return nil, err
	}
	j, err := journal.Create(filepath.Join(dir, store.JournalFile))
	if err != nil {
		return nil, err
	}
	s := &Session{store: st, clock: clock, journal: j, job: job, session: 1}
	wall, _ := clock.Now()
	first := record.Line{At: wall.Truncate(time.Millisecond), Session: 1, By: o.Performer.Name, Mode: o.Mode, Open: &job.Opening, Prev: journal.Genesis}
	if err := s.write(first); err != nil {
		return nil, errors.Join(err, j.Close())
	}
	job.Files = s.attached
	s.state = runner.Begin(job, first.Moment())
	return s, nil
}

// Resume takes up a job again. Its journal is replayed through the core line by line; what does not follow from the rules
// locks the job. The job comes back interrupted, and waits for a deliberate resume.
func Resume(st *store.Store, id string, clock Clock) (*Session, error) {
	j, found, err := journal.Open(filepath.Join(st.JobDir(id), store.JournalFile))
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("there is no open job %q: see `fenderside jobs`", id)
	}
	if errors.Is(err, journal.ErrInUse) || errors.Is(err, journal.ErrNeverBegan) {
		return nil, err
	}
	if err != nil {
		return nil, &Locked{id, err}
	}
	s := &Session{store: st, clock: clock, journal: j}
	if err := s.replay(found.Lines); err != nil {
		return nil, errors.Join(&Locked{id, err}, j.Close())
	}
	if s.state.Phase() == runner.Closed {
		return s, nil
	}
	s.session = s.state.Last().Session + 1
	if _, err := s.Do(runner.Reopen{Cut: found.Cut, CutDigest: found.CutDigest}); err != nil {
		return nil, errors.Join(err, j.Close())
	}
	return s, nil
}

func (s *Session) replay(lines [][]byte) error {
	var replay *record.Replay
	for i, data := range lines {
		l, err := record.Decode(data)
		if err != nil {
			return fmt.Errorf("line %d: %w", i+1, err)
		}
		if i == 0 {
			if replay, err = record.Start(&record.Binder{}, l); err == nil {
				replay.Job.Files = s.attached
			}
		} else {
			err = replay.Step(l)
		}
		if err != nil {
			return fmt.Errorf("line %d: %w", i+1, err)
		}
		s.lines = append(s.lines, l)
	}
	s.job, s.state = replay.Job, replay.State
	s.session = s.state.Last().Session
	return nil
}

// Do decides a command and writes down what follows. It returns once that is on disk. The error is a *Locked when it could
// not be written; a refusal is no error, it stands in the decision.
func (s *Session) Do(c runner.Command) (runner.Decision, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.do(c)
}

func (s *Session) do(c runner.Command) (runner.Decision, error) {
	if s.locked != nil {
		return runner.Decision{State: s.state}, s.locked
	}
	c, err := asWritten(c)
	if err != nil {
		return runner.Decision{State: s.state}, err
	}
	now := s.moment()
	d := runner.Decide(s.state, c, now)
	if len(d.Events) == 0 {
		return d, nil
	}
	l := record.Line{Seq: s.journal.Len(), At: now.Wall, Mono: now.Mono, Session: now.Session,
		By: record.Author(s.state, c), Mode: s.job.Opening.Mode, Do: c, Events: d.Events, Prev: now.Head}
	if err := s.write(l); err != nil {
		s.locked = &Locked{s.job.Opening.Job, err}
		return runner.Decision{State: s.state}, s.locked
	}
	s.state = d.State
	return d, nil
}

// asWritten is a command as it will be read back: bytes that are not UTF-8 do not survive the writing, so what is decided
// must be decided without them.
func asWritten(c runner.Command) (runner.Command, error) {
	data, err := runner.MarshalCommand(c)
	if err != nil {
		return nil, err
	}
	return runner.UnmarshalCommand(data)
}

func (s *Session) write(l record.Line) error {
	data, err := record.Encode(l)
	if err != nil {
		return err
	}
	if err := s.journal.Append(data); err != nil {
		return err
	}
	s.lines = append(s.lines, l)
	return nil
}

// moment is now, at the precision that is written down, so that a replay decides from the same numbers.
func (s *Session) moment() runner.Moment {
	wall, mono := s.clock.Now()
	return runner.Moment{Wall: wall.UTC().Truncate(time.Millisecond), Mono: mono.Truncate(time.Millisecond),
		Session: s.session, Head: s.journal.Head()}
}

// Moment is now.
func (s *Session) Moment() runner.Moment {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.moment()
}

// State is where the job stands.
func (s *Session) State() runner.State {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.state
}

// Job is what the job was opened with.
func (s *Session) Job() *runner.Job { return s.job }

// Lines is the journal so far.
func (s *Session) Lines() []record.Line {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]record.Line(nil), s.lines...)
}

// JournalPath is where the journal is.
func (s *Session) JournalPath() string { return s.journal.Path() }

// Close lets go of the job. It stays open in the store.
func (s *Session) Close() error { return s.journal.Close() }

// Package sessiontest makes small jobs for tests: a bench oven, people with keys of their own, and a clock that moves only
// when it is told to.
package sessiontest

import (
	_ "embed"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

//go:embed oven.yaml
var oven string

// Oven is the text of a procedure with two gates that rest on each other, a wait, a question and a make-safe gate.
func Oven() string { return oven }

// Clock is a clock for tests. It starts on a fixed day.
type Clock struct {
	Wall time.Time
	Mono time.Duration
}

// NewClock starts at nine in the morning of 14 March 2026.
func NewClock() *Clock { return &Clock{Wall: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)} }

// Now tells the time.
func (c *Clock) Now() (time.Time, time.Duration) { return c.Wall, c.Mono }

// Pass lets time go by, on both clocks.
func (c *Clock) Pass(d time.Duration) { c.Wall, c.Mono = c.Wall.Add(d), c.Mono+d }

// Restart is the same wall clock in a new process.
func (c *Clock) Restart() { c.Mono = 0 }

// Who is a person with a key that depends on the name alone.
type Who struct {
	runner.Person
	Signer ssh.Signer
}

// Person makes a person of the depot.
func Person(name string) Who {
	signer := sealtest.NewKey(name)
	return Who{runner.Person{Name: name + "@millbrook.example", Fingerprint: seal.Fingerprint(signer.PublicKey())}, signer}
}

// RosterOf lists people with every role.
func RosterOf(people ...Who) string {
	var b strings.Builder
	for _, p := range people {
		b.WriteString(sealtest.AnyRole(p.Name, p.Signer.PublicKey()))
	}
	return b.String()
}

// Opening is an opening of the oven job by the first person, with everybody on the roster.
func Opening(t testing.TB, mode runner.Mode, people ...Who) runner.Opening {
	p, err := procedures.Parse("oven-lamp.yaml", []byte(oven))
	require.NoError(t, err)
	rosterText := RosterOf(people...)
	return runner.Opening{
		Program: "test", Mode: mode, Terminal: mode == runner.Live,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest, Text: oven},
		Roster:    runner.Document{Name: "roster", Digest: record.Digest([]byte(rosterText)), Text: rosterText},
		Sheet:     []runner.Entry{{ID: "limit", Value: "45 °C", From: procedures.FromTyping, Source: "service sheet"}},
		Performer: people[0].Person,
	}
}

// Start opens the oven job in a store in dir.
func Start(t testing.TB, dir string, clock session.Clock, mode runner.Mode, people ...Who) (*store.Store, *session.Session) {
	st, err := store.Open(dir)
	require.NoError(t, err)
	s, err := session.Start(st, Opening(t, mode, people...), clock)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	return st, s
}

// Do does a command that must be taken.
func Do(t testing.TB, s *session.Session, c runner.Command) runner.Decision {
	d, err := s.Do(c)
	require.NoError(t, err)
	if d.Refusal != nil {
		for _, r := range d.Refusal.Reasons {
			what, next := s.Job().Text(r)
			t.Logf("%s: %s; %s", r.Code, what, next)
		}
	}
	require.Nil(t, d.Refusal, "%s was refused", runner.CommandName(c))
	return d
}

// Brief acknowledges the whole briefing, item by item.
func Brief(t testing.TB, s *session.Session) {
	for _, b := range runner.Briefs(s.Job().Procedure) {
		Do(t, s, runner.Acknowledge{Item: b.ID})
	}
}

// Unplug passes the first gate.
func Unplug(t testing.TB, s *session.Session) {
	if _, ok := s.State().InstrumentOf("meter"); !ok {
		Do(t, s, runner.Take{Instrument: "meter", Name: "DM-1", Due: "2027-01-31"})
	}
	Do(t, s, runner.Affirm{Step: "pull-plug", Statement: 0})
	Do(t, s, runner.Read{Step: "pull-plug", Reading: "residual", Value: "0.02 V"})
	Do(t, s, runner.Finish{Step: "pull-plug"})
}

// Cool passes the second gate.
func Cool(t testing.TB, s *session.Session) {
	Do(t, s, runner.Read{Step: "let-cool", Reading: "cavity", Value: "41 °C"})
	Do(t, s, runner.Finish{Step: "let-cool"})
}

// Work does the rest up to the signature.
func Work(t testing.TB, s *session.Session, clock *Clock) {
	Brief(t, s)
	Unplug(t, s)
	Cool(t, s)
	Do(t, s, runner.StartWait{Step: "wait-dark"})
	clock.Pass(time.Minute)
	Do(t, s, runner.Finish{Step: "wait-dark"})
	Do(t, s, runner.Answer{Step: "change-lamp", Say: "Whole"})
	Do(t, s, runner.Affirm{Step: "plug-in", Statement: 0})
	Do(t, s, runner.Finish{Step: "plug-in"})
}

// Sign closes the job and signs its record.
func Sign(t testing.TB, s *session.Session, by Who) session.Finished {
	d, done, err := s.Seal(by.Person, by.Signer, nil)
	require.NoError(t, err)
	require.Nil(t, d.Refusal)
	return done
}

package audit

// Records for the tests: made by a session, as a technician would make them, with keys of their own and a clock that moves
// when it is told to.

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

var (
	asha  = sessiontest.Person("asha")
	bryn  = sessiontest.Person("bryn")
	dilys = sessiontest.Person("dilys")
)

// auditDay is when the tests audit: a week after the jobs.
var auditDay = time.Date(2026, 3, 21, 9, 0, 0, 0, time.UTC)

// depot is one laptop's store with its clock.
type depot struct {
	t     testing.TB
	dir   string
	store *store.Store
	clock *sessiontest.Clock
	pace  time.Duration
}

func newDepot(t testing.TB) *depot {
	dir := t.TempDir()
	st, err := store.Open(dir)
	require.NoError(t, err)
	return &depot{t: t, dir: dir, store: st, clock: sessiontest.NewClock(), pace: 5 * time.Second}
}

// shift is one job under way.
type shift struct {
	*depot
	s *session.Session
}

func document(t testing.TB, name string) string {
	text, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return string(text)
}

// opening opens a procedure of testdata by the first person, everybody on the roster.
func (d *depot) opening(file string, people ...sessiontest.Who) runner.Opening {
	text := document(d.t, file)
	p, err := procedures.Parse(file, []byte(text))
	require.NoError(d.t, err)
	people = append(people, asha, bryn, dilys)
	names := sessiontest.RosterOf(asha, bryn, dilys)
	o := runner.Opening{
		Program: "test", Mode: runner.Live, Terminal: true,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest, Text: text},
		Roster:    runner.Document{Name: "roster", Digest: record.Digest([]byte(names)), Text: names},
		Performer: people[0].Person, Sheet: []runner.Entry{},
	}
	if len(p.Sheet) > 0 {
		card := document(d.t, "bus.yaml")
		o.Card = runner.Document{Name: "millbrook-test", Digest: record.Digest([]byte(card)), Text: card}
		o.Sheet = []runner.Entry{{ID: "settle", Value: "3 min", From: procedures.FromCard, Source: "invented for tests"}}
	}
	return o
}

func (d *depot) start(o runner.Opening) *shift {
	d.clock.Mono = 0
	s, err := session.Start(d.store, o, d.clock)
	require.NoError(d.t, err)
	d.t.Cleanup(func() { _ = s.Close() })
	h := &shift{d, s}
	for _, b := range runner.Briefs(s.Job().Procedure) {
		h.do(runner.Acknowledge{Item: b.ID})
	}
	return h
}

func (h *shift) try(c runner.Command) runner.Decision {
	h.clock.Pass(h.pace)
	d, err := h.s.Do(c)
	require.NoError(h.t, err)
	return d
}

func (h *shift) do(c runner.Command) {
	d := h.try(c)
	require.Nil(h.t, d.Refusal, "%s: %+v", runner.CommandName(c), d.Refusal)
}

// resume ends the program without a word and takes the job up again.
func (h *shift) resume(off time.Duration) {
	job := h.s.Job().Opening.Job
	require.NoError(h.t, h.s.Close())
	h.clock.Wall, h.clock.Mono = h.clock.Wall.Add(off), 0
	s, err := session.Resume(h.store, job, h.clock)
	require.NoError(h.t, err)
	h.t.Cleanup(func() { _ = s.Close() })
	h.s = s
	h.do(runner.Resume{})
}

func (h *shift) seal(by sessiontest.Who, own ssh.Signer) session.Finished {
	h.clock.Pass(h.pace)
	d, done, err := h.s.Seal(by.Person, by.Signer, own)
	require.NoError(h.t, err)
	require.Nil(h.t, d.Refusal, "%+v", d.Refusal)
	return done
}

// switchOff passes the first gate of both procedures.
func (h *shift) switchOff() {
	if _, ok := h.s.State().InstrumentOf("meter"); !ok {
		h.do(runner.Take{Instrument: "meter", Name: "DM-1", Due: "2027-01-31"})
	}
	if h.s.Job().Procedure.Name == "cabin-lamp" {
		h.do(runner.Affirm{Step: "switch-off"})
	}
	h.do(runner.Read{Step: "switch-off", Reading: "residual", Value: "0.02 V"})
	h.do(runner.Finish{Step: "switch-off"})
}

// changeLamp does the lamp job after its first gate, up to the signature.
func (h *shift) changeLamp() {
	h.do(runner.Affirm{Step: "change"})
	h.do(runner.Finish{Step: "change"})
	h.switchOn()
}

func (h *shift) switchOn() {
	h.do(runner.Affirm{Step: "switch-on"})
	h.do(runner.Finish{Step: "switch-on"})
}

func (h *shift) witness(by sessiontest.Who) runner.Decision {
	h.clock.Pass(h.pace)
	d, err := h.s.Witness("agree", by.Person, by.Signer)
	require.NoError(h.t, err)
	return d
}

// follow takes the temperatures of the heater, half a minute apart.
func (h *shift) follow(values ...string) {
	if _, ok := h.s.State().InstrumentOf("probe"); !ok {
		h.do(runner.Take{Instrument: "probe", Name: "TP-2"})
	}
	for _, v := range values {
		h.clock.Pass(30 * time.Second)
		h.do(runner.Read{Step: "feel", Reading: "casing", Value: v})
	}
}

func (h *shift) lookOver() {
	for i := range 6 {
		h.do(runner.Affirm{Step: "look-over", Statement: i})
	}
	h.do(runner.Finish{Step: "look-over"})
}

// lamp is a whole lamp job.
func (d *depot) lamp() session.Finished {
	h := d.start(d.opening("lamp.yaml"))
	h.switchOff()
	h.changeLamp()
	return h.seal(asha, nil)
}

// heater is a whole heater job, with something else done at its steps where that is given.
func (d *depot) heater(at map[string]func(*shift)) session.Finished {
	h := d.start(d.opening("heater.yaml"))
	other := func(step string, usual func()) {
		if f := at[step]; f != nil {
			f(h)
			return
		}
		usual()
	}
	other("switch-off", h.switchOff)
	other("feel", func() { h.follow("60 °C", "55 °C", "51 °C", "48 °C") })
	h.do(runner.Finish{Step: "feel"})
	other("look-over", h.lookOver)
	other("agree", func() { require.Nil(h.t, h.witness(bryn).Refusal) })
	h.do(runner.Finish{Step: "agree"})
	other("switch-on", h.switchOn)
	if f := at["seal"]; f != nil {
		f(h)
	}
	return h.seal(asha, nil)
}

// rosterFile writes a roster for the auditor.
func rosterFile(t testing.TB, text string) string {
	path := filepath.Join(t.TempDir(), "trusted")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// run audits paths against a roster.
func run(t testing.TB, rosterText string, paths ...string) Report {
	r, err := Run(Options{Paths: paths, Roster: rosterFile(t, rosterText), Now: auditDay})
	require.NoError(t, err)
	return r
}

func everybody() string { return sessiontest.RosterOf(asha, bryn, dilys) }

// one audits one record against everybody's roster.
func one(t testing.TB, path string) Record {
	r := run(t, everybody(), path)
	require.Len(t, r.Records, 1)
	return r.Records[0]
}

// linesOf reads a record.
func linesOf(t testing.TB, data []byte) []record.Line {
	raw, err := journal.Read(data)
	require.NoError(t, err)
	var out []record.Line
	for _, r := range raw {
		l, err := record.Decode(r)
		require.NoError(t, err)
		out = append(out, l)
	}
	return out
}

// chained writes lines as a record whose numbers and chain are right.
func chained(t testing.TB, lines []record.Line) []byte {
	var out []byte
	prev := journal.Genesis
	for i, l := range lines {
		l.Seq, l.Prev = i, prev
		data, err := record.Encode(l)
		require.NoError(t, err)
		prev = journal.Digest(data)
		out = append(append(out, data...), '\n')
	}
	return out
}

// forged writes a record and signs it, as somebody who holds the key could.
func forged(t testing.TB, data []byte, signer ssh.Signer) string {
	path := filepath.Join(t.TempDir(), store.RecordFile)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	sig, err := seal.Sign(signer, seal.Record, data)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path+signatureEnding, []byte(sig), 0o600))
	return path
}

// bytesOf reads a record's two files.
func bytesOf(t testing.TB, done session.Finished) (rec, sig []byte) {
	rec, err := os.ReadFile(done.Record)
	require.NoError(t, err)
	sig, err = os.ReadFile(done.Signature)
	require.NoError(t, err)
	return rec, sig
}

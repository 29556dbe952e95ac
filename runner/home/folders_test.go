package home_test

// The rules tested here: one faulty file hides no other, no file takes the name of another, and an opening holds the exact
// texts.

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/rehearsal"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

const lamp = `fenderside: 1
procedure: lamp-swap
revision: 1
title: Swap a lamp
scope: One lamp.
hazards: [broken glass]
sheet:
  - {id: lamp, title: Which lamp, text: true}
steps:
  - do: take-out
    title: Take the lamp out
`

func put(t *testing.T, path, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
}

func TestAFaultyFileHidesNoOther(t *testing.T) {
	h := fresh(t)
	list, problems := h.Procedures()
	assert.Len(t, list, len(library.Procedures()))
	assert.Empty(t, problems)
	put(t, filepath.Join(h.ProceduresDir(), "a.yaml"), "fenderside: 1\n")
	put(t, filepath.Join(h.ProceduresDir(), "b.yaml"), lamp)
	put(t, filepath.Join(h.ProceduresDir(), "c.yaml"), lamp)
	put(t, filepath.Join(h.ProceduresDir(), "d.yml"), string(library.Procedures()[0].Text))
	put(t, filepath.Join(h.ProceduresDir(), "notes.txt"), "no procedure")
	list, problems = h.Procedures()
	assert.Len(t, list, len(library.Procedures())+1)
	require.Len(t, problems, 3)
	var faults procedures.Faults
	require.ErrorAs(t, problems[0], &faults)
	assert.Contains(t, problems[1].Error(), "b.yaml already")
	assert.Contains(t, problems[2].Error(), "this program already")
	p, err := h.Procedure("lamp-swap")
	require.NoError(t, err)
	assert.Equal(t, "Swap a lamp", p.Title)
}

func TestAnUnknownNameGetsTheNearestAndTheProblems(t *testing.T) {
	h := fresh(t)
	put(t, filepath.Join(h.CardsDir(), "mine.yaml"), "fenderside-card: 1\ncard: mine\n")
	_, err := h.Card("millbrook-for")
	require.ErrorIs(t, err, home.ErrUnknown)
	assert.Contains(t, err.Error(), `did you mean "millbrook-four"?`)
	_, err = h.Card("mine")
	require.ErrorIs(t, err, home.ErrUnknown)
	assert.Contains(t, err.Error(), "mine.yaml:1:1:", "the file that would have had that name is faulty")
	_, err = h.Card(filepath.Join(h.CardsDir(), "none.yaml"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = h.Procedure(h.ConfigDir)
	require.ErrorContains(t, err, "not a plain file")
}

func TestAFileTooLongIsRefusedWithoutBeingReadWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "long.yaml")
	put(t, path, lamp+strings.Repeat("#", procedures.MaxFile))
	_, err := home.ReadProcedure(path)
	var faults procedures.Faults
	require.ErrorAs(t, err, &faults)
}

func TestAnOpeningHoldsTheTextsWordForWord(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	put(t, filepath.Join(h.ProceduresDir(), "lamp.yaml"), lamp)
	p, err := h.Procedure("lamp-swap")
	require.NoError(t, err)
	sheet := []runner.Entry{{ID: "lamp", Value: "left", From: procedures.FromTyping}}
	o, err := h.Opening(p, nil, sheet, runner.Live, true, id.Person, "")
	require.NoError(t, err)
	assert.Equal(t, lamp, o.Procedure.Text)
	people, err := os.ReadFile(h.RosterPath())
	require.NoError(t, err)
	assert.Equal(t, string(people), o.Roster.Text)
	assert.Equal(t, home.Version(), o.Program)
	assert.Empty(t, o.Card.Digest)
	st, err := h.Store()
	require.NoError(t, err)
	s, err := session.Start(st, o, session.MachineClock())
	require.NoError(t, err, "the core takes the opening as it is")
	require.NoError(t, s.Close())
	require.NoError(t, os.Remove(h.RosterPath()))
	_, err = h.Opening(p, nil, sheet, runner.Live, true, id.Person, "")
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// still is a clock that stands.
type still struct{}

func (still) Now() (time.Time, time.Duration) {
	return time.Date(2031, 4, 30, 9, 0, 0, 0, time.UTC), 0
}

func TestAListSaysWhereEachJobStandsAndChangesNothing(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	p, err := procedures.Parse("lamp.yaml", []byte(lamp))
	require.NoError(t, err)
	o, err := h.Opening(p, nil, []runner.Entry{{ID: "lamp", Value: "left", From: procedures.FromTyping}}, runner.Practice, false, id.Person, "")
	require.NoError(t, err)
	st, err := h.Store()
	require.NoError(t, err)
	s, err := session.Start(st, o, still{})
	require.NoError(t, err)
	one := only(t, st)
	assert.Equal(t, home.Open, one.Stage)
	assert.Equal(t, "briefing", one.At)
	assert.Equal(t, runner.Practice, one.Mode)
	assert.Equal(t, "2031-04-30T09:00:00Z", one.Opened.Format(time.RFC3339))
	for _, b := range runner.Briefs(p) {
		_, err := s.Do(runner.Acknowledge{Item: b.ID})
		require.NoError(t, err)
	}
	assert.Equal(t, "Take the lamp out", only(t, st).At)
	_, err = s.Do(runner.Pause{Reason: "lunch"})
	require.NoError(t, err)
	one = only(t, st)
	assert.Equal(t, home.Held, one.Stage)
	require.Len(t, one.Held, 1)
	assert.Contains(t, one.Held[0], "resume on purpose")
	require.NoError(t, s.Close())

	path := filepath.Join(one.Dir, store.JournalFile)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	put(t, path, string(whole)+`{"seq":`)
	one = only(t, st)
	assert.Equal(t, home.Held, one.Stage)
	assert.Contains(t, one.Problem, "not whole")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(whole)+`{"seq":`, string(after))
	put(t, path, strings.Replace(string(whole), "lunch", "luncg", 1))
	assert.Equal(t, home.Unreadable, only(t, st).Stage)
	put(t, path, `{"seq":`)
	assert.Equal(t, home.NeverBegan, only(t, st).Stage)
	require.NoError(t, os.Remove(path))
	assert.Equal(t, home.NeverBegan, only(t, st).Stage)
}

func only(t *testing.T, st *store.Store) home.Standing {
	t.Helper()
	all, err := home.Standings(st)
	require.NoError(t, err)
	require.Len(t, all, 1)
	return all[0]
}

func TestARecordIsListedAsClosedAndADamagedOneIsTold(t *testing.T) {
	script := library.Scripts()[0]
	done, err := rehearsal.Run(rehearsal.Options{Script: script.Text, ScriptName: script.Name, Files: library.ScriptFiles(), Out: t.TempDir(), Program: "test",
		Procedures: library.Procedure, Cards: library.Card})
	require.NoError(t, err)
	st, err := store.Open(filepath.Dir(filepath.Dir(done.Dir)))
	require.NoError(t, err)
	one := only(t, st)
	assert.Equal(t, home.Done, one.Stage)
	assert.Equal(t, "complete", one.Outcome)
	assert.Equal(t, runner.Rehearsal, one.Mode)
	text, err := os.ReadFile(done.Record)
	require.NoError(t, err)
	lines := strings.SplitAfter(string(text), "\n")
	put(t, done.Record, strings.Join(lines[:len(lines)-2], ""))
	assert.Contains(t, only(t, st).Problem, "does not close the job: audit it")
	put(t, done.Record, strings.Join(lines[1:], ""))
	assert.Contains(t, only(t, st).Problem, "does not open a job: audit it")
}

package rehearsal_test

import (
	"bytes"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/rehearsal"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
	"fenderside/runner/session"
)

// fixed is a source of random bytes that gives the same ones every time.
func fixed() io.Reader { return rand.NewChaCha8([32]byte{7}) }

// kiln finds the procedure of the scripts in testdata.
func kiln(t testing.TB) func(string) (*procedures.Procedure, bool) {
	t.Helper()
	text, err := os.ReadFile("testdata/kiln-fuse.yaml")
	require.NoError(t, err)
	p, err := procedures.Parse("kiln-fuse.yaml", text)
	require.NoError(t, err)
	return func(name string) (*procedures.Procedure, bool) {
		if name == p.Name {
			return p, true
		}
		return library.Procedure(name)
	}
}

func play(t testing.TB, name string, text []byte) (session.Finished, error) {
	t.Helper()
	return rehearsal.Run(rehearsal.Options{Script: text, ScriptName: name, Out: t.TempDir(), Program: "test",
		Procedures: kiln(t), Cards: library.Card})
}

func playFile(t testing.TB, name string) (session.Finished, error) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return play(t, name, text)
}

// replayed holds a record to the core, line by line, and returns its lines and where it ends.
func replayed(t testing.TB, path string) ([]record.Line, runner.State) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	texts, err := journal.Read(data)
	require.NoError(t, err)
	var lines []record.Line
	var replay *record.Replay
	for i, text := range texts {
		l, err := record.Decode(text)
		require.NoError(t, err)
		if i == 0 {
			replay, err = record.Start(&record.Binder{}, l)
		} else {
			err = replay.Step(l)
		}
		require.NoError(t, err, "line %d", i)
		lines = append(lines, l)
	}
	return lines, replay.State
}

func TestEveryShippedScriptEndsInARecordThatReplays(t *testing.T) {
	outcome := map[string]procedures.Outcome{"sensor-swap-referred": procedures.Referred, "prove-the-fault-leak": procedures.Referred}
	require.NotEmpty(t, library.Scripts())
	for _, s := range library.Scripts() {
		t.Run(s.Name, func(t *testing.T) {
			done, err := rehearsal.Sample(t.TempDir(), s.Name)
			require.NoError(t, err)
			_, state := replayed(t, done.Record)
			want := procedures.Complete
			if o, early := outcome[s.Name]; early {
				want = o
			}
			assert.Equal(t, runner.Closed, state.Phase())
			assert.Equal(t, want, state.Outcome())
			assert.NotEmpty(t, state.FollowUps())
			assert.Empty(t, state.Left(), "nothing unsafe is left behind")
			for _, g := range state.Strip(state.Last()) {
				assert.True(t, g.Safeguard.Lasting || g.State != runner.InPlace, "%s still stands", g.Safeguard.ID)
				assert.True(t, g.Safeguard.Lasting || !g.Engaged, "%s was never released", g.Safeguard.ID)
			}
		})
	}
}

// The verdict is that of the installed OpenSSH, which is no part of the project.
func TestOpenSSHAcceptsTheRecordOfEveryShippedScript(t *testing.T) {
	for _, s := range library.Scripts() {
		t.Run(s.Name, func(t *testing.T) {
			sealtest.Tool(t, "ssh-keygen")
			out := t.TempDir()
			done, err := rehearsal.Sample(out, s.Name)
			require.NoError(t, err)
			message, sig := read(t, done.Record), read(t, done.Signature)
			for _, who := range []string{done.Roster, filepath.Join(out, rehearsal.RosterFile)} {
				q := sealtest.Question{Roster: string(read(t, who)), Principal: done.By.Name, Namespace: seal.Record,
					Signature: string(sig), Message: message}
				ok, said := sealtest.Accepts(t, q)
				assert.True(t, ok, "with %s: %s", who, said)
				q.Message = bytes.Replace(message, []byte(`"mode":"rehearsal"`), []byte(`"mode":"live"`), 1)
				ok, _ = sealtest.Accepts(t, q)
				assert.False(t, ok, "a changed record")
			}
		})
	}
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

func TestEveryLineOfARehearsalSaysSoAndClaimsNoTerminal(t *testing.T) {
	done, err := rehearsal.Sample(t.TempDir(), "sensor-swap-plain")
	require.NoError(t, err)
	lines, _ := replayed(t, done.Record)
	require.False(t, lines[0].Open.Terminal)
	for _, l := range lines {
		require.Equal(t, runner.Rehearsal, l.Mode)
	}
}

func TestJobsThatChangeHandsBreakOffAndEndEarlyCanBeScripted(t *testing.T) {
	for file, want := range map[string]struct {
		outcome  procedures.Outcome
		sessions int
		refusals int
		unsigned int
		left     int
	}{
		"people.yaml":          {procedures.Complete, 2, 11, 0, 0},
		"early.yaml":           {procedures.Referred, 1, 6, 1, 1},
		"swap-broken-off.yaml": {procedures.Referred, 3, 3, 0, 0},
	} {
		t.Run(file, func(t *testing.T) {
			done, err := playFile(t, file)
			require.NoError(t, err)
			lines, state := replayed(t, done.Record)
			assert.Equal(t, want.outcome, state.Outcome())
			assert.Equal(t, want.sessions, lines[len(lines)-1].Session, "times the program was started")
			assert.Equal(t, want.refusals, state.Refusals())
			assert.Len(t, state.Unsigned(), want.unsigned)
			assert.Len(t, state.Left(), want.left)
			assert.Equal(t, "bryn@millbrook.example", done.By.Name)
			for i, l := range lines[1:] {
				if l.Session != lines[i].Session {
					assert.Zero(t, l.Mono, "running time begins anew with the program")
				}
			}
		})
	}
}

func TestEveryCommandOfTheCoreCanBeScripted(t *testing.T) {
	given := map[string]bool{}
	for _, file := range []string{"people.yaml", "early.yaml", "swap-broken-off.yaml"} {
		done, err := playFile(t, file)
		require.NoError(t, err)
		lines, _ := replayed(t, done.Record)
		for _, l := range lines[1:] {
			given[runner.CommandName(l.Do)] = true
		}
	}
	for _, c := range []runner.Command{runner.Acknowledge{}, runner.Choose{}, runner.Affirm{}, runner.Read{}, runner.Take{},
		runner.Attach{}, runner.StartWait{}, runner.Witnessed{}, runner.Finish{}, runner.Answer{}, runner.Skip{}, runner.Correct{},
		runner.Note{}, runner.StopWork{}, runner.Clear{}, runner.Pause{}, runner.Reopen{}, runner.Resume{}, runner.HandOver{},
		runner.SignOn{}, runner.SignOff{}, runner.KeepJob{}, runner.TakeOver{}, runner.Close{}, runner.Continue{}, runner.Leave{},
		runner.FollowUp{}, runner.Seal{}, runner.Tick{}} {
		assert.True(t, given[runner.CommandName(c)], "%s is in no script", runner.CommandName(c))
	}
}

func TestTheSameScriptAndTheSameKeysGiveTheSameRecordByteForByte(t *testing.T) {
	for _, s := range library.Scripts() {
		var records [][]byte
		for range 2 {
			done, err := rehearsal.Run(rehearsal.Options{Script: s.Text, ScriptName: s.Name, Files: library.ScriptFiles(), Out: t.TempDir(), Random: fixed()})
			require.NoError(t, err)
			for _, file := range []string{done.Record, done.Signature} {
				data, err := os.ReadFile(file)
				require.NoError(t, err)
				records = append(records, data)
			}
		}
		require.True(t, bytes.Equal(records[0], records[2]), "%s: the records differ", s.Name)
		require.True(t, bytes.Equal(records[1], records[3]), "%s: the signatures differ", s.Name)
	}
}

func TestKeysAndStoreDifferWhereNothingFixesThem(t *testing.T) {
	var first []*runner.Opening
	for range 2 {
		done, err := rehearsal.Sample(t.TempDir(), "sensor-swap-referred")
		require.NoError(t, err)
		lines, _ := replayed(t, done.Record)
		first = append(first, lines[0].Open)
	}
	assert.NotEqual(t, first[0].Performer.Fingerprint, first[1].Performer.Fingerprint)
	assert.NotEqual(t, first[0].Store, first[1].Store)
}

func TestRehearsalsInOneFolderMakeOneChainAndOneRoster(t *testing.T) {
	out := t.TempDir()
	var seals []*runner.Sealed
	for _, script := range []string{"sensor-swap-plain", "sensor-swap-heated", "sensor-swap-plain"} {
		done, err := rehearsal.Sample(out, script)
		require.NoError(t, err)
		_, state := replayed(t, done.Record)
		seals = append(seals, state.Seal())
	}
	assert.Equal(t, seals[0].By, seals[2].By, "the key is used again")
	assert.Equal(t, []int{1, 1, 2}, []int{seals[0].Chain.Number, seals[1].Chain.Number, seals[2].Chain.Number})
	assert.NotEmpty(t, seals[2].Chain.Previous)
	text, err := os.ReadFile(filepath.Join(out, rehearsal.RosterFile))
	require.NoError(t, err)
	assert.Contains(t, string(text), "asha@millbrook.example")
	assert.Contains(t, string(text), "bryn@millbrook.example")
}

func TestAJourneyStopsBeforeAStepAndTakesOtherCommands(t *testing.T) {
	text, err := os.ReadFile("testdata/people.yaml")
	require.NoError(t, err)
	j, err := rehearsal.Begin(rehearsal.Options{Script: text, ScriptName: "people.yaml", Out: t.TempDir(), Procedures: kiln(t)})
	require.NoError(t, err)
	defer func() { require.NoError(t, j.Close()) }()
	require.NoError(t, j.Until("look"))
	assert.Equal(t, "look", j.Session().State().Current().ID)
	d, err := j.Session().Do(runner.Answer{Step: "look", Say: "By clips"})
	require.NoError(t, err)
	require.NotNil(t, d.Refusal, "the reading is not in")
	assert.Error(t, j.Until("no-such-step"))
	open, err := j.Store().OpenJobs()
	require.NoError(t, err)
	assert.Equal(t, []string{j.Session().Job().Opening.Job}, open)
}

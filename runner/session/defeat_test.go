package session_test

// Defeat by means at hand (ISO 14119 asks that a bypass by such means be hard): editing the file, moving the clock, ending
// the process, putting a machine to sleep, correcting what was refused. Each must leave the gate shut.

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
)

// atWait is a live job at its timed step, with the wait just started.
func atWait(t *testing.T) (*sessiontest.Clock, *session.Session, func() *session.Session) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Cool(t, s)
	sessiontest.Do(t, s, runner.StartWait{Step: "wait-dark"})
	return clock, s, func() *session.Session {
		require.NoError(t, s.Close())
		clock.Restart()
		back, err := session.Resume(st, s.Job().Opening.Job, clock)
		require.NoError(t, err)
		t.Cleanup(func() { _ = back.Close() })
		return back
	}
}

func codes(d runner.Decision) []runner.Code {
	if d.Refusal == nil {
		return nil
	}
	var out []runner.Code
	for _, r := range d.Refusal.Reasons {
		out = append(out, r.Code)
	}
	return out
}

func TestAWaitIsNotJumpedByMovingTheClock(t *testing.T) {
	for name, move := range map[string]time.Duration{"forwards": time.Hour, "backwards": -time.Hour} {
		t.Run(name, func(t *testing.T) {
			clock, s, _ := atWait(t)
			clock.Wall = clock.Wall.Add(move)
			d, err := s.Do(runner.Finish{Step: "wait-dark"})
			require.NoError(t, err)
			assert.Contains(t, codes(d), runner.Interruption)
			require.NotNil(t, s.State().Hold())
			assert.Equal(t, runner.ByClock, s.State().Hold().Why)
			sessiontest.Do(t, s, runner.Resume{})
			assert.Equal(t, "pull-plug", s.State().Current().ID)
		})
	}
}

func TestAWaitIsNotJumpedByEndingTheProgram(t *testing.T) {
	clock, _, resume := atWait(t)
	back := resume()
	clock.Pass(time.Hour)
	sessiontest.Do(t, back, runner.Resume{})
	sessiontest.Unplug(t, back)
	d, err := back.Do(runner.Finish{Step: "wait-dark"})
	require.NoError(t, err)
	assert.Contains(t, codes(d), runner.WaitNotStarted)
}

func TestAWaitIsNotJumpedByPuttingTheMachineToSleep(t *testing.T) {
	clock, s, _ := atWait(t)
	clock.Wall = clock.Wall.Add(10 * time.Minute) // asleep: the wall clock ran on, monotonic time stood still
	d, err := s.Do(runner.Tick{})
	require.NoError(t, err)
	assert.Nil(t, d.Refusal)
	require.NotNil(t, s.State().Hold())
	sessiontest.Do(t, s, runner.Resume{})
	sessiontest.Unplug(t, s)
	d, err = s.Do(runner.Finish{Step: "wait-dark"})
	require.NoError(t, err)
	assert.Contains(t, codes(d), runner.WaitNotStarted)
}

func TestARefusedReadingIsNotCorrectedIntoAPass(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	sessiontest.Do(t, s, runner.Read{Step: "let-cool", Reading: "cavity", Value: "90 °C"})
	d, err := s.Do(runner.Correct{Correction: runner.Correction{Reading: "cavity", Value: "40 °C", Reason: "slip"}})
	require.NoError(t, err)
	assert.Equal(t, []runner.Code{runner.TakeFresh}, codes(d))
	d, err = s.Do(runner.Finish{Step: "let-cool"})
	require.NoError(t, err)
	assert.Contains(t, codes(d), runner.ReadingRefused)
}

// edit rewrites the journal's lines and chains them anew, as somebody with an editor and some patience would. Only what
// contradicts the rules can be caught before the record is signed; a story that agrees with itself cannot.
func edit(t *testing.T, path string, change func(lines [][]byte) [][]byte) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	lines, err := journal.Read(data)
	require.NoError(t, err)
	head := journal.Genesis
	var out []byte
	for _, line := range change(lines) {
		at := bytes.LastIndex(line, []byte(`,"prev":"`))
		line = append(append([]byte(nil), line[:at]...), []byte(`,"prev":"`+head+`"}`)...)
		head = journal.Digest(line)
		out = append(append(out, line...), '\n')
	}
	require.NoError(t, os.WriteFile(path, out, 0o600))
}

func TestAnEditedJournalLocksTheJob(t *testing.T) {
	text := func(old, new string) func([][]byte) [][]byte {
		return func(lines [][]byte) [][]byte {
			for i := range lines {
				lines[i] = bytes.ReplaceAll(lines[i], []byte(old), []byte(new))
			}
			return lines
		}
	}
	cases := map[string]func([][]byte) [][]byte{
		"a gate struck out":          func(l [][]byte) [][]byte { return append(l[:7:7], l[8:]...) },
		"a refused reading improved": text(`"accepted":false`, `"accepted":true`),
		"a voltage rewritten":        text(`"value":"0.02 V","instrument"`, `"value":"0.01 V","instrument"`),
		"another limit on the sheet": text(`45 °C`, `40 °C`), // the reading of 41 °C that it would refuse stands accepted
		"another procedure text":     text(`at most: 1 V`, `at most: 9 V`),
		"practice called live":       text(`"mode":"practice"`, `"mode":"live"`),
		"an event of nobody's":       text(`{"secured":{"safeguard":"unplugged"}}`, `{"secured":{"safeguard":"cool"}}`),
		"another name":               text(`asha@millbrook.example","mode"`, `bryn@millbrook.example","mode"`),
		"an empty line of events":    func(l [][]byte) [][]byte { return append(l, l[len(l)-1]) },
	}
	for name, change := range cases {
		t.Run(name, func(t *testing.T) {
			clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
			st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Practice, asha)
			sessiontest.Brief(t, s)
			sessiontest.Unplug(t, s)
			sessiontest.Do(t, s, runner.Read{Step: "let-cool", Reading: "cavity", Value: "90 °C"})
			sessiontest.Cool(t, s)
			require.NoError(t, s.Close())
			before, err := os.ReadFile(s.JournalPath())
			require.NoError(t, err)
			edit(t, s.JournalPath(), change)
			after, err := os.ReadFile(s.JournalPath())
			require.NoError(t, err)
			require.NotEqual(t, before, after, "the edit changed something")

			_, err = session.Resume(st, s.Job().Opening.Job, clock)
			var locked *session.Locked
			require.ErrorAs(t, err, &locked)
			assert.Contains(t, err.Error(), "--after "+s.Job().Opening.Job)
			left, err := os.ReadFile(s.JournalPath())
			require.NoError(t, err)
			assert.Equal(t, after, left, "a locked job is not written to")
		})
	}
}

func TestAProcedureFileThatIsSwappedLaterChangesNothing(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	first, err := json.Marshal(s.Job().Opening.Procedure.Text)
	require.NoError(t, err)
	data, err := os.ReadFile(s.JournalPath())
	require.NoError(t, err)
	assert.True(t, bytes.Contains(data, first), "the job carries the procedure's text word for word")
}

func TestAFailedWriteLocksTheJobAndMovesNothing(t *testing.T) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.Brief(t, s)
	before := s.State()
	require.NoError(t, s.Close()) // the file is gone from under the session
	_, err := s.Do(runner.Affirm{Step: "pull-plug", Statement: 0})
	var locked *session.Locked
	require.ErrorAs(t, err, &locked)
	assert.Equal(t, before.Current().ID, s.State().Current().ID)
	view, _ := s.State().View("pull-plug", s.Moment())
	assert.False(t, view.Statements[0].Affirmed, "the screen does not advance")
	_, again := s.Do(runner.Note{Text: "still here"})
	assert.Error(t, again, "nothing more is written through a failed handle")
}

func TestASealIsRefusedWithAnotherKeyThanItsOwn(t *testing.T) {
	clock, asha, bryn := sessiontest.NewClock(), sessiontest.Person("asha"), sessiontest.Person("bryn")
	_, s := sessiontest.Start(t, t.TempDir(), clock, runner.Live, asha, bryn)
	sessiontest.Work(t, s, clock)
	_, _, err := s.Seal(asha.Person, bryn.Signer, nil)
	require.Error(t, err)
	assert.Contains(t, err.Error(), asha.Fingerprint)
	assert.Equal(t, runner.Closing, s.State().Phase(), "nothing was sealed")
	sessiontest.Sign(t, s, asha)
}

// atProof is the drive job at its gate.
func atProof(t *testing.T) (*sessiontest.Clock, *session.Session, func() *session.Session) {
	clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
	st, s := sessiontest.StartDrive(t, t.TempDir(), clock, runner.Live, asha)
	sessiontest.ToProof(t, s, clock)
	return clock, s, func() *session.Session {
		require.NoError(t, s.Close())
		clock.Restart()
		back, err := session.Resume(st, s.Job().Opening.Job, clock)
		require.NoError(t, err)
		t.Cleanup(func() { _ = back.Close() })
		return back
	}
}

// afterDrive is the copy that is kept of the log after the work: the one that is not of the weak sensor.
func afterDrive(t *testing.T, s *session.Session) string {
	for _, path := range sessiontest.Copies(t, filepath.Dir(s.JournalPath()), ".csv") {
		if data, err := os.ReadFile(path); err == nil && string(data) == sessiontest.Healthy() {
			return path
		}
	}
	require.Fail(t, "no copy is kept")
	return ""
}

// The log that is judged is the copy beside the journal. It is exchanged between the moment it is attached and the moment
// the column is named, which is when it is judged.
func TestAFileThatIsExchangedBeforeItIsJudgedPassesNothing(t *testing.T) {
	for name, exchange := range map[string]func(path string) error{
		"improved":      func(path string) error { return os.WriteFile(path, []byte(sessiontest.Trace(0.05, 0.9)), 0o600) },
		"cut short":     func(path string) error { return os.Truncate(path, 100) },
		"taken away":    os.Remove,
		"made a folder": func(path string) error { return errors.Join(os.Remove(path), os.Mkdir(path, 0o700)) },
	} {
		clock, s, _ := atProof(t)
		sessiontest.Attach(t, s, "prove", "after", "after.csv", sessiontest.Healthy(), clock.Wall)
		path := afterDrive(t, s)
		require.NoError(t, exchange(path))
		sessiontest.Do(t, s, runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
		d, err := s.Do(runner.Finish{Step: "prove"})
		require.NoError(t, err)
		assert.Equal(t, []runner.Code{runner.FileMissing}, codes(d), name)

		require.NoError(t, os.RemoveAll(path))
		require.NoError(t, os.WriteFile(path, []byte(sessiontest.Healthy()), 0o600))
		sessiontest.Do(t, s, runner.Finish{Step: "prove"})
		assert.Equal(t, "hand-back", s.State().Current().ID, "%s: the very file was put back", name)
	}
}

func TestAFileUnderAnotherNameIsTheSameFile(t *testing.T) {
	clock, s, _ := atProof(t)
	sessiontest.Do(t, s, runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	sessiontest.Attach(t, s, "prove", "after", "holiday photo.jpg", sessiontest.Weak(), clock.Wall)
	d, err := s.Do(runner.Finish{Step: "prove"})
	require.NoError(t, err)
	assert.Contains(t, codes(d), runner.CheckNotPassed, "a name proves nothing")
}

func TestAJobWhoseFileWasLostIsTakenUpAllTheSame(t *testing.T) {
	clock, s, resume := atProof(t)
	sessiontest.Do(t, s, runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	sessiontest.Attach(t, s, "prove", "after", "after.csv", sessiontest.Healthy(), clock.Wall)
	sessiontest.Do(t, s, runner.Finish{Step: "prove"})
	require.NoError(t, os.Remove(afterDrive(t, s)))
	back := resume()
	sessiontest.Do(t, back, runner.Resume{})
	assert.Equal(t, "hand-back", back.State().Current().ID, "what was judged then stands; the audit says what is missing")
}

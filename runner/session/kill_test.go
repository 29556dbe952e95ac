//go:build unix

package session_test

// A job is killed at random moments, again and again, and taken up again. What was acknowledged is never lost, and nothing
// is invented. (A killed process leaves the page cache whole; what a power loss does is tested in package journal.)

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

const victimEnv = "FENDERSIDE_TEST_VICTIM"

func TestMain(m *testing.M) {
	if dir := os.Getenv(victimEnv); dir != "" {
		if err := victim(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(3)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// victim takes up the one job in dir and works on it without end, saying each line's number and digest once it is
// acknowledged.
func victim(dir string) error {
	st, err := store.Open(dir)
	if err != nil {
		return err
	}
	jobs, err := st.OpenJobs()
	if err != nil {
		return err
	}
	s, err := session.Resume(st, jobs[0], session.MachineClock())
	if err != nil {
		return err
	}
	said := 0
	for round := 0; ; round++ {
		for ; said < len(s.Lines()); said++ {
			data, err := record.Encode(s.Lines()[said])
			if err != nil {
				return err
			}
			fmt.Printf("%d %s\n", said, journal.Digest(data))
		}
		if _, err := s.Do(nextMove(s, round)); err != nil {
			return err
		}
	}
}

// nextMove is something to do: what the job waits for where there is such a thing, and refused attempts between.
func nextMove(s *session.Session, round int) runner.Command {
	state := s.State()
	if state.Hold() != nil {
		return runner.Resume{}
	}
	if round%3 == 0 {
		return runner.Finish{Step: "change-lamp"} // refused as long as a gate is open
	}
	if _, ok := state.InstrumentOf("meter"); !ok {
		return runner.Take{Instrument: "meter", Name: "DM-1", Due: "2099-01-31"}
	}
	step := state.Current()
	if step == nil || step.ID != "pull-plug" {
		return runner.Note{Text: fmt.Sprintf("round %d", round)}
	}
	for _, want := range state.Wants(step.ID, s.Moment()) {
		switch want.Code {
		case runner.StatementMissing:
			return runner.Affirm{Step: step.ID}
		case runner.ReadingMissing:
			return runner.Read{Step: step.ID, Reading: want.Item, Value: "0.02 V"}
		}
	}
	return runner.Finish{Step: step.ID}
}

func TestNoAcknowledgedLineIsLostInTwoHundredKills(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 20
	}
	dir, asha := t.TempDir(), sessiontest.Person("asha")
	st, s := sessiontest.Start(t, dir, session.MachineClock(), runner.Rehearsal, asha)
	sessiontest.Brief(t, s)
	require.NoError(t, s.Close())
	acknowledged := map[string]string{}
	for range kills {
		for line := range strings.Lines(runVictim(t, dir)) {
			if seq, digest, whole := strings.Cut(strings.TrimSuffix(line, "\n"), " "); whole && strings.HasSuffix(line, "\n") {
				if old, ok := acknowledged[seq]; ok {
					require.Equal(t, old, digest, "line %s changed after it was acknowledged", seq)
				}
				acknowledged[seq] = digest
			}
		}
	}
	back, err := session.Resume(st, s.Job().Opening.Job, session.MachineClock())
	require.NoError(t, err)
	defer func() { _ = back.Close() }()
	data, err := os.ReadFile(filepath.Join(st.JobDir(s.Job().Opening.Job), store.JournalFile))
	require.NoError(t, err)
	lines, err := journal.Read(data)
	require.NoError(t, err)
	for seq, digest := range acknowledged {
		var n int
		_, err := fmt.Sscan(seq, &n)
		require.NoError(t, err)
		require.Less(t, n, len(lines), "acknowledged line %d is gone", n)
		require.Equal(t, digest, journal.Digest(lines[n]))
	}
	t.Logf("%d kills, %d lines acknowledged, %d in the journal", kills, len(acknowledged), len(lines))
	assert.Greater(t, len(acknowledged), kills, "the victims got some work done")
}

// runVictim runs a victim, kills it a few milliseconds after it first speaks, and returns what it said.
func runVictim(t *testing.T, dir string) string {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), victimEnv+"="+dir)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	cmd.Stderr = os.Stderr
	require.NoError(t, cmd.Start())
	r := bufio.NewReader(out)
	first, err := r.ReadString('\n')
	require.NoError(t, err, "the victim did not take the job up")
	timer := time.AfterFunc(time.Duration(rand.IntN(40_000))*time.Microsecond, func() { _ = cmd.Process.Signal(syscall.SIGKILL) })
	rest, _ := io.ReadAll(r)
	timer.Stop()
	_ = cmd.Wait()
	return first + string(rest)
}

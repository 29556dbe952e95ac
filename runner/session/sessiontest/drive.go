package sessiontest

// A small job that is judged by files: a log of a drive before the work, and one after it.

import (
	_ "embed"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

//go:embed drive.yaml
var drive string

// Drive is the text of a procedure whose gate is passed by the log of a drive.
func Drive() string { return drive }

// Weighed is the same with a last step that weighs what the log showed.
func Weighed() string {
	return strings.Replace(drive, "    needs: [proved]\n",
		"    needs: [proved]\n    advise: {fault-verdict: {wiring: sound, trace: {output: shows, of: sensor-trace, at: prove}}}\n", 1)
}

// Trace is a made-up log of twenty seconds: a front sensor that switches 1.5 times a second between two voltages.
func Trace(low, high float64) string {
	var b strings.Builder
	b.WriteString("time (s),B1S1 (V)\n")
	for i := range 2000 {
		level := low
		switch phase := i % 66; {
		case phase < 5:
			level = low + (high-low)*float64(phase)/5
		case phase < 33:
			level = high
		case phase < 38:
			level = high - (high-low)*float64(phase-33)/5
		}
		fmt.Fprintf(&b, "%.2f,%.3f\n", float64(i)/100, level)
	}
	return b.String()
}

// Healthy and Weak are a sensor that switches fully and one that does not.
func Healthy() string { return Trace(0.1, 0.85) }

// Weak does not reach the voltages of a rich and a lean mixture.
func Weak() string { return Trace(0.3, 0.6) }

// StartDrive opens the drive job.
func StartDrive(t testing.TB, dir string, clock session.Clock, mode runner.Mode, people ...Who) (*store.Store, *session.Session) {
	p, err := procedures.Parse("drive.yaml", []byte(drive))
	require.NoError(t, err)
	names := RosterOf(people...)
	st, err := store.Open(dir)
	require.NoError(t, err)
	s, err := session.Start(st, runner.Opening{
		Program: "test", Mode: mode, Terminal: mode == runner.Live, Sheet: []runner.Entry{}, Performer: people[0].Person,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest, Text: drive},
		Roster:    runner.Document{Name: "roster", Digest: record.Digest([]byte(names)), Text: names},
	}, clock)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	return st, s
}

// Attach writes a file and attaches it; it must be taken.
func Attach(t testing.TB, s *session.Session, step, item, name, text string, at time.Time) runner.Decision {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	require.NoError(t, os.Chtimes(path, at, at))
	d, err := s.Attach(step, item, path)
	require.NoError(t, err)
	require.Nil(t, d.Refusal, "%+v", d.Refusal)
	return d
}

// Copies lists the copies of attached files in the folder of a job or a record.
func Copies(t testing.TB, dir, ending string) []string {
	all, err := filepath.Glob(filepath.Join(dir, store.EvidenceDir, "*"+ending))
	require.NoError(t, err)
	return all
}

// ToProof works the drive job up to its gate, which is open; the log from before is of a weak sensor.
func ToProof(t testing.TB, s *session.Session, clock *Clock) {
	Brief(t, s)
	clock.Pass(time.Minute)
	Attach(t, s, "listen", "before", "before.csv", Weak(), clock.Wall)
	Do(t, s, runner.Finish{Step: "listen"})
	clock.Pass(time.Hour / 2)
	Do(t, s, runner.Affirm{Step: "swap"})
	Do(t, s, runner.Finish{Step: "swap"})
	clock.Pass(time.Minute)
}

// Proved works the rest of the drive job up to the signature.
func Proved(t testing.TB, s *session.Session, clock *Clock) {
	Do(t, s, runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	clock.Pass(10 * time.Minute)
	Attach(t, s, "prove", "after", "after.csv", Healthy(), clock.Wall)
	Do(t, s, runner.Finish{Step: "prove"})
	clock.Pass(time.Minute)
	Do(t, s, runner.Affirm{Step: "hand-back"})
	Do(t, s, runner.Finish{Step: "hand-back"})
}

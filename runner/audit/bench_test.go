package audit

// What an audit costs beside what nobody can leave out.

import (
	"crypto/sha256"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/rehearsal"
	"fenderside/runner/seal"
)

// floor hashes a record's bytes, line by line as the chain has them, and verifies its signatures: what any auditor must do.
func floor(b *testing.B, f files, raw [][]byte, inside []signedText) {
	for _, line := range raw {
		sha256.Sum256(line)
	}
	_, err := seal.Verify(string(f.signature.data), seal.Record, f.record.data)
	require.NoError(b, err)
	for _, s := range inside {
		_, err := seal.Verify(s.sig, s.namespace, s.message)
		require.NoError(b, err)
	}
}

// signedText is a signature inside a record, with what it covers.
type signedText struct {
	sig, namespace string
	message        []byte
}

func insideOf(lines []record.Line) []signedText {
	var out []signedText
	job := lines[0].Open.Job
	for _, l := range lines {
		switch c := l.Do.(type) {
		case runner.Witnessed:
			out = append(out, signedText{c.Signature, seal.Witness, runner.WitnessMessage(job, c.Step, l.Prev)})
		case runner.SignOn:
			out = append(out, signedText{c.Signature, seal.Stretch, runner.StretchMessage(job, "sign-on", l.Prev)})
		case runner.SignOff:
			out = append(out, signedText{c.Signature, seal.Stretch, runner.StretchMessage(job, "sign-off", l.Prev)})
		}
	}
	return out
}

// BenchmarkAudit reports x-floor: the median time of the audit of one record on one worker, its procedure parsed before,
// over that of hashing its bytes and verifying its signatures. Both work from memory and take turns in going first.
func BenchmarkAudit(b *testing.B) {
	for _, script := range []string{"sensor-swap-plain", "sensor-swap-heated"} {
		b.Run(script, func(b *testing.B) { benchmark(b, script) })
	}
}

func benchmark(b *testing.B, script string) {
	dir := b.TempDir()
	done, err := rehearsal.Sample(dir, script)
	require.NoError(b, err)
	a, err := Options{Paths: []string{done.Dir}, Roster: filepath.Join(dir, "roster"), Now: auditDay}.auditor()
	require.NoError(b, err)
	f := load(done.Record)
	raw, err := journal.Read(f.record.data)
	require.NoError(b, err)
	inside := insideOf(linesOf(b, f.record.data))
	var binder record.Binder
	var audits, floors []time.Duration
	runs := []func(){
		func() {
			start := time.Now()
			c := a.examine(f, &binder)
			c.judge()
			audits = append(audits, time.Since(start))
			require.NotEqual(b, Rejected, c.Verdict, whats(c.Record))
		},
		func() {
			start := time.Now()
			floor(b, f, raw, inside)
			floors = append(floors, time.Since(start))
		},
	}
	runs[0]()
	runs[1]()
	audits, floors = nil, nil
	for turn := 0; b.Loop(); turn++ {
		runs[turn%2]()
		runs[1-turn%2]()
	}
	ours, least := median(audits), median(floors)
	b.ReportMetric(ours/least, "x-floor")
	b.ReportMetric(ours, "audit-ns")
	b.ReportMetric(least, "floor-ns")
	b.ReportMetric(float64(len(f.record.data)), "bytes")
	b.ReportMetric(float64(len(raw)), "lines")
	b.ReportMetric(float64(len(inside)+1), "signatures")
}

func median(times []time.Duration) float64 {
	slices.Sort(times)
	return float64(times[len(times)/2])
}

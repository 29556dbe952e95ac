package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkVersion compares the start-up of the program with that of a Go program that does nothing, all built here and run in
// turns, by the ratio of their median times: of the program as the README installs it (x-empty), and as a plain build links
// it where there is a C compiler, against the system's library (x-empty-cgo). The aim is at most 3.
func BenchmarkVersion(b *testing.B) {
	dir := b.TempDir()
	empty := filepath.Join(dir, "empty.go")
	require.NoError(b, os.WriteFile(empty, []byte("package main\n\nfunc main() {}\n"), 0o600))
	build := func(name, what, cgo string) string {
		path := filepath.Join(dir, name)
		c := exec.Command("go", "build", "-o", path, what)
		c.Env = append(os.Environ(), "CGO_ENABLED="+cgo)
		out, err := c.CombinedOutput()
		require.NoError(b, err, string(out))
		return path
	}
	nothing, program, linked := build("nothing", empty, "0"), build("program", ".", "0"), build("linked", ".", "1")
	var base, ours, theirs []time.Duration
	for b.Loop() {
		base = append(base, taken(b, nothing))
		ours = append(ours, taken(b, program, "--version"))
		theirs = append(theirs, taken(b, linked, "--version"))
	}
	b.ReportMetric(float64(median(ours))/float64(median(base)), "x-empty")
	b.ReportMetric(float64(median(theirs))/float64(median(base)), "x-empty-cgo")
	b.ReportMetric(float64(median(base).Microseconds()), "empty-µs")
}

func taken(b *testing.B, program string, args ...string) time.Duration {
	start := time.Now()
	require.NoError(b, exec.Command(program, args...).Run())
	return time.Since(start)
}

func median(all []time.Duration) time.Duration {
	all = slices.Clone(all)
	slices.Sort(all)
	return all[len(all)/2]
}

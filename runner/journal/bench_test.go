package journal

// What an acknowledged line costs beside the bare disk.

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// diskFolder makes a folder on a real disk: the sync of a file system in
// memory costs nothing and would make the ratio meaningless.
func diskFolder(b *testing.B) string {
	b.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		b.Skip("needs a cache folder of the user: ", err)
	}
	require.NoError(b, os.MkdirAll(cache, 0o700))
	dir, err := os.MkdirTemp(cache, "journal-bench-")
	require.NoError(b, err)
	b.Cleanup(func() { os.RemoveAll(dir) })
	if inMemory(dir) {
		b.Skipf("needs a real disk: %q is a file system in memory", dir)
	}
	return dir
}

func median(times []time.Duration) float64 {
	slices.Sort(times)
	return float64(times[len(times)/2])
}

// BenchmarkAppend reports x-raw: the median time of an append over that of a
// bare write and sync of the same bytes to another file. The two take turns
// in going first, so that neither gains from the other's sync.
func BenchmarkAppend(b *testing.B) {
	dir := diskFolder(b)
	j, err := Create(filepath.Join(dir, "journal.jsonl"))
	require.NoError(b, err)
	defer j.Close()
	raw, err := os.OpenFile(filepath.Join(dir, "raw"), os.O_WRONLY|os.O_APPEND|os.O_CREATE, 0o600)
	require.NoError(b, err)
	defer raw.Close()

	note := strings.Repeat("a reading, its instrument and its time; ", 12)
	var appends, bare []time.Duration
	for turn := 0; b.Loop(); turn++ {
		line := lineAfter(j.Head(), note)
		whole := append(slices.Clone(line), '\n')
		runs := []func(){
			func() { appends = append(appends, timed(b, func() error { return j.Append(line) })) },
			func() { bare = append(bare, timed(b, func() error { return writeAndSync(raw, whole) })) },
		}
		runs[turn%2]()
		runs[1-turn%2]()
	}
	ours, theirs := median(appends), median(bare)
	b.ReportMetric(ours/theirs, "x-raw")
	b.ReportMetric(ours, "append-ns")
	b.ReportMetric(theirs, "raw-ns")
}

func timed(b *testing.B, f func() error) time.Duration {
	start := time.Now()
	err := f()
	took := time.Since(start)
	if err != nil {
		b.Fatal(err)
	}
	return took
}

func writeAndSync(file *os.File, whole []byte) error {
	if _, err := file.Write(whole); err != nil {
		return err
	}
	return file.Sync()
}

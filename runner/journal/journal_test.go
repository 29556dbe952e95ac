package journal

// Tests of appending: what is refused, what poisons, and that an
// acknowledged line is on disk.

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withFaults puts a recording, failing handle behind a journal.
func withFaults(j *Journal) *faulty {
	f := &faulty{handle: j.file}
	j.file = f
	return f
}

func TestANewJournalIsEmptyAndGrowsByLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	j, err := Create(path)
	require.NoError(t, err)
	assert.Equal(t, path, j.Path())
	assert.Equal(t, Genesis, j.Head())
	assert.Zero(t, j.Len())
	for i, line := range small() {
		require.NoError(t, j.Append(line))
		assert.Equal(t, Digest(line), j.Head())
		assert.Equal(t, i+1, j.Len())
		assert.Equal(t, fileOf(small()[:i+1]), contents(t, path), "on disk when acknowledged")
	}
	require.NoError(t, j.Close())
	expectWhole(t, path, small())
}

func TestAnAppendIsOneWriteThenOneSync(t *testing.T) {
	j := created(t, small()[:2])
	f := withFaults(j)
	line := small()[2]
	require.NoError(t, j.Append(line))
	assert.Equal(t, []string{fmt.Sprintf("write %d", len(line)+1), "sync"}, f.calls)
}

func TestCreateRefusesAPathThatIsTaken(t *testing.T) {
	path := onDisk(t, fileOf(small()))
	_, err := Create(path)
	require.ErrorIs(t, err, fs.ErrExist)
	assert.ErrorContains(t, err, "choose a new folder")
	expectWhole(t, path, small())
}

func TestCreateAndOpenNeedTheirFolderAndFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "missing", "journal.jsonl")
	_, err := Create(path)
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, _, err = Open(path)
	require.ErrorIs(t, err, fs.ErrNotExist)

	path = filepath.Join(t.TempDir(), "journal.jsonl")
	_, _, err = Open(path)
	require.ErrorIs(t, err, fs.ErrNotExist)
	assert.NoFileExists(t, path+".lock", "a mistyped name must leave nothing behind")

	require.NoError(t, os.Mkdir(path, 0o700))
	_, _, err = Open(path)
	require.ErrorContains(t, err, "no ordinary file")
}

func TestARefusedLineIsNotWrittenAndDoesNotPoison(t *testing.T) {
	lines := small()
	j := created(t, lines[:2])
	f := withFaults(j)
	refused := map[string][]byte{
		"holds a line break":         append(slices.Clone(lines[2]), '\n'),
		"as the line before it":      lines[1],
		"not one JSON object":        []byte("note"),
		"does not end with the memb": []byte(`{"who":"asha"}`),
		"is longer than":             lineAfter(j.Head(), strings.Repeat("x", MaxLine)),
	}
	for want, line := range refused {
		err := j.Append(line)
		require.ErrorContains(t, err, want)
		assert.NotErrorIs(t, err, ErrPoisoned)
		assert.ErrorContains(t, err, "append again")
	}
	assert.Empty(t, f.calls)
	assert.Equal(t, 2, j.Len())
	require.NoError(t, j.Append(lines[2]))
}

func TestAFileAtItsLimitTakesNoMoreLines(t *testing.T) {
	j := created(t, small()[:1])
	f := withFaults(j)
	j.size = MaxSize - int64(len(small()[1]))
	err := j.Append(small()[1])
	require.ErrorContains(t, err, "go on in a successor job")
	assert.NotErrorIs(t, err, ErrPoisoned)
	assert.Empty(t, f.calls)
}

// After a failure the same handle takes nothing, though the disk would work
// again; reopening tells what was kept.
func TestAnyDiskErrorPoisonsTheHandleForGood(t *testing.T) {
	lines := small()
	full := len(lines[2]) + 1
	cases := []struct {
		name string
		fail func(*faulty)
		want error
		kept int // lines found on reopening
	}{
		{"write error, nothing written", func(f *faulty) { f.writeErr = syscall.EIO }, syscall.EIO, 2},
		{"write error half way", func(f *faulty) { f.writeErr, f.short = syscall.ENOSPC, 40 }, syscall.ENOSPC, 2},
		{"write error after all bytes", func(f *faulty) { f.writeErr, f.short = syscall.EIO, full }, syscall.EIO, 3},
		{"short write without an error", func(f *faulty) { f.cutWrite, f.short = true, 40 }, io.ErrShortWrite, 2},
		{"short by the LF alone", func(f *faulty) { f.cutWrite, f.short = true, full-1 }, io.ErrShortWrite, 2},
		{"nothing written without an error", func(f *faulty) { f.cutWrite = true }, io.ErrShortWrite, 2},
		{"sync error", func(f *faulty) { f.syncErr = syscall.EIO }, syscall.EIO, 3},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			j := created(t, lines[:2])
			f := withFaults(j)
			c.fail(f)
			err := j.Append(lines[2])
			require.ErrorIs(t, err, c.want)
			require.ErrorIs(t, err, ErrPoisoned)
			require.ErrorContains(t, err, "reopened from disk")
			calls := slices.Clone(f.calls)
			written := fmt.Sprintf("write %d", full)
			if f.syncErr != nil {
				assert.Equal(t, []string{written, "sync"}, calls)
			} else {
				assert.Equal(t, []string{written}, calls, "what was not written whole is not synced")
			}

			*f = faulty{handle: f.handle, calls: f.calls}
			for range 3 {
				require.ErrorIs(t, j.Append(lines[2]), ErrPoisoned)
			}
			assert.Equal(t, calls, f.calls, "no write and no sync is tried again")
			assert.Equal(t, 2, j.Len())
			assert.Equal(t, Digest(lines[1]), j.Head())
			require.NoError(t, j.Close())
			expectReopened(t, j.Path(), lines[:c.kept])
		})
	}
}

// expectReopened opens the job, with or without a torn line, and proves that
// it holds exactly want and that the file is sound again.
func expectReopened(t *testing.T, path string, want [][]byte) {
	t.Helper()
	j, found, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, j.Close())
	require.Equal(t, want, found.Lines)
	require.Equal(t, fileOf(want), contents(t, path))
}

func TestAFileChangedBeneathTheHandlePoisonsIt(t *testing.T) {
	lines := small()
	cases := []struct {
		name string
		harm func(t *testing.T, path string) error
		want string
	}{
		{"longer", func(_ *testing.T, path string) error {
			return os.WriteFile(path, append(fileOf(lines[:2]), "more\n"...), 0o600)
		}, "bytes where this process left"},
		{"shorter", func(_ *testing.T, path string) error { return os.Truncate(path, 10) }, "bytes where this process left"},
		{"removed", func(_ *testing.T, path string) error { return os.Remove(path) }, "moved or removed"},
		{"moved", func(_ *testing.T, path string) error { return os.Rename(path, path+".old") }, "moved or removed"},
		{"replaced", func(_ *testing.T, path string) error {
			return WriteFileDurably(path, fileOf(lines[:2]), 0o600)
		}, "another file was put in its place"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			j := created(t, lines[:2])
			if err := c.harm(t, j.Path()); err != nil {
				t.Skip("needs a system that lets an open file be changed: ", err)
			}
			before, _ := os.ReadFile(j.Path())
			err := j.Append(lines[2])
			require.ErrorIs(t, err, ErrPoisoned)
			require.ErrorContains(t, err, c.want)
			require.ErrorIs(t, j.Append(lines[2]), ErrPoisoned)
			after, _ := os.ReadFile(j.Path())
			assert.Equal(t, before, after)
		})
	}
}

func TestAClosedJournalTakesNothingAndClosesTwice(t *testing.T) {
	lines := small()
	j := created(t, lines[:2])
	require.NoError(t, j.Close())
	require.NoError(t, j.Close())
	require.ErrorIs(t, j.Append(lines[2]), errClosed)
	assert.Equal(t, Digest(lines[1]), j.Head())
	expectWhole(t, j.Path(), lines[:2])
}

// Two goroutines that append the same next line: one wins, the other is
// refused, and the file holds it once.
func TestConcurrentAppendsKeepTheChain(t *testing.T) {
	lines := small()
	j := created(t, lines[:1])
	var both sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		both.Go(func() { errs[i] = j.Append(lines[1]) })
	}
	both.Wait()
	assert.True(t, (errs[0] == nil) != (errs[1] == nil), "%v, %v", errs[0], errs[1])
	require.NoError(t, j.Close())
	expectWhole(t, j.Path(), lines[:2])
}

// A line that stands whole in the file may never have reached the disk, if its
// sync failed. Opening writes it over itself and syncs before it is believed.
func TestOpeningWritesTheLastLineAgainAndSyncs(t *testing.T) {
	lines := small()
	for _, torn := range []string{"", "{\"who\":"} {
		path := onDisk(t, append(fileOf(lines), torn...))
		f := reopened(t, path)
		found, err := recoverHandle(f, path)
		require.NoError(t, err)
		assert.Equal(t, lines, found.Lines)
		last, size := len(lines[3])+1, len(fileOf(lines))
		assert.Equal(t, []string{
			fmt.Sprintf("cut to %d", size),
			fmt.Sprintf("write %d at %d", last, size-last),
			"sync",
		}, f.calls)
		assert.Equal(t, fileOf(lines), contents(t, path))
	}
}

func reopened(t *testing.T, path string) *faulty {
	t.Helper()
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	return &faulty{handle: file}
}

func TestOpeningFailsWhenTheDiskWillNotMend(t *testing.T) {
	boom := errors.New("the disk gave up")
	cases := []struct {
		name string
		fail func(*faulty)
		want error
	}{
		{"cut", func(f *faulty) { f.truncErr = boom }, boom},
		{"write", func(f *faulty) { f.writeErr, f.short = boom, 3 }, boom},
		{"short write", func(f *faulty) { f.cutWrite, f.short = true, 3 }, io.ErrShortWrite},
		{"sync", func(f *faulty) { f.syncErr = boom }, boom},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			path := onDisk(t, append(fileOf(small()), "torn"...))
			f := reopened(t, path)
			c.fail(f)
			_, err := recoverHandle(f, path)
			require.ErrorIs(t, err, c.want)
			require.Equal(t, append(fileOf(small()), "torn"...), contents(t, path+".torn-1"))
			expectReopened(t, path, small())
		})
	}
}

// Where the original cannot be kept, it is not cut either.
func TestATornLineStaysUntilItCanBeKeptAside(t *testing.T) {
	path := onDisk(t, append(fileOf(small()), "torn"...))
	f := reopened(t, path)
	_, err := recoverHandle(f, filepath.Join(filepath.Dir(path), "missing", "journal.jsonl"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.ErrorContains(t, err, "free some disk space and open again")
	assert.Empty(t, f.calls)
}

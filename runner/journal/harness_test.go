package journal

// Shared by the tests: chains of lines, journals on disk, and handles that
// fail on purpose.

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// lineAfter builds a line with the given note that follows prev.
func lineAfter(prev, note string) []byte {
	text, err := json.Marshal(note)
	if err != nil {
		panic(err)
	}
	return fmt.Appendf(nil, `{"who":"asha","note":%s,"prev":"%s"}`, text, prev)
}

// chain builds lines that follow one another, one for each note.
func chain(notes ...string) [][]byte {
	prev := Genesis
	lines := make([][]byte, 0, len(notes))
	for _, note := range notes {
		line := lineAfter(prev, note)
		lines = append(lines, line)
		prev = Digest(line)
	}
	return lines
}

// small is a short job; its notes hold what JSON must escape.
func small() [][]byte {
	return chain("bay 2, Millbrook depot", "quoted \"prev\":\"\" and a break\n", "31 °C", "closed")
}

// long is a job whose lines are shorter and longer than a disk sector.
func long() [][]byte {
	return chain(strings.Repeat("procedure ", 180), "a", strings.Repeat("b", 700), "c", "d",
		strings.Repeat("e", 300), strings.Repeat("f", 1600))
}

// fileOf joins lines as they stand in a file.
func fileOf(lines [][]byte) []byte {
	var data []byte
	for _, line := range lines {
		data = append(append(data, line...), '\n')
	}
	return data
}

// onDisk writes data as a job's journal in a new folder and returns its path.
func onDisk(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

// created makes a new journal that holds lines and is closed with the test.
func created(t testing.TB, lines [][]byte) *Journal {
	t.Helper()
	j, err := Create(filepath.Join(t.TempDir(), "journal.jsonl"))
	require.NoError(t, err)
	t.Cleanup(func() { j.Close() })
	for _, line := range lines {
		require.NoError(t, j.Append(line))
	}
	return j
}

// asides lists the torn originals kept beside the journal at path.
func asides(t testing.TB, path string) []string {
	t.Helper()
	names, err := filepath.Glob(path + ".torn-*")
	require.NoError(t, err)
	return names
}

// contents reads a file.
func contents(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

// faulty is a handle that records its calls and fails where it is told to.
type faulty struct {
	handle
	calls    []string
	short    int   // bytes that a write takes when writeErr or cutWrite is set
	cutWrite bool  // take short bytes and report no error
	writeErr error // take short bytes and report this
	truncErr error
	syncErr  error
}

func (f *faulty) taken(p []byte) []byte {
	if f.writeErr != nil || f.cutWrite {
		return p[:f.short]
	}
	return p
}

func (f *faulty) Write(p []byte) (int, error) {
	f.calls = append(f.calls, fmt.Sprintf("write %d", len(p)))
	n, err := f.handle.Write(f.taken(p))
	if err == nil {
		err = f.writeErr
	}
	return n, err
}

func (f *faulty) WriteAt(p []byte, at int64) (int, error) {
	f.calls = append(f.calls, fmt.Sprintf("write %d at %d", len(p), at))
	n, err := f.handle.WriteAt(f.taken(p), at)
	if err == nil {
		err = f.writeErr
	}
	return n, err
}

func (f *faulty) Truncate(size int64) error {
	f.calls = append(f.calls, fmt.Sprintf("cut to %d", size))
	if f.truncErr != nil {
		return f.truncErr
	}
	return f.handle.Truncate(size)
}

func (f *faulty) Sync() error {
	f.calls = append(f.calls, "sync")
	if f.syncErr != nil {
		return f.syncErr
	}
	return f.handle.Sync()
}

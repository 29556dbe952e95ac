package journal

// A model of a job that is appended to, crashes and is reopened at random: a
// list of acknowledged lines. After any of it the file holds exactly these,
// and at most the one line that was written whole but not acknowledged.

import (
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type jobModel struct {
	j     *Journal
	lines [][]byte // acknowledged, or found whole on reopening
}

func (m *jobModel) next(t *rapid.T) []byte {
	return lineAfter(m.j.Head(), rapid.StringN(0, 40, 400).Draw(t, "note"))
}

func (m *jobModel) append(t *rapid.T) {
	line := m.next(t)
	require.NoError(t, m.j.Append(line))
	m.lines = append(m.lines, line)
}

func (m *jobModel) refuse(t *rapid.T) {
	line := m.next(t)
	at := rapid.IntRange(len(line)-tailBytes+len(prevOpen), len(line)-len(prevClose)-1).Draw(t, "digit")
	line[at] ^= 1 // another digit, or none
	require.Error(t, m.j.Append(line))
}

func (m *jobModel) closeAndReopen(t *rapid.T) {
	require.NoError(t, m.j.Close())
	m.reopen(t, nil)
}

// crash leaves what a power loss leaves of an append in flight: its first
// bytes, some of them zero, and perhaps zeros behind them.
func (m *jobModel) crash(t *rapid.T) {
	line := m.next(t)
	require.NoError(t, m.j.Close())
	written := append(slices.Clone(line), '\n')
	written = written[:rapid.IntRange(0, len(written)).Draw(t, "written")]
	if len(written) > 0 && rapid.Bool().Draw(t, "holed") {
		from := rapid.IntRange(0, len(written)-1).Draw(t, "hole")
		clear(written[from:rapid.IntRange(from+1, len(written)).Draw(t, "hole end")])
	} else if len(written) <= len(line) && rapid.Bool().Draw(t, "zeros behind") {
		written = append(written, make([]byte, 64)...)
	}
	file, err := os.OpenFile(m.j.Path(), os.O_WRONLY|os.O_APPEND, 0)
	require.NoError(t, err)
	_, err = file.Write(written)
	require.NoError(t, err)
	require.NoError(t, file.Close())
	if slices.Equal(written, append(slices.Clone(line), '\n')) {
		m.reopen(t, line)
		return
	}
	m.reopen(t, nil)
}

// fail makes the disk fail at a random byte of an append.
func (m *jobModel) fail(t *rapid.T) {
	line := m.next(t)
	f := &faulty{handle: m.j.file}
	m.j.file = f
	f.short = rapid.IntRange(0, len(line)+1).Draw(t, "taken")
	switch {
	case f.short == len(line)+1:
		f.syncErr = syscall.EIO
	case rapid.Bool().Draw(t, "silently"):
		f.cutWrite = true
	default:
		f.writeErr = syscall.ENOSPC
	}
	require.ErrorIs(t, m.j.Append(line), ErrPoisoned)
	require.ErrorIs(t, m.j.Append(line), ErrPoisoned)
	require.NoError(t, m.j.Close())
	if f.short == len(line)+1 {
		m.reopen(t, line)
		return
	}
	m.reopen(t, nil)
}

// reopen expects the model's lines and, if given, the one in flight. Before
// its first line a job never began: the model then starts it anew.
func (m *jobModel) reopen(t *rapid.T, inFlight []byte) {
	if inFlight != nil {
		m.lines = append(m.lines, inFlight)
	}
	path := m.j.Path()
	var found Recovery
	var err error
	if m.j, found, err = Open(path); len(m.lines) == 0 {
		require.ErrorIs(t, err, ErrNeverBegan)
		require.NoError(t, os.Remove(path))
		m.j, err = Create(path)
		require.NoError(t, err)
		return
	}
	require.NoError(t, err)
	require.Equal(t, m.lines, found.Lines)
}

func (m *jobModel) check(t *rapid.T) {
	require.Equal(t, len(m.lines), m.j.Len())
	require.Equal(t, headOf(m.lines), m.j.Head())
	data, err := os.ReadFile(m.j.Path())
	require.NoError(t, err)
	require.Equal(t, string(fileOf(m.lines)), string(data))
}

func TestNoCrashLosesAnAcknowledgedLineOrInventsOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "journal-model-")
		require.NoError(t, err)
		defer os.RemoveAll(dir)
		j, err := Create(filepath.Join(dir, "journal.jsonl"))
		require.NoError(t, err)
		m := &jobModel{j: j}
		defer func() { m.j.Close() }()
		t.Repeat(map[string]func(*rapid.T){
			"append": m.append, "refuse": m.refuse, "reopen": m.closeAndReopen,
			"crash": m.crash, "fail": m.fail, "": m.check,
		})
	})
}

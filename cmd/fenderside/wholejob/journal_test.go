//go:build unix

package wholejob

// The journal on disk is what has been entered: it is read as it grows, and replayed through the rules.

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/record"
)

// journal is the journal of the one open job of a folder.
type journal struct {
	t      *testing.T
	folder string
	path   string
	read   int64 // bytes of it that were replayed
	lines  []record.Line
	replay *record.Replay
}

// grow replays what was written since. It reports whether the job is open.
func (j *journal) grow() bool {
	if j.path == "" {
		found, err := filepath.Glob(filepath.Join(j.folder, "*", "open", "*", "journal.jsonl"))
		require.NoError(j.t, err)
		if len(found) == 0 {
			return false
		}
		j.path = found[0]
	}
	file, err := os.Open(j.path)
	if os.IsNotExist(err) {
		return false // it has moved to the records
	}
	require.NoError(j.t, err)
	defer file.Close()
	_, err = file.Seek(j.read, io.SeekStart)
	require.NoError(j.t, err)
	text, err := io.ReadAll(file)
	require.NoError(j.t, err)
	j.take(text)
	return j.replay != nil
}

// take replays the whole lines of a text; one that is being written is left for the next time.
func (j *journal) take(text []byte) {
	for {
		end := bytes.IndexByte(text, '\n')
		if end < 0 {
			return
		}
		l, err := record.Decode(text[:end])
		require.NoError(j.t, err)
		if j.replay == nil {
			j.replay, err = record.Start(&record.Binder{}, l)
		} else {
			err = j.replay.Step(l)
		}
		require.NoError(j.t, err)
		j.lines = append(j.lines, l)
		j.read, text = j.read+int64(end)+1, text[end+1:]
	}
}

// length is how many lines the journal has.
func (j *journal) length() int {
	j.grow()
	return len(j.lines)
}

// finished is how often a step was completed.
func (j *journal) finished(step string) int {
	j.grow()
	n := 0
	for _, l := range j.lines {
		for _, e := range l.Events {
			if d, ok := e.(runner.Done); ok && d.Step == step {
				n++
			}
		}
	}
	return n
}

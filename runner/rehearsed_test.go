package runner_test

// Whole jobs, played from scripts, that showed what the core must keep.

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/rehearsal"
)

// played returns the lines of the record of a shipped script.
func played(t *testing.T, script string) []record.Line {
	t.Helper()
	done, err := rehearsal.Sample(t.TempDir(), script)
	require.NoError(t, err)
	data, err := os.ReadFile(done.Record)
	require.NoError(t, err)
	texts, err := journal.Read(data)
	require.NoError(t, err)
	var lines []record.Line
	for _, text := range texts {
		l, err := record.Decode(text)
		require.NoError(t, err)
		lines = append(lines, l)
	}
	return lines
}

func TestWhatAStepReleasesTogetherDoesNotLapseOneFromTheOther(t *testing.T) {
	released := 0
	for _, l := range played(t, "sensor-swap-plain") {
		fell, gone := map[string]bool{}, map[string]bool{}
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.Fell:
				fell[e.Safeguard] = true
			case runner.Released:
				gone[e.Safeguard] = true
				released++
			}
		}
		for id := range gone {
			assert.False(t, fell[id], "line %d says that %s lapsed and was released on purpose", l.Seq, id)
		}
	}
	assert.Equal(t, 6, released, "battery, airbag supply, exhaust, start, key and chocks")
}

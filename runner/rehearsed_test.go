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

// played returns the lines of the record of a script.
func played(t *testing.T, file string) []record.Line {
	t.Helper()
	script, err := os.ReadFile(file)
	require.NoError(t, err)
	done, err := rehearsal.Run(rehearsal.Options{Script: script, ScriptName: file, Out: t.TempDir()})
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
	for _, l := range played(t, "../procedures/library/scripts/sensor-swap-plain.yaml") {
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

func TestAHandoverSecuresAgainInTheOrderOfTheProcedure(t *testing.T) {
	var done []string
	under := false
	for _, l := range played(t, "rehearsal/testdata/swap-broken-off.yaml") {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.HandoverBegun:
				under = true
			case runner.SignedOff:
				under = false
			case runner.Done:
				if under {
					done = append(done, e.Step)
				}
			}
		}
	}
	assert.Equal(t, []string{"secure-vehicle", "take-key", "battery.isolate-battery", "battery.wait-restraints", "support.support-vehicle", "cool.measure-cool"}, done,
		"the battery is proved dead before anybody goes near the raised vehicle")
}

func TestAHandoverAsksForNoStepThatUndoesWhatItJustSecured(t *testing.T) {
	lines := played(t, "rehearsal/testdata/handed-over-while-lowering.yaml")
	times := map[string]int{}
	for _, l := range lines {
		for _, e := range l.Events {
			if done, ok := e.(runner.Done); ok {
				times[done.Step]++
			}
		}
	}
	assert.Equal(t, 2, times["support.support-vehicle"], "once by each person")
	assert.Equal(t, 1, times["support.lower-vehicle"])
}

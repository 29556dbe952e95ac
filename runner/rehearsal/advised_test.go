package rehearsal_test

// The procedures that ship compute what they advise, and a failed advice holds nothing.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner/rehearsal"
)

func TestAdviceIsGivenOnCoolingPlaceHeaterAndReplies(t *testing.T) {
	for script, wants := range map[string][]string{
		"sensor-swap-plain":    {`"check":"sensor-position","verdict":"pass"`, `"check":"heater","verdict":"pass"`, `"check":"heater","verdict":"fail"`},
		"sensor-swap-heated":   {`"check":"cooling-forecast","verdict":"none"`, `"check":"sensor-position","verdict":"pass"`},
		"sensor-swap-leak":     {`"check":"sensor-position","verdict":"pass"`, `"check":"heater","verdict":"pass"`},
		"prove-the-fault-leak": {`"check":"obd-reply","verdict":"none"`, `"Text":"P0141"`, `load","Text":"21.96 %"`}, // pasted bytes
		"oxygen-sensor-rear":   {`"check":"obd-reply","verdict":"none"`, `"Text":"P0141"`, `load","Text":"21.96 %"`}, // a file of them
		"sensor-swap-referred": {`"check":"sensor-position","verdict":"pass"`, `"check":"cooling-forecast","verdict":"more"`},
	} {
		folder := t.TempDir()
		_, err := rehearsal.Sample(folder, script)
		require.NoError(t, err, script)
		records, err := filepath.Glob(filepath.Join(folder, "records", "*", "record.jsonl"))
		require.NoError(t, err)
		if len(records) == 0 {
			records, _ = filepath.Glob(filepath.Join(folder, "*", "records", "*", "record.jsonl"))
		}
		require.Len(t, records, 1)
		text, err := os.ReadFile(records[0])
		require.NoError(t, err)
		for _, want := range wants {
			assert.True(t, strings.Contains(string(text), want), "%s: no %s", script, want)
		}
	}
}

package figuretest

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks/quantity"
)

// of is the one figure of a row.
func of(t *testing.T, row string) Figure {
	t.Helper()
	all := Of(row)
	assert.NotEmpty(t, all, row)
	return all[0]
}

func TestAFigureIsTracedByTheWordsAroundIt(t *testing.T) {
	k := knownFrom("At most 5 min in all", "45.5 N·m", "B1S1", "7", "IN PLACE: 6")
	for row, is := range map[string]bool{
		"At most 5 min in all": true, "at most 5 min in": true, "At least 5 min in all": false, "At most 6 min in all": false,
		"read: Setting: 45.5 N·m with TW-3": true, "read: Setting: 45.6 N·m": false, "read: Setting: 45.5 mm": false,
		"found: B1S1, by hand": true, "B1S2": false, "At most 5 m..": true, "At most 5 k..": false,
		"7": true, "8": false, "7 stands": false, "in place 6 s": false, "Not yet | 7": true,
	} {
		assert.Equal(t, is, k.Traces(of(t, row)), row)
	}
}

func TestADrawingMayRoundWhatACheckRecordedAndConvertIt(t *testing.T) {
	k := &Known{measures: quantities("set to 45.55 N·m; -0.02 V, 3 min")}
	for row, is := range map[string]bool{
		"45.5 N m": true, "45.6 N·m": true, "45.7 N·m": false, "33.6 lbf·ft": true, "33.7 lbf·ft": false, // 45.55 N·m is 33.596 lbf·ft, by units(1)
		"46 N·m": true, "44 N·m": false, "20 mV": true, "0.2 V": false, "45.6": true, "46": false, "45.6 mm": false, "3 min": false,
	} {
		assert.Equal(t, is, k.Traces(of(t, row)), row)
	}
	_, err := quantity.Parse("45.6 accept")
	assert.Error(t, err, "a word is no unit")
}

func TestKeysPagesAndScalesAreNoFigures(t *testing.T) {
	for _, row := range []string{"F4 STOP WORK | F12 draw", "THE RECORD  (1 to 17 of 26)", "   .. 11 rows more below", "    150 C|  o", "           0 min          50 min",
		"Press 5 if it is so. Look first.", "5 it is so | F4 STOP WORK", "9 signs it | Esc close", "To sign it, press the figure 9.", "> [x]  3  Battery off", "   450 mV|**XX/*XX"} {
		assert.Empty(t, Of(row), row)
	}
}

func TestATamperedFigureDiffersInItsLastDigitAlone(t *testing.T) {
	all := of(t, "to 58.04 N·m").Tampered()
	assert.Len(t, all, 9)
	assert.Equal(t, "to 58.00 N m", all[0].In())
	assert.NotContains(t, all, of(t, "to 58.04 N·m"))
}

func TestWhatNoRowHoldsIsKnownWhereItStandsWhole(t *testing.T) {
	s := &Sources{}
	s.Breaks("/tmp/job-17/record.jsonl")
	assert.Empty(t, s.Figures("Record: /tmp/job-1\n  7/record.jsonl"))
	assert.NotEmpty(t, s.Figures("Record: /tmp/job-18/record.jsonl"))
}

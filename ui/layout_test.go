package ui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"fenderside/procedures/plaintext"
)

// Every text gets into a row through one of these.
func rowsOf(s string, w int) []string {
	plain := func(in ...string) string { return strings.Join(in, "") }
	rows := append(wrap(s, w), cut(s, w))
	rows = append(rows, flow([]part{{s, plain}, {"and " + s, plain}}, " | ", w)...)
	rows = append(rows, cutWords(s, w), valued(s, s, w))
	return append(rows, wrapped([]string{s}, "- ", w)...)
}

func TestNoRowIsWiderThanItsWindowOrHoldsAHiddenCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.IntRange(20, 200).Draw(t, "width")
		s := rapid.String().Draw(t, "text") + rapid.SampledFrom([]string{"", "\x1b[2J", "漢字漢字漢字", "\u202e", strings.Repeat("x", 90), "\xff"}).Draw(t, "tail")
		for _, row := range rowsOf(s, w) {
			if ansi.StringWidth(row) > w || plaintext.Check(row) != nil {
				t.Fatalf("row %q of %q in %d columns", row, s, w)
			}
		}
	})
}

func TestARowOfPartsThatGoesOnSaysSo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []part
		for _, s := range rapid.SliceOfN(rapid.StringMatching(`[a-z]{1,30}`), 1, 20).Draw(t, "parts") {
			parts = append(parts, part{s, ascii().plain.Render})
		}
		w := rapid.IntRange(40, 120).Draw(t, "width")
		rows := flow(parts, " | ", w)
		for i, row := range rows {
			if strings.HasSuffix(row, " |") != (i+1 < len(rows)) || len(row) > w {
				t.Fatalf("row %d of %q in %d columns", i, rows, w)
			}
		}
	})
}

func TestWrappingLosesNoWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.StringMatching(`[a-zé0-9-]{1,30}`), 1, 40).Draw(t, "words")
		rows := wrap(strings.Join(text, " "), rapid.IntRange(30, 120).Draw(t, "width"))
		if got := strings.Fields(strings.Join(rows, " ")); strings.Join(got, " ") != strings.Join(text, " ") {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

func TestWhatMustBeShownIsShownOrMissedAloud(t *testing.T) {
	must := block{rows: []string{"warning", "warning"}}
	may := block{rows: []string{"how", "how", "how"}, rank: 1}
	rows, missing := fit([]block{must, may}, 1)
	assert.Nil(t, rows)
	assert.Equal(t, 1, missing)
	rows, missing = fit([]block{may, must}, 4)
	assert.Equal(t, []string{"warning", "warning"}, rows)
	assert.Zero(t, missing)
	rows, _ = fit([]block{must, may}, 5)
	assert.Len(t, rows, 5)
}

func TestEmptyRowsGiveWayToHowAStepIsDone(t *testing.T) {
	must, gap := block{rows: []string{"warning"}}, block{rows: []string{""}, rank: 1, gap: true}
	how := block{rows: []string{"", "one", "two", "three"}, rank: 2, shorten: "the rest", folds: true}
	rows, _, folded := unfolded([]block{must, gap, how}, 6)
	assert.Equal(t, []string{"warning", "", "", "one", "two", "three"}, rows)
	assert.Zero(t, folded)
	rows, _, folded = unfolded([]block{must, gap, how}, 4)
	assert.Equal(t, []string{"warning", "one", "two", "three"}, rows)
	assert.Zero(t, folded)
	rows, _, folded = unfolded([]block{must, gap, how}, 3)
	assert.Equal(t, []string{"warning", "one", "the rest"}, rows)
	assert.Equal(t, 2, folded)
	rows, missing, _ := unfolded([]block{must, gap, how}, 0)
	assert.Nil(t, rows)
	assert.Equal(t, 1, missing)
}

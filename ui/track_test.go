package ui

import (
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/ui/picture"
)

// columnWords is the track in its column, as words.
func (r *rig) columnWords(width, height int) string {
	r.size(width, height)
	var text []string
	for _, row := range r.m.work.column(r.m.look, trackWidth(width)-2, height) {
		text = append(text, strings.TrimPrefix(row, trackStep))
	}
	return strings.Join(strings.Fields(strings.Join(text, " ")), " ")
}

func TestTheTrackBesideAStepTellsEveryTitleToItsEnd(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("read battery.residual", plainJob)
	for _, size := range [][2]int{sizes[2], sizes[3]} {
		words := r.columnWords(size[0], size[1])
		assert.NotContains(t, words, "..")
		assert.Contains(t, words, "HERE: Take the battery's negative cable off and prove it dead")
		assert.Contains(t, words, "gate shut: Wait for the airbag back-up supply to run down")
	}
	assert.Len(t, r.m.work.column(r.m.look, 38, 8), 7, "a row each where there are too few")
}

func TestAWindowWithoutRoomForTheTrackSaysWhatComesNext(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("affirm take-key", plainJob).size(80, 24)
	assert.NotContains(t, r.view(), "HERE: ")
	assert.Contains(t, r.view(), trackGateShut+" THEN: Take the battery's negative cable off and prove it dead")
}

func TestAWaitIsNamedOnceAndItsLengthHasItsUnit(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("start battery.wait-restraints", plainJob).size(80, 18)
	assert.Equal(t, 1, strings.Count(r.view(), "Wait for the airbag back-up supply to run down"))
	assert.Contains(t, r.view(), "At least 3 min.")
	r.key("enter").pass(13 * time.Second)
	assert.Equal(t, 1, strings.Count(r.view(), "Wait for the airbag back-up supply to run down"))
}

func TestAnAnswerIsInvitedByItsNumberUntilOneIsMarked(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("answer choose-reach", plainJob)
	assert.Contains(t, r.view(), "Press its number, then Enter.")
	r.key("2")
	assert.Contains(t, r.view(), "Enter: gives the answer.")
}

func TestNoHeadingIsLeftOverNothing(t *testing.T) {
	b := block{rows: []string{"torque setting:", "  one", "  two"}, shorten: ".. the rest", alone: "all of it"}
	assert.Equal(t, b.rows, b.take(3))
	assert.Equal(t, []string{"all of it"}, b.take(2), "the heading had nothing under it")
	assert.Equal(t, []string{"all of it"}, b.take(1))
	b.alone = leftOut
	assert.Empty(t, b.take(2))
	b.rows[0] = "  zero"
	assert.Equal(t, []string{"  zero", ".. the rest"}, b.take(2))
}

func TestTheRowOfAStateCountsEverySafeguardThatItDoesNotName(t *testing.T) {
	var parts []part
	for _, name := range []string{"IN PLACE: battery isolated 51 min", "exhaust cool 5 min", "restraints quiet 47 min", "2 more (F3)"} {
		parts = append(parts, part{name, ascii().plain.Render})
	}
	row := squeezed(parts, 60, 2)
	require.Len(t, row, 2)
	assert.Equal(t, "4 more (F3)", row[1].text)
	row = squeezed(parts, 80, 2)
	assert.Equal(t, "3 more (F3)", row[len(row)-1].text)
	row = squeezed(parts[:3], 70, 0)
	assert.Equal(t, "1 more (F3)", row[len(row)-1].text)
}

func TestATitleRowHasNoPartOfAWord(t *testing.T) {
	r := newRig(t).start("millbrook-four")
	assert.Contains(t, r.m.work.titleRow(60), "Replace an exhaust oxygen or.. | ")
	assert.Contains(t, r.m.work.titleRow(76), "Replace an exhaust oxygen or air-fuel sensor | ", "the revision goes first")
	assert.Contains(t, r.m.work.titleRow(120), "sensor, revision 2 | job ")
	assert.Equal(t, "two words", cutWords("two words", 9))
	assert.Equal(t, "two..", cutWords("two words", 8))
	assert.Equal(t, "two..", cutWords("two: words", 8))
	assert.Equal(t, "o..", cutWords("oneword", 3), "one that is all of it")
}

func TestAValueIsNotCutWhereItsTitleCanBe(t *testing.T) {
	const title, value = "> 4 Least tightening torque of a wheel nut or bolt", "105 N·m (from the card)"
	assert.Equal(t, title+": "+value, valued(title, value, 80))
	assert.Equal(t, "> 4 Least tightening torque of a..: "+value, valued(title, value, 60))
	assert.Equal(t, "> 4 Least tightening torque of a whe..", valued(title, value, 38), "neither fits")
}

func TestNoTextIsSetWiderThanCanBeRead(t *testing.T) {
	for _, name := range []string{"briefing", "help", "review", "stopped", "end", "sheet-end", "unsigned"} {
		r := newRig(t)
		screens[name](r)
		r.size(200, 60)
		rows := strings.Split(r.view(), "\n")
		body := rows[len(rows)-3-r.m.bodyHeight() : len(rows)-3]
		for _, row := range body {
			assert.LessOrEqual(t, ansi.StringWidth(row), widestText, "%s: %q", name, row)
		}
	}
	line := "ssh-keygen -Y verify " + strings.Repeat("-n word ", 14)
	assert.Len(t, wrapped([]string{line}, "", 200), 1, "a command to be copied stays in one row")
}

func TestTheActionIsDrawnLargeWhereNothingIsLostByIt(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("affirm take-key", plainJob)
	letters := picture.Lettering("Stop the engine and keep the key on you", picture.Form{Width: widestText}).Rows
	small := func() bool {
		rows := strings.Split(r.view(), "\n")
		return slices.ContainsFunc(rows, func(row string) bool { return strings.HasSuffix(row, "  Stop the engine and keep the key on you") })
	}
	r.size(200, 60)
	for _, row := range letters {
		assert.Contains(t, r.view(), row)
	}
	assert.Contains(t, r.flat(), "Hang a do-not-start tag on the steering wheel.")
	assert.False(t, small(), "it is not said twice")
	r.size(120, 30)
	assert.NotContains(t, r.view(), letters[0])
	assert.True(t, small())
	loud := lipgloss.NewRenderer(io.Discard)
	loud.SetColorProfile(termenv.TrueColor)
	drawn := strings.Join(solid(themeOf(loud, true), letters), "\n")
	assert.Contains(t, drawn, "\x1b[1;7m###\x1b[0m", "a stroke is drawn in reverse, with no colour of its own")
	assert.Equal(t, strings.Join(letters, "\n"), ansi.Strip(drawn), "and drawing adds nothing")
}

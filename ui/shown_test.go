package ui

import (
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatAStepIsGoneByStandsBesideIt(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("affirm compare-part", plainJob)
	for _, size := range sizes {
		r.size(size[0], size[1])
		assert.Contains(t, r.flat(), "On the sheet: Connector (pins, colour, keys): 5 pins, black, two keys", "%v", size)
	}
	r.size(60, 18).to("read new_kind", plainJob)
	assert.Contains(t, r.flat(), "it is compared with the sheet.")
	assert.NotContains(t, r.flat(), "On the sheet: Connector", "the room is for what is looked at")
	r.size(80, 24)
	assert.NotContains(t, r.flat(), "On the sheet: Kind of sensor", "what is compared is not told first")
	r.to("affirm route-lead", plainJob)
	assert.Contains(t, r.flat(), "Recorded before: The lead's way, clip by clip: "+plainJob["lead_route"][0])
	r.key("f2")
	assert.Contains(t, r.flat(), "Recorded before: The lead's way")
}

func TestWhatWasNotRecordedIsNotShown(t *testing.T) {
	r := newRig(t)
	book := with(plainJob, "note-lead", "A photo is kept with this job")
	r.start("millbrook-four").to("attach lead_photo", book).typed(r.note()).to("affirm route-lead", book)
	require.Equal(t, "route-lead", r.m.work.step().ID)
	assert.NotContains(t, r.flat(), "Recorded before")
}

// at60 is a screen in the smallest window, as one row of words.
func at60(t *testing.T, name string) (flat string, rows []string) {
	r := rigFor(t, name)
	screens[name](r)
	r.size(60, 18)
	return r.flat(), strings.Split(r.view(), "\n")
}

func TestWhatASignatureMeansIsReadWholeBeforeItIsGiven(t *testing.T) {
	flat, _ := at60(t, "apprentice-sign")
	assert.Contains(t, flat, "the lines above about what is left and what follows are all there is to say.")
	assert.Contains(t, flat, "Nothing in it can be changed afterwards without its showing.")
}

func TestALineOfATagKeepsItsEdge(t *testing.T) {
	_, rows := at60(t, "done-left")
	i := slices.Index(rows, "| DO NOT START")
	require.GreaterOrEqual(t, i, 0)
	for _, row := range rows[i : i+8] {
		assert.True(t, strings.HasPrefix(row, "| "), row)
	}
}

func TestABannerThatDoesNotFitIsCutBeforeItsReason(t *testing.T) {
	flat, _ := at60(t, "two-warnings")
	assert.Contains(t, flat, "HELD before “Heat the boss around the sensor”. WARNING")
}

func TestWhatWentWrongOnTheBoardIsToldToItsEnd(t *testing.T) {
	flat, _ := at60(t, "locked-journal")
	assert.NotContains(t, flat, "..Enter")
	assert.Regexp(t, `the job never began: start it again[^.]* Enter take it`, flat)
}

func TestTheRecordNamesWhoActsOnceAndNotInEveryLine(t *testing.T) {
	r := newRig(t)
	screens["review"](r)
	rows := r.m.top().(*reader).drawn(80)
	assert.Equal(t, 1, strings.Count(strings.Join(rows, "\n"), "Acting: "+asha))
	assert.Contains(t, rows, "09:00:00 Acknowledged: What this program is not")
	assert.Contains(t, rows, "  Least tightening torque: 40 N·m (from the card)", "the first line of the card says where its figures stand")
	assert.Contains(t, strings.Join(rows, " "), "MCM 4 (from the card: invented for the Millbrook")
	for _, row := range rows {
		assert.LessOrEqual(t, ansi.StringWidth(row), 80)
	}
}

package ui

import (
	"testing"

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

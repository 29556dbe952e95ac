package runner

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestNoTimeIsCreditedFromOneProcessToAnother(t *testing.T) {
	from := Moment{Session: 1, Mono: time.Minute}
	assert.Equal(t, time.Hour, since(from, Moment{Session: 1, Mono: time.Hour + time.Minute}))
	assert.Zero(t, since(from, Moment{Session: 2, Mono: time.Hour}), "its time counts from its own start")
	assert.Zero(t, since(from, Moment{Session: 1, Mono: time.Second}))
}

func TestALengthOfTimeHasItsUnitsAndIsNeverToldShorterThanItIs(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "0 s", 400 * time.Millisecond: "1 s", time.Minute: "1 min", 90 * time.Second: "1 min 30 s", 2*time.Hour + time.Second: "2 h 1 s",
	} {
		assert.Equal(t, want, InWords(d))
	}
}

func TestAClockThatWasMovedIsToldWithItsWay(t *testing.T) {
	for drift, want := range map[time.Duration]string{20 * time.Minute: "clock moved on by 20 min", -90 * time.Second: "clock moved back by 1 min 30 s"} {
		assert.Contains(t, new(Job).Tell(Interrupted{Cause: ByClock, Drift: drift.Milliseconds()}), "("+want+")")
	}
	assert.NotContains(t, new(Job).Tell(Interrupted{Cause: ByPause}), "clock")
}

//go:build unix

package wholejob

// The test that costs two threads: the suspect changes places with its fellow and back, each time through the gates of a swap.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/procedures"
)

func TestTwoSensorsChangePlacesAndGoBackThroughTheGatesOfASwap(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "swap-sides", vehicle: "millbrook-six", position: "B1S2", ends: procedures.Complete,
		book: changedOver.with(fromAbove)}.goes(t)
	for _, gate := range []string{"battery.isolate-battery", "cool.measure-cool", "measure-other", "torque-here", "torque-there", "lock-connectors"} {
		assert.Equal(t, 2, record.finished(gate), "%s: once on the way over and once on the way back", gate)
	}
	record.passed("tools-out", "battery.battery-back", "read-sides", "run.stop-engine", "chocks-away", "key-back")
	assert.Empty(t, record.state().Left())
}

func TestTheWholeJobGoesThroughTheChangeOfTwoSensorsBeforeOneIsReplaced(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "oxygen-sensor", vehicle: "millbrook-six", position: "B1S2", ends: procedures.Complete,
		book: rearSignal.with(twoBanks, fromAbove, set("42 N·m"), shownBySides)}.goes(t)
	for _, gate := range []string{"fault.sides.battery.isolate-battery", "fault.sides.cool.measure-cool", "fault.sides.measure-other",
		"fault.sides.torque-here", "fault.sides.torque-there", "fault.sides.lock-connectors"} {
		assert.Equal(t, 2, record.finished(gate), "%s: once on the way over and once on the way back", gate)
	}
	for _, gate := range []string{"fault.settle-verdict", "swap.battery.isolate-battery", "swap.cool.measure-cool", "swap.torque.read-torque"} {
		assert.Equal(t, 1, record.finished(gate), "%s: the swap itself comes after, through gates of its own", gate)
	}
	record.passed("fault.sides.read-sides", "fault.weigh-sides", "fault.name-part", "swap.first-start", "repair.settle-repair", "key-back")
	assert.Empty(t, record.state().Left())
}

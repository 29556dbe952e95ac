//go:build unix

package wholejob

// A job that ends before its last step is made safe, signed and kept like any other, and its record says how it ended.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner/store"
)

func TestAFaultThatIsElsewhereIsReferredAndOpensNoSwap(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "oxygen-sensor", vehicle: "millbrook-six", position: "B1S2", ends: procedures.Referred,
		book: rearSignal.with(twoBanks, fromBeneath, onLift, untouched, book{
			"fault.leak": {"found"}, "weigh-findings": {"Look elsewhere, or not shown and left at that"}}),
		follow: []string{"Mend the leak at the rear flange of bank 1 and test the sensor again"},
	}.goes(t)
	record.passed("fault.support.lower-vehicle", "fault.run.stop-engine", "chocks-away", "key-back")
	record.untouched("fault.settle-verdict", "swap.battery.isolate-battery", "swap.break-loose", "repair.settle-repair")
	assert.Len(t, record.state().FollowUps(), 1)
}

func TestAFaultThatIsNotShownAtTheSecondTimeEitherIsReferred(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "prove-the-fault", vehicle: "millbrook-four", position: "B1S1", ends: procedures.Referred,
		book: frontSignal.with(oneBank, fromAbove, provedNot, book{"weigh-findings": {
			"Not shown, and", "Look elsewhere, or not shown and left at that"}}),
	}.goes(t)
	record.passed("run.stop-engine", "run-again", "chocks-away", "key-back")
	record.untouched("settle-verdict", "name-part")
}

func TestAJobThatIsAbandonedBeneathARaisedVehicleIsMadeSafeFirst(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "oxygen-sensor", vehicle: "millbrook-eight", position: "B1S2", ends: procedures.Abandoned,
		book:  rearSignal.with(twoBanks, fromBeneath, loose),
		leave: &leaving{"swap.break-loose", procedures.Abandoned, "called away to a breakdown on the road"},
	}.goes(t)
	record.passed("fault.settle-verdict", "swap.battery.isolate-battery", "swap.support.support-vehicle")
	record.passed("swap.tools-out", "swap.support.lower-vehicle", "swap.battery.battery-back", "chocks-away", "key-back")
	record.untouched("swap.break-loose", "swap.clear-to-start", "repair.settle-repair")
	assert.Equal(t, "called away to a breakdown on the road", record.state().Reason())
	assert.Empty(t, record.state().Left(), "nothing is left unsafe")
}

func TestAVehicleThatCannotBeLoweredIsLeftOnItsStandsUnderATag(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "sensor-swap", vehicle: "millbrook-eight", position: "B2S1", ends: procedures.Abandoned,
		book:  fromBeneath,
		leave: &leaving{"look-over-wiring", procedures.Abandoned, "the jack leaks and no other is at hand"},
		left:  map[string]string{"support.lower-vehicle": "on four stands, nobody may go beneath", "chocks-away": "chocked where it stands"},
	}.goes(t)
	record.passed("tools-out", "battery.battery-back", "key-back")
	record.untouched("support.lower-vehicle", "chocks-away")
	assert.Len(t, record.state().Left(), 2)
	assert.Contains(t, record.judged, "left in this state (step support.lower-vehicle): on four stands, nobody may go beneath")
	assert.Contains(t, strings.Join(record.screens, "\n"), "NOT DONE: Lower the vehicle onto its wheels")
	tag, err := os.ReadFile(filepath.Join(record.folder, store.TagFile))
	require.NoError(t, err)
	assert.Contains(t, string(tag), "DO NOT START")
}

func TestASeizedSensorThatIsLeftInItsThreadIsReferred(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "sensor-swap", vehicle: "millbrook-four", position: "B1S1", ends: procedures.Referred,
		book:   fromAbove.with(loose, book{"unscrew": {"It binds and is left as it is"}}),
		follow: []string{"Free the sensor or replace the pipe section at the exhaust workshop"},
	}.goes(t)
	record.passed("break-loose", "tools-out", "battery.battery-back", "chocks-away", "key-back")
	record.untouched("read-tip", "clear-to-start")
	assert.Len(t, record.state().FollowUps(), 1)
}

func TestARepairIsNotProvedWhereItsCodeComesBack(t *testing.T) {
	inParallel(t)
	record := journey{procedure: "prove-the-repair", vehicle: "millbrook-six", position: "B2S2", ends: procedures.Referred,
		book: rearSignal.with(book{"codes": {"the same code"}, "codes_words": {"P0161"}, "weigh-repair": {"Not proved, or left open"}}),
	}.goes(t)
	record.passed("run.stop-engine", "chocks-away")
	record.untouched("settle-repair", "file-result")
}

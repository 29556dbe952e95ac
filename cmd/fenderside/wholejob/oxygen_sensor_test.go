//go:build unix

package wholejob

// The whole job without trouble, on every demonstration vehicle: the fault is proved, the sensor is replaced and the repair is
// proved.

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/procedures"
	"fenderside/ui/terminaltest"
)

// repairs are front and rear sensors of an in-line engine, of one crosswise and of one lengthwise.
var repairs = []journey{
	{name: "front sensor of the only bank, from above", vehicle: "millbrook-four", position: "B1S1",
		book: frontSignal.with(oneBank, fromAbove, onAdapter, set("45.5 N·m"))},
	{name: "rear sensor of the only bank, in the smallest window", vehicle: "millbrook-four", position: "B1S2", window: terminaltest.Size{Width: 60, Height: 18},
		book: rearSignal.with(oneBank, fromBeneath, bareThreads, set("50 N·m"))},
	{name: "front sensor of the front bank, from above", vehicle: "millbrook-six", position: "B2S1",
		book: frontSignal.with(twoBanks, fromAbove, set("42 N·m"))},
	{name: "rear sensor of the rear bank, on a lift, a monitor still to run", vehicle: "millbrook-six", position: "B1S2",
		book: rearSignal.with(twoBanks, fromBeneath, onLift, set("42 N·m"), monitorToRun), follow: []string{"Read the monitors again after two runs"}},
	{name: "front sensor of the left bank, in a wide window", vehicle: "millbrook-eight", position: "B1S1", window: terminaltest.Size{Width: 120, Height: 30},
		book: frontSignal.with(twoBanks, fromBeneath, set("48 N·m"))},
	{name: "rear sensor of the right bank", vehicle: "millbrook-eight", position: "B2S2",
		book: rearSignal.with(twoBanks, fromBeneath, onLift, bareThreads, set("48 N·m"))},
	{name: "last sensor of the right bank, of the small thread", vehicle: "millbrook-eight", position: "B2S3",
		book: rearSignal.with(twoBanks, fromBeneath, set("23 N·m"))},
}

func TestTheWholeJobLeavesASoundRecordOnEveryVehicle(t *testing.T) {
	inParallel(t)
	for _, j := range repairs {
		t.Run(j.vehicle+" "+j.name, func(t *testing.T) {
			inParallel(t)
			j.procedure, j.ends = "oxygen-sensor", procedures.Complete
			record := j.goes(t)
			assert.Len(t, record.state().FollowUps(), len(j.follow))
		})
	}
}

// The rule of this file: no repair is proved with anything against it, or with
// anything not looked at.

package diagnosis

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var whole = Found{LeakAfter: NoLeak, CodesAfter: NoCode, TraceAfter: Improved, TrimsAfter: Settled, Monitors: AllComplete}

func with(changes Found) Found {
	f := maps.Clone(whole)
	maps.Copy(f, changes)
	return f
}

// The verdicts are those of common practice, written here by hand.
func TestARepairIsProvedFromEverythingThatWasReadAfterIt(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Found
		want Proof
		open bool
		says string
	}{
		{"all is well", whole, Proved, false, "every monitor complete"},
		{"a trace that was good before as well", with(Found{TraceAfter: WithinLimits}), Proved, false, ""},
		{"a monitor still to run", with(Found{Monitors: WithinRule}), ProvedFollowUp, false, "still to run: catalyst"},
		{"monitors just cleared", with(Found{Monitors: BeyondRule}), ProvedFollowUp, false, "still to run: catalyst"},
		{"the code came back", with(Found{CodesAfter: SameCode}), NotProved, false, "the cause is still there"},
		{"another code", with(Found{CodesAfter: OtherCode, Monitors: WithinRule}), NotProved, false, "hold back"},
		{"a leak at the boss", with(Found{LeakAfter: LeakFound}), NotProved, false, "air drawn in"},
		{"a trace as bad as before", with(Found{TraceAfter: NotImproved}), NotProved, false, "as bad as it was"},
		{"trims that stay", with(Found{TrimsAfter: Unsettled}), NotProved, false, "still works against a fault"},
		{"nobody listened", with(Found{LeakAfter: NotTested}), NotProved, true, "listen and look"},
		{"the monitors were not read", with(Found{Monitors: ""}), NotProved, true, "PID 01"},
		{"nothing was read", Found{}, NotProved, true, "clear the codes"},
	} {
		v, err := Repair(c.f, []string{"catalyst"})
		require.NoError(t, err)
		assert.Equal(t, c.want, v.Proof, "%s: %s", c.name, v.Because)
		assert.Equal(t, c.open, v.Open, c.name)
		assert.Contains(t, v.Because, c.says, c.name)
	}
}

func TestEveryCombinationAfterARepairIsJudgedByTheRuleAsItIsSaid(t *testing.T) {
	every(RepairTests(), Found{}, func(f Found) {
		v, err := Repair(f, nil)
		require.NoError(t, err)
		against := f[LeakAfter] == LeakFound || f[CodesAfter] == SameCode || f[CodesAfter] == OtherCode || f[TraceAfter] == NotImproved || f[TrimsAfter] == Unsettled
		unread := slices.Contains(slices.Collect(maps.Values(f)), NotTested)
		want := Proved
		switch {
		case against || unread:
			want = NotProved
		case f[Monitors] != AllComplete:
			want = ProvedFollowUp
		}
		require.Equal(t, want, v.Proof, "%v", f)
		require.Equal(t, unread && !against, v.Open, "%v", f)
		require.Equal(t, want == Proved, len(v.Next) == 0, "%v: what is not proved has a way on", f)
		require.Len(t, v.Workings, len(RepairTests()))
	})
}

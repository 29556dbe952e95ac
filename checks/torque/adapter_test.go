package torque_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/torque"
)

func TestTheSettingWithAnAdapterMeetsThePublishedExamples(t *testing.T) {
	for _, c := range []struct {
		source                string
		wanted, wrench, extra float64
		angle, set, within    float64
	}{
		{"US Army TM 1-1500-204-23-9, printed 214 lbf·in", 300, 10, 4, 0, 214.286, 5e-4},
		{"US Army TM 9-2350-261-20-1, p. 2-29", 40, 12, 4, 0, 30, 1e-12},
		{"US Navy course 14315, fig. 3-45, printed 66.7 lbf·in", 100, 12, 6, 0, 66.667, 5e-4},
		{"computed from the formula: 45 N·m in line", 45, 300, 30, 0, 40.9091, 5e-5},
		{"computed from the formula: 45 N·m square", 45, 300, 30, 90, 45, 1e-12},
		{"computed from the formula: 45 N·m turned back", 45, 300, 30, 180, 50, 1e-12},
		{"computed from the formula: 60° halves the adapter", 45, 300, 60, 60, 45 * 300.0 / 330, 1e-9},
		{"computed from the formula: either side alike", 45, 300, 60, -60, 45 * 300.0 / 330, 1e-9},
	} {
		t.Run(c.source, func(t *testing.T) {
			a := torque.Adapter{Wrench: c.wrench, Length: c.extra, Angle: c.angle}
			set, err := a.Setting(c.wanted)
			require.NoError(t, err)
			assert.InDelta(t, c.set, set, c.within)
			applied, err := a.Applied(set)
			require.NoError(t, err)
			assert.InDelta(t, c.wanted, applied, 1e-9)
		})
	}
}

func TestTheAppliedTorqueMeetsThePublishedExample(t *testing.T) {
	// US Army TM 9-254: a wrench of 12 with an adapter of 2 reads 60, applied 70.
	applied, err := torque.Adapter{Wrench: 12, Length: 2}.Applied(60)
	require.NoError(t, err)
	assert.InDelta(t, 70, applied, 1e-12)
}

func TestNoAdapterChangesNothing(t *testing.T) {
	for _, a := range []torque.Adapter{{}, {Wrench: 300}, {Wrench: 300, Angle: 45}} {
		factor, err := a.Factor()
		require.NoError(t, err)
		assert.Equal(t, 1.0, factor)
	}
}

func TestImpossibleGeometryIsRefusedByName(t *testing.T) {
	for want, a := range map[string]torque.Adapter{
		"wrench length 0: must be more than zero": {Length: 30},
		"wrench length -300":                      {Wrench: -300, Length: 30},
		"adapter length -30":                      {Wrench: 300, Length: -30},
		"past the grip":                           {Wrench: 300, Length: 300, Angle: 180},
		"lever arm -100":                          {Wrench: 300, Length: 400, Angle: 180},
		"adapter angle 181°":                      {Wrench: 300, Length: 30, Angle: 181},
		"adapter geometry: not finite":            {Wrench: math.NaN(), Length: 30},
		"too small beside adapter":                {Wrench: 1e-300, Length: 1e300},
		"measure the lengths and the an":          {Wrench: 300, Length: math.Inf(1)},
	} {
		_, err := a.Factor()
		require.ErrorContains(t, err, want)
		_, err = a.Setting(45)
		require.Error(t, err)
		_, err = a.Applied(45)
		require.Error(t, err)
	}
	_, err := torque.Adapter{}.Applied(math.NaN())
	require.Error(t, err)
}

func TestSettingAndAppliedUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := torque.Adapter{
			Wrench: rapid.Float64Range(100, 1000).Draw(t, "L"),
			Length: rapid.Float64Range(0, 90).Draw(t, "A"),
			Angle:  rapid.Float64Range(-180, 180).Draw(t, "angle"),
		}
		wanted := rapid.Float64Range(0.1, 1000).Draw(t, "wanted")
		set, err := a.Setting(wanted)
		require.NoError(t, err)
		back, err := a.Applied(set)
		require.NoError(t, err)
		assert.InEpsilon(t, wanted, back, 1e-12)
		// The moment about the fastener: the same pull at the grip acts on the
		// drive over L and on the fastener over the arm.
		pull := set / a.Wrench
		arm := a.Wrench + a.Length*math.Cos(a.Angle*math.Pi/180)
		assert.InEpsilon(t, wanted, pull*arm, 1e-9)
	})
}

func TestRightAnglesAreExact(t *testing.T) {
	for degrees, want := range map[float64]float64{0: 1, 90: 0, -90: 0, 180: -1, 270: 0, 360: 1} {
		assert.Equal(t, want, torque.Cosine(degrees))
	}
}

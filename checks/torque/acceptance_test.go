package torque_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/torque"
)

func TestTheToolsErrorIsRelativeToTheReference(t *testing.T) {
	// ISO 6789 (read at second hand): set 100 with reference 104.1 is -3.9385 %, in tolerance;
	// taken of the set value it would be -4.1 % and wrongly out.
	deviation, err := torque.Deviation(100, 104.1)
	require.NoError(t, err)
	assert.InDelta(t, -0.039385, deviation, 5e-7)
	ok, err := torque.InTolerance(100, 104.1, 200)
	require.NoError(t, err)
	assert.True(t, ok)
}

func TestThePermittedDeviationFollowsTheToolsLargestTorque(t *testing.T) {
	// ISO 6789, type II class A: ±4 % where the largest torque exceeds 10 N·m, else ±6 % (read at second hand).
	for largest, want := range map[float64]float64{200: 0.04, 10.001: 0.04, 10: 0.06, 5: 0.06} {
		got, err := torque.Permissible(largest)
		require.NoError(t, err)
		assert.Equal(t, want, got, "largest %g N·m", largest)
	}
	for _, c := range []struct {
		indicated, reference, largest float64
		ok                            bool
	}{
		{104, 100, 200, true}, {104.1, 100, 200, false}, {96, 100, 200, true}, {95.9, 100, 200, false},
		{5.3, 5, 10, true}, {5.31, 5, 10, false}, {4.7, 5, 10, true}, {4.69, 5, 10, false},
	} {
		ok, err := torque.InTolerance(c.indicated, c.reference, c.largest)
		require.NoError(t, err)
		assert.Equal(t, c.ok, ok, "%v", c)
	}
}

func TestAToolThatCannotBeIsRefused(t *testing.T) {
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := torque.Permissible(v)
		require.Error(t, err)
		_, err = torque.Deviation(100, v)
		require.Error(t, err)
		_, err = torque.InTolerance(100, v, 200)
		require.Error(t, err)
		_, err = torque.InTolerance(100, 100, v)
		require.Error(t, err)
	}
}

func TestTheGuardBandDividesTheWindow(t *testing.T) {
	// ILAC-G8:09/2019, section 4, w = U: tolerance 40 to 50 N·m and U = 2 accept 42 to 48.
	w := torque.Window{Low: 40, High: 50}
	assert.Equal(t, torque.Window{Low: 42, High: 48}, w.Guarded(2))
	for reading, want := range map[float64]torque.Zone{
		45: torque.Accept, 42: torque.Accept, 48: torque.Accept,
		41.999: torque.ConditionalAccept, 48.001: torque.ConditionalAccept, 40: torque.ConditionalAccept, 50: torque.ConditionalAccept,
		39.999: torque.ConditionalReject, 50.001: torque.ConditionalReject, 38: torque.ConditionalReject, 52: torque.ConditionalReject,
		37.999: torque.Reject, 52.001: torque.Reject, 0: torque.Reject, math.NaN(): torque.Reject, math.Inf(1): torque.Reject,
	} {
		assert.Equal(t, want, w.Zone(reading, 2), "reading %g", reading)
	}
	assert.Equal(t, torque.Reject, w.Zone(45, math.NaN()), "no guard band, no acceptance")
	assert.Equal(t, torque.Reject, w.Zone(45, -1))
}

func TestTheProbabilityOfConformityMeetsThePublishedExample(t *testing.T) {
	// JCGM 106:2012: reading 48.5, upper limit 50, u = 1: the normal distribution at 1.5, 0.933193.
	oneSided := torque.Window{Low: math.Inf(-1), High: 50}
	assert.InDelta(t, 0.933193, oneSided.Conformity(48.5, 1), 5e-7)
	// Any table of the normal distribution: within ±1 and ±2 standard deviations, 0.682689 and 0.954500.
	assert.InDelta(t, 0.682689, torque.Window{Low: 44, High: 46}.Conformity(45, 1), 5e-7)
	assert.InDelta(t, 0.954500, torque.Window{Low: 43, High: 47}.Conformity(45, 1), 5e-7)
	for _, u := range []float64{0, -1, math.NaN()} {
		assert.True(t, math.IsNaN(oneSided.Conformity(48.5, u)))
	}
}

func TestAcceptanceMeansInsideTheWindowWhateverTheToolsError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(1, 100).Draw(t, "low")
		c := torque.Tightening{
			Reading:  rapid.Float64Range(0, 250).Draw(t, "reading"),
			Window:   torque.Window{Low: low, High: low + rapid.Float64Range(0.1, 100).Draw(t, "width")},
			Accuracy: rapid.Float64Range(0.005, 0.3).Draw(t, "accuracy"),
		}
		j, err := c.Judge()
		require.NoError(t, err)
		lowest, highest := j.Applied*(1-c.Accuracy), j.Applied*(1+c.Accuracy)
		inside := lowest >= c.Window.Low && highest <= c.Window.High
		edge := math.Min(math.Abs(lowest-c.Window.Low), math.Abs(highest-c.Window.High)) < 1e-6
		if !edge {
			assert.Equal(t, inside, j.Accepted())
		}
		if j.TooNarrow {
			assert.False(t, j.Accepted())
		}
	})
}

func TestTheAimIsAcceptedWheneverTheToolCanJudgeTheWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(5, 100).Draw(t, "low")
		c := torque.Tightening{
			Reading:  low,
			Window:   torque.Window{Low: low, High: low * rapid.Float64Range(1.01, 2).Draw(t, "high over low")},
			Accuracy: rapid.Float64Range(0.01, 0.1).Draw(t, "accuracy"),
			Adapter:  torque.Adapter{Wrench: 300, Length: rapid.Float64Range(0, 200).Draw(t, "A"), Angle: rapid.Float64Range(-180, 180).Draw(t, "angle")},
		}
		first, err := c.Judge()
		require.NoError(t, err)
		c.Reading = first.Aim
		j, err := c.Judge()
		require.NoError(t, err)
		assert.InEpsilon(t, c.Window.Middle(), j.Applied, 1e-9)
		assert.Equal(t, !j.TooNarrow, j.Accepted())
	})
}

func TestAWindowTooNarrowForTheToolIsNeverPassed(t *testing.T) {
	// Computed: at 45 N·m a ±4 % wrench may be wrong by 1.8 N·m, so 3.6 N·m is the narrowest that fails.
	for width, narrow := range map[float64]bool{2: true, 3.6: true, 3.61: false, 10: false} {
		c := torque.Tightening{Reading: 45, Window: torque.Window{Low: 45 - width/2, High: 45 + width/2}, Accuracy: 0.04}
		j, err := c.Judge()
		require.NoError(t, err)
		assert.Equal(t, narrow, j.TooNarrow, "width %g", width)
		assert.Equal(t, !narrow, j.Accepted(), "width %g", width)
	}
}

func TestATighteningThatCannotBeIsRefusedByName(t *testing.T) {
	good := torque.Tightening{Reading: 45, Window: torque.Window{Low: 40, High: 50}, Accuracy: 0.04}
	for want, spoil := range map[string]func(*torque.Tightening){
		"reading -1":     func(c *torque.Tightening) { c.Reading = -1 },
		"reading NaN":    func(c *torque.Tightening) { c.Reading = math.NaN() },
		"reading +Inf":   func(c *torque.Tightening) { c.Reading = math.Inf(1) },
		"window 50 to":   func(c *torque.Tightening) { c.Window = torque.Window{Low: 50, High: 40} },
		"window 45 to":   func(c *torque.Tightening) { c.Window = torque.Window{Low: 45, High: 45} },
		"window 0 to":    func(c *torque.Tightening) { c.Window.Low = 0 },
		"window 40 to N": func(c *torque.Tightening) { c.Window.High = math.NaN() },
		"accuracy 0 %":   func(c *torque.Tightening) { c.Accuracy = 0 },
		"accuracy 100 %": func(c *torque.Tightening) { c.Accuracy = 1 },
		"accuracy NaN":   func(c *torque.Tightening) { c.Accuracy = math.NaN() },
		"wrench length":  func(c *torque.Tightening) { c.Adapter.Length = 30 },
	} {
		c := good
		spoil(&c)
		_, err := c.Judge()
		require.ErrorContains(t, err, want)
	}
}

func FuzzJudgeNeverPanicsNorAcceptsOutsideTheWindow(f *testing.F) {
	f.Add(40.9, 40.0, 50.0, 0.04, 300.0, 30.0, 0.0)
	f.Add(math.NaN(), 40.0, 50.0, 0.04, 0.0, 0.0, 0.0)
	f.Add(1e308, 1e-308, 1e308, 0.999, 1e-308, 1e308, 180.0)
	f.Fuzz(func(t *testing.T, reading, low, high, accuracy, wrench, adapter, angle float64) {
		j, err := torque.Tightening{
			Reading: reading, Window: torque.Window{Low: low, High: high}, Accuracy: accuracy,
			Adapter: torque.Adapter{Wrench: wrench, Length: adapter, Angle: angle},
		}.Judge()
		if err == nil && j.Accepted() {
			fuzz := 1e-9 * high
			require.True(t, j.Applied >= low-fuzz && j.Applied <= high+fuzz, "accepted %g for %g to %g", j.Applied, low, high)
		}
	})
}

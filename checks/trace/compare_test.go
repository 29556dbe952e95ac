package trace_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/trace"
)

func TestAWorkThatCuredTheSensorIsSaidSo(t *testing.T) {
	slow := analyse(t, drawn(20, 0.002, square(0.05, 0.9, 2, 0.4)), narrow)
	good := analyse(t, drawn(20, 0.002, square(0.05, 0.9, 1, 0.04)), narrow)
	c, err := trace.Compare(slow, good)
	require.NoError(t, err)
	assert.Equal(t, trace.Cured, c.Direction)
	assert.Equal(t, []trace.Flag{trace.Lazy}, c.Gone)
	assert.Empty(t, c.New)
	assert.Equal(t, "no longer lazy (suspect before, healthy after)", c.Because)
	// By hand: 0.4 s and 40 ms for 850 mV are 294.1 and 29.41 ms for 625 mV.
	assert.Contains(t, c.Workings, "rise: 294.1 ms before, 29.41 ms after")
	back, err := trace.Compare(good, slow)
	require.NoError(t, err)
	assert.Equal(t, trace.Worse, back.Direction)
	assert.Equal(t, []trace.Flag{trace.Lazy}, back.New)
}

func TestWhatWasCountedInEachTraceStandsInTheWorkingsOfAComparison(t *testing.T) {
	slow := analyse(t, drawn(20, 0.002, square(0.05, 0.9, 2, 0.4)), narrow)
	good := analyse(t, drawn(20, 0.002, square(0.05, 0.9, 1, 0.04)), narrow)
	c, err := trace.Compare(slow, good)
	require.NoError(t, err)
	// By hand: in 20 s are ten periods of 2 s and twenty of 1 s, each with a rise and a fall.
	said := strings.Join(c.Workings, "\n")
	assert.Contains(t, said, "before: 10001 readings over 20 s, gaps 0 ms, 20 crossings of 450 mV, 10 rises timed: median 294.1 ms")
	assert.Contains(t, said, "after: 10001 readings over 20 s, gaps 0 ms, 40 crossings of 450 mV, 20 rises timed: median 29.41 ms")
}

func TestWhatBecameOfTheFaultsGivesTheDirection(t *testing.T) {
	good := drawn(20, 0.002, square(0.05, 0.9, 1, 0.04))
	slow := drawn(20, 0.002, square(0.05, 0.9, 1, 0.3))
	slowAndBeyond := drawn(20, 0.002, square(0.05, 1.2, 1, 0.3))
	beyond := drawn(20, 0.002, square(0.05, 1.2, 1, 0.04))
	beyondCoarse := drawn(20, 0.11, square(0.05, 1.2, 1, 0.04))
	coarse := drawn(20, 0.2, square(0.05, 0.9, 1, 0.04))
	for _, c := range []struct {
		before, after []trace.Sample
		want          trace.Direction
	}{
		{slowAndBeyond, slow, trace.Better}, {slow, slowAndBeyond, trace.Worse}, {slow, slow, trace.Unchanged}, {good, good, trace.Unchanged},
		{beyondCoarse, beyond, trace.Unchanged}, // what the first could not show is no fault that went away
		{slow, beyond, trace.Undecided}, {slow, coarse, trace.Undecided}, {coarse, good, trace.Undecided}, {slow, good, trace.Cured},
	} {
		got, err := trace.Compare(analyse(t, c.before, narrow), analyse(t, c.after, narrow))
		require.NoError(t, err)
		assert.Equal(t, c.want, got.Direction, got.Because)
	}
}

func TestWideBandTracesAreSetSideBySideWithoutAVerdict(t *testing.T) {
	setup := trace.Setup{Signal: trace.Lambda}
	before := analyse(t, drawn(20, 0.01, flat(1.06)), setup)
	after := analyse(t, drawn(20, 0.01, flat(1.01)), setup)
	c, err := trace.Compare(before, after)
	require.NoError(t, err)
	assert.Equal(t, trace.Undecided, c.Direction)
	assert.Equal(t, "no limits given: weigh the figures before and after", c.Because)
	assert.Contains(t, c.Workings, "mean: λ 1.060 before, λ 1.010 after")
	require.Len(t, c.Differences, 3, "without a switching level there are no crossings to compare")
}

func TestDifferentSignalsDoNotCompare(t *testing.T) {
	volts := analyse(t, drawn(20, 0.01, flat(0.4)), narrow)
	lambda := analyse(t, drawn(20, 0.01, flat(1)), trace.Setup{Signal: trace.Lambda})
	_, err := trace.Compare(volts, lambda)
	require.ErrorContains(t, err, "compare narrow-band voltage with lambda")
	_, err = trace.Compare(volts, trace.Report{Signal: trace.NarrowBandVoltage})
	require.ErrorContains(t, err, "observed 20 s before and 0 ms after")
}

var rear = trace.Setup{Limits: trace.Rear()}

// catalyst judges a rear signal against a front one that crosses twice a second.
func catalyst(t *testing.T, behind func(float64) float64, limits trace.CatalystLimits) trace.CatalystReport {
	front := analyse(t, drawn(30, 0.01, wave(0.4, 1)), narrow)
	c, err := trace.Catalyst(front, analyse(t, drawn(30, 0.01, behind), rear), limits)
	require.NoError(t, err)
	return c
}

func TestAQuietRearSignalSpeaksForTheCatalyst(t *testing.T) {
	c := catalyst(t, func(t float64) float64 { return 0.65 + 0.05*math.Sin(t) }, trace.UsualCatalyst())
	assert.Equal(t, trace.Healthy, c.Verdict, c.Because)
	assert.Zero(t, c.CrossingRatio)
	assert.InDelta(t, 0.125, c.SwingRatio, 1e-3)
	assert.Equal(t, trace.CommonPractice, c.Findings[0].Limits[0].Source)
}

func TestARearSignalThatFollowsSpeaksAgainstIt(t *testing.T) {
	c := catalyst(t, func(s float64) float64 { return wave(0.3, 1)(s - 0.2) }, trace.UsualCatalyst())
	assert.Equal(t, trace.Suspect, c.Verdict)
	assert.InDelta(t, 1, c.CrossingRatio, 0.03)
	assert.Contains(t, c.Because, "crossings, rear over front 1.0")
	assert.Contains(t, strings.Join(c.Workings, "\n"), "common practice, no source")
}

func TestTheCallersLimitsDecide(t *testing.T) {
	given := func(v float64) trace.Limit {
		return trace.Limit{Value: v, Source: "service information of the vehicle"}
	}
	behind := wave(0.2, 0.5) // half the crossings, half the swing
	assert.Equal(t, trace.Healthy, catalyst(t, behind, trace.CatalystLimits{Crossings: given(0.6), Swing: given(0.6)}).Verdict)
	assert.Equal(t, trace.Suspect, catalyst(t, behind, trace.CatalystLimits{Crossings: given(0.4)}).Verdict)
	assert.Equal(t, trace.Suspect, catalyst(t, behind, trace.CatalystLimits{Swing: given(0.4)}).Verdict)
}

func TestADeadRearSensorIsNoGoodCatalyst(t *testing.T) {
	c := catalyst(t, flat(0.45), trace.UsualCatalyst())
	assert.Equal(t, trace.CannotTell, c.Verdict)
	assert.Contains(t, c.Because, "prove the rear sensor first")
}

func TestWithoutASwitchingFrontSensorNothingIsSaidOfTheCatalyst(t *testing.T) {
	quiet := analyse(t, drawn(30, 0.01, wave(0.4, 0.1)), narrow)
	coarse := analyse(t, drawn(30, 0.2, wave(0.4, 1)), narrow)
	short := analyse(t, drawn(12, 0.01, wave(0.4, 1)), narrow)
	steady := analyse(t, drawn(30, 0.01, func(t float64) float64 { return 0.65 + 0.05*math.Sin(t) }), rear)
	for want, front := range map[string]trace.Report{
		"the front sensor crossed 5 times (at least 10 to compare)": quiet,
		"sampled too slowly to count crossings":                     coarse,
		"front observed for 12 s and rear for 30 s":                 short,
	} {
		c, err := trace.Catalyst(front, steady, trace.UsualCatalyst())
		require.NoError(t, err)
		assert.Equal(t, trace.CannotTell, c.Verdict)
		assert.Contains(t, c.Because, want)
	}
}

func TestCatalystInputsThatCannotBeComparedAreRefused(t *testing.T) {
	front := analyse(t, drawn(30, 0.01, wave(0.4, 1)), narrow)
	lambda := analyse(t, drawn(30, 0.01, flat(1)), trace.Setup{Signal: trace.Lambda})
	other := trace.Rear()
	other.Switch.Value = 0.6
	for want, c := range map[string]struct {
		rear   trace.Report
		limits trace.CatalystLimits
	}{
		"need two narrow-band voltages": {lambda, trace.UsualCatalyst()},
		"no ratio is limited":           {front, trace.CatalystLimits{}},
		"ratio of crossings NaN":        {front, trace.CatalystLimits{Crossings: trace.Limit{Value: math.NaN(), Source: "a test"}}},
		"ratio of swings -1":            {front, trace.CatalystLimits{Swing: trace.Limit{Value: -1, Source: "a test"}}},
		"one switching level":           {analyse(t, drawn(30, 0.01, wave(0.4, 1)), trace.Setup{Limits: other}), trace.UsualCatalyst()},
	} {
		_, err := trace.Catalyst(front, c.rear, c.limits)
		require.ErrorContains(t, err, want)
	}
}

func FuzzAnalyseNeverPanics(f *testing.F) {
	f.Add(0.0, 0.1, 0.5, 0.9, 1.0, 0.4, 0.45, 0.1)
	f.Add(math.NaN(), 0.1, 0.5, math.Inf(1), 1.0, 0.4, 0.45, 0.1)
	f.Add(5.0, 0.1, 5.0, 0.9, -5.0, 0.4, 1e-300, -1e300)
	f.Fuzz(func(t *testing.T, t1, v1, t2, v2, t3, v3, level, span float64) {
		limits := trace.NarrowBand()
		limits.Switch.Value, limits.Rise.Value = level, span
		r, err := trace.Analyse(each([]trace.Sample{{At: t1, Value: v1}, {At: t2, Value: v2}, {At: t3, Value: v3, Loop: trace.LoopClosed}}), trace.Setup{Limits: limits})
		if err != nil {
			return
		}
		for _, v := range []float64{r.Mean, r.Rate, r.RichShare, r.Rise.Median, r.Fall.Slowest, r.Interval} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", r)
		}
		_, err = trace.Compare(r, r)
		require.True(t, err == nil || r.Observed == 0)
		_, err = trace.Catalyst(r, r, trace.UsualCatalyst())
		require.NoError(t, err)
	})
}

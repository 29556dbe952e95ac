package trace_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/trace"
)

func TestTheWorkedExampleOfASlowRiseFails(t *testing.T) {
	// Victor Valley College, AUTO 85.5: a rise from 175 to 800 mV that takes 3 of the 5 subdivisions of a 200 ms division
	// has taken 120 ms, more than 100 ms: fail.
	const took = 3.0 / 5 * 0.200
	samples := drawn(1, 0.001, func(t float64) float64 {
		return 0.1 + 0.8*math.Min(math.Max(t-0.2, 0)/(took*0.8/0.625), 1) // 0.8 V in all, 0.625 V of it between the levels
	})
	r := analyse(t, samples, narrow)
	assert.Equal(t, 1, r.Rise.Count)
	assert.InDelta(t, 0.120, r.Rise.Median, 1e-9)
	assert.Equal(t, trace.Suspect, r.Verdict)
	assert.True(t, r.Flagged(trace.Lazy))
	assert.Contains(t, r.Because, "rise 175 mV to 800 mV, 120 ms, median of 1 (at most 100 ms): not met")
}

func TestARiseOfExactlyTheLimitIsMet(t *testing.T) {
	// Victor Valley College, AUTO 85.5: at most 100 ms.
	for _, c := range []struct {
		took float64
		ok   bool
	}{{0.040, true}, {0.100, true}, {0.101, false}} {
		r := analyse(t, drawn(12, 0.001, square(0.05, 0.9, 1, c.took*0.85/0.625)), narrow)
		assert.InDelta(t, c.took, r.Rise.Median, 1e-6)
		assert.Equal(t, c.ok, r.Verdict == trace.Healthy, "rise of %g s: %s", c.took, r.Because)
	}
}

func TestTheLimitsOfAHealthyNarrowBandSensorAreThoseOfTheSource(t *testing.T) {
	// Victor Valley College, AUTO 85.5: minimum 0 to 175 mV, maximum 800 to 1000 mV, rise 175 to 800 mV in at most 100 ms.
	// Crossing at 450 mV: trade literature. One crossing a second: common practice, no source.
	l := trace.NarrowBand()
	for name, c := range map[string]struct {
		limit trace.Limit
		want  float64
	}{
		"minimum from": {l.MinimumFrom, 0}, "minimum to": {l.MinimumTo, 0.175}, "maximum from": {l.MaximumFrom, 0.8}, "maximum to": {l.MaximumTo, 1},
		"rise": {l.Rise, 0.1}, "from": {l.EdgeLow, 0.175}, "to": {l.EdgeHigh, 0.8},
	} {
		assert.Equal(t, c.want, c.limit.Value, name)
		assert.Equal(t, trace.CollegeSource, c.limit.Source, name)
	}
	assert.Equal(t, trace.Limit{Value: 0.45, Source: trace.SwitchSource}, l.Switch)
	assert.Equal(t, trace.Limit{Value: 1, Source: trace.CommonPractice}, l.Rate)
	assert.Equal(t, trace.Limit{Value: 5, Source: trace.CommonPractice}, l.Fastest)
}

func TestExtremesAreJudgedAtTheirLimits(t *testing.T) {
	// Victor Valley College, AUTO 85.5, each limit from both sides.
	for _, c := range []struct {
		low, high float64
		flag      trace.Flag
	}{
		{0.050, 0.900, ""}, {0.175, 0.800, ""}, {0, 1.000, ""},
		{0.176, 0.900, trace.BiasedRich}, {0.100, 0.799, trace.BiasedLean}, {0.300, 0.600, trace.Weak},
		{-0.021, 0.900, trace.Beyond}, {0.050, 1.021, trace.Beyond}, {-0.019, 1.019, ""},
	} {
		r := analyse(t, drawn(12, 0.002, square(c.low, c.high, 1, 0.02)), narrow)
		if c.flag == "" {
			assert.Empty(t, r.Flags, "%v", c)
			continue
		}
		assert.Contains(t, r.Flags, c.flag, "%v: %s", c, r.Because)
		assert.Equal(t, trace.Suspect, r.Verdict, "%v", c)
	}
}

func TestEveryFlagOfTheSignalIsRaisedByItsOwnFault(t *testing.T) {
	for name, c := range map[string]struct {
		signal func(float64) float64
		flag   trace.Flag
	}{
		"no signal at all":        {flat(0), trace.Silent},
		"a cold sensor's bias":    {flat(0.45), trace.Silent},
		"hovers about the middle": {wave(0.04, 1), trace.Stuck},
		"stays rich":              {func(t float64) float64 { return 0.4 + wave(0.02, 1)(t) }, trace.StuckRich},
		"stays low":               {func(t float64) float64 { return wave(0.02, 1)(t) - 0.35 }, trace.StuckLean},
		"switches too seldom":     {square(0.05, 0.9, 10, 0.02), trace.Lazy},
		"rich nine tenths":        {func(t float64) float64 { return square(0.05, 0.9, 1, 0.02)(math.Mod(t, 1) * 0.55) }, trace.BiasedRich},
		"lean nine tenths":        {func(t float64) float64 { return 0.95 - square(0.05, 0.9, 1, 0.02)(math.Mod(t, 1)*0.55) }, trace.BiasedLean},
		"supply on the wire":      {square(0.05, 12, 1, 0.02), trace.Beyond},
		"small swing about 0.45":  {wave(0.2, 1), trace.Weak},
	} {
		r := analyse(t, drawn(20, 0.002, c.signal), narrow)
		assert.Contains(t, r.Flags, c.flag, "%s: %s", name, r.Because)
		assert.Equal(t, trace.Suspect, r.Verdict, name)
		assert.NotEmpty(t, r.Because, name)
	}
}

func TestASlowLogCannotJudgeARise(t *testing.T) {
	// Sampled once a second, a rise of 100 ms and one of 900 ms look alike.
	for _, rise := range []float64{0.05, 0.9} {
		r := analyse(t, drawn(60, 1, square(0.05, 0.9, 7.3, rise)), narrow)
		assert.Zero(t, r.Rise.Count)
		assert.Positive(t, r.Rise.Unresolved)
		assert.True(t, r.Flagged(trace.TooSlow))
		assert.False(t, r.Flagged(trace.Lazy))
		assert.Equal(t, trace.CannotTell, r.Verdict)
		assert.Contains(t, r.Because, "a sample every 1 s cannot show 100 ms; it takes one every 25 ms or sooner: not judged")
	}
}

func TestASlowLogStillShowsWhatItCan(t *testing.T) {
	r := analyse(t, drawn(60, 1, flat(0.1)), narrow)
	assert.Equal(t, trace.Suspect, r.Verdict)
	assert.True(t, r.Flagged(trace.Silent))
}

func TestAShortTraceProvesOnlyWhatItShows(t *testing.T) {
	r := analyse(t, drawn(2, 0.002, flat(0.1)), narrow)
	assert.Equal(t, trace.CannotTell, r.Verdict)
	assert.Equal(t, []trace.Flag{trace.TooShort}, r.Flags)
	r = analyse(t, drawn(5, 0.002, square(0.05, 0.9, 1, 0.02)), narrow)
	assert.Equal(t, trace.CannotTell, r.Verdict, "five seconds of a good signal do not prove a sensor")
	r = analyse(t, drawn(5, 0.002, square(-0.3, 0.9, 1, 0.02)), narrow)
	assert.Equal(t, trace.Suspect, r.Verdict, "a voltage below zero is seen at once")
}

func TestOnlyClosedLoopIsJudged(t *testing.T) {
	// Ten seconds of full load that no healthy limit allows, then a good signal.
	samples := drawn(10, 0.002, flat(1.2))
	for i := range samples {
		samples[i].Loop = trace.LoopOpen
	}
	for _, s := range drawn(12, 0.002, square(0.05, 0.9, 1, 0.02)) {
		samples = append(samples, trace.Sample{At: s.At + 10.002, Value: s.Value, Loop: trace.LoopClosed})
	}
	r := analyse(t, samples, narrow)
	assert.Equal(t, trace.Healthy, r.Verdict, r.Because)
	assert.Equal(t, 5001, r.Open)
	assert.InDelta(t, 0.9, r.Maximum, 1e-9)
	assert.InDelta(t, 12, r.Observed, 1e-9)
	assert.InDelta(t, 10.002, r.OpenTime, 1e-9)
	for i := range samples {
		samples[i].Loop = trace.LoopOpen
	}
	r = analyse(t, samples, narrow)
	assert.Equal(t, trace.CannotTell, r.Verdict)
	assert.Equal(t, []trace.Flag{trace.NotClosed}, r.Flags)
	assert.Zero(t, r.Minimum)
	assert.InDelta(t, 0.002, r.Interval, 1e-9, "sampling goes on out of closed loop")
	for i := range samples {
		if samples[i].At > 15 {
			samples[i].Loop = trace.LoopClosed
		}
	}
	r = analyse(t, samples, narrow)
	assert.Equal(t, trace.CannotTell, r.Verdict, "seven seconds in closed loop are too few")
	assert.Equal(t, []trace.Flag{trace.NotClosed}, r.Flags)
}

func TestAWideBandSignalWithoutLimitsIsForComparing(t *testing.T) {
	r := analyse(t, drawn(20, 0.01, func(t float64) float64 { return 1 + 0.02*math.Sin(t) }), trace.Setup{Signal: trace.Lambda})
	assert.Equal(t, trace.CannotTell, r.Verdict)
	assert.Equal(t, "no limits given: compare before and after", r.Because)
	assert.InDelta(t, 1.02, r.Maximum, 1e-4)
}

func TestLambdaIsRichBelowItsSwitchingLevel(t *testing.T) {
	own := func(v float64) trace.Limit { return trace.Limit{Value: v, Source: "a test"} }
	setup := trace.Setup{Signal: trace.Lambda, Limits: trace.Limits{
		Switch: own(1), RichMost: own(0.6), MinimumTo: own(0.99), MaximumFrom: own(0.9), Duration: own(5), Rate: own(0.1),
	}}
	r := analyse(t, drawn(20, 0.01, flat(0.97)), setup)
	assert.InDelta(t, 1, r.RichShare, 1e-12)
	assert.True(t, r.Flagged(trace.StuckRich), "%v", r.Flags)
	r = analyse(t, drawn(20, 0.01, func(t float64) float64 { return 0.98 + 0.05*math.Sin(2*math.Pi*t) }), setup)
	assert.True(t, r.Flagged(trace.BiasedRich), "%v: %s", r.Flags, r.Because)
	r = analyse(t, drawn(20, 0.01, func(t float64) float64 { return 1 + 0.05*math.Sin(2*math.Pi*t) }), setup)
	assert.Equal(t, trace.Healthy, r.Verdict, r.Because)
}

func TestALimitThatIsLeftOutIsNotJudged(t *testing.T) {
	limits := trace.NarrowBand()
	limits.Rise, limits.Rate, limits.Fastest = trace.Limit{}, trace.Limit{}, trace.Limit{}
	r := analyse(t, drawn(60, 1, square(0.05, 0.9, 7.3, 0.9)), trace.Setup{Limits: limits})
	assert.Equal(t, trace.Healthy, r.Verdict, r.Because)
	for _, f := range r.Findings {
		assert.NotContains(t, []string{"rise", "crossings"}, f.About)
		assert.NotEmpty(t, f.Limits, f.About)
		for _, l := range f.Limits {
			assert.NotEmpty(t, l.Source, f.About)
		}
	}
}

func TestARearSensorIsNeverCalledHealthyForBeingQuiet(t *testing.T) {
	r := analyse(t, drawn(20, 0.01, wave(0.03, 0.1)), trace.Setup{Limits: trace.Rear()})
	assert.Equal(t, trace.CannotTell, r.Verdict)
	assert.Empty(t, r.Flags)
	r = analyse(t, drawn(20, 0.01, flat(0.6)), trace.Setup{Limits: trace.Rear()})
	assert.Equal(t, []trace.Flag{trace.Silent}, r.Flags)
}

func TestEveryFindingStandsInTheWorkingsWithItsSource(t *testing.T) {
	r := analyse(t, drawn(12, 0.002, square(0.05, 0.9, 1, 0.02)), narrow)
	require.NotEmpty(t, r.Findings)
	for _, f := range r.Findings {
		found := false
		for _, line := range r.Workings {
			if len(line) > len(f.Said) && line[:len(f.Said)] == f.Said {
				found = true
				assert.Contains(t, line, f.Limits[0].Source)
			}
		}
		assert.True(t, found, f.Said)
	}
	assert.Equal(t, "verdict: healthy", r.Workings[len(r.Workings)-1])
}

func TestLimitsThatContradictThemselvesAreRefused(t *testing.T) {
	given := func(v float64) trace.Limit { return trace.Limit{Value: v, Source: "a test"} }
	for want, spoil := range map[string]func(*trace.Setup){
		"limit rise NaN":                      func(s *trace.Setup) { s.Limits.Rise.Value = math.NaN() },
		"limit rise 0":                        func(s *trace.Setup) { s.Limits.Rise.Value = 0 },
		"limit switch 0.45: has no source":    func(s *trace.Setup) { s.Limits.Switch.Source = "" },
		"limit minimum 0.9 to 0.175":          func(s *trace.Setup) { s.Limits.MinimumFrom.Value = 0.9 },
		"limit edge 0.8 to 0.8":               func(s *trace.Setup) { s.Limits.EdgeLow.Value = 0.8 },
		"limit edge: one of":                  func(s *trace.Setup) { s.Limits.EdgeLow = trace.Limit{} },
		"needs the two levels":                func(s *trace.Setup) { s.Limits.EdgeLow, s.Limits.EdgeHigh = trace.Limit{}, trace.Limit{} },
		"needs the switching level":           func(s *trace.Setup) { s.Limits.Switch = trace.Limit{} },
		"limit hysteresis -1":                 func(s *trace.Setup) { s.Limits.Hysteresis = given(-1) },
		"limit duration -5: must not be":      func(s *trace.Setup) { s.Limits.Duration = given(-5) },
		"signal \"sound\": unknown":           func(s *trace.Setup) { s.Signal = "sound" },
		"gap NaN s":                           func(s *trace.Setup) { s.Gap = math.NaN() },
		"gap -1 s: must be":                   func(s *trace.Setup) { s.Gap = -1 },
		"limit maximum to +Inf: not a number": func(s *trace.Setup) { s.Limits.MaximumTo.Value = math.Inf(1) },
	} {
		setup := trace.Setup{Limits: trace.NarrowBand()}
		spoil(&setup)
		_, err := trace.Analyse(each(drawn(1, 0.1, flat(0.4))), setup)
		require.ErrorContains(t, err, want)
	}
}

package trace_test

import (
	"errors"
	"iter"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/trace"
)

// each gives the samples one by one.
func each(samples []trace.Sample) iter.Seq2[trace.Sample, error] {
	return func(yield func(trace.Sample, error) bool) {
		for _, s := range samples {
			if !yield(s, nil) {
				return
			}
		}
	}
}

// drawn samples a signal every step seconds for so many seconds.
func drawn(span, step float64, signal func(t float64) float64) []trace.Sample {
	var all []trace.Sample
	for i := 0; float64(i)*step <= span+1e-9; i++ {
		t := float64(i) * step
		all = append(all, trace.Sample{At: t, Value: signal(t)})
	}
	return all
}

// wave is a sine about 450 mV: amplitude in V, frequency in Hz.
func wave(amplitude, frequency float64) func(float64) float64 {
	return func(t float64) float64 { return 0.45 + amplitude*math.Sin(2*math.Pi*frequency*t) }
}

// square switches between two levels, each edge taking that long, period in s.
func square(low, high, period, edge float64) func(float64) float64 {
	return func(t float64) float64 {
		t = math.Mod(t, period)
		half := period / 2
		switch {
		case t < edge:
			return low + (high-low)*t/edge
		case t < half:
			return high
		case t < half+edge:
			return high - (high-low)*(t-half)/edge
		}
		return low
	}
}

func flat(v float64) func(float64) float64 { return func(float64) float64 { return v } }

var narrow = trace.Setup{Limits: trace.NarrowBand()}

func analyse(t require.TestingT, samples []trace.Sample, setup trace.Setup) trace.Report {
	r, err := trace.Analyse(each(samples), setup)
	require.NoError(t, err)
	return r
}

func TestASineGivesItsClosedForms(t *testing.T) {
	// Closed forms of a sine of amplitude A and frequency f about m: two crossings a period; mean m over whole periods; time
	// above m one half; rise between levels (asin((high - m)/A) - asin((low - m)/A)) / 2πf.
	const amplitude, frequency = 0.45, 2.0
	r := analyse(t, drawn(20, 0.0005, wave(amplitude, frequency)), narrow)
	rise := (math.Asin((0.8-0.45)/amplitude) - math.Asin((0.175-0.45)/amplitude)) / (2 * math.Pi * frequency)
	assert.InDelta(t, rise, r.Rise.Median, 1e-6)
	assert.InDelta(t, rise, r.Fall.Median, 1e-6)
	assert.InDelta(t, rise, r.Rise.Slowest, 1e-6)
	assert.Equal(t, 39, r.Rise.Count, "the first begins above 175 mV and is not timed")
	assert.InDelta(t, 0.45, r.Mean, 1e-9)
	assert.InDelta(t, 0.5, r.RichShare, 1e-3)
	assert.InDelta(t, 79.0/20, r.Rate, 1e-9, "the first side is no crossing")
	assert.InDelta(t, 0.0, r.Minimum, 1e-9)
	assert.InDelta(t, 0.9, r.Maximum, 1e-9)
	assert.InDelta(t, 0.0005, r.Interval, 1e-12)
}

func TestTheMeanIsWeightedByTime(t *testing.T) {
	// By hand: 0.2 V for 9 s, then a straight line to 0.8 V in 1 s: (0.2 × 9 + 0.5 × 1)/10 = 0.23 V; the plain mean of the
	// four samples is 0.35 V.
	r := analyse(t, []trace.Sample{{At: 0, Value: 0.2}, {At: 4, Value: 0.2}, {At: 9, Value: 0.2}, {At: 10, Value: 0.8}}, trace.Setup{})
	assert.InDelta(t, 0.23, r.Mean, 1e-12)
	assert.InDelta(t, 10, r.Span, 1e-12)
	assert.Equal(t, 4.0, r.Interval)
	assert.Equal(t, 5.0, r.LongestInterval)
}

func TestHysteresisKeepsNoiseFromCounting(t *testing.T) {
	noisy := func(t float64) float64 { return square(0.1, 0.8, 2, 0.4)(t) + 0.04*math.Sin(2*math.Pi*90*t) }
	samples := drawn(20, 0.001, noisy)
	with := analyse(t, samples, narrow)
	assert.Equal(t, 20, with.Crossings)
	limits := trace.NarrowBand()
	limits.Hysteresis = trace.Limit{}
	without := analyse(t, samples, trace.Setup{Limits: limits})
	assert.Greater(t, without.Crossings, 40, "the same signal without hysteresis")
}

func TestARiseThatTurnsBackBeginsAgain(t *testing.T) {
	values := []float64{0.1, 0.3, 0.1, 0.2, 0.9}
	var samples []trace.Sample
	for i, v := range values {
		samples = append(samples, trace.Sample{At: float64(i) * 0.01, Value: v})
	}
	r := analyse(t, samples, narrow)
	require.Equal(t, 1, r.Rise.Count)
	// By hand: 175 mV is met at 20 + 10·0.075/0.1 = 27.5 ms, 800 mV at 30 + 10·0.6/0.7 = 38.571 ms.
	assert.InDelta(t, 0.030+0.010*0.6/0.7-0.0275, r.Rise.Median, 1e-12)
}

func TestNothingIsJoinedAcrossAGap(t *testing.T) {
	samples := drawn(10, 0.01, flat(0.1))
	for _, s := range drawn(10, 0.01, flat(0.9)) {
		samples = append(samples, trace.Sample{At: s.At + 30, Value: s.Value})
	}
	r := analyse(t, samples, narrow)
	assert.Equal(t, 1, r.Gaps)
	assert.InDelta(t, 20, r.GapTime, 1e-9)
	assert.InDelta(t, 20, r.Observed, 1e-9)
	assert.InDelta(t, 40, r.Span, 1e-9)
	assert.InDelta(t, 20, r.LongestInterval, 1e-9)
	assert.Zero(t, r.Rise.Count+r.Rise.Unresolved, "no rise is seen in a gap")
	assert.Zero(t, r.Crossings)
	assert.InDelta(t, 0.5, r.Mean, 1e-9)
	given := analyse(t, samples, trace.Setup{Limits: trace.NarrowBand(), Gap: 25})
	assert.Zero(t, given.Gaps, "the caller may say what a gap is")
	assert.Equal(t, 1, given.Crossings)
}

func TestASampleThatCannotBeIsRefusedByItsNumber(t *testing.T) {
	good := trace.Sample{At: 0, Value: 0.4}
	for want, bad := range map[string]trace.Sample{
		"sample 2: time NaN s":     {At: math.NaN(), Value: 0.4},
		"sample 2: time +Inf s":    {At: math.Inf(1), Value: 0.4},
		"sample 2: signal NaN mV":  {At: 1, Value: math.NaN()},
		"sample 2: signal -Inf mV": {At: 1, Value: math.Inf(-1)},
		"sample 2: signal 450000":  {At: 1, Value: 450},
	} {
		_, err := trace.Analyse(each([]trace.Sample{good, bad}), narrow)
		require.ErrorContains(t, err, want)
	}
}

func TestTooFewSamplesAreRefusedPlainly(t *testing.T) {
	_, err := trace.Analyse(each(nil), narrow)
	require.ErrorContains(t, err, "no readings of the signal")
	_, err = trace.Analyse(each([]trace.Sample{{At: 1, Value: 0.4}, {At: 1, Value: 0.5}}), narrow)
	require.ErrorContains(t, err, "too short: every reading (2) is at one time")
}

func TestAnErrorOfTheSourceEndsTheAnalysis(t *testing.T) {
	broken := errors.New("the bus went quiet")
	_, err := trace.Analyse(func(yield func(trace.Sample, error) bool) { yield(trace.Sample{}, broken) }, narrow)
	require.ErrorIs(t, err, broken)
}

// byHand works the figures from all samples at once, in order, with no gaps.
type byHand struct {
	lowest, highest, integral, above float64
	crossings                        int
	rises                            []float64
}

func reckon(s []trace.Sample) byHand {
	h := byHand{lowest: math.Inf(1), highest: math.Inf(-1)}
	side := 0
	for i, now := range s {
		h.lowest, h.highest = math.Min(h.lowest, now.Value), math.Max(h.highest, now.Value)
		if now.Value >= 0.5 || now.Value <= 0.4 {
			is := 1
			if now.Value <= 0.4 {
				is = -1
			}
			if side == -is {
				h.crossings++
			}
			side = is
		}
		if i > 0 {
			h.integral += (now.At - s[i-1].At) * (now.Value + s[i-1].Value) / 2
		}
	}
	// The share above by many small steps, the rises by looking back from each arrival at 800 mV.
	for i := 1; i < len(s); i++ {
		a, b := s[i-1], s[i]
		const parts = 2000
		for k := range parts {
			if a.Value+(b.Value-a.Value)*(float64(k)+0.5)/parts >= 0.45 {
				h.above += (b.At - a.At) / parts
			}
		}
		if a.Value >= 0.8 || b.Value < 0.8 {
			continue
		}
		end := a.At + (0.8-a.Value)/(b.Value-a.Value)*(b.At-a.At)
		for j := i; j > 0; j-- {
			p, q := s[j-1], s[j]
			if j < i && q.Value >= 0.8 {
				break
			}
			if p.Value <= 0.175 && q.Value > 0.175 {
				h.rises = append(h.rises, end-(p.At+(0.175-p.Value)/(q.Value-p.Value)*(q.At-p.At)))
				break
			}
		}
	}
	return h
}

func TestOnePassAgreesWithAllSamplesAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 1), 2, 200).Draw(t, "values")
		steps := rapid.SliceOfN(rapid.Float64Range(0.001, 0.02), len(values), len(values)).Draw(t, "steps")
		var samples []trace.Sample
		now := rapid.Float64Range(-100, 1e6).Draw(t, "start")
		for i, v := range values {
			samples = append(samples, trace.Sample{At: now, Value: v})
			now += steps[i]
		}
		want := reckon(samples)
		shaken := append([]trace.Sample(nil), samples...)
		swaps := rapid.SliceOfN(rapid.IntRange(0, len(values)-2), 0, 5).Draw(t, "swaps")
		for _, i := range swaps {
			shaken[i], shaken[i+1] = shaken[i+1], shaken[i]
		}
		r := analyse(t, shaken, trace.Setup{Limits: trace.NarrowBand(), Gap: 1})
		assert.Equal(t, want.lowest, r.Minimum)
		assert.Equal(t, want.highest, r.Maximum)
		assert.InDelta(t, want.integral, r.Mean*r.Observed, 1e-9)
		assert.InDelta(t, want.above, r.RichShare*r.Observed, 0.001*float64(len(values))*0.02)
		assert.Equal(t, want.crossings, r.Crossings)
		require.Equal(t, len(want.rises), r.Rise.Count)
		slowest := 0.0
		for _, each := range want.rises {
			slowest = math.Max(slowest, each)
		}
		assert.InDelta(t, slowest, r.Rise.Slowest, 1e-9)
	})
}

func TestAMirroredSignalSwapsRisesAndFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 0.975), 3, 100).Draw(t, "values")
		var up, down []trace.Sample
		for i, v := range values {
			up = append(up, trace.Sample{At: float64(i) / 100, Value: v})
			down = append(down, trace.Sample{At: float64(i) / 100, Value: 0.975 - v}) // 175 and 800 mV change places
		}
		a, b := analyse(t, up, narrow), analyse(t, down, narrow)
		assert.Equal(t, a.Rise.Count, b.Fall.Count)
		assert.InDelta(t, a.Rise.Median, b.Fall.Median, 1e-9)
		assert.Equal(t, a.Fall.Count, b.Rise.Count)
	})
}

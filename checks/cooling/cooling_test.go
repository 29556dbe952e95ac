package cooling_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/cooling"
)

func c(celsius float64) float64    { return celsius + 273.15 }
func fahrenheit(f float64) float64 { return c((f - 32) / 1.8) }
func ptr(v float64) *float64       { return &v }
func fine(k float64) cooling.Limit { return cooling.Limit{Value: k, Source: "stated for this test"} }
func every(step time.Duration, kelvin ...float64) []cooling.Reading {
	var all []cooling.Reading
	for i, t := range kelvin {
		all = append(all, cooling.Reading{After: time.Duration(i) * step, Kelvin: t})
	}
	return all
}

func TestTwoReadingsMeetThePublishedExamples(t *testing.T) {
	const minute, hour = 60.0, 3600.0
	for _, x := range []struct {
		source             string
		first, second, amb float64 // K
		step               time.Duration
		unit               float64 // s
		rate               float64 // per unit
		target, when       float64 // K, units after the first reading
		rateWithin, within float64
	}{
		{"a forensic worked example: 23 to 20 °C in 1 h, ambient 15, was 37 °C 2.1523 h before", c(23), c(20), c(15), time.Hour, hour, 0.470004, c(37), -2.1523, 5e-7, 5e-5},
		{"a textbook's: 87 to 86 °F in 1 h, ambient 70, was 98.6 °F 8.58 h before", fahrenheit(87), fahrenheit(86), fahrenheit(70), time.Hour, hour, math.Log(17.0 / 16), fahrenheit(98.6), -8.58, 1e-8, 5e-3},
		{"a textbook's: 95 to 61 °C in 30 min, ambient 20, printed k 0.02", c(95), c(61), c(20), 30 * time.Minute, minute, 0.0201305, c(61), 30, 5e-8, 1e-6},
		{"computed from the formula: 300 to 200 °C in 10 min, ambient 25, then 43 °C 50.3206 min after the second", c(300), c(200), c(25), 10 * time.Minute, minute, 0.0451985, c(43), 10 + 50.3206, 5e-8, 5e-5},
	} {
		t.Run(x.source, func(t *testing.T) {
			m := cooling.Measurement{Readings: every(x.step, x.first, x.second), Ambient: &x.amb, Scatter: fine(0.01)}
			f, err := m.Forecast(x.target)
			require.NoError(t, err)
			require.Equal(t, cooling.Told, f.Outcome, f.Because)
			assert.InDelta(t, x.rate, f.Fit.Rate*x.unit, x.rateWithin)
			assert.InDelta(t, x.when, f.After/x.unit, x.within)
			assert.True(t, f.Between.Has(f.After))
			assert.True(t, f.Fit.Rates.Has(f.Fit.Rate))
			assert.InDelta(t, x.target, f.Fit.At(f.After), 1e-6, "the law put back in")
		})
	}
}

func TestTheForecastMinuteIsRoundedUp(t *testing.T) {
	m := cooling.Measurement{Readings: every(10*time.Minute, c(300), c(200)), Ambient: ptr(c(25))}
	f, err := m.Forecast(c(43))
	require.NoError(t, err)
	expected, latest := f.Minute()
	assert.Equal(t, 61, expected) // 10 + 50.3206
	assert.Equal(t, int(math.Ceil(f.Between.High/60)), latest)
	assert.GreaterOrEqual(t, latest, expected)
	assert.InDelta(t, f.Between.High-600, f.Wait, 1e-9)
	assert.True(t, f.Far, "50 min past readings that span 10")
	assert.Contains(t, f.Workings[len(f.Workings)-1], "never that a surface may be touched")
	assert.Len(t, f.Fit.Limits, 3)
}

// With two readings and a known ambient the possible curves are those through a
// circle of readings, radius s·q: the ends follow from the pencil formula alone.
func TestTheIntervalOfTwoReadingsIsThatOfACircleOfReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amb := rapid.Float64Range(0, 40).Draw(t, "ambient")
		first := amb + rapid.Float64Range(60, 400).Draw(t, "first over ambient")
		second := amb + (first-amb)*rapid.Float64Range(0.4, 0.8).Draw(t, "left")
		target := amb + (second-amb)*rapid.Float64Range(0.3, 0.9).Draw(t, "target")
		m := cooling.Measurement{Readings: every(10*time.Minute, c(first), c(second)), Ambient: ptr(c(amb))}
		f, err := m.Forecast(c(target))
		require.NoError(t, err)
		require.Equal(t, cooling.Told, f.Outcome, f.Because)
		radius := f.Fit.Spread * f.Fit.Quantile
		low, high := math.Inf(1), math.Inf(-1)
		for i := range 20000 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 20000)
			a, b := first+radius*cos-amb, second+radius*sin-amb
			when := 600 * math.Log(a/(target-amb)) / math.Log(a/b)
			low, high = math.Min(low, when), math.Max(high, when)
		}
		assert.InEpsilon(t, low, f.Between.Low, 1e-5)
		assert.InEpsilon(t, high, f.Between.High, 1e-5)
	})
}

// Every curve whose sum of squares is within the bound must forecast inside the
// interval, and some must come near both ends: a search with no Fieller in it.
func TestTheIntervalWithAnUnknownAmbientHoldsEveryPossibleCurve(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	readings := every(10*time.Minute, c(250.4), c(161.3), c(107.9), c(75.1), c(56.3), c(43.8), c(37.0))
	f, err := cooling.Measurement{Readings: readings}.Forecast(c(32))
	require.NoError(t, err)
	require.Equal(t, cooling.Told, f.Outcome, f.Because)
	rss := func(k, d, amb float64) (sum float64) {
		for _, x := range readings {
			e := x.Kelvin - amb - d*math.Exp(-k*x.After.Seconds())
			sum += e * e
		}
		return sum
	}
	d := f.Fit.Start - f.Fit.Ambient
	least := rss(f.Fit.Rate, d, f.Fit.Ambient)
	assert.InDelta(t, f.Fit.Residual*f.Fit.Residual*float64(len(readings)), least, 1e-9)
	bound := least + f.Fit.Spread*f.Fit.Spread*f.Fit.Quantile*f.Fit.Quantile
	low, high, held := math.Inf(1), math.Inf(-1), 0
	spread := func(r0 cooling.Range) float64 { return (r0.High - r0.Low) / 2 }
	for range 300000 {
		k := f.Fit.Rate + spread(f.Fit.Rates)*(2*r.Float64()-1)*1.1
		amb := f.Fit.Ambient + spread(f.Fit.Ambients)*(2*r.Float64()-1)*1.1
		dd := d + 8*(2*r.Float64()-1)
		got := rss(k, dd, amb)
		require.GreaterOrEqual(t, got, least-1e-9, "nothing beats the least sum of squares")
		if got > bound {
			continue
		}
		held++
		require.True(t, f.Fit.Rates.Has(k) && f.Fit.Ambients.Has(amb))
		when := math.Log(dd/(c(32)-amb)) / k
		require.True(t, f.Between.Has(when), "%g outside %v", when, f.Between)
		low, high = math.Min(low, when), math.Max(high, when)
	}
	require.Greater(t, held, 500)
	width := f.Between.High - f.Between.Low
	assert.Less(t, low-f.Between.Low, 0.1*width)
	assert.Less(t, f.Between.High-high, 0.1*width)
}

// At either end of the interval the best curve forced through the target at that
// time must lie exactly on the bound: the profile, by another parameterisation.
func TestTheEndsOfTheIntervalLieOnTheBound(t *testing.T) {
	readings := every(10*time.Minute, c(250.4), c(161.3), c(107.9), c(75.1), c(56.3), c(43.8), c(37.0))
	for _, target := range []float64{c(29), c(35), c(120), c(300)} {
		f, err := cooling.Measurement{Readings: readings}.Forecast(target)
		require.NoError(t, err)
		require.Equal(t, cooling.Told, f.Outcome, f.Because)
		forced := func(k, when float64) (sum float64) {
			var num, den float64 // least squares for Ta alone
			for _, x := range readings {
				e := math.Exp(k * (when - x.After.Seconds()))
				num += (1 - e) * (x.Kelvin - target*e)
				den += (1 - e) * (1 - e)
			}
			for _, x := range readings {
				e := math.Exp(k * (when - x.After.Seconds()))
				r := x.Kelvin - target*e - num/den*(1-e)
				sum += r * r
			}
			return sum
		}
		n := float64(len(readings))
		bound := f.Fit.Residual*f.Fit.Residual*n + math.Pow(f.Fit.Spread*f.Fit.Quantile, 2)
		for _, when := range []float64{f.Between.Low, f.Between.High} {
			least := math.Inf(1)
			for i := range 40001 {
				k := f.Fit.Rate * (0.8 + 0.4*float64(i)/40000)
				least = math.Min(least, forced(k, when))
			}
			assert.InEpsilon(t, bound, least, 1e-4, "target %g K at %g s", target, when)
		}
	}
}

// Simulated thermometers with the stated scatter: the interval must hold the
// true time about as often as it says.
func TestTheIntervalHoldsTheTruthAsOftenAsItSays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, known := range []bool{true, false} {
		const trials = 300
		held := 0
		truth := 60 * math.Log(280.0/30) / 0.045
		for range trials {
			m := cooling.Measurement{}
			for i := range 8 {
				after := time.Duration(i) * 5 * time.Minute
				m.Readings = append(m.Readings, cooling.Reading{After: after, Kelvin: c(20+280*math.Exp(-0.045*after.Minutes())) + 0.5*r.NormFloat64()})
			}
			if known {
				m.Ambient = ptr(c(20))
			}
			f, err := m.Forecast(c(50))
			require.NoError(t, err)
			require.Equal(t, cooling.Told, f.Outcome, f.Because)
			if f.Between.Has(truth) {
				held++
			}
		}
		// 95 % of 300 is 285; three binomial standard deviations are 11.
		assert.InDelta(t, 0.95*trials, held, 11, "ambient known: %v", known)
	}
}

func TestStudentsQuantileIsThatOfThePrintedTable(t *testing.T) {
	// Any table of Student's distribution, two-sided 95 %: 8 degrees 2.306, 9 2.262, 10 2.228, 13 2.160.
	for n, want := range map[int]float64{2: 2.306, 3: 2.262, 4: 2.228, 7: 2.160} {
		var kelvin []float64
		for i := range n {
			kelvin = append(kelvin, c(20+200*math.Exp(-0.3*float64(i))))
		}
		fit, err := cooling.Measurement{Readings: every(5*time.Minute, kelvin...), Ambient: ptr(c(20))}.Fit()
		require.NoError(t, err)
		require.Equal(t, cooling.Told, fit.Outcome)
		assert.Equal(t, 8+n-2, fit.Freedom)
		assert.InDelta(t, want, fit.Quantile, 5e-4)
	}
	// 99 % at 8 degrees: 3.355.
	fit, err := cooling.Measurement{Readings: every(time.Minute, c(200), c(150)), Ambient: ptr(c(20)), Confidence: fine(0.99)}.Fit()
	require.NoError(t, err)
	assert.InDelta(t, 3.355, fit.Quantile, 5e-4)
}

func TestReadingsThatCannotTellAreRefusedWithTheReason(t *testing.T) {
	amb := ptr(c(20))
	for _, x := range []struct {
		rule   string
		m      cooling.Measurement
		target float64
		want   cooling.Outcome
		why    string
	}{
		{"none", cooling.Measurement{Ambient: amb}, 43, cooling.TooFew, "readings at 0 of at least 2 different times"},
		{"one", cooling.Measurement{Readings: every(time.Minute, c(90)), Ambient: amb}, 43, cooling.TooFew, "readings at 1 of at least 2 different times"},
		{"two at one time", cooling.Measurement{Readings: every(0, c(90), c(80)), Ambient: amb}, 43, cooling.TooFew, "readings at 1 of at least 2 different times"},
		{"two, ambient unknown", cooling.Measurement{Readings: every(time.Minute, c(90), c(80))}, 43, cooling.TooFew, "2 of at least 3 different times with the ambient unknown"},
		{"heat coming back", cooling.Measurement{Readings: every(time.Minute, c(90), c(80), c(82)), Ambient: amb}, 43, cooling.Rising, "reading 3 is 2.0 °C above"},
		{"creeping up", cooling.Measurement{Readings: every(time.Minute, c(90), c(90.8), c(91.6)), Ambient: amb}, 43, cooling.Rising, "last reading is 1.6 °C above the first"},
		{"cold from the start", cooling.Measurement{Readings: every(time.Hour, c(20.9), c(20.2)), Ambient: amb}, 20.5, cooling.AtAmbient, "no cooling left"},
		{"colder than ambient", cooling.Measurement{Readings: every(time.Hour, c(60), c(15)), Ambient: amb}, 43, cooling.AtAmbient, "measure the ambient again"},
		{"at ambient by the second", cooling.Measurement{Readings: every(time.Hour, c(300), c(20)), Ambient: amb}, 43, cooling.AtAmbient, "the rate of cooling is lost"},
		{"near ambient by the second", cooling.Measurement{Readings: every(time.Hour, c(300), c(20.5)), Ambient: amb}, 43, cooling.AtAmbient, "the rate of cooling is lost"},
		{"level", cooling.Measurement{Readings: every(time.Second, c(90), c(90)), Ambient: amb}, 43, cooling.TooNoisy, "do not fall"},
		{"a fall no greater than the scatter", cooling.Measurement{Readings: every(time.Hour, fahrenheit(87), fahrenheit(86)), Ambient: ptr(fahrenheit(70))}, 25, cooling.TooNoisy, "within the scatter"},
		{"a straight line", cooling.Measurement{Readings: every(time.Minute, c(90), c(80), c(70))}, 43, cooling.TooNoisy, "straight line"},
		{"bending the wrong way", cooling.Measurement{Readings: every(time.Minute, c(90), c(85), c(60))}, 43, cooling.TooNoisy, "straight line"},
		{"hardly bent", cooling.Measurement{Readings: every(time.Minute, c(90), c(85), c(80.2))}, 83, cooling.TooNoisy, "straight line"},
		{"target at ambient", cooling.Measurement{Readings: every(10*time.Minute, c(300), c(200)), Ambient: amb}, 20, cooling.TargetAtAmbient, "cooling never gets there"},
		{"target below ambient", cooling.Measurement{Readings: every(10*time.Minute, c(300), c(200)), Ambient: amb}, 5, cooling.TargetAtAmbient, "if that ambient is right, wait for cooler air"},
		{"target below the ambient found", cooling.Measurement{Readings: every(10*time.Minute, c(250.4), c(161.3), c(107.9), c(75.1), c(56.3), c(43.8), c(37.0))}, 10, cooling.TargetAtAmbient, "that the readings point to"},
		{"target inside the doubt about ambient", cooling.Measurement{Readings: every(10*time.Minute, c(250.4), c(161.3), c(107.9), c(75.1), c(56.3), c(43.8), c(37.0))}, 26.5, cooling.TooNoisy, "may be at the target already"},
		{"interval wider than the wait", cooling.Measurement{Readings: every(time.Minute, c(60), c(57)), Ambient: amb}, 25, cooling.TooNoisy, "wider than the wait itself"},
	} {
		t.Run(x.rule, func(t *testing.T) {
			f, err := x.m.Forecast(c(x.target))
			require.NoError(t, err)
			assert.Equal(t, x.want, f.Outcome, f.Because)
			assert.Contains(t, f.Because, x.why)
			assert.Zero(t, f.Wait)
			assert.Equal(t, f.Fit.Workings, f.Workings, "as far as it came")
		})
	}
}

func TestInputsThatCannotBeAreRefusedByName(t *testing.T) {
	good := cooling.Measurement{Readings: every(time.Minute, c(90), c(80)), Ambient: ptr(c(20))}
	for want, spoil := range map[string]func(*cooling.Measurement){
		"reading 2:":                    func(m *cooling.Measurement) { m.Readings[1].Kelvin = math.NaN() },
		"outside -60 °C to 1500 °C":     func(m *cooling.Measurement) { m.Readings[0].Kelvin = 0 },
		"timed before reading 1":        func(m *cooling.Measurement) { m.Readings[0].After = time.Hour },
		"reading 1 after -1s":           func(m *cooling.Measurement) { m.Readings[0].After = -time.Second },
		"ambient temperature":           func(m *cooling.Measurement) { m.Ambient = ptr(math.Inf(1)) },
		"scatter -1 K":                  func(m *cooling.Measurement) { m.Scatter = fine(-1) },
		"scatter NaN K":                 func(m *cooling.Measurement) { m.Scatter = fine(math.NaN()) },
		"confidence 1:":                 func(m *cooling.Measurement) { m.Confidence = fine(1) },
		"2001 readings: more than 2000": func(m *cooling.Measurement) { m.Readings = every(1, make([]float64, 2001)...) },
	} {
		m := good
		m.Readings = append([]cooling.Reading(nil), good.Readings...)
		spoil(&m)
		_, err := m.Forecast(c(43))
		require.ErrorContains(t, err, want)
	}
	_, err := good.Forecast(math.NaN())
	require.ErrorContains(t, err, "target temperature")
}

func TestExactReadingsGiveTheLawBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amb := rapid.Float64Range(-20, 45).Draw(t, "ambient")
		excess := rapid.Float64Range(80, 500).Draw(t, "excess")
		perSpan := rapid.Float64Range(0.8, 4).Draw(t, "k times span")
		n := rapid.IntRange(4, 12).Draw(t, "n")
		var kelvin []float64
		for i := range n {
			kelvin = append(kelvin, c(amb+excess*math.Exp(-perSpan*float64(i)/float64(n-1))))
		}
		step := 40 * time.Minute / time.Duration(n-1)
		m := cooling.Measurement{Readings: every(step, kelvin...), Scatter: fine(0.05)}
		if rapid.Bool().Draw(t, "ambient known") {
			m.Ambient = ptr(c(amb))
		}
		fit, err := m.Fit()
		require.NoError(t, err)
		require.Equal(t, cooling.Told, fit.Outcome, fit.Because)
		rate := perSpan / (step.Seconds() * float64(n-1))
		assert.InEpsilon(t, rate, fit.Rate, 1e-6)
		assert.InDelta(t, c(amb), fit.Ambient, 1e-4)
		assert.InDelta(t, c(amb+excess), fit.Start, 1e-4)
		assert.True(t, fit.Rates.Has(rate))
	})
}

func TestALowerLimitTakesLongerAndAWorseThermometerTellsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := cooling.Measurement{Readings: every(10*time.Minute, c(300), c(205), c(141)), Ambient: ptr(c(rapid.Float64Range(0, 25).Draw(t, "ambient")))}
		limit := rapid.Float64Range(40, 100).Draw(t, "limit")
		f, err := m.Forecast(c(limit))
		require.NoError(t, err)
		require.Equal(t, cooling.Told, f.Outcome, f.Because)
		lower, err := m.Forecast(c(limit - 1))
		require.NoError(t, err)
		assert.Greater(t, lower.After, f.After)
		assert.Greater(t, lower.Between.High, f.Between.High)
		m.Scatter = fine(1)
		worse, err := m.Forecast(c(limit))
		require.NoError(t, err)
		assert.InDelta(t, f.After, worse.After, 1e-6)
		assert.Less(t, worse.Between.Low, f.Between.Low)
		assert.Greater(t, worse.Between.High, f.Between.High)
	})
}

func FuzzForecastNeverPanicsNorTellsOutsideItsInterval(f *testing.F) {
	f.Add(int64(600), int64(1200), 573.0, 473.0, 400.0, 298.0, 316.0, true)
	f.Add(int64(0), int64(0), math.NaN(), 473.0, 400.0, 298.0, 316.0, false)
	f.Add(int64(1), int64(1e9), 1773.0, 300.0, 299.9, 298.0, 299.0, false)
	f.Fuzz(func(t *testing.T, second, third int64, a, b, d, ambient, target float64, known bool) {
		m := cooling.Measurement{Readings: []cooling.Reading{{Kelvin: a}, {After: time.Duration(second) * time.Millisecond, Kelvin: b}, {After: time.Duration(third) * time.Millisecond, Kelvin: d}}}
		if known {
			m.Ambient = &ambient
		}
		got, err := m.Forecast(target)
		if err != nil || got.Outcome != cooling.Told {
			return
		}
		for _, v := range []float64{got.After, got.Between.Low, got.Between.High, got.Fit.Rate, got.Fit.Ambient, got.Wait} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0))
		}
		require.LessOrEqual(t, got.Between.Low, got.After+1e-6*math.Abs(got.After)+1e-6)
		require.GreaterOrEqual(t, got.Between.High, got.After-1e-6*math.Abs(got.After)-1e-6)
	})
}

// What lies 80 K above its surroundings and 40 K ten minutes later halves every ten minutes: 20 K are left after twenty.
func TestAForecastIsToldByTheLastReading(t *testing.T) {
	m := cooling.Measurement{Readings: every(10*time.Minute, c(100), c(60)), Ambient: ptr(c(20))}
	f, err := m.Forecast(c(40))
	require.NoError(t, err)
	assert.Regexp(t, `is expected 10\.0 min after the last reading \(.* at 95 %\); measure again then`, f.Because)

	m.Readings = every(10*time.Minute, c(100), c(60), c(40), c(30))
	f, err = m.Forecast(c(40))
	require.NoError(t, err)
	assert.Contains(t, f.Because, "by now; measure again")
}

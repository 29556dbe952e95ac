package touch_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/touch"
)

func c(celsius float64) float64 { return celsius + 273.15 }

func TestBurnThresholdsAreThoseOfTheStandard(t *testing.T) {
	// ISO 13732-1, bare smooth metal (from memory; 8 h and 10 s also printed in ECMA-287).
	assert.Equal(t, []touch.Threshold{
		{Contact: time.Second, FromCelsius: 65, UpperCelsius: 70},
		{Contact: 10 * time.Second, FromCelsius: 55, UpperCelsius: 55},
		{Contact: time.Minute, FromCelsius: 51, UpperCelsius: 51},
		{Contact: 10 * time.Minute, FromCelsius: 48, UpperCelsius: 48},
		{Contact: 8 * time.Hour, FromCelsius: 43, UpperCelsius: 43},
	}, touch.Thresholds())
	assert.Equal(t, 10*time.Minute, touch.TenMinutes().Contact)
}

func TestTheThresholdListCannotBeChangedByItsCallers(t *testing.T) {
	touch.Thresholds()[0].FromCelsius = 1000
	assert.Equal(t, 65.0, touch.Thresholds()[0].FromCelsius)
}

func TestATemperatureAllowsTheLongestContactItsThresholdGives(t *testing.T) {
	// ISO 13732-1, bare smooth metal (from memory).
	for celsius, want := range map[float64]time.Duration{
		20: 8 * time.Hour, 43: 8 * time.Hour, 43.1: 10 * time.Minute, 48: 10 * time.Minute, 51: time.Minute, 52: 10 * time.Second, 55: 10 * time.Second, 65: time.Second,
	} {
		got, ok := touch.Allows(celsius)
		require.True(t, ok)
		assert.Equal(t, want, got.Contact, "%g °C", celsius)
	}
	_, ok := touch.Allows(66)
	assert.False(t, ok)
}

func TestAnInfraredReadingIsCorrectedForEmissivity(t *testing.T) {
	// Principle of ASTM E1933 (from memory), worked by hand with whole fourth powers:
	// T = 400 K, Ta = 300 K, e = 0.5: Tm⁴ = (256 + 81)/2 × 10⁸ = 168.5 × 10⁸.
	indicated := math.Pow(168.5e8, 0.25)
	got, err := touch.Correct(indicated, 0.5, 300)
	require.NoError(t, err)
	assert.InDelta(t, 400, got, 1e-9)
	// A black surface needs no correction, and one at ambient shows its own temperature at any emissivity.
	got, err = touch.Correct(c(43), 1, c(20))
	require.NoError(t, err)
	assert.InDelta(t, c(43), got, 1e-9)
	got, err = touch.Correct(c(20), 0.1, c(20))
	require.NoError(t, err)
	assert.InDelta(t, c(20), got, 1e-9)
}

func TestBrightStainlessReadsFarTooLow(t *testing.T) {
	// Common practice says so; computed here with e = 0.15 (within the usual range for bright steel, from memory):
	// an instrument that shows 43 °C among surroundings at 20 °C looks at metal beyond 110 °C.
	got, err := touch.Correct(c(43), 0.15, c(20))
	require.NoError(t, err)
	assert.Greater(t, got, c(110))
}

func TestCorrectionRecoversTheSurfaceItWasMadeFrom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		surface := rapid.Float64Range(c(-50), c(1000)).Draw(t, "surface")
		ambient := rapid.Float64Range(c(-40), c(60)).Draw(t, "ambient")
		e := rapid.Float64Range(0.05, 1).Draw(t, "emissivity")
		indicated := math.Pow(e*math.Pow(surface, 4)+(1-e)*math.Pow(ambient, 4), 0.25)
		if indicated < touch.Coldest {
			t.Skip("colder than any reading accepted")
		}
		got, err := touch.Correct(indicated, e, ambient)
		require.NoError(t, err)
		assert.InDelta(t, surface, got, 1e-6)
		if surface > ambient {
			assert.GreaterOrEqual(t, got, indicated-1e-9, "a surface hotter than its surroundings is never hotter on the instrument")
		}
	})
}

func TestImpossiblePhysicsIsRefused(t *testing.T) {
	for _, x := range []struct {
		indicated, e, ambient float64
		want                  string
	}{
		{c(43), 0, c(20), "emissivity 0"}, {c(43), -0.1, c(20), "emissivity -0.1"}, {c(43), 1.01, c(20), "emissivity 1.01"},
		{c(43), math.NaN(), c(20), "emissivity NaN"},
		{c(-61), 0.9, c(20), "indicated temperature"}, {c(1501), 0.9, c(20), "indicated temperature"}, {math.NaN(), 0.9, c(20), "indicated"},
		{c(43), 0.9, c(-61), "ambient temperature"}, {c(43), 0.9, math.Inf(1), "ambient temperature"},
		{c(0), 0.1, c(60), "colder than the reflection alone"},
		{c(1400), 0.1, c(20), "corrected temperature"},
	} {
		_, err := touch.Correct(x.indicated, x.e, x.ambient)
		require.ErrorContains(t, err, x.want)
	}
}

func readings(celsius ...float64) []touch.Reading {
	var all []touch.Reading
	for i, t := range celsius {
		all = append(all, touch.Reading{After: time.Duration(i) * 5 * time.Minute, Kelvin: c(t)})
	}
	return all
}

func ptr(v float64) *float64 { return &v }

func TestTheLastReadingAndTheTrendDecide(t *testing.T) {
	for _, x := range []struct {
		rule    string
		celsius []float64
		want    touch.Outcome
	}{
		{"none yet", nil, touch.TooFew},
		{"one below the limit shows no trend", []float64{30}, touch.TooFew},
		{"one above the limit is already an answer", []float64{48.1}, touch.TooHot},
		{"cooling below the limit", []float64{60, 47}, touch.Safe},
		{"at the limit", []float64{60, 48}, touch.Safe},
		{"just above the limit", []float64{60, 48.01}, touch.TooHot},
		{"steady", []float64{40, 40}, touch.Safe},
		{"scatter up", []float64{40, 41}, touch.Safe},
		{"rising", []float64{40, 41.1}, touch.Rising},
		{"creeping up from the first", []float64{40, 40.6, 41.2}, touch.Rising},
		{"cooled, then heat came back", []float64{200, 40, 45}, touch.Rising},
		{"rose in between, cool again", []float64{45, 60, 44}, touch.Safe},
		{"below the limit first, above it last", []float64{40, 60}, touch.TooHot},
	} {
		t.Run(x.rule, func(t *testing.T) {
			j, err := touch.Measurement{Readings: readings(x.celsius...), Limit: c(48), Method: touch.ContactProbe}.Judge()
			require.NoError(t, err)
			assert.Equal(t, x.want, j.Outcome)
		})
	}
}

func TestReadingsTooCloseTogetherAskForMore(t *testing.T) {
	m := touch.Measurement{Readings: readings(50, 45), Limit: c(48), Method: touch.ContactProbe, Span: 5 * time.Minute}
	j, err := m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.Safe, j.Outcome)
	m.Span++
	j, err = m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.TooSoon, j.Outcome)
}

func TestInfraredOfBrightMetalIsAlwaysRefused(t *testing.T) {
	// Common practice: bright stainless reads far too low.
	m := touch.Measurement{Readings: readings(25, 24), Limit: c(48), Method: touch.Infrared, Finish: touch.BrightMetal, Emissivity: ptr(1), Ambient: ptr(c(20))}
	j, err := m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.Bright, j.Outcome)
	m.Finish = ""
	j, err = m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.FinishNeeded, j.Outcome, "not saying what it is does not get round the rule")
	m.Method, m.Finish = touch.ContactProbe, touch.BrightMetal
	j, err = m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.Safe, j.Outcome)
}

func TestInfraredIsJudgedOnTheCorrectedTemperature(t *testing.T) {
	m := touch.Measurement{Readings: readings(47, 46), Limit: c(48), Method: touch.Infrared, Finish: touch.Dull, Emissivity: ptr(0.8), Ambient: ptr(c(20))}
	j, err := m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.TooHot, j.Outcome, "46 °C indicated is above 48 °C in truth")
	m.Emissivity = ptr(0.97)
	j, err = m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.Safe, j.Outcome)
}

func TestACorrectionNeverTalksASurfaceCool(t *testing.T) {
	m := touch.Measurement{Readings: readings(60, 50), Limit: c(48), Method: touch.Infrared, Finish: touch.Dull, Emissivity: ptr(0.8), Ambient: ptr(c(90))}
	j, err := m.Judge()
	require.NoError(t, err)
	assert.Equal(t, touch.TooHot, j.Outcome)
	last, ok := j.Last()
	require.True(t, ok)
	assert.Equal(t, c(50), last)
}

func TestAMeasurementThatCannotBeIsRefusedByName(t *testing.T) {
	good := touch.Measurement{Readings: readings(45, 44), Limit: c(48), Method: touch.Infrared, Finish: touch.Dull, Emissivity: ptr(0.9), Ambient: ptr(c(20))}
	for want, spoil := range map[string]func(*touch.Measurement){
		"emissivity: missing":  func(m *touch.Measurement) { m.Emissivity = nil },
		"ambient: missing":     func(m *touch.Measurement) { m.Ambient = nil },
		"emissivity 1.5":       func(m *touch.Measurement) { m.Emissivity = ptr(1.5) },
		"limit":                func(m *touch.Measurement) { m.Limit = math.NaN() },
		`method "by hand"`:     func(m *touch.Measurement) { m.Method = "by hand" },
		`finish "rusty"`:       func(m *touch.Measurement) { m.Finish = "rusty" },
		"reading 2: -70.0 °C":  func(m *touch.Measurement) { m.Readings = readings(45, -70) },
		"reading 1: 1600.0 °C": func(m *touch.Measurement) { m.Readings = readings(1600, 44) },
		"timed before":         func(m *touch.Measurement) { m.Readings[0].After = time.Hour },
	} {
		m := good
		m.Readings = readings(45, 44)
		spoil(&m)
		_, err := m.Judge()
		require.ErrorContains(t, err, want)
	}
}

func FuzzJudgeNeverPanicsNorCallsAHotSurfaceSafe(f *testing.F) {
	f.Add(c(50), c(45), c(48), 0.9, c(20), true, uint8(2))
	f.Add(math.NaN(), c(45), c(48), 0.9, c(20), false, uint8(1))
	f.Add(c(0), c(0), c(48), 1e-300, c(60), true, uint8(3))
	finishes := []touch.Finish{"", touch.BrightMetal, touch.Dull, touch.Painted}
	f.Fuzz(func(t *testing.T, first, last, limit, e, ambient float64, infrared bool, finish uint8) {
		m := touch.Measurement{
			Readings: []touch.Reading{{Kelvin: first}, {After: time.Minute, Kelvin: last}}, Limit: limit, Method: touch.ContactProbe,
			Emissivity: &e, Ambient: &ambient, Finish: finishes[int(finish)%len(finishes)],
		}
		if infrared {
			m.Method = touch.Infrared
		}
		j, err := m.Judge()
		if err == nil && j.Outcome == touch.Safe {
			require.LessOrEqual(t, last, limit)
			require.LessOrEqual(t, last, first+touch.RiseAllowed+100*math.Abs(1-e)*first)
			require.False(t, infrared && m.Finish == touch.BrightMetal)
		}
	})
}

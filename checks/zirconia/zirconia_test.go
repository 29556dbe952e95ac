package zirconia_test

import (
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/zirconia"
)

func emf(t require.TestingT, kelvin, reference, measured float64) float64 {
	r, err := zirconia.Cell{Kelvin: kelvin, Reference: reference, Measured: measured}.EMF()
	require.NoError(t, err)
	return r.Volts
}

func TestTheConstantsAreThoseOfCODATA(t *testing.T) {
	// CODATA 2018, exact: R = 8.314 462 618… J/(mol K), F = 96 485.332 12… C/mol.
	assert.InDelta(t, 8.31446261815324, zirconia.Gas, 1e-14)
	assert.InDelta(t, 96485.33212331, zirconia.Faraday, 1e-8)
}

func TestTheConstantsAgreeWithGNUUnits(t *testing.T) {
	if _, err := exec.LookPath("units"); err != nil {
		t.Skip("needs the units program (GNU units)")
	}
	out, err := exec.Command("units", "-t", "-o", "%.15g", "R 1 K ln(10) / (4 N_A e)", "mV").CombinedOutput()
	require.NoError(t, err, string(out))
	want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	require.NoError(t, err)
	slope, err := zirconia.Slope(1)
	require.NoError(t, err)
	assert.InEpsilon(t, want, 1000*slope, 1e-9)
}

func TestTheSlopeIsWhatInstrumentMakersPrint(t *testing.T) {
	// Makers of zirconia analysers print 0.0496 mV for each kelvin and decade; computed with CODATA 2018: 0.0496054.
	slope, err := zirconia.Slope(1)
	require.NoError(t, err)
	assert.InDelta(t, 0.0496054, 1000*slope, 5e-8)
	assert.Equal(t, "0.0496", strconv.FormatFloat(1000*slope, 'f', 4, 64))
	// The same with natural logarithms, 0.0215 mV/K (printed by some makers, from memory).
	assert.Equal(t, "0.0215", strconv.FormatFloat(1000*slope/math.Ln10, 'f', 4, 64))
}

func TestVoltagesAreThoseOfTheEquation(t *testing.T) {
	// Computed from Nernst's equation with CODATA R and F.
	for _, c := range []struct{ kelvin, reference, measured, millivolts float64 }{
		{1000, 0.209, 0.01, 65.486},
		{600 + 273.15, 0.2095, 0.01, 57.224},
		{850 + 273.15, 0.2095, 1e-15, 797.894},
	} {
		assert.InDelta(t, c.millivolts, 1000*emf(t, c.kelvin, c.reference, c.measured), 5e-4, "%+v", c)
	}
}

func TestEqualPressuresGiveNoVoltage(t *testing.T) {
	assert.Zero(t, emf(t, 900, 0.2095, 0.2095))
	// Where they are nearly equal, ln(1 + x) is x to within x²/2, by its series.
	near := 0.2095 * (1 + 1e-12)
	x := (near - 0.2095) / 0.2095
	assert.InEpsilon(t, zirconia.Gas*900/4/zirconia.Faraday*x, emf(t, 900, near, 0.2095), 1e-9)
}

func TestAFactorOfTenAddsOneSlope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kelvin := rapid.Float64Range(300, 1500).Draw(t, "T")
		p := math.Pow(10, rapid.Float64Range(-25, 0).Draw(t, "log p"))
		slope, err := zirconia.Slope(kelvin)
		require.NoError(t, err)
		assert.InDelta(t, slope, emf(t, kelvin, 0.2095, p/10)-emf(t, kelvin, 0.2095, p), 1e-12)
		assert.InDelta(t, -emf(t, kelvin, 0.2095, p), emf(t, kelvin, p, 0.2095), 1e-12, "the cell turned round")
	})
}

func TestTheInverseGivesThePressureBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := zirconia.Cell{
			Kelvin:    rapid.Float64Range(300, zirconia.Hottest).Draw(t, "T"),
			Reference: rapid.Float64Range(0.01, 100).Draw(t, "pref"),
			Measured:  math.Pow(10, rapid.Float64Range(-30, 2).Draw(t, "log p")),
		}
		forward, err := c.EMF()
		require.NoError(t, err)
		back, err := c.Pressure(forward.Volts)
		require.NoError(t, err)
		assert.InEpsilon(t, c.Measured, back.Measured, 1e-10)
		assert.Equal(t, forward.Slope, back.Slope)
	})
}

func TestAPencilFollowsTheWorkings(t *testing.T) {
	// The same by the free energy of oxygen moved from pref to p: ΔG = -4FE = RT ln(p/pref).
	r, err := zirconia.Cell{Kelvin: 1000, Reference: 0.209, Measured: 0.01, Conducts: zirconia.Conducting()}.EMF()
	require.NoError(t, err)
	assert.InEpsilon(t, zirconia.Gas*1000*math.Log(0.01/0.209), -4*zirconia.Faraday*r.Volts, 1e-12)
	text := strings.Join(r.Workings, "\n")
	for _, part := range []string{"T = 1000.00 K (726.85 °C)", "pref/p = 0.209/0.01 = 20.9", "21.5433 mV", "49.6054 mV", "65.486 mV", zirconia.Conducting().Source} {
		assert.Contains(t, text, part)
	}
}

func TestACellConductsOnlyWhenHot(t *testing.T) {
	// Trade literature: a zirconia sensor conducts above about 350 °C.
	for celsius, usable := range map[float64]bool{20: false, 349: false, 350: true, 800: true} {
		r, err := zirconia.Cell{Kelvin: celsius + 273.15, Reference: 0.2095, Measured: 0.01, Conducts: zirconia.Conducting()}.EMF()
		require.NoError(t, err)
		assert.Equal(t, usable, r.Usable, "%g °C", celsius)
		assert.Equal(t, []zirconia.Limit{zirconia.Conducting()}, r.Limits)
		assert.Contains(t, r.Because, "from about 350 °C")
	}
	r, err := zirconia.Cell{Kelvin: 293.15, Reference: 0.2095, Measured: 0.01}.EMF()
	require.NoError(t, err)
	assert.True(t, r.Usable)
	assert.Empty(t, r.Limits)
}

func TestWhatCannotBeIsRefusedByName(t *testing.T) {
	good := zirconia.Cell{Kelvin: 1000, Reference: zirconia.DryAir().Value, Measured: 0.01}
	for want, spoil := range map[string]func(*zirconia.Cell){
		"temperature 0 K":                  func(c *zirconia.Cell) { c.Kelvin = 0 },
		"temperature -1 K":                 func(c *zirconia.Cell) { c.Kelvin = -1 },
		"temperature NaN K":                func(c *zirconia.Cell) { c.Kelvin = math.NaN() },
		"temperature 2001 K":               func(c *zirconia.Cell) { c.Kelvin = 2001 },
		"reference partial pressure 0":     func(c *zirconia.Cell) { c.Reference = 0 },
		"reference partial pressure +Inf":  func(c *zirconia.Cell) { c.Reference = math.Inf(1) },
		"measured partial pressure 0":      func(c *zirconia.Cell) { c.Measured = 0 },
		"measured partial pressure NaN":    func(c *zirconia.Cell) { c.Measured = math.NaN() },
		"measured partial pressure -0.01":  func(c *zirconia.Cell) { c.Measured = -0.01 },
		"conducting temperature 600 K: ha": func(c *zirconia.Cell) { c.Conducts.Value = 600 },
		"conducting temperature NaN K: mu": func(c *zirconia.Cell) { c.Conducts = zirconia.Limit{Value: math.NaN(), Source: "a test"} },
	} {
		c := good
		spoil(&c)
		_, err := c.EMF()
		require.ErrorContains(t, err, want)
	}
	for _, volts := range []float64{math.NaN(), math.Inf(1), 1e6, -1e6} {
		_, err := good.Pressure(volts)
		require.ErrorContains(t, err, "voltage")
	}
	_, err := zirconia.Cell{Reference: 1}.Pressure(0.1)
	require.ErrorContains(t, err, "temperature 0 K")
	_, err = zirconia.Slope(math.Inf(1))
	require.Error(t, err)
}

func FuzzEveryAnswerIsAFiniteNumber(f *testing.F) {
	f.Add(1000.0, 0.209, 0.01, 0.065)
	f.Add(5e-324, 1.7e308, 5e-324, -1e300)
	f.Add(math.NaN(), -1.0, 0.0, math.Inf(-1))
	f.Fuzz(func(t *testing.T, kelvin, reference, measured, volts float64) {
		c := zirconia.Cell{Kelvin: kelvin, Reference: reference, Measured: measured}
		if r, err := c.EMF(); err == nil {
			require.False(t, math.IsNaN(r.Volts) || math.IsInf(r.Volts, 0))
		}
		if r, err := c.Pressure(volts); err == nil {
			require.True(t, r.Measured > 0 && !math.IsInf(r.Measured, 0))
		}
	})
}

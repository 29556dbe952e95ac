package torque_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/torque"
)

func TestThreadDiametersAreThoseOfTheStandard(t *testing.T) {
	for _, c := range []struct {
		source         string
		d, p           float64
		d2, d3, d1, as float64
	}{
		{"ISO 724 table; As from ISO 898-1, from memory", 10, 1.5, 9.026, 8.160, 8.376, 58.0},
		{"computed from ISO 724; As from ISO 898-1, from memory", 18, 1.5, 17.026, 16.160, 16.376, 216},
		{"ISO 724 table, from memory; As 84.3 printed in a fastener handbook", 12, 1.75, 10.863, 9.853, 10.106, 84.3},
		{"ISO 724 and ISO 898-1 tables, from memory", 8, 1.25, 7.188, 6.466, 6.647, 36.6},
		{"ISO 724 and ISO 898-1 tables, from memory", 12, 1.25, 11.188, 10.466, 10.647, 92.1},
	} {
		g, err := torque.Thread{Diameter: c.d, Pitch: c.p}.Geometry()
		require.NoError(t, err)
		assert.InDelta(t, c.d2, g.PitchDiameter, 5e-4, c.source)
		assert.InDelta(t, c.d3, g.MinorBolt, 5e-4, c.source)
		assert.InDelta(t, c.d1, g.MinorNut, 5e-4, c.source)
		assert.InDelta(t, c.as, g.StressArea, 0.5e-2*c.as, c.source)
	}
}

func TestThePrintedFactorsOfThePitchAreTheExactOnes(t *testing.T) {
	// ISO 724 prints 0.64952, 1.22687 and 1.08253.
	g, err := torque.Thread{Diameter: 100, Pitch: 1}.Geometry()
	require.NoError(t, err)
	assert.InDelta(t, 0.64952, 100-g.PitchDiameter, 5e-6)
	assert.InDelta(t, 1.22687, 100-g.MinorBolt, 5e-6)
	assert.InDelta(t, 1.08253, 100-g.MinorNut, 5e-6)
}

func TestAThreadNeedsItsPitch(t *testing.T) {
	for text, want := range map[string]string{
		"M18":     "no pitch",
		"18x1.5":  "must begin with M",
		"M18x":    "no plain number",
		"Mx1.5":   "no plain number",
		"M18x-1":  "no plain number",
		"M18x1e0": "no plain number",
		"M18x1,5": "no plain number",
		"M18x9":   "thread pitch 9 mm",
		"M0.5x.2": "thread diameter 0.5 mm",
		"M999x2":  "thread diameter 999 mm",
		"":        "must begin with M",
	} {
		_, err := torque.ParseThread(text)
		require.ErrorContains(t, err, want, text)
	}
	for _, text := range []string{"M18×1.5", "m18 x 1.5", "M18X1.50", " M18*1.5 "} {
		got, err := torque.ParseThread(text)
		require.NoError(t, err)
		assert.Equal(t, "M18×1.5", got.String())
	}
}

func TestTheDiametersOfAThreadKeepTheirOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(1, 300).Draw(t, "d")
		th := torque.Thread{Diameter: d, Pitch: rapid.Float64Range(0.2, d/4).Draw(t, "P")}
		g, err := th.Geometry()
		require.NoError(t, err)
		assert.True(t, 0 < g.MinorBolt && g.MinorBolt < g.MinorNut && g.MinorNut < g.PitchDiameter && g.PitchDiameter < d)
		assert.Less(t, g.StressArea, math.Pi/4*g.PitchDiameter*g.PitchDiameter)
		back, err := torque.ParseThread(th.String())
		require.NoError(t, err)
		assert.Equal(t, th, back)
	})
}

func FuzzParseThreadReadsItsOwnPrint(f *testing.F) {
	for _, s := range []string{"M18x1.5", "M10×1.5", "M18", "m1x.25", "M..x.", "M1" + "00000000000000000000x2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		th, err := torque.ParseThread(text)
		if err != nil {
			return
		}
		back, err := torque.ParseThread(th.String())
		require.NoError(t, err)
		require.Equal(t, th, back)
		_, err = th.Geometry()
		require.NoError(t, err)
	})
}

func TestTheInchSocketIsLooseOnTheMetricHexagon(t *testing.T) {
	// Exact: 7/8 in = 22.225 mm, 0.225 mm over 22 mm. That 22 mm is the hexagon to use is common practice.
	inch, err := torque.ParseAcross("7/8 in")
	require.NoError(t, err)
	assert.InDelta(t, 22.225, inch, 1e-12)
	f, err := torque.Socket(22, inch)
	require.NoError(t, err)
	assert.Equal(t, torque.Loose, f.Fit)
	assert.InDelta(t, 0.225, f.Play, 1e-12)
	assert.InDelta(t, turnBySearch(22, 22.225), f.Turn, 1e-6)
	assert.InDelta(t, 1.031, f.Turn, 5e-4)
	assert.Contains(t, f.Because, "use 22 mm")
	right, err := torque.Socket(22, 22)
	require.NoError(t, err)
	assert.Equal(t, torque.Right, right.Fit)
	assert.InDelta(t, 0, right.Turn, 1e-6)
	assert.Equal(t, 1.0, right.Bite)
	tight, err := torque.Socket(inch, 22)
	require.NoError(t, err)
	assert.Equal(t, torque.Tight, tight.Fit)
	// An inch size that is a metric one but for rounding: 3/4 in = 19.05 mm.
	near, err := torque.Socket(19, 19.05)
	require.NoError(t, err)
	assert.Equal(t, torque.Right, near.Fit)
	free, err := torque.Socket(22, 25.5)
	require.NoError(t, err)
	assert.Equal(t, torque.Slips, free.Fit)
	assert.Zero(t, free.Bite)
}

// turnBySearch turns the corners of a hexagon of width s until one leaves the
// socket of width S: geometry with no formula of the package in it.
func turnBySearch(s, socket float64) float64 {
	inside := func(degrees float64) bool {
		for corner := 0.0; corner < 6; corner++ {
			at := (30 + 60*corner + degrees) * math.Pi / 180
			x, y := s/math.Sqrt(3)*math.Cos(at), s/math.Sqrt(3)*math.Sin(at)
			for flat := 0.0; flat < 6; flat++ {
				n := 60 * flat * math.Pi / 180
				if x*math.Cos(n)+y*math.Sin(n) > socket/2+1e-13 {
					return false
				}
			}
		}
		return true
	}
	low, high := 0.0, 30.0
	for range 60 {
		if mid := (low + high) / 2; inside(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func TestALargerSocketTurnsFurtherAndBitesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hex := rapid.Float64Range(5, 60).Draw(t, "hex")
		one := rapid.Float64Range(1.001, 1.15).Draw(t, "ratio")
		a, err := torque.Socket(hex, hex*one)
		require.NoError(t, err)
		b, err := torque.Socket(hex, hex*(one+0.003))
		require.NoError(t, err)
		assert.Greater(t, b.Turn, a.Turn)
		assert.Less(t, b.Bite, a.Bite)
		assert.InDelta(t, turnBySearch(hex, hex*one), a.Turn, 1e-5)
	})
}

func TestAWidthThatCannotBeIsRefused(t *testing.T) {
	for _, v := range []float64{0, -22, math.NaN(), math.Inf(1), 501} {
		_, err := torque.Socket(v, 22)
		require.ErrorContains(t, err, "width of the hexagon")
		_, err = torque.Socket(22, v)
		require.ErrorContains(t, err, "width of the socket")
	}
	for text, want := range map[string]string{
		"22": "bare number", "7/8": "no inch size", "7/0 in": "no inch size", "/8 in": "no inch size",
		"7/8 mm": "no inch size", "7.5/8 in": "no inch size", "22 V": "unit of voltage", "": "a number and its unit",
	} {
		_, err := torque.ParseAcross(text)
		require.ErrorContains(t, err, want, text)
	}
	for text, want := range map[string]float64{"22 mm": 22, `7/8"`: 22.225, "0.875 in": 22.225, "15/16 in": 23.8125} {
		got, err := torque.ParseAcross(text)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-12, text)
	}
}

func FuzzParseAcrossNeverPanics(f *testing.F) {
	for _, s := range []string{"7/8 in", "22 mm", "7/ in", "/", "1/99999999999999999999 in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		mm, err := torque.ParseAcross(text)
		if err == nil {
			require.False(t, math.IsNaN(mm) || math.IsInf(mm, 0))
			_, _ = torque.Socket(22, mm)
		}
	})
}

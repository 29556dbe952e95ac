package quantity_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/quantity"
)

func in(t require.TestingT, text, unit string) float64 {
	v, err := quantity.MustParse(text).In(unit)
	require.NoError(t, err)
	return v
}

func TestTorqueUnitsHaveTheirPublishedFactors(t *testing.T) {
	// NIST SP 811, appendix B, and its exact products.
	assert.Equal(t, 1.3558179483314004, in(t, "1 lbf·ft", "N·m"))
	assert.InDelta(t, 0.1129848290276167, in(t, "1 lbf·in", "N·m"), 1e-16)
	assert.Equal(t, 9.80665, in(t, "1 kgf·m", "N·m"))
	// The printed conversions of 45 N·m, computed from the same factors.
	assert.InDelta(t, 33.19030, in(t, "45 N·m", "lbf·ft"), 5e-6)
	assert.InDelta(t, 4.588723, in(t, "45 N·m", "kgf·m"), 5e-7)
	assert.InDelta(t, 398.2836, in(t, "45 N·m", "lbf·in"), 5e-5)
}

func TestTheFootPoundIsTheExactProductOfItsParts(t *testing.T) {
	// 1959 yard and pound agreement with standard gravity, NIST SP 811: each part is exact.
	product := big.NewRat(1, 1)
	for _, part := range []string{"0.45359237", "9.80665", "0.3048"} {
		r, ok := new(big.Rat).SetString(part)
		require.True(t, ok)
		product.Mul(product, r)
	}
	assert.Equal(t, "1.3558179483314004", product.FloatString(16))
	assert.Equal(t, "1.35581794833140040000", product.FloatString(20), "no digit beyond the sixteenth")
}

func TestTemperatureScalesMeetAtTheirFixedPoints(t *testing.T) {
	// Fixed by the definitions of the scales (SI Brochure, 9th edition, 2.3.1).
	for _, c := range []struct{ from, unit, want string }{
		{"0 °C", "°F", "32"}, {"100 °C", "°F", "212"}, {"-40 °C", "°F", "-40"}, {"0 °C", "K", "273.15"},
		{"0 K", "°C", "-273.15"}, {"-459.67 °F", "K", "0"}, {"118.4 °F", "°C", "48"}, {"43 °C", "°F", "109.4"},
	} {
		assert.Equal(t, c.want, strconv.FormatFloat(in(t, c.from, c.unit), 'g', -1, 64), c.from)
	}
}

func TestTheInchIsExact(t *testing.T) {
	// 1 in = 25.4 mm exactly (NIST SP 811, appendix B.6): 7/8 in is 22.225 mm, 0.225 mm over 22 mm.
	assert.Equal(t, 22.225, in(t, "0.875 in", "mm"))
	assert.Equal(t, 25.4, in(t, "1 in", "mm"))
	assert.Equal(t, 12.0, in(t, "1 ft", "in"))
}

// oracleNames are GNU units' names for ours.
var oracleNames = map[string]string{
	"N·m": "N m", "lbf·ft": "lbf ft", "lbf·in": "lbf in", "kgf·m": "kgf m", "kgf·cm": "kgf cm", "N·cm": "N cm", "daN·m": "10 N m",
	"d": "day", "h": "hour", "°": "degree", "rad": "radian", "Ω": "ohm", "kΩ": "kohm", "MΩ": "megaohm", "mΩ": "milliohm",
	"in": "inch", "ft": "foot", "µA": "microampere", "%": "percent", "ppm": "1e-6", "": "1",
}

func oracleName(unit string) string {
	if name, ok := oracleNames[unit]; ok {
		return name
	}
	return unit
}

// oracle asks GNU units for a conversion.
func oracle(t *testing.T, from, to string) float64 {
	out, err := exec.Command("units", "-t", "-o", "%.15g", from, to).CombinedOutput()
	require.NoError(t, err, "%s to %s: %s", from, to, out)
	v, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	require.NoError(t, err, "%s to %s", from, to)
	return v
}

func TestEveryConversionAgreesWithGNUUnits(t *testing.T) {
	if _, err := exec.LookPath("units"); err != nil {
		t.Skip("needs the units program (GNU units)")
	}
	for _, d := range quantity.Dimensions() {
		if d == quantity.Temperature {
			continue
		}
		names := quantity.Units(d)
		for _, name := range names {
			want := oracle(t, "7.25 "+oracleName(name), oracleName(names[0]))
			got := in(t, strings.TrimSpace("7.25 "+name), names[0])
			assert.InEpsilon(t, want, got, 1e-13, "%s in %s", name, names[0])
		}
	}
}

func TestTemperaturesAgreeWithGNUUnits(t *testing.T) {
	if _, err := exec.LookPath("units"); err != nil {
		t.Skip("needs the units program (GNU units)")
	}
	scales := map[string]string{"°C": "tempC", "°F": "tempF", "K": "tempK"}
	for from, fromName := range scales {
		for to, toName := range scales {
			want := oracle(t, fmt.Sprintf("%s(312.5)", fromName), toName)
			assert.InDelta(t, want, in(t, "312.5 "+from, to), 1e-10, "%s to %s", from, to)
		}
	}
}

func TestConvertingThereAndBackKeepsTheValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuantity(t)
		unit := rapid.SampledFrom(quantity.Units(q.Dimension())).Draw(t, "other unit")
		away, err := q.In(unit)
		require.NoError(t, err)
		if math.Abs(away) > quantity.Largest {
			t.Skip("beyond the largest value held")
		}
		there, err := quantity.New(away, unit)
		require.NoError(t, err)
		back, err := there.In(q.Unit())
		require.NoError(t, err)
		home, err := q.In(q.Unit())
		require.NoError(t, err)
		assert.InDelta(t, home, back, 1e-12*math.Max(math.Abs(home), 1000))
	})
}

func TestTheBaseUnitGivesTheSameQuantityBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuantity(t)
		if math.Abs(q.Base()) > 1e12 {
			t.Skip("beyond the largest value held")
		}
		back, err := quantity.FromBase(q.Base(), q.Dimension())
		require.NoError(t, err)
		assert.Equal(t, q.Dimension(), back.Dimension())
		assert.InDelta(t, q.Base(), back.Base(), 1e-14*math.Abs(q.Base()))
	})
	_, err := quantity.FromBase(1, "colour")
	assert.ErrorContains(t, err, "no such dimension")
}

func TestEqualTextsInDifferentUnitsCompareEqual(t *testing.T) {
	for a, b := range map[string]string{
		"118.4 °F": "48 °C", "1 h": "60 min", "12 in": "1 ft", "0.3 mm": "0.03 cm", "1 lbf·ft": "12 lbf·in", "0.1 V": "100 mV",
		"4 %": "40000 ppm", "45 N·m": "4500 N·cm", "40.0 °C": "40 °C",
	} {
		left, right := quantity.MustParse(a), quantity.MustParse(b)
		order, err := left.Compare(right)
		require.NoError(t, err)
		assert.Zero(t, order, "%s and %s", a, b)
		assert.Equal(t, left.Base(), right.Base(), "%s and %s", a, b)
	}
}

func TestOrderFollowsTheBaseUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyQuantity(t)
		unit := rapid.SampledFrom(quantity.Units(a.Dimension())).Draw(t, "other unit")
		b, err := quantity.New(rapid.Float64Range(-200, 1e6).Draw(t, "other"), unit)
		if err != nil {
			t.Skip("below absolute zero")
		}
		order, err := a.Compare(b)
		require.NoError(t, err)
		if a.Base() != b.Base() {
			assert.Equal(t, a.Base() < b.Base(), order < 0)
		}
		less, err := a.Less(b)
		require.NoError(t, err)
		assert.Equal(t, order < 0, less)
		reverse, err := b.Compare(a)
		require.NoError(t, err)
		assert.Equal(t, -order, reverse)
	})
}

func TestDifferentDimensionsNeverCompareOrConvert(t *testing.T) {
	torque, length := quantity.MustParse("45 N·m"), quantity.MustParse("45 mm")
	_, err := torque.Compare(length)
	require.ErrorContains(t, err, "torque and length do not compare")
	_, err = torque.Less(length)
	require.Error(t, err)
	_, err = torque.In("mm")
	require.ErrorContains(t, err, "not a unit of torque; use N·m, lbf·ft")
	_, err = torque.In("parsec")
	require.Error(t, err)
}

func TestTheZeroQuantityIsNone(t *testing.T) {
	var none quantity.Quantity
	assert.False(t, none.Valid())
	assert.True(t, none.IsZero())
	assert.True(t, math.IsNaN(none.Base()))
	assert.Empty(t, none.String())
	assert.Empty(t, none.Unit())
	assert.Empty(t, none.Dimension())
	assert.Empty(t, none.Show(1, "N·m"))
	assert.Equal(t, none, none.Abs())
	_, err := none.In("N·m")
	require.Error(t, err)
	_, err = none.Compare(quantity.MustParse("1 V"))
	require.Error(t, err)
	_, err = quantity.MustParse("1 V").Less(none)
	require.Error(t, err)
	_, err = none.Duration()
	require.Error(t, err)
	assert.False(t, quantity.MustParse("0 V").IsZero(), "zero volts is a quantity")
}

func TestNoQuantityIsMadeOfWhatIsNotANumber(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 2e15, -2e15} {
		_, err := quantity.New(v, "V")
		require.Error(t, err)
		_, err = quantity.FromBase(v, quantity.Ratio)
		require.Error(t, err)
	}
	_, err := quantity.New(1, "parsec")
	require.ErrorContains(t, err, `"parsec"`)
	assert.Panics(t, func() { quantity.MustParse("4,5 V") })
}

func TestAValueIsShownInBothCustomaryUnits(t *testing.T) {
	for text, want := range map[string]string{
		"45 N·m": "45.0 N·m (33.2 lbf·ft)", "43 °C": "43.0 °C (109.4 °F)", "109.4 F": "43.0 °C (109.4 °F)",
		"1 kgf·m": "9.8 N·m (7.2 lbf·ft)", "5 mm": "5 mm",
	} {
		assert.Equal(t, want, quantity.MustParse(text).Both())
	}
}

func TestAValueIsRoundedOnceFromItsExactDecimal(t *testing.T) {
	for _, c := range []struct {
		text     string
		decimals int
		unit     string
		want     string
	}{
		{"2.675 V", 2, "V", "2.68 V"}, // the nearest float64 lies below 2.675
		{"-2.675 V", 2, "V", "-2.68 V"},
		{"-0.04 V", 1, "V", "0.0 V"},
		{"45 N·m", 3, "lbf·ft", "33.190 lbf·ft"},
		{"90 deg", 0, "deg", "90°"},
		{"0.5", 2, "", "0.50"},
		{"0.04", 0, "", "0"},
		{"45 N·m", 1, "mm", "45 N·m"}, // another dimension: in its own unit
		{"45 N·m", -3, "N·m", "45 N·m"},
	} {
		assert.Equal(t, c.want, quantity.MustParse(c.text).Show(c.decimals, c.unit), c.text)
	}
}

func TestMagnitudeLeavesATemperatureAlone(t *testing.T) {
	assert.Equal(t, "5 V", quantity.MustParse("-5 V").Abs().String())
	assert.Equal(t, "-5 °C", quantity.MustParse("-5 °C").Abs().String())
}

func TestATimeBecomesADuration(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"30 min": 30 * time.Minute, "1.5 h": 90 * time.Minute, "250 ms": 250 * time.Millisecond, "0.1 s": 100 * time.Millisecond, "-2 s": -2 * time.Second, "1 d": 24 * time.Hour,
	} {
		got, err := quantity.MustParse(text).Duration()
		require.NoError(t, err)
		assert.Equal(t, want, got, text)
	}
	_, err := quantity.MustParse("5 mm").Duration()
	require.ErrorContains(t, err, "not a time")
	_, err = quantity.MustParse("1e12 h").Duration()
	require.ErrorContains(t, err, "too long")
}

func TestAQuantityTravelsAsText(t *testing.T) {
	type card struct {
		Torque quantity.Quantity
		None   quantity.Quantity
	}
	text, err := json.Marshal(card{Torque: quantity.MustParse("45.0 Nm")})
	require.NoError(t, err)
	assert.JSONEq(t, `{"Torque":"45.0 N·m","None":""}`, string(text))
	var back card
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, "45.0 N·m", back.Torque.String())
	assert.False(t, back.None.Valid())
	require.Error(t, json.Unmarshal([]byte(`{"Torque":"4,5 N·m"}`), &back))
}

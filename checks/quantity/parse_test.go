package quantity_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/quantity"
)

func TestSpellingsTypedOnALaptopAreRead(t *testing.T) {
	for _, c := range []struct {
		text, printed string
		dim           quantity.Dimension
	}{
		{"45 N·m", "45 N·m", quantity.Torque},
		{"45Nm", "45 N·m", quantity.Torque},
		{"45 nm", "45 N·m", quantity.Torque},
		{"45 N.m", "45 N·m", quantity.Torque},
		{"45 N*m", "45 N·m", quantity.Torque},
		{"45 N m", "45 N·m", quantity.Torque},
		{"45 N⋅m", "45 N·m", quantity.Torque},
		{"33.2 ft lb", "33.2 lbf·ft", quantity.Torque},
		{"33.2 ft-lb", "33.2 lbf·ft", quantity.Torque},
		{"33.2ft-lbs", "33.2 lbf·ft", quantity.Torque},
		{"33.2 lbf.ft", "33.2 lbf·ft", quantity.Torque},
		{"33.2 ftlb", "33.2 lbf·ft", quantity.Torque},
		{"33.2 lb-ft", "33.2 lbf·ft", quantity.Torque},
		{"300 in-lb", "300 lbf·in", quantity.Torque},
		{"300 lbf in", "300 lbf·in", quantity.Torque},
		{"4.6 kgf m", "4.6 kgf·m", quantity.Torque},
		{"43 C", "43 °C", quantity.Temperature},
		{"43degC", "43 °C", quantity.Temperature},
		{"43 deg C", "43 °C", quantity.Temperature},
		{"48.5 degrees C", "48.5 °C", quantity.Temperature},
		{"120 degrees Fahrenheit", "120 °F", quantity.Temperature},
		{"43 ºC", "43 °C", quantity.Temperature},
		{"-40 F", "-40 °F", quantity.Temperature},
		{"−40 °F", "-40 °F", quantity.Temperature},
		{"300 K", "300 K", quantity.Temperature},
		{"90 deg", "90°", quantity.Angle},
		{"90°", "90°", quantity.Angle},
		{"4.7 ohm", "4.7 Ω", quantity.Resistance},
		{"4.7 \u2126", "4.7 Ω", quantity.Resistance},
		{"10 kOhm", "10 kΩ", quantity.Resistance},
		{"10 mohm", "10 mΩ", quantity.Resistance},
		{"450 mV", "450 mV", quantity.Voltage},
		{"12.6V", "12.6 V", quantity.Voltage},
		{"30 min", "30 min", quantity.Time},
		{"5 s", "5 s", quantity.Time},
		{"1.5 h", "1.5 h", quantity.Time},
		{"300 mm", "300 mm", quantity.Length},
		{"30 cm", "30 cm", quantity.Length},
		{"12 in", "12 in", quantity.Length},
		{`7.5"`, "7.5 in", quantity.Length},
		{"1.2 kg", "1.2 kg", quantity.Mass},
		{"250 uA", "250 µA", quantity.Current},
		{"4%", "4 %", quantity.Ratio},
		{" +4 % ", "4 %", quantity.Ratio},
		{"0.95", "0.95", quantity.Number},
		{".95", "0.95", quantity.Number},
		{"1e3 mm", "1000 mm", quantity.Length},
		{"-0 V", "0 V", quantity.Voltage},
	} {
		t.Run(c.text, func(t *testing.T) {
			q, err := quantity.ParseAs(c.text, c.dim)
			require.NoError(t, err)
			assert.Equal(t, c.printed, q.String())
			assert.Equal(t, c.dim, q.Dimension())
		})
	}
}

func TestTrailingZerosThatWereTypedAreKept(t *testing.T) {
	for text, want := range map[string]string{
		"40.0 C": "40.0 °C", "40.00 Nm": "40.00 N·m", "40.50 V": "40.50 V", "0.100000000000000000000 V": "0.100000000000000000000 V",
	} {
		assert.Equal(t, want, quantity.MustParse(text).String())
	}
}

func TestTextThatCouldMeanTwoThingsIsRefusedWithAHint(t *testing.T) {
	for text, hint := range map[string]string{
		"":                                    "give a number and its unit",
		"   ":                                 "give a number and its unit",
		"hot":                                 "no number at the start",
		"NaN °C":                              "not a finite number",
		"nan":                                 "not a finite number",
		"Inf V":                               "not a finite number",
		"-infinity":                           "not a finite number",
		"1e400 V":                             "too large",
		"2e15 mm":                             "too large",
		"1e-400 V":                            "too small",
		"4,5 N·m":                             "write the decimal point as a point",
		"1,000 mm":                            "no thousands mark",
		"1_000 mm":                            "write the digits together",
		"1'000 mm":                            "write the digits together",
		"5. mm":                               "write 5 or 5.0",
		"0x10 mm":                             "hexadecimal",
		"40-50 N·m":                           "not a range",
		"40 - 50 Nm":                          "not a range",
		"40–50 Nm":                            "not a range",
		"40 50 Nm":                            "two numbers",
		"1/2 in":                              "0.5 for 1/2",
		"45 Mm":                               "did you mean mm",
		"45 furlong":                          `unknown unit "furlong"`,
		"45 N/m":                              "unknown unit",
		"5 m in":                              "unknown unit",
		"45\nN·m":                             "control character",
		"45 \xffV":                            "not UTF-8",
		"-300 °C":                             "below absolute zero",
		"-1 K":                                "below absolute zero",
		"-459.68 F":                           "below absolute zero",
		"٤٥ N·m":                              "no number at the start",
		"1" + strings.Repeat("0", 100) + " V": "longer than",
	} {
		t.Run(text, func(t *testing.T) {
			q, err := quantity.Parse(text)
			require.ErrorContains(t, err, hint)
			assert.False(t, q.Valid())
		})
	}
}

func TestAWrongDimensionIsRefusedNamingTheAcceptedUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  quantity.Dimension
		want string
	}{
		{"45", quantity.Torque, "a bare number; give its unit: N·m, lbf·ft, lbf·in"},
		{"45 mm", quantity.Torque, "mm is a unit of length; use N·m, lbf·ft"},
		{"45", quantity.Temperature, "give its unit: °C, °F or K"},
		{"4", quantity.Ratio, "give its unit: % or ppm"},
		{"95 %", quantity.Number, "write a bare number"},
		{"45 xyz", quantity.Time, "use min, s, h, ms or d"},
		{"45 MM", quantity.Length, "did you mean mm"},
		{"", quantity.Length, "a number and its unit: mm, in"},
		{"45 mm", "colour", "no such dimension"},
	} {
		_, err := quantity.ParseAs(c.text, c.dim)
		require.ErrorContains(t, err, c.want)
		assert.Contains(t, err.Error(), `"`+c.text+`"`, "the input is quoted")
	}
}

func TestEveryUnitIsReadBackFromItsPrintedSpelling(t *testing.T) {
	for _, d := range quantity.Dimensions() {
		require.True(t, d.Known())
		for _, name := range quantity.Units(d) {
			q, err := quantity.ParseAs(strings.TrimSpace("300 "+name), d)
			require.NoError(t, err, name)
			assert.Equal(t, name, q.Unit())
		}
	}
	assert.False(t, quantity.Dimension("colour").Known())
	assert.Empty(t, quantity.Units("colour"))
}

// anyQuantity draws a quantity of any unit.
func anyQuantity(t *rapid.T) quantity.Quantity {
	d := rapid.SampledFrom(quantity.Dimensions()).Draw(t, "dimension")
	unit := rapid.SampledFrom(quantity.Units(d)).Draw(t, "unit")
	least := -1e12
	if d == quantity.Temperature {
		least = map[string]float64{"K": 0, "°C": -273, "°F": -459}[unit]
	}
	q, err := quantity.New(rapid.Float64Range(least, 1e12).Draw(t, "value"), unit)
	require.NoError(t, err)
	return q
}

func TestWhatIsPrintedReadsBackAsTheSameQuantity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuantity(t)
		back, err := quantity.ParseAs(q.String(), q.Dimension())
		require.NoError(t, err)
		order, err := q.Compare(back)
		require.NoError(t, err)
		assert.Zero(t, order)
		assert.Equal(t, q.Unit(), back.Unit())
		again, err := quantity.Parse(back.String())
		require.NoError(t, err)
		assert.Equal(t, back, again)
	})
}

func FuzzParseNeverPanicsAndReadsItsOwnPrint(f *testing.F) {
	for _, s := range []string{"45 N·m", "33.2 ft-lb", "-40 °F", "1e-7 V", "0.950", "4,5", "NaN", "5. mm", "1e400", "\xff", "5 °·C", "−0.0 K"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := quantity.Parse(text)
		if err != nil {
			require.False(t, q.Valid())
			require.True(t, utf8.ValidString(err.Error()))
			return
		}
		back, err := quantity.Parse(q.String())
		require.NoError(t, err)
		order, err := q.Compare(back)
		require.NoError(t, err)
		require.Zero(t, order)
		require.Equal(t, q.String(), back.String())
		_, err = quantity.ParseAs(text, q.Dimension())
		require.NoError(t, err)
	})
}

package checks_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// at makes a series of minutes and temperatures.
func at(minutes []float64, texts ...string) checks.Argument {
	var all []checks.Sample
	for i, text := range texts {
		all = append(all, checks.Sample{After: time.Duration(minutes[i] * float64(time.Minute)), Value: quantity.MustParse(text)})
	}
	return checks.Argument{Series: all}
}

func TestAForecastMeetsTheWorkedExamplesOfNewtonsLaw(t *testing.T) {
	// Computed from Newton's law: 300 °C to 200 °C in 10 min at ambient 25 °C, then 43 °C 50.3206 min later.
	r := run(t, "cooling-forecast", checks.Arguments{"surface": at([]float64{0, 10}, "300 °C", "200 °C"), "limit": one("43 °C"), "ambient": one("25 °C")})
	assert.Equal(t, checks.None, r.Verdict)
	assert.Equal(t, "60.3 min", figure(r, "minute"))
	assert.Equal(t, "0.04520 1/min", figure(r, "rate"))
	// Textbook example: 95 °C to 61 °C in 30 min at ambient 20 °C, k printed as 0.02 per minute.
	book := run(t, "cooling-forecast", checks.Arguments{"surface": at([]float64{0, 30}, "95 °C", "61 °C"), "limit": one("43 °C"), "ambient": one("20 °C")})
	assert.Equal(t, "0.02013 1/min", figure(book, "rate"))
	late := run(t, "cooling-forecast", checks.Arguments{"surface": at([]float64{100, 110}, "300 °C", "200 °C"), "limit": one("43 °C"), "ambient": one("25 °C")})
	assert.Equal(t, figure(r, "minute"), figure(late, "minute"), "counted from the first reading, wherever the clock began")
}

func TestReadingsThatCannotTellGiveNoForecast(t *testing.T) {
	for says, args := range map[string]checks.Arguments{
		"too few":          {"surface": at([]float64{0}, "100 °C"), "limit": one("43 °C")},
		"rising":           {"surface": at([]float64{0, 5, 10}, "50 °C", "60 °C", "70 °C"), "limit": one("43 °C"), "ambient": one("20 °C")},
		"at or below ambi": {"surface": at([]float64{0, 10}, "300 °C", "200 °C"), "limit": one("20 °C"), "ambient": one("25 °C")},
	} {
		r := run(t, "cooling-forecast", args)
		assert.Equal(t, checks.More, r.Verdict, says)
		assert.Contains(t, r.Because, says)
		assert.Empty(t, figure(r, "minute"))
	}
}

func TestContactTimesStandBesideTheTemperature(t *testing.T) {
	// ISO 13732-1, bare smooth metal: 1 min 51 °C, 10 min 48 °C, 8 h 43 °C (from memory; 8 h also in ECMA-287).
	for text, contact := range map[string]string{"43 °C": "8 h", "48 °C": "10 min", "51 °C": "1 min", "90 °C": "none"} {
		assert.Equal(t, contact, figure(run(t, "touch-times", checks.Arguments{"surface": one(text)}), "contact"), text)
	}
	assert.Equal(t, "55 °C", figure(run(t, "touch-times", checks.Arguments{"surface": one("20 °C")}), "threshold: 10 s"))
	assert.Contains(t, refusal(t, "touch-times", checks.Arguments{"surface": one("2000 °C")}), "surface")
}

func TestAHeaterPassesOnlyInItsMakersWindow(t *testing.T) {
	base := checks.Arguments{"element": one("9.1 Ω"), "low": one("8 Ω"), "high": one("11 Ω")}
	for _, x := range []struct {
		args    checks.Arguments
		verdict checks.Verdict
	}{
		{base, checks.Pass},
		{with(base, checks.Arguments{"element": one("12 Ω")}), checks.Fail},
		{with(base, checks.Arguments{"element": one("0.1 Ω")}), checks.Fail},
		{with(without(base, "element"), checks.Arguments{"meter": choice("over its range")}), checks.Fail},
		{without(base, "low", "high"), checks.More}, // about 2 to 14 Ω is common practice, no source
		{with(without(base, "element"), checks.Arguments{"battery": one("12.6 V"), "supply": one("12.4 V")}), checks.More},
		{with(base, checks.Arguments{"to-body": one("10 Ω")}), checks.Fail},
		{with(base, checks.Arguments{"battery": one("12.6 V"), "supply": one("0.2 V")}), checks.Fail},
	} {
		assert.Equal(t, x.verdict, run(t, "heater", x.args).Verdict, "%v", x.args)
	}
	// 12 V on 8 Ω, by hand: 1.5 A and 18 W.
	r := run(t, "heater", with(base, checks.Arguments{"element": one("8 Ω"), "battery": one("12 V")}))
	assert.Equal(t, "1.50 A", figure(r, "current"))
	assert.Equal(t, "18.0 W", figure(r, "power"))
	assert.Contains(t, refusal(t, "heater", without(base, "element")), "nothing was measured")
	assert.Contains(t, refusal(t, "heater", without(base, "low")), "low, high: give both")
	assert.Contains(t, refusal(t, "heater", with(base, checks.Arguments{"meter": choice("over its range")})), "give one of the two")
}

func TestNernstIsWorkedEitherWay(t *testing.T) {
	// CODATA R and F: 1000 K, 20.9 % against 1 %: 65.486 mV; 600 °C, 1 %, dry air at 20.95 %: 57.224 mV (computed).
	r := run(t, "zirconia-emf", checks.Arguments{"temperature": one("1000 K"), "oxygen": one("1 %"), "reference": one("20.9 %")})
	assert.Equal(t, "65.486 mV", figure(r, "emf"))
	assert.Equal(t, "49.605 mV", figure(r, "slope"))
	assert.Equal(t, "57.224 mV", figure(run(t, "zirconia-emf", checks.Arguments{"temperature": one("600 °C"), "oxygen": one("1 %"), "reference": one("20.95 %")}), "emf"))
	// 850 °C, 1e-15: 797.894 mV (computed).
	deep := run(t, "zirconia-emf", checks.Arguments{"temperature": one("850 °C"), "pressure": words("1e-15"), "reference": one("20.95 %")})
	assert.Equal(t, "797.894 mV", figure(deep, "emf"))
	back := run(t, "zirconia-emf", checks.Arguments{"temperature": one("1000 K"), "voltage": one("65.486 mV"), "reference": one("20.9 %")})
	assert.Contains(t, figure(back, "oxygen"), "1.0000", "as near as the digits of the voltage allow")
	cold := run(t, "zirconia-emf", checks.Arguments{"temperature": one("100 °C"), "oxygen": one("1 %")})
	assert.Equal(t, "no", figure(cold, "conducts"))
	assert.Contains(t, refusal(t, "zirconia-emf", checks.Arguments{"temperature": one("600 °C")}), "give one of the three")
	assert.Contains(t, refusal(t, "zirconia-emf", checks.Arguments{"temperature": one("600 °C"), "pressure": words("2")}), `pressure "2"`)
}

func TestAFuelNeedsItsAir(t *testing.T) {
	// Heywood, chapter 3 (from memory): methane 17.234, propane 15.675, iso-octane 15.127, ethanol 9.002, CH1.85 14.570.
	for fuel, ratio := range map[string]string{"methane": "17.234", "C3H8": "15.675", "iso-octane": "15.127", "C2H5OH": "9.002", "CH1.85": "14.570", "petrol": "14.570"} {
		assert.Equal(t, ratio, figure(run(t, "stoichiometry", checks.Arguments{"fuel": words(fuel)}), "ratio"), fuel)
	}
	assert.Contains(t, refusal(t, "stoichiometry", checks.Arguments{"fuel": words("coal dust")}), "fuel: ")
	assert.Contains(t, refusal(t, "stoichiometry", checks.Arguments{"fuel": words("C8H18X9")}), "fuel: ")
	// Densities 0.789 and 0.745 kg/L, ratios 9.0 and 14.7 (computed): E10 14.100, E85 9.814.
	assert.InDelta(t, 14.100, number(t, "blend", "E10"), 0.02)
	assert.InDelta(t, 9.814, number(t, "blend", "E85"), 0.02)
	assert.InDelta(t, number(t, "blend", "E85"), number(t, "blend", "85 ethanol, 15 petrol"), 0.05)
	assert.Contains(t, refusal(t, "blend", checks.Arguments{"blend": words("E101")}), "blend")
	assert.Contains(t, refusal(t, "blend", checks.Arguments{"blend": words("half ethanol, half petrol")}), "half ethanol")
	assert.Contains(t, refusal(t, "blend", checks.Arguments{"blend": words("50 ethanol, 50 turpentine")}), "turpentine")
}

// number is the ratio of a blend.
func number(t *testing.T, name, said string) float64 {
	c := find(t, name)
	v, _, ok := c.Number(run(t, name, checks.Arguments{name: words(said)}).Figures[0])
	assert.True(t, ok)
	return v
}

func TestLambdaAndRatioTurnIntoEachOther(t *testing.T) {
	// 0.9 × 14.7 = 13.23 (common practice: 14.7 for petrol, printed by the DOE's AFDC).
	assert.Equal(t, "13.23", figure(run(t, "air-fuel", checks.Arguments{"lambda": one("0.9")}), "ratio"))
	assert.Equal(t, "0.900", figure(run(t, "air-fuel", checks.Arguments{"ratio": one("13.23")}), "lambda"))
	assert.Equal(t, "9.00", figure(run(t, "air-fuel", checks.Arguments{"lambda": one("1"), "fuel": words("ethanol")}), "ratio"))
	assert.Equal(t, figure(run(t, "blend", checks.Arguments{"blend": words("E85")}), "ratio")[:4],
		figure(run(t, "air-fuel", checks.Arguments{"lambda": one("1"), "fuel": words("E85")}), "ratio"))
	assert.Contains(t, refusal(t, "air-fuel", checks.Arguments{}), "give one of the two")
	assert.Contains(t, refusal(t, "air-fuel", checks.Arguments{"lambda": one("1"), "fuel": words("coal")}), "fuel")
}

func TestLambdaOfGasesIsHeldToTheTest(t *testing.T) {
	// Brettschneider's formula, computed: 14.5 0.5 0.5 100 ppm: 1.00474; 12 3 0.5 200 and NO 0.01: 0.92575; 13 0.1 3 100 and 0.1: 1.15501.
	gases := func(co2, co, o2, hc, no string) checks.Arguments {
		args := checks.Arguments{"co2": one(co2), "co": one(co), "o2": one(o2), "hc": one(hc)}
		if no != "" {
			args["no"] = one(no)
		}
		return args
	}
	for _, x := range []struct {
		args    checks.Arguments
		lambda  string
		verdict checks.Verdict
	}{
		{gases("14.5 %", "0.5 %", "0.5 %", "100 ppm", ""), "1.005", checks.Pass},
		{gases("12 %", "3 %", "0.5 %", "200 ppm", "0.01 %"), "0.926", checks.Fail},
		{gases("13 %", "0.1 %", "3 %", "100 ppm", "1000 ppm"), "1.155", checks.Fail},
	} {
		r := run(t, "lambda", x.args)
		assert.Equal(t, x.lambda, figure(r, "lambda"))
		assert.Equal(t, x.verdict, r.Verdict)
	}
	assert.Equal(t, checks.More, run(t, "lambda", gases("2 %", "0.1 %", "17 %", "10 ppm", "")).Verdict, "a diluted sample")
	assert.Contains(t, refusal(t, "lambda", gases("0 %", "0.1 %", "20 %", "10 ppm", "")), "CO2")
}

func TestTrimsPointWithWhatTellsTheSuspectsApart(t *testing.T) {
	r := run(t, "fuel-trim", checks.Arguments{"readings": words("B1 750 20% +3% +18%; B1 2500rpm 25 % +1% +4%\nB2 750 20% 0% +1%; B2 2500 25% 0% 1%")})
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Equal(t, "+21.0 %", figure(r, "trim: bank 1, idle"))
	assert.NotEmpty(t, figure(r, "points-to: bank 1, 1"))
	assert.NotEmpty(t, figure(r, "apart: bank 1, 1"))
	assert.Empty(t, figure(r, "points-to: bank 2, 1"))
	level := run(t, "fuel-trim", checks.Arguments{"readings": words("B1 750 20% -1% -2%; B1 2500 25% 0% 0%; B1 3000 70% 0% 0%; B1 800 20% 40% 0% open")})
	assert.Equal(t, checks.Pass, level.Verdict, "open loop is left out")
	assert.Equal(t, "-3.0 %", figure(level, "trim: bank 1, idle"))
	for want, said := range map[string]string{
		"has 4 parts and not 5": "B1 750 20% 3%", `"x" is no bank`: "x 750 20% 3% 4%", `"fast" is no speed`: "B1 fast 20% 3% 4%",
		"a bare number": "B1 750 20% 3 4%", "speed 10 1/min": "B1 10 20% 3% 4%", "0 readings": " ; ",
	} {
		assert.Contains(t, refusal(t, "fuel-trim", checks.Arguments{"readings": words(said)}), want)
	}
}

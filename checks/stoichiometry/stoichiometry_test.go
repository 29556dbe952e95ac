package stoichiometry_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/stoichiometry"
)

func TestFuelsNeedTheAirTheHandbookPrints(t *testing.T) {
	for _, c := range []struct {
		fuel   string
		want   float64
		within float64
		source string
	}{
		{"methane", 17.234, 5e-4, "Heywood's formula, from memory"},
		{"propane", 15.675, 5e-4, "Heywood's formula, from memory"},
		{"iso-octane", 15.127, 5e-4, "Heywood's formula, from memory"},
		{"ethanol", 9.002, 5e-4, "Heywood's formula for oxygenated fuels, from memory"},
		{"petrol", 14.570, 5e-4, "Heywood's formula for CH1.85, from memory"},
		{"methanol", 6.47, 5e-3, "Heywood, appendix D, from memory"},
		{"hydrogen", 34.3, 5e-2, "Heywood, appendix D, from memory"},
		{"butane", 15.46, 5e-3, "handbook tables, from memory"},
	} {
		f, err := stoichiometry.Find(c.fuel)
		require.NoError(t, err)
		need, err := f.Formula.Stoichiometric()
		require.NoError(t, err)
		assert.InDelta(t, c.want, need.Ratio, c.within, "%s: %s", c.fuel, c.source)
		assert.Len(t, need.Workings, 3)
	}
}

// The second route: burn the fuel with air of 20.95 % oxygen and 28.96 g/mol
// (the standard atmosphere, from memory) and weigh both.
func TestTheFormulaAgreesWithWeighingTheAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(0.5, 12).Draw(t, "C")
		f := stoichiometry.Formula{Carbon: c, Hydrogen: c * rapid.Float64Range(0.5, 4).Draw(t, "H/C"), Oxygen: c * rapid.Float64Range(0, 1).Draw(t, "O/C")}
		need, err := f.Stoichiometric()
		require.NoError(t, err)
		oxygen := f.Carbon + f.Hydrogen/4 - f.Oxygen/2
		air := oxygen / 0.2095 * 28.96
		fuel := 12.011*f.Carbon + 1.008*f.Hydrogen + 15.999*f.Oxygen
		assert.InEpsilon(t, air/fuel, need.Ratio, 2e-4)
		// Heywood's other form for a pure hydrocarbon.
		y := f.Hydrogen / f.Carbon
		pure, err := stoichiometry.Formula{Carbon: 1, Hydrogen: y}.Stoichiometric()
		require.NoError(t, err)
		assert.InEpsilon(t, 34.56*(4+y)/(12.011+1.008*y), pure.Ratio, 1e-12)
		assert.LessOrEqual(t, need.Ratio, pure.Ratio*(1+1e-12), "oxygen in the fuel saves air")
	})
}

func TestABlendIsReckonedByMass(t *testing.T) {
	// Computed by hand from densities 0.789 and 0.745 and ratios 9.0 and 14.7.
	for name, want := range map[string]float64{"E10": 14.100, "E85": 9.814, "E0": 14.7, "e100": 9.0} {
		parts, err := stoichiometry.ParseBlend(name)
		require.NoError(t, err)
		b, err := stoichiometry.Blend(parts)
		require.NoError(t, err)
		assert.InDelta(t, want, b.Ratio, 5e-4, name)
		assert.InDelta(t, 1, b.Shares[0].Mass+b.Shares[1].Mass, 1e-12)
	}
	parts, err := stoichiometry.ParseBlend("E10")
	require.NoError(t, err)
	b, err := stoichiometry.Blend(parts)
	require.NoError(t, err)
	assert.Greater(t, math.Abs(b.Ratio-14.13), 0.02, "14.13 would be the mean by volume")
	assert.InDelta(t, 0.0789/0.7494, b.Shares[0].Mass, 1e-12)
}

func TestABlendLiesBetweenItsPartsAndMoreEthanolNeedsLessAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 0.99).Draw(t, "volume")
		ratio := func(v float64) float64 {
			b, err := stoichiometry.Blend([]stoichiometry.Part{{Name: "a", Volume: v, Density: 0.789, Ratio: 9}, {Name: "b", Volume: 1 - v, Density: 0.745, Ratio: 14.7}})
			require.NoError(t, err)
			return b.Ratio
		}
		assert.Less(t, ratio(v+0.01), ratio(v))
		assert.GreaterOrEqual(t, ratio(v), 9-1e-12)
		assert.LessOrEqual(t, ratio(v), 14.7+1e-12)
	})
}

func TestLambdaAndRatioUndoEachOther(t *testing.T) {
	// The trade's figure: 14.7 to 1 is lambda 1 (common practice; the DOE's AFDC prints it).
	m, err := stoichiometry.FromRatio(14.7, stoichiometry.TradeRatio.Value)
	require.NoError(t, err)
	assert.Equal(t, 1.0, m.Lambda)
	assert.Contains(t, m.Because, "stoichiometric")
	rapid.Check(t, func(t *rapid.T) {
		lambda := rapid.Float64Range(0.5, 3).Draw(t, "lambda")
		st := rapid.Float64Range(5, 35).Draw(t, "stoichiometric")
		there, err := stoichiometry.FromLambda(lambda, st)
		require.NoError(t, err)
		back, err := stoichiometry.FromRatio(there.Ratio, st)
		require.NoError(t, err)
		assert.InEpsilon(t, lambda, back.Lambda, 1e-12)
		assert.InEpsilon(t, 1, back.Lambda*back.Equivalence, 1e-12)
	})
}

func TestRichAndLeanAreSaid(t *testing.T) {
	for lambda, want := range map[float64]string{0.9: "rich: 10.0 % less", 1.05: "lean: 5.0 % more", 1: "stoichiometric"} {
		m, err := stoichiometry.FromLambda(lambda, 14.7)
		require.NoError(t, err)
		assert.Contains(t, m.Because, want)
	}
}

func TestFormulasAreReadAndOthersRefused(t *testing.T) {
	for text, want := range map[string]stoichiometry.Formula{
		"C8H18": {Carbon: 8, Hydrogen: 18}, "C2H5OH": {Carbon: 2, Hydrogen: 6, Oxygen: 1}, "CH1.85": {Carbon: 1, Hydrogen: 1.85},
		" CH3OH ": {Carbon: 1, Hydrogen: 4, Oxygen: 1}, "H2": {Hydrogen: 2},
	} {
		got, err := stoichiometry.ParseFormula(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"": "write it as", "c8h18": "is not C, H or O", "C8H18N": `"N" is not`, "C0H4": "must be a number", "C1.2.3": "must be a number",
		"CO2": "burns without air", "O2": "neither carbon nor hydrogen", "C2(H5)": "no brackets", "C9999H": "must be a number", "C8 H18": `" H18"`,
	} {
		_, err := stoichiometry.ParseFormula(text)
		require.ErrorContains(t, err, want, text)
	}
}

func TestInputsThatCannotBeAreRefusedByName(t *testing.T) {
	for _, v := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := stoichiometry.Formula{Carbon: v, Hydrogen: 4}.Stoichiometric()
		require.ErrorContains(t, err, "atoms of carbon")
		_, err = stoichiometry.FromLambda(v, 14.7)
		require.ErrorContains(t, err, "lambda")
		_, err = stoichiometry.FromLambda(1, v)
		require.ErrorContains(t, err, "stoichiometric ratio")
		_, err = stoichiometry.FromRatio(v, 14.7)
		require.ErrorContains(t, err, "air-fuel ratio")
		_, err = stoichiometry.FromRatio(14.7, v)
		require.ErrorContains(t, err, "stoichiometric ratio")
		_, err = stoichiometry.Blend([]stoichiometry.Part{{Name: "x", Volume: v, Density: 1, Ratio: 1}})
		require.ErrorContains(t, err, `volume of "x"`)
		_, err = stoichiometry.Blend([]stoichiometry.Part{{Name: "x", Volume: 1, Density: v, Ratio: 1}})
		require.ErrorContains(t, err, `density of "x"`)
	}
	_, err := stoichiometry.Blend(nil)
	require.ErrorContains(t, err, "0 parts")
	_, err = stoichiometry.Blend([]stoichiometry.Part{{Name: "x", Density: 1, Ratio: 1}})
	require.ErrorContains(t, err, "no part has any volume")
	_, err = stoichiometry.FromRatio(1000, 14.7)
	require.ErrorContains(t, err, "lambda 68")
	_, err = stoichiometry.Find("coal")
	require.ErrorContains(t, err, "methane, propane")
	for _, text := range []string{"E101", "E", "10", "B7", "E-5", ""} {
		_, err = stoichiometry.ParseBlend(text)
		require.ErrorContains(t, err, "write")
	}
}

func TestEveryFuelBurnsAndNamesItsSource(t *testing.T) {
	for _, f := range stoichiometry.Fuels() {
		_, err := f.Formula.Stoichiometric()
		require.NoError(t, err, f.Name)
		assert.NotEmpty(t, f.Source)
		back, err := stoichiometry.ParseFormula(f.Formula.String())
		require.NoError(t, err)
		assert.Equal(t, f.Formula, back)
	}
}

func FuzzParseFormulaReadsItsOwnPrint(f *testing.F) {
	for _, s := range []string{"C8H18", "C2H5OH", "CH1.85", "H2", "C.5H", "COCOHH"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := stoichiometry.ParseFormula(text)
		if err != nil {
			return
		}
		back, err := stoichiometry.ParseFormula(got.String())
		require.NoError(t, err, got.String())
		require.Equal(t, got, back)
		need, err := got.Stoichiometric()
		require.NoError(t, err)
		require.True(t, need.Ratio > 0 && need.Ratio < 40)
	})
}

func FuzzParseBlendIsAlwaysABlend(f *testing.F) {
	for _, s := range []string{"E10", "e85", "E100", "E101", " E5 "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		parts, err := stoichiometry.ParseBlend(text)
		if err == nil {
			_, err = stoichiometry.Blend(parts)
			require.NoError(t, err)
		}
	})
}

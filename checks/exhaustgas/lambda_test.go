package exhaustgas_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/exhaustgas"
)

func no(percent float64) *float64 { return &percent }

func TestTheFormulaMeetsValuesWorkedByHand(t *testing.T) {
	// Computed from Brettschneider's formula with the constants of 98/69/EC (from memory).
	for _, c := range []struct {
		gases exhaustgas.Gases
		want  float64
		is    exhaustgas.Verdict
	}{
		{exhaustgas.Gases{CO2: 14.5, CO: 0.5, O2: 0.5, HC: 100}, 1.00474, exhaustgas.Within},
		{exhaustgas.Gases{CO2: 12, CO: 3, O2: 0.5, HC: 200, NO: no(0.01)}, 0.92575, exhaustgas.Rich},
		{exhaustgas.Gases{CO2: 13, CO: 0.1, O2: 3, HC: 100, NO: no(0.1)}, 1.15501, exhaustgas.Lean},
	} {
		m, err := c.gases.Lambda()
		require.NoError(t, err)
		assert.InDelta(t, c.want, m.Lambda, 5e-6)
		assert.Equal(t, c.is, m.Verdict)
		assert.Contains(t, strings.Join(m.Workings, "\n"), fmt.Sprintf("= %.4f", m.Lambda))
		assert.Len(t, m.Limits, 3)
	}
}

// burn makes the dry exhaust of one mole of carbon burnt as CHyOz at a lambda,
// forward: dry air is 3.773 of nitrogen to 1 of oxygen, and below lambda 1 the
// water-gas balance CO·H2O = 3.5·CO2·H2 shares the oxygen. It knows nothing of
// the formula under test.
func burn(lambda, y, z float64) exhaustgas.Gases {
	needed := 1 + y/4 - z/2
	oxygen := lambda * needed
	nitrogen := 3.773 * oxygen
	var co, hydrogen, free float64
	if lambda < 1 {
		missing := 2 * (needed - oxygen) // oxygen atoms that CO and H2 go without
		low, high := 0.0, math.Min(1, missing)
		for range 200 {
			co = (low + high) / 2
			hydrogen = missing - co
			if co*(y/2-hydrogen) < 3.5*(1-co)*hydrogen {
				low = co
			} else {
				high = co
			}
		}
	} else {
		free = oxygen - needed
	}
	dry := 1 + hydrogen + free + nitrogen
	return exhaustgas.Gases{CO2: 100 * (1 - co) / dry, CO: 100 * co / dry, O2: 100 * free / dry}
}

func TestLambdaIsFoundAgainInAnExhaustBurntForward(t *testing.T) {
	// The oracle's own figures were worked out separately: 0.90 gives CO2 13.2280 and CO 3.7339; 1.05 gives CO2 14.9087 and O2 1.0606.
	y, z := exhaustgas.Petrol.Hydrogen.Value, exhaustgas.Petrol.Oxygen.Value
	rich, lean := burn(0.90, y, z), burn(1.05, y, z)
	assert.InDelta(t, 13.2280, rich.CO2, 5e-5)
	assert.InDelta(t, 3.7339, rich.CO, 5e-5)
	assert.InDelta(t, 14.9087, lean.CO2, 5e-5)
	assert.InDelta(t, 1.0606, lean.O2, 5e-5)
	for _, lambda := range []float64{0.90, 0.95, 1, 1.05, 1.10} {
		m, err := burn(lambda, y, z).Lambda()
		require.NoError(t, err)
		assert.InDelta(t, lambda, m.Lambda, 1e-9)
	}
}

func TestLambdaIsFoundAgainForAnyFuel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := exhaustgas.Petrol
		c.Hydrogen.Value = rapid.Float64Range(1.5, 3).Draw(t, "y")
		c.Oxygen.Value = rapid.Float64Range(0, 0.5).Draw(t, "z")
		lambda := rapid.Float64Range(0.75, 1.8).Draw(t, "lambda")
		g := burn(lambda, c.Hydrogen.Value, c.Oxygen.Value)
		m, err := g.LambdaOf(c)
		require.NoError(t, err)
		assert.InDelta(t, lambda, m.Lambda, 1e-9)
		leaned := g
		leaned.O2 += 0.1
		more, err := leaned.LambdaOf(c)
		require.NoError(t, err)
		assert.Greater(t, more.Lambda, m.Lambda, "more oxygen is leaner")
		unburnt := g
		unburnt.HC += 100
		less, err := unburnt.LambdaOf(c)
		require.NoError(t, err)
		assert.Less(t, less.Lambda, m.Lambda, "more unburnt fuel is richer")
	})
}

func TestADilutedSampleGetsNoVerdictOnTheMixture(t *testing.T) {
	g := burn(1, 1.7261, 0.0176)
	for _, air := range []float64{1, 2} { // litres of air leaked in per litre of exhaust
		d := exhaustgas.Gases{CO2: g.CO2 / (1 + air), O2: (g.O2 + air*20.95) / (1 + air)}
		m, err := d.Lambda()
		require.NoError(t, err)
		assert.Greater(t, m.Lambda, 1.5, "the leak reads lean")
		if air == 2 {
			assert.Equal(t, exhaustgas.Diluted, m.Verdict)
			assert.Contains(t, m.Because, "air got into the sample")
		} else {
			assert.Contains(t, m.Because, "rule the leak out first")
		}
	}
}

func TestTheInspectionLimitsBelongToTheWindow(t *testing.T) {
	// Directive 2014/45/EU, annex I (from memory): lambda 1 ± 0.03.
	for lambda, want := range map[float64]exhaustgas.Verdict{0.969: exhaustgas.Rich, 0.9701: exhaustgas.Within, 1.0299: exhaustgas.Within, 1.031: exhaustgas.Lean} {
		m, err := burn(lambda, 1.7261, 0.0176).Lambda()
		require.NoError(t, err)
		assert.Equal(t, want, m.Verdict, "%g", lambda)
	}
}

func TestGasesThatNoEngineMakesAreRefusedByName(t *testing.T) {
	good := exhaustgas.Gases{CO2: 14.5, CO: 0.5, O2: 0.5, HC: 100, NO: no(0.05)}
	for want, spoil := range map[string]func(*exhaustgas.Gases){
		"there is no exhaust in this sample": func(g *exhaustgas.Gases) { g.CO2 = 0 },
		"CO2 NaN":                            func(g *exhaustgas.Gases) { g.CO2 = math.NaN() },
		"CO2 -1":                             func(g *exhaustgas.Gases) { g.CO2 = -1 },
		"CO -0.1":                            func(g *exhaustgas.Gases) { g.CO = -0.1 },
		"O2 22":                              func(g *exhaustgas.Gases) { g.O2 = 22 },
		"HC +Inf":                            func(g *exhaustgas.Gases) { g.HC = math.Inf(1) },
		"NO 1000 %":                          func(g *exhaustgas.Gases) { g.NO = no(1000) },
		"CO2 and CO together 26":             func(g *exhaustgas.Gases) { g.CO2, g.CO = 18, 8 },
	} {
		g := good
		spoil(&g)
		_, err := g.Lambda()
		require.ErrorContains(t, err, want)
	}
	for want, spoil := range map[string]func(*exhaustgas.Constants){
		"K1 1": func(c *exhaustgas.Constants) { c.Hexane.Value = 1 }, "Hcv NaN": func(c *exhaustgas.Constants) { c.Hydrogen.Value = math.NaN() },
		"Ocv 2": func(c *exhaustgas.Constants) { c.Oxygen.Value = 2 }, "water-gas constant 0": func(c *exhaustgas.Constants) { c.WaterGas.Value = 0 },
	} {
		c := exhaustgas.Petrol
		spoil(&c)
		_, err := good.LambdaOf(c)
		require.ErrorContains(t, err, want)
	}
}

func TestAFourGasAnalyserSaysThatNOWasLeftOut(t *testing.T) {
	four := exhaustgas.Gases{CO2: 14.5, CO: 0.5, O2: 0.5, HC: 100}
	a, err := four.Lambda()
	require.NoError(t, err)
	assert.Contains(t, a.Workings[len(a.Workings)-1], "no NO reading")
	four.NO = no(0.1)
	b, err := four.Lambda()
	require.NoError(t, err)
	assert.InDelta(t, 0.003, b.Lambda-a.Lambda, 1e-3, "as the note says")
}

func FuzzLambdaIsAFiniteNumberOrAnError(f *testing.F) {
	f.Add(14.5, 0.5, 0.5, 100.0, 0.0)
	f.Add(0.0, 0.0, 20.9, 0.0, 0.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 1e300, 5.0)
	f.Fuzz(func(t *testing.T, co2, co, o2, hc, nox float64) {
		m, err := exhaustgas.Gases{CO2: co2, CO: co, O2: o2, HC: hc, NO: &nox}.Lambda()
		if err == nil {
			require.True(t, m.Lambda > 0 && !math.IsInf(m.Lambda, 0))
			require.NotEmpty(t, m.Because)
		}
	})
}

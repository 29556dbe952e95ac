package torque_test

import (
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/torque"
)

const (
	poundForce = 4.4482216152605    // N, exact (NIST SP 811)
	poundFoot  = 1.3558179483314004 // N·m, exact (NIST SP 811)
)

func exactly(k float64) torque.Range { return torque.Range{Low: k, High: k} }

func TestTheShortFormMeetsThePrintedExamples(t *testing.T) {
	// A fastener handbook's example, printed 30 and 23 lbf·ft: 3/8 in, 4940 lbf.
	for k, want := range map[float64]float64{0.20: 30.875, 0.15: 23.15625} {
		got, err := torque.ShortForm{K: exactly(k), Diameter: 0.375 * 0.0254}.Torque(4940 * poundForce)
		require.NoError(t, err)
		assert.InDelta(t, want, got.Torque.Low/poundFoot, 1e-9)
		assert.Equal(t, got.Torque.Low, got.Torque.High)
	}
	// Another, printed 82 N·m: M12, 580 MPa, 84.3 mm², 70 %.
	preload, err := torque.PreloadAt(0.7, 580, 84.3)
	require.NoError(t, err)
	assert.InDelta(t, 34226, preload, 0.5)
	got, err := torque.ShortForm{K: exactly(0.2), Diameter: 0.012}.Torque(preload)
	require.NoError(t, err)
	assert.InDelta(t, 82.14, got.Torque.High, 5e-3)
}

func TestTheShortFormAgreesWithTheUnitsProgram(t *testing.T) {
	if _, err := exec.LookPath("units"); err != nil {
		t.Skip("needs units")
	}
	out, err := exec.Command("units", "-t", "0.2 * 3|8 in * 4940 lbf", "N m").Output()
	require.NoError(t, err)
	want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	require.NoError(t, err)
	got, err := torque.ShortForm{K: exactly(0.2), Diameter: 0.375 * 0.0254}.Torque(4940 * poundForce)
	require.NoError(t, err)
	assert.InEpsilon(t, want, got.Torque.Low, 1e-5)
}

func TestARangeOfNutFactorsGivesARangeOfTorques(t *testing.T) {
	s := torque.ShortForm{K: torque.Range{Low: 0.15, High: 0.20}, Diameter: 0.012}
	got, err := s.Torque(34226)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.75, got.Torque.Low/got.Torque.High, 1e-12, "K 0.20 to 0.15 is torque times 0.75 at one preload")
	assert.Contains(t, got.Because, "to")
	back, err := s.Preload(got.Torque.Low)
	require.NoError(t, err)
	assert.InEpsilon(t, 34226, back.Preload.High, 1e-12)
	assert.Less(t, back.Preload.Low, back.Preload.High)
}

func TestNutFactorsAreRangesWithTheirSources(t *testing.T) {
	// Trade tables (from memory): anti-seize about 0.12 to 0.16, dry 0.20 to 0.25.
	all := torque.NutFactors()
	require.Len(t, all, 2)
	assert.Equal(t, torque.Range{Low: 0.20, High: 0.25}, all[0].Range)
	assert.Equal(t, torque.Range{Low: 0.12, High: 0.16}, all[1].Range)
	for _, k := range all {
		assert.Less(t, k.Range.Low, k.Range.High)
		assert.NotEmpty(t, k.Source)
	}
	all[0].Range.Low = 9
	assert.Equal(t, 0.20, torque.NutFactors()[0].Range.Low)
}

func TestTorqueAndPreloadUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.05, 0.5).Draw(t, "K")
		s := torque.ShortForm{
			K:        torque.Range{Low: low, High: low * rapid.Float64Range(1, 2).Draw(t, "spread")},
			Diameter: rapid.Float64Range(0.004, 0.04).Draw(t, "D"),
		}
		preload := rapid.Float64Range(10, 1e6).Draw(t, "F")
		there, err := s.Torque(preload)
		require.NoError(t, err)
		back, err := s.Preload(there.Torque.High)
		require.NoError(t, err)
		assert.InEpsilon(t, preload, back.Preload.Low, 1e-12)
		more, err := s.Torque(preload * 1.01)
		require.NoError(t, err)
		assert.Greater(t, more.Torque.Low, there.Torque.Low)
	})
}

func TestAShortFormThatCannotBeIsRefusedByName(t *testing.T) {
	good := torque.ShortForm{K: torque.Range{Low: 0.12, High: 0.16}, Diameter: 0.018}
	for want, s := range map[string]torque.ShortForm{
		"nut factor 0.2 to 0.1": {K: torque.Range{Low: 0.2, High: 0.1}, Diameter: 0.018},
		"nut factor 0 to":       {Diameter: 0.018},
		"nut factor 20":         {K: exactly(20), Diameter: 0.018},
		"nut factor NaN":        {K: exactly(math.NaN()), Diameter: 0.018},
		"thread diameter 0":     {K: good.K},
		"thread diameter +Inf":  {K: good.K, Diameter: math.Inf(1)},
	} {
		_, err := s.Torque(1000)
		require.ErrorContains(t, err, want)
		_, err = s.Preload(45)
		require.ErrorContains(t, err, want)
	}
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := good.Torque(v)
		require.ErrorContains(t, err, "preload")
		_, err = good.Preload(v)
		require.ErrorContains(t, err, "torque")
		_, err = torque.PreloadAt(v, 580, 84)
		require.ErrorContains(t, err, "fraction")
		_, err = torque.PreloadAt(0.7, v, 84)
		require.ErrorContains(t, err, "proof stress")
	}
}

func TestAPublishedTorqueIsNeverReducedByARatio(t *testing.T) {
	a := torque.AntiSeize{
		Published: torque.Window{Low: 40, High: 60},
		Dry:       torque.NutFactors()[0].Range, Wet: torque.NutFactors()[1].Range,
	}
	for _, told := range []bool{false, true} {
		for _, thread := range []torque.Coated{torque.PreCoated, torque.Bare, torque.Unstated} {
			a.Told, a.Thread = told, thread
			c, err := a.Judge()
			require.NoError(t, err)
			assert.Equal(t, a.Published, c.Use, "%v %v", told, thread)
			assert.Equal(t, torque.NeverReduce, c.Warning)
			// The ends of both ranges: 0.12/0.25 = 0.48 and 0.16/0.20 = 0.80.
			assert.InDelta(t, 0.48, c.SamePreload.Low, 1e-12)
			assert.InDelta(t, 0.80, c.SamePreload.High, 1e-12)
			assert.InDelta(t, 1/0.48, c.SameTorque.High, 1e-12)
			assert.Equal(t, told && thread == torque.Bare, c.Reduced != torque.Range{})
		}
	}
	a.Thread = torque.PreCoated
	c, err := a.Judge()
	require.NoError(t, err)
	assert.Contains(t, c.Because, "use that figure, not a ratio")
}

func TestACoatThatCannotBeJudgedIsRefusedByName(t *testing.T) {
	good := torque.AntiSeize{Published: torque.Window{Low: 40, High: 60}, Thread: torque.Bare, Dry: exactly(0.2), Wet: exactly(0.15)}
	for want, spoil := range map[string]func(*torque.AntiSeize){
		"torque window":            func(a *torque.AntiSeize) { a.Published = torque.Window{} },
		`thread ""`:                func(a *torque.AntiSeize) { a.Thread = "" },
		"nut factor dry":           func(a *torque.AntiSeize) { a.Dry = torque.Range{} },
		"nut factor with the coat": func(a *torque.AntiSeize) { a.Wet.High = math.NaN() },
		"must lie in 0.01 to 1":    func(a *torque.AntiSeize) { a.Wet = torque.Range{Low: 1e-300, High: 0.1} },
	} {
		a := good
		spoil(&a)
		_, err := a.Judge()
		require.ErrorContains(t, err, want)
	}
}

package fueltrim_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/fueltrim"
)

// look makes readings of one bank at idle, raised speed and under load, of the
// totals in percent; NaN leaves a condition out.
func look(bank int, idle, raised, loaded float64) []fueltrim.Reading {
	var all []fueltrim.Reading
	for i, total := range []float64{idle, raised, loaded} {
		if !math.IsNaN(total) {
			speed, load := []float64{750, 2500, 2500}[i], []float64{0.25, 0.30, 0.75}[i]
			all = append(all, fueltrim.Reading{Bank: bank, Speed: speed, Load: load, Short: total / 400, Long: 3 * total / 400})
		}
	}
	return all
}

var none = math.NaN()

func assess(t require.TestingT, readings ...[]fueltrim.Reading) fueltrim.Assessment {
	a, err := fueltrim.Assess(slices.Concat(readings...), fueltrim.DefaultLimits())
	require.NoError(t, err)
	return a
}

// Common practice of the trade, no source: the patterns of any workshop text on
// fuel trims, and ±10 % as the limit.
func TestEachPatternPointsWhereTheTradeLooks(t *testing.T) {
	for _, c := range []struct {
		rule     string
		readings [][]fueltrim.Reading
		outcome  fueltrim.Outcome
		banks    []int
		want     []fueltrim.Suspect
	}{
		{"lean at idle, both: air leak", [][]fueltrim.Reading{look(1, 18, 8, 3), look(2, 17, 7, 2)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirLeak}},
		{"lean under load, both: fuel or air meter", [][]fueltrim.Reading{look(1, 2, 9, 19), look(2, 3, 10, 20)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.FuelDelivery, fueltrim.AirMeterLow}},
		{"lean throughout, both", [][]fueltrim.Reading{look(1, 15, 15, 16), look(2, 14, 15, 15)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirMeterLow, fueltrim.FuelDelivery, fueltrim.WrongFuel}},
		{"lean throughout, one bank: its sensor, leak, injectors", [][]fueltrim.Reading{look(1, 1, 0, 1), look(2, 15, 15, 16)}, fueltrim.PointsTo, []int{2}, []fueltrim.Suspect{fueltrim.BankSensor, fueltrim.ExhaustLeak, fueltrim.BankInjector, fueltrim.BankBurning}},
		{"lean at idle, one bank: leaks of that bank", [][]fueltrim.Reading{look(1, 18, 6, 3), look(2, 1, 1, 1)}, fueltrim.PointsTo, []int{1}, []fueltrim.Suspect{fueltrim.BankLeak, fueltrim.ExhaustLeak, fueltrim.BankBurning, fueltrim.BankSensor}},
		{"rich at idle, both: fuel unasked", [][]fueltrim.Reading{look(1, -18, -8, -3), look(2, -17, -7, -2)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.FuelAtRest}},
		{"rich under load, both: air meter", [][]fueltrim.Reading{look(1, -2, -9, -19), look(2, -3, -9, -18)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirMeterHigh, fueltrim.Pressure}},
		{"rich throughout, one bank", [][]fueltrim.Reading{look(1, -15, -15, -15), look(2, 0, 0, 0)}, fueltrim.PointsTo, []int{1}, []fueltrim.Suspect{fueltrim.BankSensor, fueltrim.BankInjector}},
		{"rich at idle, lean under load, both: air meter first", [][]fueltrim.Reading{look(1, -14, 2, 15), look(2, -13, 2, 14)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirMeterLow, fueltrim.FuelAtRest, fueltrim.FuelDelivery}},
		{"one bank only: the sensor stays a suspect", [][]fueltrim.Reading{look(1, 18, 8, 3)}, fueltrim.PointsTo, []int{1}, []fueltrim.Suspect{fueltrim.AirLeak, fueltrim.BankSensor, fueltrim.ExhaustLeak}},
		{"lean, idle alone: more readings", [][]fueltrim.Reading{look(1, 18, none, none), look(2, 18, none, none)}, fueltrim.MoreNeeded, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirLeak, fueltrim.FuelDelivery, fueltrim.AirMeterLow, fueltrim.WrongFuel}},
		{"lean, load alone: more readings", [][]fueltrim.Reading{look(1, none, none, 18), look(2, 1, 1, 1)}, fueltrim.MoreNeeded, []int{1}, []fueltrim.Suspect{fueltrim.BankSensor, fueltrim.BankLeak, fueltrim.ExhaustLeak, fueltrim.BankInjector, fueltrim.BankBurning}},
		{"raised speed stands in for load", [][]fueltrim.Reading{look(1, 18, 3, none), look(2, 18, 3, none)}, fueltrim.PointsTo, []int{1, 2}, []fueltrim.Suspect{fueltrim.AirLeak}},
	} {
		t.Run(c.rule, func(t *testing.T) {
			a := assess(t, c.readings...)
			assert.Equal(t, c.outcome, a.Outcome)
			require.Len(t, a.Findings, 1)
			assert.Equal(t, c.banks, a.Findings[0].Banks)
			assert.Equal(t, c.want, a.Findings[0].Suspects)
			assert.Len(t, a.Findings[0].Apart, len(c.want), "each suspect says what would tell it apart")
			assert.Contains(t, a.Because, "Trims alone prove none of these")
			assert.NotEmpty(t, a.Workings)
		})
	}
}

func TestTrimsWithinTheLimitShowNoFaultAndProveNoHealth(t *testing.T) {
	// ±10 % is common practice, no source; exactly at it is within.
	a := assess(t, look(1, 10, -10, 10), look(2, 0, 0, 0))
	assert.Equal(t, fueltrim.WithinLimits, a.Outcome)
	assert.Empty(t, a.Findings)
	assert.Contains(t, a.Because, "says nothing of others")
	assert.Equal(t, fueltrim.PointsTo, assess(t, look(1, 10.1, 10, 10)).Outcome)
	limits := fueltrim.DefaultLimits()
	assert.Equal(t, 0.10, limits.Trim.Value)
	assert.Contains(t, limits.Trim.Source, "common practice")
	limits.Trim = fueltrim.Limit{Value: 0.2, Source: "the maker"}
	b, err := fueltrim.Assess(look(1, 18, 18, 18), limits)
	require.NoError(t, err)
	assert.Equal(t, fueltrim.WithinLimits, b.Outcome, "the limits are data")
}

func TestOneBankLeanAndTheOtherRichMayBeSwappedLeads(t *testing.T) {
	a := assess(t, look(1, 20, 20, 20), look(2, -20, -20, -20))
	require.Len(t, a.Findings, 2)
	for _, f := range a.Findings {
		assert.Contains(t, f.Suspects, fueltrim.SwappedLeads)
	}
}

func TestTheAnswerSaysWhatLimitsIt(t *testing.T) {
	opposed := fueltrim.Reading{Bank: 1, Speed: 750, Load: 0.2, Short: -0.20, Long: 0.15}
	stopped := fueltrim.Reading{Bank: 1, Speed: 2500, Load: 0.3, Short: 0, Long: 0.25}
	open := fueltrim.Reading{Bank: 1, Speed: 2500, Load: 0.9, Short: 0.9, Long: 0.9, OpenLoop: true}
	a := assess(t, []fueltrim.Reading{opposed, stopped, open})
	notes := strings.Join(a.Notes, "\n")
	assert.Contains(t, notes, "1 of 3 readings in open loop: left out")
	assert.Contains(t, notes, "short and long trim far apart and opposite")
	assert.Contains(t, notes, "at or past ±25 %")
	assert.Contains(t, notes, "not measured: bank 1, under load")
	for _, f := range a.Figures {
		assert.NotEqual(t, fueltrim.Loaded, f.Condition, "the open-loop reading is in no mean")
	}
	between := assess(t, []fueltrim.Reading{{Bank: 1, Speed: 1500, Load: 0.3}})
	assert.Equal(t, fueltrim.MoreNeeded, between.Outcome)
}

func TestReadingsThatCannotBeAreRefusedByName(t *testing.T) {
	good := fueltrim.Reading{Bank: 1, Speed: 750, Load: 0.2, Short: 0.02, Long: 0.05}
	for want, spoil := range map[string]func(*fueltrim.Reading){
		"reading 1: bank 0":       func(r *fueltrim.Reading) { r.Bank = 0 },
		"reading 1: speed 0":      func(r *fueltrim.Reading) { r.Speed = 0 },
		"reading 1: load 20":      func(r *fueltrim.Reading) { r.Load = 20 },
		"reading 1: short trim 5": func(r *fueltrim.Reading) { r.Short = 5 },
		"reading 1: long trim N":  func(r *fueltrim.Reading) { r.Long = math.NaN() },
	} {
		r := good
		spoil(&r)
		_, err := fueltrim.Assess([]fueltrim.Reading{r}, fueltrim.DefaultLimits())
		require.ErrorContains(t, err, want)
	}
	_, err := fueltrim.Assess(nil, fueltrim.DefaultLimits())
	require.ErrorContains(t, err, "0 readings given")
	good.OpenLoop = true
	_, err = fueltrim.Assess([]fueltrim.Reading{good}, fueltrim.DefaultLimits())
	require.ErrorContains(t, err, "no reading in closed loop")
	_, err = fueltrim.Assess([]fueltrim.Reading{good}, fueltrim.Limits{})
	require.ErrorContains(t, err, "limit of trim 0")
	crossed := fueltrim.DefaultLimits()
	crossed.RaisedSpeed.Value = 1000
	_, err = fueltrim.Assess([]fueltrim.Reading{good}, crossed)
	require.ErrorContains(t, err, "not above that of idle")
}

func anyTotals(t *rapid.T, name string) (idle, raised, loaded float64) {
	g := rapid.Float64Range(-30, 30)
	return g.Draw(t, name+" idle"), g.Draw(t, name+" raised"), g.Draw(t, name+" loaded")
}

func TestSwappingTheBanksSwapsTheFindings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a1, a2, a3 := anyTotals(t, "one")
		b1, b2, b3 := anyTotals(t, "two")
		there := assess(t, look(1, a1, a2, a3), look(2, b1, b2, b3))
		back := assess(t, look(2, a1, a2, a3), look(1, b1, b2, b3))
		require.Len(t, back.Findings, len(there.Findings))
		for _, f := range there.Findings {
			want := make([]int, 0, 2)
			for _, b := range f.Banks {
				want = append(want, 3-b)
			}
			slices.Sort(want)
			found := slices.IndexFunc(back.Findings, func(g fueltrim.Finding) bool { return slices.Equal(g.Banks, want) })
			require.GreaterOrEqual(t, found, 0)
			assert.Equal(t, f.Suspects, back.Findings[found].Suspects)
		}
	})
}

func TestTurningEveryTrimAboutTurnsLeanToRich(t *testing.T) {
	turned := map[fueltrim.Direction]fueltrim.Direction{
		fueltrim.Lean: fueltrim.Rich, fueltrim.Rich: fueltrim.Lean, fueltrim.Level: fueltrim.Level,
		fueltrim.Tilted: fueltrim.Mixed, fueltrim.Mixed: fueltrim.Tilted,
	}
	rapid.Check(t, func(t *rapid.T) {
		idle, raised, loaded := anyTotals(t, "bank")
		a, b := assess(t, look(1, idle, raised, loaded)), assess(t, look(1, -idle, -raised, -loaded))
		assert.Equal(t, turned[a.Shapes[0].Direction], b.Shapes[0].Direction)
		if a.Shapes[0].Direction != fueltrim.Level {
			assert.Equal(t, a.Shapes[0].Where, b.Shapes[0].Where)
			assert.NotEmpty(t, a.Findings[0].Suspects, "every shape has its suspects")
		}
		assert.InDelta(t, -a.Shapes[0].Worst, b.Shapes[0].Worst, 1e-12)
	})
}

func TestNoFindingIsMadeOfWhatLiesWithinTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		idle, raised, loaded := anyTotals(t, "bank")
		a := assess(t, look(1, idle, raised, loaded))
		worst := max(math.Abs(idle), math.Abs(raised), math.Abs(loaded))
		if math.Abs(worst-10) > 1e-6 {
			assert.Equal(t, worst > 10, len(a.Findings) > 0)
		}
	})
}

func FuzzAssessNeverPanics(f *testing.F) {
	f.Add(1, 750.0, 0.2, 0.1, 0.1, 2, 2500.0, 0.8, -0.2, 0.3)
	f.Add(0, math.NaN(), -1.0, 2.0, math.Inf(1), 9, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, b1 int, s1, l1, st1, lt1 float64, b2 int, s2, l2, st2, lt2 float64) {
		a, err := fueltrim.Assess([]fueltrim.Reading{{Bank: b1, Speed: s1, Load: l1, Short: st1, Long: lt1}, {Bank: b2, Speed: s2, Load: l2, Short: st2, Long: lt2}}, fueltrim.DefaultLimits())
		if err == nil {
			require.NotEmpty(t, a.Because)
			for _, f := range a.Findings {
				require.NotEmpty(t, f.Suspects)
				require.Len(t, f.Apart, len(f.Suspects))
			}
		}
	})
}

package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
)

// run runs a check that must give an answer.
func run(t require.TestingT, name string, args checks.Arguments) checks.Result {
	r, err := find(t, name).Run(args)
	require.NoError(t, err)
	return r
}

// refusal is what a check says of arguments that it cannot take.
func refusal(t require.TestingT, name string, args checks.Arguments) string {
	r, err := find(t, name).Run(args)
	require.Error(t, err)
	assert.Empty(t, r.Verdict)
	return err.Error()
}

func words(text string) checks.Argument { return checks.Argument{Text: text} }

func TestAnAdapterChangesTheSettingAsTheManualsPrint(t *testing.T) {
	for _, x := range []struct {
		wanted, wrench, adapter, angle, set, source string
	}{
		{"300 lbf·in", "10 in", "4 in", "0°", "214.3 lbf·in", "US Army TM 1-1500-204-23-9: 214"},
		{"40 lbf·ft", "12 in", "4 in", "0°", "30.0 lbf·ft", "US Army TM 9-2350-261-20-1, p. 2-29: 30"},
		{"100 lbf·in", "12 in", "6 in", "0°", "66.7 lbf·in", "US Navy course 14315, fig. 3-45: 66.7"},
		{"45 N·m", "300 mm", "30 mm", "90°", "45.0 N·m", "square to the wrench changes nothing"},
		{"45 N·m", "300 mm", "30 mm", "180°", "50.0 N·m", "T·L/(L - A) by hand"},
	} {
		r := run(t, "torque-setting", checks.Arguments{"wanted": one(x.wanted), "wrench": one(x.wrench), "adapter": one(x.adapter), "angle": one(x.angle)})
		set := one(figure(r, "set")).Quantity
		want := one(x.set).Quantity
		assert.InDelta(t, want.Base(), set.Base(), 0.011, x.source)
		assert.Equal(t, checks.None, r.Verdict)
	}
	r := run(t, "torque-setting", checks.Arguments{"wanted": one("45 N·m"), "wrench": one("300 mm"), "adapter": one("30 mm")})
	assert.Equal(t, "40.91 N·m", figure(r, "set"))
	assert.Contains(t, r.Because, "40.9 N·m (30.2 lbf·ft)")
	assert.Contains(t, refusal(t, "torque-setting", checks.Arguments{"wanted": one("45 N·m"), "adapter": one("30 mm")}), "wrench: missing")
	assert.Contains(t, refusal(t, "torque-setting", checks.Arguments{"wanted": one("-1 N·m")}), `wanted "-1 N·m"`)
}

func TestPreloadIsARangeBecauseKIsOne(t *testing.T) {
	// Handbook example: 3/8 in, 4940 lbf, K 0.20 needs 30.875 lbf·ft, printed 30; K 0.15 needs 23.156, printed 23.
	r := run(t, "preload", checks.Arguments{"force": words("4940 lbf"), "diameter": one("0.375 in"), "k-low": one("0.15"), "k-high": one("0.20")})
	least, most := one(figure(r, "torque-least")).Quantity, one(figure(r, "torque-most")).Quantity
	assert.Equal(t, "23.2 lbf·ft", least.Show(1, "lbf·ft"))
	assert.Equal(t, "30.9 lbf·ft", most.Show(1, "lbf·ft"))
	assert.Equal(t, "21.97 kN", figure(r, "preload-least"))
	// 50 N·m on 18 mm with K 0.12 to 0.16, by hand: 50/(0.16 × 0.018) = 17.36 kN, 50/(0.12 × 0.018) = 23.15 kN.
	back := run(t, "preload", checks.Arguments{"torque": one("50 N·m"), "diameter": one("18 mm"), "surface": choice("anti-seize")})
	assert.Equal(t, "17.36 kN", figure(back, "preload-least"))
	assert.Equal(t, "23.15 kN", figure(back, "preload-most"))
	base := checks.Arguments{"torque": one("50 N·m"), "diameter": one("18 mm"), "surface": choice("dry")}
	for want, args := range map[string]checks.Arguments{
		"torque, force: give one":   without(base, "torque"),
		"torque, force: give one o": with(base, checks.Arguments{"force": words("1 kN")}),
		"give the surface, or both": with(base, checks.Arguments{"k-low": one("0.1")}),
		`force "12 stone"`:          with(without(base, "torque"), checks.Arguments{"force": words("12 stone")}),
		`force "-2 kN"`:             with(without(base, "torque"), checks.Arguments{"force": words("-2 kN")}),
	} {
		assert.Contains(t, refusal(t, "preload", args), want)
	}
}

func TestAPreCoatedSensorKeepsItsPublishedTorque(t *testing.T) {
	r := run(t, "anti-seize", checks.Arguments{"low": one("40 N·m"), "high": one("60 N·m"), "coating": choice("pre-coated")})
	assert.Equal(t, "40.00 N·m", figure(r, "use-low"))
	assert.Equal(t, "60.00 N·m", figure(r, "use-high"))
	assert.Contains(t, r.Workings[len(r.Workings)-1], "never reduce a published torque")
}

func TestAThreadHasTheDiametersOfTheTable(t *testing.T) {
	// ISO 724 table, M10×1.5: d2 9.026, d3 8.160, D1 8.376.
	r := run(t, "thread", checks.Arguments{"thread": words("M10x1.5")})
	assert.Equal(t, "9.026 mm", figure(r, "pitch-diameter"))
	assert.Equal(t, "8.160 mm", figure(r, "root-diameter"))
	assert.Equal(t, "8.376 mm", figure(r, "minor-diameter"))
	assert.Contains(t, refusal(t, "thread", checks.Arguments{"thread": words("M18")}), "M18")
}

func TestAnInchSocketOnAMetricHexagonPassesWithACaution(t *testing.T) {
	// 7/8 in = 22.225 mm exactly, 0.225 mm over; 22 mm is the hexagon to use (common practice, no source).
	r := run(t, "socket-fit", checks.Arguments{"hex": words("22 mm"), "socket": words("7/8 in")})
	assert.Equal(t, checks.Pass, r.Verdict)
	assert.Contains(t, r.Because, "caution: ")
	assert.Contains(t, r.Because, "use 22 mm")
	assert.Equal(t, "0.225 mm", figure(r, "play"))
	// 23 mm is 1 mm over 22 mm: no caution makes it the tool.
	assert.Equal(t, checks.Fail, run(t, "socket-fit", checks.Arguments{"hex": words("22 mm"), "socket": words("23 mm")}).Verdict)
	assert.Equal(t, "too large", figure(r, "fit"))
	tight := run(t, "socket-fit", checks.Arguments{"hex": words("22 mm"), "socket": words("21 mm")})
	assert.Equal(t, checks.Fail, tight.Verdict)
	assert.Empty(t, figure(tight, "turn"))
	assert.Contains(t, refusal(t, "socket-fit", checks.Arguments{"hex": words("22 mm"), "socket": words("22")}), "socket: ")
	assert.Contains(t, refusal(t, "socket-fit", checks.Arguments{"hex": words("wide"), "socket": words("22 mm")}), "hex: ")
}

func TestAToolIsDueByDateOrByCycles(t *testing.T) {
	// ISO 6789, default interval 12 months or 5000 cycles (read at second hand).
	base := checks.Arguments{"last": words("2026-01-31"), "today": words("2026-03-14"), "cycles": one("1200")}
	for _, x := range []struct {
		changes checks.Arguments
		verdict checks.Verdict
		says    string
	}{
		{nil, checks.Pass, "current"},
		{checks.Arguments{"today": words("2027-01-31")}, checks.Pass, "current"},
		{checks.Arguments{"today": words("2027-02-01")}, checks.Fail, "fell due"},
		{checks.Arguments{"cycles": one("5001")}, checks.Fail, "5001 cycles"},
		{checks.Arguments{"misused": choice("yes")}, checks.Fail, "dropped"},
		{checks.Arguments{"months": one("1")}, checks.Fail, "fell due"},
		{checks.Arguments{"most": one("1000")}, checks.Fail, "1000"},
	} {
		r := run(t, "tool-due", with(base, x.changes))
		assert.Equal(t, x.verdict, r.Verdict, x.says)
		assert.Contains(t, r.Because, x.says)
	}
	for want, changes := range map[string]checks.Arguments{
		`last "31.1.26": no date`:   {"last": words("31.1.26")},
		`cycles "1.5": give a whol`: {"cycles": one("1.5")},
		`months "0": give a whole`:  {"months": one("0")},
	} {
		assert.Contains(t, refusal(t, "tool-due", with(base, changes)), want)
	}
}

func TestAToolsErrorIsRelativeToTheReference(t *testing.T) {
	// ISO 6789: set 100 against a reference of 104.1 is -3.9385 %, in tolerance; -4.1 % of the setting would be wrong.
	r := run(t, "tool-accuracy", checks.Arguments{"indicated": one("100 N·m"), "reference": one("104.1 N·m"), "largest": one("200 N·m")})
	assert.Equal(t, checks.Pass, r.Verdict)
	assert.Equal(t, "-3.94 %", figure(r, "deviation"))
	out := run(t, "tool-accuracy", checks.Arguments{"indicated": one("100 N·m"), "reference": one("104.3 N·m"), "largest": one("200 N·m")})
	assert.Equal(t, checks.Fail, out.Verdict)
	small := run(t, "tool-accuracy", checks.Arguments{"indicated": one("5 N·m"), "reference": one("5.3 N·m"), "largest": one("10 N·m")})
	assert.Equal(t, checks.Pass, small.Verdict, "±6 %% up to 10 N·m")
}

func TestAQuantityIsGivenInEveryOtherUnit(t *testing.T) {
	// NIST SP 811, appendix B: 45 N·m = 33.19030 lbf·ft = 398.2836 lbf·in = 4.588723 kgf·m.
	r := run(t, "convert", checks.Arguments{"value": one("45 N·m")})
	assert.Equal(t, "33.1903 lbf·ft", figure(r, "in: lbf·ft"))
	assert.Equal(t, "398.2836 lbf·in", figure(r, "in: lbf·in"))
	assert.Equal(t, "4.588723 kgf·m", figure(r, "in: kgf·m"))
	heat := run(t, "convert", checks.Arguments{"value": one("48 °C"), "to": words("°F")})
	assert.Equal(t, []checks.Figure{{Name: "in: °F", Text: "118.4 °F"}}, heat.Figures)
	assert.Equal(t, []string{"T = 48 °C: T x 9 / 5 + 32 = 118.4 °F"}, heat.Workings)
	assert.Contains(t, refusal(t, "convert", checks.Arguments{"value": one("45 N·m"), "to": words("°F")}), "not a unit of torque")
	assert.Contains(t, refusal(t, "convert", checks.Arguments{"value": one("45")}), "has no other unit")
}

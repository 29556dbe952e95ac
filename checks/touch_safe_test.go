package checks_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

func probe(texts ...string) checks.Arguments {
	return checks.Arguments{"surface": series(texts...), "limit": one("48 °C"), "method": choice("contact probe")}
}

func infrared(finish string, texts ...string) checks.Arguments {
	return checks.Arguments{
		"surface": series(texts...), "limit": one("48 °C"), "method": choice("infrared"), "finish": choice(finish),
		"emissivity": one("0.8"), "ambient": one("20 °C"),
	}
}

func runTouch(t require.TestingT, args checks.Arguments) checks.Result {
	r, err := find(t, "touch-safe").Run(args)
	require.NoError(t, err)
	return r
}

func TestTouchingWaitsForALastReadingUnderTheLimitAndNoRise(t *testing.T) {
	for _, x := range []struct {
		args    checks.Arguments
		verdict checks.Verdict
		says    string
	}{
		{probe("52 °C", "43 °C"), checks.Pass, "the last reading, 43.0 °C (109.4 °F), is not above the limit 48.0 °C (118.4 °F), and the surface is not rising"},
		{probe("52 °C", "118.4 °F"), checks.Pass, "not above the limit"},
		{probe(), checks.More, "0 of at least 2 readings"},
		{probe("43 °C"), checks.More, "1 of at least 2 readings"},
		{probe("62 °C"), checks.Fail, "62.0 °C (143.6 °F), is 14.0 °C above the limit"},
		{probe("90 °C", "118.5 °F"), checks.Fail, "0.1 °C above the limit"},
		{probe("90 °C", "48.01 °C"), checks.Fail, "less than the last digit shown above the limit"},
		{probe("30 °C", "31 °C"), checks.Pass, "not rising"},
		{probe("30 °C", "33 °C"), checks.Fail, "3.0 °C above an earlier one (1.0 °C is allowed as scatter): heat is still coming through"},
		{probe("80 °C", "40 °C", "44 °C"), checks.Fail, "4.0 °C above an earlier one"},
		{with(probe("52 °C", "43 °C"), checks.Arguments{"span": one("5 min")}), checks.Pass, "not rising"},
		{with(probe("52 °C", "43 °C"), checks.Arguments{"span": one("6 min")}), checks.More, "the readings span less than the 6.0 min asked for"},
	} {
		r := runTouch(t, x.args)
		assert.Equal(t, x.verdict, r.Verdict, x.says)
		assert.Contains(t, r.Because, x.says)
	}
}

func TestTheFiguresCarryTheMarginAsADifference(t *testing.T) {
	r := runTouch(t, probe("90 °C", "62 °C"))
	assert.Equal(t, []checks.Figure{{Name: "surface", Text: "62.0 °C"}, {Name: "limit", Text: "48.0 °C"}, {Name: "margin", Text: "-14.0 K"}}, r.Figures)
	assert.Equal(t, []checks.Figure{{Name: "limit", Text: "48.0 °C"}}, runTouch(t, probe()).Figures, "nothing read, no surface")
	assert.Equal(t, "0.0 K", figure(runTouch(t, probe("50 °C", "48.04 °C")), "margin"), "no signed zero")
}

func TestAnInfraredReadingIsJudgedOnceCorrected(t *testing.T) {
	// Tm⁴ = ε·T⁴ + (1 - ε)·Ta⁴ (principle of ASTM E1933, from memory), worked by hand for 46 °C, 20 °C, 0.8:
	// (319.15⁴ - 0.2 × 293.15⁴)/0.8 = (1.037462e10 - 0.147707e10)/0.8 = 1.112194e10 K⁴, fourth root 324.746 K, 51.6 °C.
	r := runTouch(t, infrared("dull or oxidised", "47 °C", "46 °C"))
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Equal(t, "51.6 °C", figure(r, "surface"))
	assert.Contains(t, r.Workings, "Tm = 46.0 °C + 273.15 = 319.15 K, Ta = 20.0 °C + 273.15 = 293.15 K, e = 0.8")
	assert.Contains(t, r.Workings, "T^4 = (319.15^4 - 0.2 x 293.15^4) / 0.8")
	assert.Contains(t, r.Workings, "T = 324.75 K - 273.15 = 51.6 °C")
	cool := runTouch(t, infrared("painted or taped", "42 °C", "40 °C"))
	assert.Equal(t, checks.Pass, cool.Verdict)
}

func TestBrightMetalByInfraredIsRefusedWithItsRemedy(t *testing.T) {
	// Common practice: bright stainless reads far too low.
	r := runTouch(t, infrared("bright metal", "25 °C", "24 °C"))
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Contains(t, r.Because, "use a contact probe")
	assert.Contains(t, r.Because, "high-emissivity tape or paint, put on only at a temperature safe for you and for it")
	unsaid := runTouch(t, without(infrared("", "25 °C", "24 °C"), "finish", "emissivity"))
	assert.Equal(t, checks.Fail, unsaid.Verdict)
	assert.Contains(t, unsaid.Because, "state the finish")
	assert.Empty(t, figure(unsaid, "surface"))
}

func TestHotSurroundingsNeverTalkASurfaceCool(t *testing.T) {
	r := runTouch(t, with(infrared("dull or oxidised", "60 °C", "50 °C"), checks.Arguments{"ambient": one("90 °C")}))
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Equal(t, "50.0 °C", figure(r, "surface"))
	assert.Contains(t, r.Workings, "the correction would lower the reading; judged as read, 50.0 °C")
}

func TestALimitAboveTheTenMinuteThresholdIsRefused(t *testing.T) {
	// ISO 13732-1, bare smooth metal: 10 min 48 °C (from memory). 118.4 °F is 48 °C exactly.
	for _, limit := range []string{"20 °C", "43 °C", "48 °C", "118.4 °F"} {
		assert.NotEmpty(t, runTouch(t, with(probe("45 °C", "44 °C"), checks.Arguments{"limit": one(limit)})).Verdict, limit)
	}
	for _, limit := range []string{"48.1 °C", "118.5 °F", "55 °C", "70 °C"} {
		_, err := find(t, "touch-safe").Run(with(probe("30 °C", "29 °C"), checks.Arguments{"limit": one(limit)}))
		require.ErrorContains(t, err, "above 48 °C, at which bare metal burns in 10 min (ISO 13732-1", limit)
	}
	assert.Contains(t, runTouch(t, probe("45 °C", "44 °C")).Workings, "burn threshold for 10 min of contact with bare smooth metal: 48 °C, not below the limit")
}

func TestTheTouchWorkingsCanBeFollowedWithAPencil(t *testing.T) {
	r := runTouch(t, probe("60 °C", "50 °C", "44 °C"))
	assert.Equal(t, []string{
		"limit: 48.0 °C (118.4 °F)",
		"burn threshold for 10 min of contact with bare smooth metal: 48 °C, not below the limit",
		"reading 1: 60.0 °C at 0 s",
		"reading 2: 50.0 °C at 300 s",
		"reading 3, the last: 44.0 °C at 600 s",
		"rise of the last over the first and over the one before it: at most -6.0 K, allowed 1.0 K",
		"margin = limit - last = 48.0 °C - 44.0 °C = 4.0 K",
		"outcome: safe",
	}, r.Workings)
}

func TestAMeasurementThatCannotBeIsAnErrorNotAVerdict(t *testing.T) {
	good := infrared("dull or oxidised", "45 °C", "44 °C")
	for want, args := range map[string]checks.Arguments{
		"emissivity: missing":           without(good, "emissivity"),
		"ambient: missing":              without(good, "ambient"),
		"emissivity 0:":                 with(good, checks.Arguments{"emissivity": one("0")}),
		"emissivity 1.2:":               with(good, checks.Arguments{"emissivity": one("1.2")}),
		"reading 2: -70.0 °C":           with(good, checks.Arguments{"surface": series("45 °C", "-70 °C")}),
		"reading 1: 1600.0 °C":          with(good, checks.Arguments{"surface": series("1600 °C", "44 °C")}),
		"limit 1600.0 °C":               with(good, checks.Arguments{"limit": one("1600 °C")}),
		"ambient temperature 1600.0 °C": with(good, checks.Arguments{"ambient": one("1600 °C")}),
		"colder than the reflection":    with(good, checks.Arguments{"emissivity": one("0.01"), "ambient": one("60 °C")}),
		`span "-5 min"`:                 with(good, checks.Arguments{"span": one("-5 min")}),
	} {
		_, err := find(t, "touch-safe").Run(args)
		require.ErrorContains(t, err, want)
		assert.Contains(t, err.Error(), "check touch-safe: ")
	}
}

func FuzzTouchSafeNeverPanicsNorPassesAHotSurface(f *testing.F) {
	f.Add("52 °C", "43 °C", "48 °C", "contact probe", "", "", "", int64(300))
	f.Add("52 °C", "43 °C", "48 °C", "infrared", "0.9", "20 °C", "dull or oxidised", int64(0))
	f.Add("0 K", "1e15 °F", "-60 °C", "infrared", "1e-9", "2732 °F", "bright metal", int64(-1))
	f.Fuzz(func(t *testing.T, first, last, limit, method, emissivity, ambient, finish string, after int64) {
		args := checks.Arguments{"method": choice(method)}
		for name, text := range map[string]string{"limit": limit, "emissivity": emissivity, "ambient": ambient} {
			if q, err := quantity.Parse(text); err == nil {
				args[name] = checks.Argument{Quantity: q}
			}
		}
		if finish != "" {
			args["finish"] = choice(finish)
		}
		a, _ := quantity.Parse(first)
		b, _ := quantity.Parse(last)
		args["surface"] = checks.Argument{Series: []checks.Sample{{Value: a}, {After: time.Duration(after), Value: b}}}
		r, err := find(t, "touch-safe").Run(args)
		if err != nil {
			require.Empty(t, r.Verdict)
			return
		}
		if r.Verdict == checks.Pass {
			above, err := args["limit"].Quantity.Less(b)
			require.NoError(t, err)
			require.False(t, above, "passed %s against %s", last, limit)
		}
	})
}

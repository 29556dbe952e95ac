package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// plainWrench is a wrench without an adapter.
func plainWrench(reading string) checks.Arguments {
	return checks.Arguments{"reading": one(reading), "low": one("40 N·m"), "high": one("50 N·m"), "accuracy": one("4 %")}
}

func runTorque(t require.TestingT, args checks.Arguments) checks.Result {
	r, err := find(t, "torque-applied").Run(args)
	require.NoError(t, err)
	return r
}

func TestOnlyTheAcceptZonePasses(t *testing.T) {
	// Zones after ILAC-G8:09/2019, section 4, with U = 4 % of the applied torque: accept from
	// 40/0.96 = 41.667 to 50/1.04 = 48.077, conditional reject from 40/1.04 = 38.462 to 50/0.96 = 52.083 (computed).
	for reading, want := range map[string]struct {
		verdict checks.Verdict
		says    string
	}{
		"45 N·m":    {checks.Pass, "accept zone 38.20 N·m"},
		"41.67 N·m": {checks.Pass, "accept zone"},
		"48.07 N·m": {checks.Pass, "accept zone"},
		"41.66 N·m": {checks.Fail, "conditional accept: inside the window"},
		"48.08 N·m": {checks.Fail, "loosen and tighten again"},
		"40 N·m":    {checks.Fail, "1.60 N·m below the accept zone, which starts at 41.60 N·m (conditional accept"},
		"50 N·m":    {checks.Fail, "2.00 N·m above the accept zone, which ends at 48.00 N·m (conditional accept"},
		"39.9 N·m":  {checks.Fail, "conditional reject: outside the window"},
		"38.47 N·m": {checks.Fail, "conditional reject"},
		"38.46 N·m": {checks.Fail, "(reject: outside the window by more"},
		"52.08 N·m": {checks.Fail, "conditional reject"},
		"52.09 N·m": {checks.Fail, "may be overstressed"},
		"0 N·m":     {checks.Fail, "tighten again to the setting"},
	} {
		r := runTorque(t, plainWrench(reading))
		assert.Equal(t, want.verdict, r.Verdict, reading)
		if reading != "45 N·m" {
			assert.Contains(t, r.Because, want.says, reading)
		}
		if want.verdict == checks.Fail {
			assert.Contains(t, r.Because, "a wrench setting of 45.0 N·m (33.2 lbf·ft) aims at the middle", reading)
		}
	}
}

func TestTheAdapterIsReckonedIntoTheAppliedTorqueAndTheAim(t *testing.T) {
	// Computed from Tset = T·L/(L + A·cosθ): 45 N·m on 300 mm with 30 mm needs 40.9091, 45 or 50 N·m.
	for _, x := range []struct{ angle, aim, applied string }{
		{"0°", "40.91 N·m", "49.50 N·m"}, {"90°", "45.00 N·m", "45.00 N·m"}, {"180°", "50.00 N·m", "40.50 N·m"},
	} {
		r := runTorque(t, with(plainWrench("45 N·m"), checks.Arguments{"wrench": one("300 mm"), "adapter": one("30 mm"), "angle": one(x.angle)}))
		assert.Equal(t, x.aim, figure(r, "aim"), x.angle)
		assert.Equal(t, x.applied, figure(r, "applied"), x.angle)
	}
	inLine := runTorque(t, with(plainWrench("45 N·m"), checks.Arguments{"wrench": one("30 cm"), "adapter": one("30 mm")}))
	assert.Equal(t, "40.91 N·m", figure(inLine, "aim"), "in line when no angle is given, whatever the units of length")
	assert.Equal(t, checks.Fail, inLine.Verdict, "the wrench read 45 N·m, the fastener took 49.5")
}

func TestAnArmyManualsExampleIsAccepted(t *testing.T) {
	// US Army TM 9-2350-261-20-1, p. 2-29: 40 lbf·ft wanted, wrench 12 in, adapter 4 in: set 30.
	r := runTorque(t, checks.Arguments{
		"reading": one("30 ft-lb"), "low": one("37 ft-lb"), "high": one("43 ft-lb"), "accuracy": one("4 %"),
		"wrench": one("12 in"), "adapter": one("4 in"),
	})
	assert.Equal(t, checks.Pass, r.Verdict)
	assert.Equal(t, quantity.MustParse("40 ft-lb").Show(2, "N·m"), figure(r, "applied"))
	assert.Equal(t, quantity.MustParse("30 ft-lb").Show(2, "N·m"), figure(r, "aim"))
	assert.Contains(t, r.Workings, "reading: 30 lbf·ft = 40.67 N·m")
}

func TestTheWorkingsCanBeFollowedWithAPencil(t *testing.T) {
	r := runTorque(t, checks.Arguments{
		"reading": one("40 N·m"), "low": one("40 N·m"), "high": one("50 N·m"), "accuracy": one("5 %"),
		"wrench": one("300 mm"), "adapter": one("30 mm"),
	})
	assert.Equal(t, []string{
		"lever: L = 300.0 mm, A = 30.0 mm, cos 0° = 1.0000",
		"(L + A x cos) / L = 330.0 / 300.0 = 1.10000",
		"applied = reading x 1.10000 = 40.00 N·m x 1.10000 = 44.00 N·m",
		"uncertainty U = 5 % x 44.00 N·m = 2.20 N·m, taken as the guard band",
		"accept from 40.00 N·m + 2.20 N·m = 42.20 N·m",
		"accept to 50.00 N·m - 2.20 N·m = 47.80 N·m",
		"44.00 N·m: accept",
		"can the wrench judge this window? at the middle 2 x U = 2 x 2.25 N·m = 4.50 N·m, width 50.00 N·m - 40.00 N·m = 10.00 N·m: yes",
		"middle = (40.00 N·m + 50.00 N·m) / 2 = 45.00 N·m",
		"aim: set the wrench to 45.00 N·m / 1.10000 = 40.91 N·m",
		"with U taken as two standard uncertainties, the torque lies in the window with probability over 99.8 % (JCGM 106)",
	}, r.Workings)
	assert.Equal(t, []checks.Figure{
		{Name: "applied", Text: "44.00 N·m"}, {Name: "accept-low", Text: "42.20 N·m"}, {Name: "accept-high", Text: "47.80 N·m"},
		{Name: "uncertainty", Text: "2.20 N·m"}, {Name: "aim", Text: "40.91 N·m"},
	}, r.Figures)
}

func TestTheProbabilityIsNeverPrintedAsACertainty(t *testing.T) {
	// Normal distribution (JCGM 106): at 49 N·m u = 0.98, the limit is 1.0204 u away: 84.6 % (any table).
	for reading, want := range map[string]string{"45 N·m": "over 99.8 %", "49 N·m": "84.6 %", "50 N·m": "50.0 %", "80 N·m": "under 0.2 %"} {
		r := runTorque(t, plainWrench(reading))
		assert.Contains(t, r.Workings, "with U taken as two standard uncertainties, the torque lies in the window with probability "+want+" (JCGM 106)")
	}
}

func TestAnErrorQuotesWhatWasTyped(t *testing.T) {
	_, err := find(t, "torque-applied").Run(with(plainWrench("-45 ft-lb"), nil))
	require.ErrorContains(t, err, `given reading "-45 lbf·ft", low "40 N·m", high "50 N·m", accuracy "4 %"`)
}

func TestAWindowTooNarrowForTheWrenchSaysSo(t *testing.T) {
	r := runTorque(t, checks.Arguments{"reading": one("45 N·m"), "low": one("44 N·m"), "high": one("46 N·m"), "accuracy": one("4 %")})
	assert.Equal(t, checks.Fail, r.Verdict)
	assert.Equal(t, "the window 44.00 N·m to 46.00 N·m is too narrow for a wrench of ±4 %: twice its uncertainty (2 x 1.80 N·m) "+
		"is not less than the width 2.00 N·m; use a more accurate wrench", r.Because)
	better := runTorque(t, checks.Arguments{"reading": one("45 N·m"), "low": one("44 N·m"), "high": one("46 N·m"), "accuracy": one("1 %")})
	assert.Equal(t, checks.Pass, better.Verdict)
	assert.Contains(t, better.Workings[len(better.Workings)-1], "±1 % is finer than the ±4 % that ISO 6789 permits")
}

func TestAnAdapterNeedsTheWrenchesLength(t *testing.T) {
	_, err := find(t, "torque-applied").Run(with(plainWrench("45 N·m"), checks.Arguments{"adapter": one("30 mm")}))
	require.ErrorContains(t, err, `input "wrench" is missing; an adapter of 30 mm needs the wrench's length`)
	none := runTorque(t, with(plainWrench("45 N·m"), checks.Arguments{"adapter": one("0 mm")}))
	assert.Equal(t, checks.Pass, none.Verdict, "an adapter of no length is no adapter")
}

func TestATighteningThatCannotBeIsAnErrorNotAVerdict(t *testing.T) {
	for want, change := range map[string]checks.Arguments{
		"reading -45":    {"reading": one("-45 N·m")},
		"torque window":  {"low": one("60 N·m")},
		"accuracy 0 %":   {"accuracy": one("0 %")},
		"accuracy -4 %":  {"accuracy": one("-4 %")},
		"wrench length":  {"wrench": one("0 mm"), "adapter": one("30 mm")},
		"adapter length": {"wrench": one("300 mm"), "adapter": one("-30 mm")},
		"past the grip":  {"wrench": one("300 mm"), "adapter": one("400 mm"), "angle": one("180°")},
		"adapter angle":  {"wrench": one("300 mm"), "adapter": one("30 mm"), "angle": one("270°")},
		"give one betwe": {"high": one("1e15 kgf·m")},
	} {
		_, err := find(t, "torque-applied").Run(with(plainWrench("45 N·m"), change))
		require.ErrorContains(t, err, want)
		assert.Contains(t, err.Error(), "check torque-applied: ")
	}
}

func FuzzTorqueAppliedNeverPanics(f *testing.F) {
	f.Add("40.9 N·m", "40 N·m", "50 N·m", "4 %", "300 mm", "30 mm", "0°")
	f.Add("1e15 kgf·m", "1e-15 N·m", "1e15 N·m", "99.9 %", "1e-15 mm", "1e15 km", "180°")
	f.Add("30 ft-lb", "37 ft-lb", "43 ft-lb", "1 ppm", "", "", "")
	f.Fuzz(func(t *testing.T, reading, low, high, accuracy, wrench, adapter, angle string) {
		args := checks.Arguments{}
		for name, text := range map[string]string{
			"reading": reading, "low": low, "high": high, "accuracy": accuracy, "wrench": wrench, "adapter": adapter, "angle": angle,
		} {
			if q, err := quantity.Parse(text); err == nil {
				args[name] = checks.Argument{Quantity: q}
			}
		}
		r, err := find(t, "torque-applied").Run(args)
		if err != nil {
			require.Empty(t, r.Verdict)
			return
		}
		require.Contains(t, []checks.Verdict{checks.Pass, checks.Fail}, r.Verdict)
		require.NotContains(t, r.Because, "NaN")
	})
}

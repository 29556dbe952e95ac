package heater_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/heater"
)

func c(celsius float64) float64 { return celsius + 273.15 }

func TestPlatinumFollowsItsStandardTable(t *testing.T) {
	// IEC 60751 (from memory): 100 Ω at 0 °C, 138.51 Ω at 100 °C; 119.40 Ω at 50 °C lies 0.15 Ω above the straight line.
	hundred, err := heater.Platinum().Resistance(100, c(0), c(100))
	require.NoError(t, err)
	assert.InDelta(t, 138.51, hundred, 0.005)
	fifty, err := heater.Platinum().Resistance(100, c(0), c(50))
	require.NoError(t, err)
	assert.InDelta(t, 119.40, fifty, 0.2)
}

func TestACopperWindingFollowsTheRuleOfItsTrade(t *testing.T) {
	// IEC 60076 (from memory): copper resistances go as 235 + t in °C, so 75 °C against 20 °C is 310/255.
	copper := heater.Material{Alpha: heater.Limit{Value: 1.0 / 255, Source: "IEC 60076 (from memory)"}, At: c(20)}
	got, err := copper.Resistance(100, c(20), c(75))
	require.NoError(t, err)
	assert.InDelta(t, 100*310.0/255, got, 1e-9)
	// The same between two temperatures, neither of which is that of the coefficient.
	got, err = copper.Resistance(100, c(50), c(75))
	require.NoError(t, err)
	assert.InDelta(t, 100*310.0/285, got, 1e-9)
}

func TestTheTemperatureIsFoundAgainFromTheResistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := heater.Material{Alpha: heater.Limit{Value: rapid.Float64Range(0.0005, 0.006).Draw(t, "alpha"), Source: "a test"}, At: c(rapid.Float64Range(0, 25).Draw(t, "T0"))}
		cold, at, hot := rapid.Float64Range(1, 30).Draw(t, "R"), c(rapid.Float64Range(-40, 60).Draw(t, "at")), c(rapid.Float64Range(-40, 1000).Draw(t, "hot"))
		ohms, err := m.Resistance(cold, at, hot)
		require.NoError(t, err)
		back, err := m.Temperature(ohms, cold, at)
		require.NoError(t, err)
		assert.InDelta(t, hot, back, 1e-6)
		home, err := m.Resistance(ohms, hot, at)
		require.NoError(t, err)
		assert.InEpsilon(t, cold, home, 1e-12)
	})
}

func TestCurrentAndPowerFollowOhmAndJoule(t *testing.T) {
	// By hand: 12 V on 6 Ω is 2 A and 24 W; 13.8 V on 9.2 Ω is 1.5 A and 20.7 W.
	for _, x := range []struct{ volts, ohms, amperes, watts float64 }{{12, 6, 2, 24}, {13.8, 9.2, 1.5, 20.7}, {0, 5, 0, 0}} {
		amperes, watts, err := heater.Supplied(x.volts, x.ohms)
		require.NoError(t, err)
		assert.InDelta(t, x.amperes, amperes, 1e-12)
		assert.InDelta(t, x.watts, watts, 1e-12)
		assert.InDelta(t, watts, amperes*amperes*x.ohms, 1e-9, "P = I²R")
	}
}

func TestWhatIsUsualIsMarkedAsCommonPractice(t *testing.T) {
	// About 2 to 14 Ω when cold: common practice, no source.
	w := heater.CommonWindow()
	assert.Equal(t, 2.0, w.Low.Value)
	assert.Equal(t, 14.0, w.High.Value)
	assert.Equal(t, heater.CommonPractice, w.Low.Source)
	assert.Equal(t, heater.CommonPractice, w.High.Source)
	assert.Contains(t, heater.Platinum().Alpha.Source, "assumed")
}

func ptr(v float64) *float64 { return &v }

// sound is a circuit with nothing wrong, all of it measured.
func sound() heater.Circuit {
	maker := func(v float64) heater.Limit {
		return heater.Limit{Value: v, Source: "service information of the Millbrook minibus"}
	}
	return heater.Circuit{
		Element: &heater.Ohms{Value: 9.3}, At: c(20), Leads: 0.3,
		ToBody: &heater.Ohms{Over: true}, ToGround: &heater.Ohms{Value: 20e3},
		Battery: 12.6, Supply: ptr(12.4), Control: ptr(0.1),
		Window: heater.Window{Low: maker(8), High: maker(10), At: c(20)}, Material: heater.Platinum(), Limits: heater.Usual(),
	}
}

func judge(t require.TestingT, circuit heater.Circuit) heater.Judgement {
	j, err := circuit.Judge()
	require.NoError(t, err)
	return j
}

func TestASoundCircuitIsSaidToBeSound(t *testing.T) {
	j := judge(t, sound())
	assert.Equal(t, heater.Sound, j.Verdict, j.Because)
	assert.Empty(t, j.Faults)
	assert.InDelta(t, 9.0, j.Resistance, 1e-9)
	assert.InDelta(t, 1.4, j.Current, 1e-9) // 12.6/9
	assert.InDelta(t, 17.64, j.Power, 1e-9) // 12.6²/9
	text := strings.Join(j.Workings, "\n")
	for _, part := range []string{"9.30 Ω - leads 0.30 Ω = 9.00 Ω", "12.60 V / 9.00 Ω = 1.40 A", "12.60² / 9.00 = 17.6 W", "service information", "verdict: sound"} {
		assert.Contains(t, text, part)
	}
	for _, l := range j.Limits {
		assert.NotEmpty(t, l.Source)
	}
}

func TestEachFaultIsNamedWithItsReason(t *testing.T) {
	for want, spoil := range map[heater.Fault]func(*heater.Circuit){
		heater.ElementOpen:    func(c *heater.Circuit) { c.Element = &heater.Ohms{Over: true} },
		heater.ElementShorted: func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: 0.7} },
		heater.TooLow:         func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: 8.2} },
		heater.TooHigh:        func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: 10.4} },
		heater.ElementBody:    func(c *heater.Circuit) { c.ToBody = &heater.Ohms{Value: 40} },
		heater.ControlGround:  func(c *heater.Circuit) { c.ToGround = &heater.Ohms{Value: 0.4} },
		heater.ControlSupply:  func(c *heater.Circuit) { c.Control = ptr(12.5) },
		heater.NoSupply:       func(c *heater.Circuit) { c.Supply = ptr(0) },
	} {
		circuit := sound()
		spoil(&circuit)
		j := judge(t, circuit)
		assert.Equal(t, heater.Faulty, j.Verdict)
		assert.Equal(t, []heater.Fault{want}, j.Faults)
		assert.Contains(t, j.Because, string(want)+": ")
	}
}

func TestEachLimitDecidesAtItsEdge(t *testing.T) {
	for _, x := range []struct {
		spoil func(*heater.Circuit)
		want  heater.Verdict
	}{
		{func(c *heater.Circuit) { c.Element.Value = 8.3 }, heater.Sound},    // 8.0 Ω
		{func(c *heater.Circuit) { c.Element.Value = 8.29 }, heater.Faulty},  // 7.99 Ω
		{func(c *heater.Circuit) { c.Element.Value = 10.3 }, heater.Sound},   // 10.0 Ω
		{func(c *heater.Circuit) { c.Element.Value = 10.31 }, heater.Faulty}, // 10.01 Ω
		{func(c *heater.Circuit) { c.Supply = ptr(11.6) }, heater.Sound},     // 1 V below the battery
		{func(c *heater.Circuit) { c.Supply = ptr(11.59) }, heater.Faulty},   //
		{func(c *heater.Circuit) { c.Control = ptr(11.59) }, heater.Sound},   // a pull-up of the control unit
		{func(c *heater.Circuit) { c.Control = ptr(11.6) }, heater.Faulty},   //
		{func(c *heater.Circuit) { c.ToGround.Value = 5.1 }, heater.Sound},   //
		{func(c *heater.Circuit) { c.ToGround.Value = 5 }, heater.Faulty},    //
		{func(c *heater.Circuit) { c.ToBody.Over = false }, heater.Faulty},   // 0 Ω
		{func(c *heater.Circuit) { *c.ToBody = heater.Ohms{Value: 100e3} }, heater.Sound},
		{func(c *heater.Circuit) { *c.ToBody = heater.Ohms{Value: 99e3} }, heater.Faulty},
	} {
		circuit := sound()
		x.spoil(&circuit)
		j := judge(t, circuit)
		assert.Equal(t, x.want, j.Verdict, j.Because)
	}
}

func TestAFaultOfTheWiringIsPutFirst(t *testing.T) {
	circuit := sound()
	circuit.Supply, circuit.Element = ptr(0), &heater.Ohms{Over: true}
	j := judge(t, circuit)
	assert.Equal(t, []heater.Fault{heater.NoSupply, heater.ElementOpen}, j.Faults)
	assert.True(t, strings.HasSuffix(j.Because, "a new sensor does not cure it"), j.Because)
}

func TestAWarmHeaterIsJudgedAtTheTemperatureOfItsWindow(t *testing.T) {
	// 11.0 Ω net at 80 °C is, by the line of platinum, 11 × 1.07702/1.30808 = 9.057 Ω at 20 °C: within 8 to 10 Ω.
	circuit := sound()
	circuit.Element, circuit.At = &heater.Ohms{Value: 11.3}, c(80)
	j := judge(t, circuit)
	assert.Equal(t, heater.Sound, j.Verdict, j.Because)
	assert.InDelta(t, 9.0569, j.Resistance, 1e-4)
	circuit.At = c(20)
	assert.Equal(t, heater.Faulty, judge(t, circuit).Verdict, "the same reading of a cold heater")
}

func TestCommonPracticeNeitherPassesNorFails(t *testing.T) {
	for ohms, say := range map[float64]string{6.3: "is usual for a cold heater", 1.4: "is unusual", 25: "is unusual"} {
		circuit := sound()
		circuit.Element, circuit.Window = &heater.Ohms{Value: ohms}, heater.CommonWindow()
		j := judge(t, circuit)
		assert.Equal(t, heater.CannotTell, j.Verdict)
		assert.Contains(t, j.Because, say)
		assert.Contains(t, j.Because, "common practice")
	}
	circuit := sound()
	circuit.Window, circuit.Element = heater.CommonWindow(), &heater.Ohms{Over: true}
	assert.Equal(t, heater.Faulty, judge(t, circuit).Verdict, "an open element needs no window")
}

func TestWithoutTheElementNothingIsSound(t *testing.T) {
	circuit := sound()
	circuit.Element = nil
	j := judge(t, circuit)
	assert.Equal(t, heater.CannotTell, j.Verdict)
	assert.Contains(t, j.Because, "measure between the two heater pins")
}

func TestWhatCannotBeIsRefusedByName(t *testing.T) {
	for want, spoil := range map[string]func(*heater.Circuit){
		"nothing was measured": func(c *heater.Circuit) {
			c.Element, c.ToBody, c.ToGround, c.Supply, c.Control = nil, nil, nil, nil, nil
		},
		"resistance of the element NaN Ω":        func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: math.NaN()} },
		"resistance of the element +Inf Ω":       func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: math.Inf(1)} },
		"resistance to the body -1 Ω":            func(c *heater.Circuit) { c.ToBody = &heater.Ohms{Value: -1} },
		"control wire to ground -1 Ω":            func(c *heater.Circuit) { c.ToGround = &heater.Ohms{Value: -1} },
		"less than that of the leads, 0.3 Ω":     func(c *heater.Circuit) { c.Element = &heater.Ohms{Value: 0.2} },
		"leads NaN Ω":                            func(c *heater.Circuit) { c.Leads = math.NaN() },
		"battery: missing":                       func(c *heater.Circuit) { c.Battery = 0 },
		"battery NaN V":                          func(c *heater.Circuit) { c.Battery = math.NaN() },
		"supply pin 450 V":                       func(c *heater.Circuit) { c.Supply = ptr(450) },
		"control pin NaN V":                      func(c *heater.Circuit) { c.Control = ptr(math.NaN()) },
		"temperature of the element 1726.8 °C":   func(c *heater.Circuit) { c.At = 2000 },
		"temperature of the window -273.1 °C":    func(c *heater.Circuit) { c.Window.At = 0 },
		"window 8 to 10 Ω: needs":                func(c *heater.Circuit) { c.Window.Low.Source = "" },
		"window 10 to 8 Ω: needs":                func(c *heater.Circuit) { c.Window.Low, c.Window.High = c.Window.High, c.Window.Low },
		"coefficient 0.003851/K: has no source":  func(c *heater.Circuit) { c.Material.Alpha.Source = "" },
		"coefficient NaN/K: must lie":            func(c *heater.Circuit) { c.Material.Alpha.Value = math.NaN() },
		"would make the resistance zero or less": func(c *heater.Circuit) { c.Material.Alpha.Value, c.At = -0.1, c.At+20 },
		"limit drop: has no source":              func(c *heater.Circuit) { c.Limits.Drop.Source = "" },
		"limit isolated NaN: must lie":           func(c *heater.Circuit) { c.Limits.Isolated.Value = math.NaN() },
	} {
		circuit := sound()
		spoil(&circuit)
		_, err := circuit.Judge()
		require.ErrorContains(t, err, want)
	}
	_, err := heater.Platinum().Resistance(0, c(20), c(20))
	require.ErrorContains(t, err, "resistance 0 Ω")
	_, err = heater.Platinum().Temperature(math.NaN(), 5, c(20))
	require.ErrorContains(t, err, "hot resistance NaN Ω")
	_, err = heater.Platinum().Temperature(500, 5, c(20))
	require.ErrorContains(t, err, "temperature reckoned from the resistance")
	_, err = heater.Material{Alpha: heater.Limit{Source: "a test"}, At: c(20)}.Temperature(9, 5, c(20))
	require.ErrorContains(t, err, "says nothing about the temperature")
	for _, volts := range []float64{math.NaN(), -1, 61} {
		_, _, err = heater.Supplied(volts, 6)
		require.ErrorContains(t, err, "supply")
	}
	for _, ohms := range []float64{math.NaN(), -1, 0, math.Inf(1)} {
		_, _, err = heater.Supplied(12, ohms)
		require.ErrorContains(t, err, "resistance")
	}
}

func TestAWindowIsKeptWhateverTheTemperatureAndLeads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		circuit := sound()
		circuit.At, circuit.Leads = c(rapid.Float64Range(-30, 90).Draw(t, "at")), rapid.Float64Range(0, 1).Draw(t, "leads")
		true20 := rapid.Float64Range(5, 13).Draw(t, "true resistance at 20 °C")
		shown, err := circuit.Material.Resistance(true20, c(20), circuit.At)
		require.NoError(t, err)
		circuit.Element = &heater.Ohms{Value: shown + circuit.Leads}
		j := judge(t, circuit)
		assert.InDelta(t, true20, j.Resistance, 1e-9)
		if math.Min(math.Abs(true20-8), math.Abs(true20-10)) > 1e-6 {
			assert.Equal(t, true20 > 8 && true20 < 10, j.Verdict == heater.Sound)
		}
	})
}

func FuzzJudgeNeverPanicsNorPassesOutsideTheWindow(f *testing.F) {
	f.Add(9.3, 293.15, 0.3, 12.6, 12.4, 0.1, 8.0, 10.0, 0.0039)
	f.Add(math.NaN(), 0.0, -1.0, 1e300, math.Inf(1), 5e-324, 0.0, -8.0, -0.1)
	f.Fuzz(func(t *testing.T, element, at, leads, battery, supply, control, low, high, alpha float64) {
		circuit := sound()
		circuit.Element, circuit.At, circuit.Leads = &heater.Ohms{Value: element}, at, leads
		circuit.Battery, circuit.Supply, circuit.Control = battery, &supply, &control
		circuit.Window.Low.Value, circuit.Window.High.Value, circuit.Material.Alpha.Value = low, high, alpha
		j, err := circuit.Judge()
		if err != nil {
			return
		}
		require.False(t, math.IsNaN(j.Resistance+j.Current+j.Power) || math.IsInf(j.Power, 0))
		if j.Verdict == heater.Sound {
			require.True(t, j.Resistance >= low-1e-6 && j.Resistance <= high+1e-6)
		}
	})
}

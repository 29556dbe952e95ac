package picture_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/ui/picture"
)

func example(t *testing.T, name string) (checks.Check, checks.Result) {
	for _, c := range checks.All() {
		if c.Name == name {
			r, err := c.Run(c.Example)
			require.NoError(t, err)
			return c, r
		}
	}
	require.Failf(t, "no check", "%s", name)
	return checks.Check{}, checks.Result{}
}

func card(t *testing.T, name string) *procedures.Card {
	c, ok := library.Card(name)
	require.True(t, ok)
	return c
}

func TestTheExampleOfACheckIsDrawnAsTheCheckJudgesIt(t *testing.T) {
	for name, shows := range map[string]string{
		"torque-applied":   "45.0: accept",
		"cooling-forecast": "min after the last reading",
		"sensor-position":  ">>>B2S1 THIS<<<",
		"catalyst":         "Together: healthy: the rear signal does not follow the front one",
	} {
		c, r := example(t, name)
		p, ok := picture.OfCheck(picture.Source{Check: name, Given: c.Example, Verdict: r.Verdict, Figures: r.Figures}, picture.Form{Width: 80})
		require.True(t, ok)
		assert.Contains(t, strings.Join(p.Rows, " "), shows)
	}
}

func TestACheckWithoutWhatItNeedsHasNoPicture(t *testing.T) {
	for _, name := range []string{"torque-applied", "cooling-forecast", "sensor-position", "vin"} {
		_, ok := picture.OfCheck(picture.Source{Check: name}, picture.Form{Width: 80})
		assert.False(t, ok, name)
	}
	_, ok := picture.OfCheck(picture.Source{Check: "vin", Given: checks.Arguments{}}, picture.Form{Width: 80})
	assert.False(t, ok)
}

func TestASensorIsMarkedOnlyWhereNothingDisagrees(t *testing.T) {
	six := card(t, "millbrook-six")
	for why, x := range map[string]struct {
		s    picture.Source
		mark string
	}{
		"nothing read back yet": {picture.Source{Card: six}, ""},
		"read back":             {picture.Source{Card: six, Read: "B2S2"}, "B2S2"},
		"the check agrees":      {picture.Source{Card: six, Read: "B2S2", Verdict: checks.Pass, Figures: []checks.Figure{{Name: "sensor", Text: "B2S2"}}}, "B2S2"},
		"the check disagrees":   {picture.Source{Card: six, Read: "B2S2", Verdict: checks.Fail, Figures: []checks.Figure{{Name: "sensor", Text: "B1S1"}}}, ""},
	} {
		x.s.Check = "sensor-position"
		p, ok := picture.OfCheck(x.s, picture.Form{Width: 80})
		require.True(t, ok)
		s := look(t, p.Rows)
		if x.mark == "" {
			assert.Empty(t, s.lit, why)
			assert.Contains(t, strings.Join(p.Words, " "), "No sensor is marked", why)
			continue
		}
		assert.Equal(t, []string{x.mark}, s.lit, why)
	}
}

// The sheet may say more or other than the card; where it says other, nothing of the card is mixed in.
func TestTheCardCompletesWhatTheCheckWasGivenAndNeverContradictsIt(t *testing.T) {
	six := card(t, "millbrook-six")
	choice := func(s string) checks.Argument { return checks.Argument{Choice: s} }
	given := checks.Arguments{"words": {Text: "B1S1"}, "arrangement": choice("V"), "mounting": choice("crosswise"), "bank-1-side": choice("rear"),
		"fitted": {Text: "B1S1, B2S1"}}
	draw := func() []string {
		p, ok := picture.OfCheck(picture.Source{Check: "sensor-position", Given: given, Card: six}, picture.Form{Width: 80})
		require.True(t, ok)
		return p.Rows
	}
	s := look(t, draw())
	assert.Len(t, s.cylinders, 6, "from the card")
	assert.Len(t, s.sensors, 2, "as the sheet says")
	given["bank-1-side"] = choice("front")
	s = look(t, draw())
	assert.Empty(t, s.cylinders, "the card speaks of another side")
	assert.Less(t, s.sensors["B1S1"].y, s.sensors["B2S1"].y)
}

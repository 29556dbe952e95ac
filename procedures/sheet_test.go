package procedures

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/quantity"
)

// sheetOf is base.yaml with another sheet.
func sheetOf(t testing.TB, fields string) *Procedure {
	text := base(t)
	from, to := strings.Index(text, "sheet:\n"), strings.Index(text, "safeguards:\n")
	p, err := Parse("sheet.yaml", []byte(text[:from]+"sheet:\n"+fields+text[to:]))
	require.NoError(t, err)
	return p
}

const sensorSheet = `  - {id: position, title: Position, choose: [B1S1, B2S1, B1S2]}
  - {id: low, title: Least torque, quantity: torque, between: [5 N·m, 100 N·m], card: "sensors.{position}.torque_low"}
  - {id: high, title: Most torque, quantity: torque, at least: low, at most: 100 N·m, card: "sensors.{position}.torque_high"}
  - {id: reach, title: Reached, choose: [from beneath, from above], card: "sensors.{position}.reach"}
  - {id: bought, title: Bought on, date: true}
  - {id: part, title: Part number, text: true, optional: true}
`

func testCard(t testing.TB) *Card {
	text, err := os.ReadFile("testdata/millbrook-test.yaml")
	require.NoError(t, err)
	c, err := ParseCard("millbrook-test.yaml", text)
	require.NoError(t, err)
	return c
}

func idsOf(fields []Field) []string {
	var ids []string
	for _, f := range fields {
		ids = append(ids, f.ID)
	}
	return ids
}

func TestASheetIsFilledFromTheCardAndFromTyping(t *testing.T) {
	values, missing, faults := Resolve(sheetOf(t, sensorSheet), testCard(t), map[string]string{
		"position": "B1S1", "high": " 45 N·m ", "bought": "2031-04-30"})
	assert.Empty(t, missing)
	assert.Empty(t, faults)
	assert.Equal(t, map[string]SheetValue{
		"position": {Value: "B1S1", From: FromTyping},
		"low":      {Value: "40 N·m", From: FromCard, Source: "invented for tests"},
		"high":     {Value: "45 N·m", From: FromTyping},
		"reach":    {Value: "from beneath", From: FromCard, Source: "invented for tests"},
		"bought":   {Value: "2031-04-30", From: FromTyping},
	}, values)
}

func TestAFactThatTheCardSourcesItselfKeepsThatSource(t *testing.T) {
	values, _, _ := Resolve(sheetOf(t, sensorSheet), testCard(t), map[string]string{"position": "B1S1"})
	assert.Equal(t, SheetValue{"50 N·m", FromCard, "sheet in the box of the new sensor"}, values["high"])
}

func TestARequiredFieldWithoutAValueIsMissing(t *testing.T) {
	p := sheetOf(t, sensorSheet)
	_, missing, faults := Resolve(p, nil, map[string]string{"position": "B1S1", "low": "  "})
	assert.Equal(t, []string{"low", "high", "reach", "bought"}, idsOf(missing))
	assert.Empty(t, faults)
	_, missing, _ = Resolve(p, testCard(t), nil)
	assert.Equal(t, []string{"position", "low", "high", "reach", "bought"}, idsOf(missing), "without a position the card cannot be asked")
	_, missing, _ = Resolve(p, testCard(t), map[string]string{"position": "B2S1", "bought": "2031-04-30"})
	assert.Equal(t, []string{"reach"}, idsOf(missing), "the card does not say how the other sensor is reached")
}

func TestAValueThatDoesNotFitIsRefused(t *testing.T) {
	p := sheetOf(t, sensorSheet)
	for _, c := range []struct{ field, value, want string }{
		{"position", "B3S1", `sheet field "position": "B3S1" is no choice (choose one of: B1S1, B2S1, B1S2)`},
		{"position", "b1s1", `sheet field "position": "b1s1" is no choice (choose one of: B1S1, B2S1, B1S2)`},
		{"low", "4 N·m", `sheet field "low": "4 N·m" is too little (at least 5 N·m)`},
		{"low", "101 N·m", `sheet field "low": "101 N·m" is too much (at most 100 N·m)`},
		{"low", "40", `sheet field "low": "40": a bare number (write a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)`},
		{"high", "29 lbf·ft", `sheet field "high": "29 lbf·ft" is too little (at least 40 N·m)`},
		{"bought", "30.04.2031", `sheet field "bought": "30.04.2031" is no date (write year-month-day, such as 2031-04-30)`},
		{"bought", "2031-02-29", `sheet field "bought": "2031-02-29" is no date (write year-month-day, such as 2031-04-30)`},
		{"part", "A\u202e1", `sheet field "part": "A\u{202E}1": bidirectional control character U+202E; take it out (type it again)`},
		{"part", strings.Repeat("x", 201), `sheet field "part": 201 characters are too many (at most 200)`},
		{"parts", "A1", `sheet field "parts": the sheet has no such field (did you mean "part"?)`},
	} {
		typed := map[string]string{"position": "B1S1", "bought": "2031-04-30", c.field: c.value}
		values, _, faults := Resolve(p, testCard(t), typed)
		require.Len(t, faults, 1, "%s = %q", c.field, c.value)
		assert.EqualError(t, faults[0], c.want)
		assert.NotContains(t, values, c.field)
	}
}

func TestAValueOfTheCardIsHeldToTheSameRules(t *testing.T) {
	p := sheetOf(t, strings.Replace(sensorSheet, "between: [5 N·m, 100 N·m]", "at most: 30 N·m", 1))
	_, _, faults := Resolve(p, testCard(t), map[string]string{"position": "B1S1", "bought": "2031-04-30"})
	require.Len(t, faults, 1)
	assert.EqualError(t, faults[0], `sheet field "low": "40 N·m" is too much, from the card (at most 30 N·m)`)
}

func TestAChoiceIsAmongWhatTheCardLists(t *testing.T) {
	p := sheetOf(t, strings.Replace(sensorSheet, "[B1S1, B2S1, B1S2]", "[B1S1, B2S1, B1S2, B2S4], among: sensors.fitted", 1))
	f, card := p.Sheet[0], testCard(t)
	var fitted []string
	for _, c := range f.Choose {
		if _, ok := card.Lookup("sensors." + c + ".torque_low"); ok {
			fitted = append(fitted, c)
		}
	}
	require.NotEmpty(t, fitted)
	assert.Equal(t, fitted, f.Choices(card))
	assert.Equal(t, f.Choose, f.Choices(nil), "without a card nothing narrows it")
	_, _, faults := Resolve(p, card, map[string]string{"position": "B2S4"})
	require.Len(t, faults, 1)
	assert.EqualError(t, faults[0], `sheet field "position": the card of this vehicle has no "B2S4" (choose one of: `+strings.Join(fitted, ", ")+`)`)
	_, _, faults = Resolve(p, nil, map[string]string{"position": "B2S4"})
	assert.Empty(t, faults)
}

func TestAValueCannotWidenAPath(t *testing.T) {
	p := sheetOf(t, "  - {id: low, title: Low, quantity: torque, optional: false}\n  - {id: word, title: Word, text: true}\n  - {id: other, title: Other, text: true, optional: true, card: \"{word}.title\"}\n")
	values, _, faults := Resolve(p, testCard(t), map[string]string{"word": "sensors.B1S1"})
	assert.Empty(t, faults)
	assert.NotContains(t, values, "other")
}

// Whatever is typed, a value that is accepted keeps its field's rules. The bounds are judged here with the unit factors
// of NIST SP 811, appendix B, instead of the program's own conversion.
func TestAnAcceptedTorqueLiesBetweenItsBounds(t *testing.T) {
	p := sheetOf(t, sensorSheet)
	newtonMetres := map[string]float64{"N·m": 1, "lbf·ft": 1.3558179483314004, "lbf·in": 0.1129848290276167, "kgf·m": 9.80665}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (string, float64) {
			n := rapid.IntRange(-20, 1200).Draw(t, name)
			unit := rapid.SampledFrom([]string{"N·m", "lbf·ft", "lbf·in", "kgf·m"}).Draw(t, name+" unit")
			return fmt.Sprintf("%d %s", n, unit), float64(n) * newtonMetres[unit]
		}
		low, l := draw("low")
		high, h := draw("high")
		values, _, faults := Resolve(p, nil, map[string]string{"low": low, "high": high})
		_, okLow := values["low"]
		_, okHigh := values["high"]
		if want := l >= 5 && l <= 100; okLow != want {
			t.Fatalf("low %q: accepted %v, want %v", low, okLow, want)
		}
		if want := h <= 100 && (!okLow || h >= l); okHigh != want {
			t.Fatalf("high %q with low %q: accepted %v, want %v", high, low, okHigh, want)
		}
		if len(values)+len(faults) != 2 {
			t.Fatalf("each value is accepted or refused: %v %v", values, faults)
		}
	})
}

func TestWhatIsAcceptedIsAcceptedAgainAsItIs(t *testing.T) {
	p := sheetOf(t, sensorSheet)
	card := testCard(t)
	rapid.Check(t, func(t *rapid.T) {
		typed := map[string]string{}
		for _, f := range p.Sheet {
			if rapid.Bool().Draw(t, f.ID+" typed") {
				typed[f.ID] = rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"B1S1", "B2S1", "45 N·m", "33 lbf·ft",
					"from above", "2031-04-30", " 50 N·m", "\u202e"})).Draw(t, f.ID)
			}
		}
		values, _, _ := Resolve(p, card, typed)
		again := map[string]string{}
		for id, v := range values {
			again[id] = v.Value
		}
		second, _, faults := Resolve(p, card, again)
		if len(faults) > 0 {
			t.Fatalf("%v was accepted, then refused: %v", values, faults)
		}
		for id, v := range values {
			if second[id].Value != v.Value {
				t.Fatalf("%s was %q, then %q", id, v.Value, second[id].Value)
			}
		}
	})
}

func TestDimensionsOfTheSheetAreThoseOfTheProcedure(t *testing.T) {
	f, ok := sheetOf(t, sensorSheet).FieldByID("low")
	require.True(t, ok)
	assert.Equal(t, quantity.Torque, f.Quantity)
}

package procedures

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func cardText(t testing.TB) string {
	text, err := os.ReadFile("testdata/millbrook-test.yaml")
	require.NoError(t, err)
	return string(text)
}

func TestACardIsRead(t *testing.T) {
	c, err := ParseCard("millbrook-test.yaml", []byte(cardText(t)))
	require.NoError(t, err)
	assert.Equal(t, "millbrook-test", c.Name)
	assert.True(t, c.Demonstration)
	assert.Equal(t, []string{"B1S1", "B2S1"}, c.Sensors)
	assert.Equal(t, Engine{Arrangement: "V", Cylinders: 6, Mounting: "crosswise", CylinderOne: "right",
		Banks:       []Bank{{"B1", "rear", []int{1, 3, 5}}, {"B2", "front", []int{2, 4, 6}}},
		FiringOrder: []int{1, 2, 3, 4, 5, 6}}, c.Engine)
	for path, want := range map[string]string{
		"sensors.B1S1.torque_low":   "40 N·m",
		"sensors.B1S1.torque_high":  "50 N·m",
		"sensors.B1S1.reach":        "from beneath",
		"engine.banks.B1.cylinders": "1, 3, 5",
		"waits.airbag":              "3 min",
		"wheels.studs":              "5",
		"wheels.retorque_after":     "50 km",
		"vehicle.registration":      "MB 3",
	} {
		got, ok := c.Lookup(path)
		assert.True(t, ok, path)
		assert.Equal(t, want, got, path)
	}
	for _, path := range []string{"", "sensors", "sensors.B1S1", "sensors.B1S9.hex", "sensors.{position}.hex"} {
		_, ok := c.Lookup(path)
		assert.False(t, ok, path)
	}
}

func TestAFactKeepsItsOwnSource(t *testing.T) {
	c, err := ParseCard("millbrook-test.yaml", []byte(cardText(t)))
	require.NoError(t, err)
	own, _ := c.Fact("sensors.B1S1.torque_high")
	assert.Equal(t, "sheet in the box of the new sensor", own.Source)
	other, _ := c.Fact("sensors.B1S1.torque_low")
	assert.Equal(t, "invented for tests", other.Source)
}

func TestAListKeepsItsOwnSourceToo(t *testing.T) {
	own := strings.Replace(cardText(t), "firing_order: [1, 2, 3, 4, 5, 6]", "firing_order: {value: [1, 2, 3, 4, 5, 6], source: cast into the cover}", 1)
	c, err := ParseCard("millbrook-test.yaml", []byte(own))
	require.NoError(t, err)
	fact, _ := c.Fact("engine.firing_order")
	assert.Equal(t, "cast into the cover", fact.Source)
	assert.Equal(t, []int{1, 2, 3, 4, 5, 6}, c.Engine.FiringOrder)
	_, err = ParseCard("millbrook-test.yaml", []byte(strings.Replace(own, ", source: cast into the cover", "", 1)))
	require.ErrorContains(t, err, `has no "source"`)
}

// The outside oracle is yaml.v3 decoding the card into plain maps.
func TestEveryScalarOfACardIsFoundByItsPath(t *testing.T) {
	c, err := ParseCard("millbrook-test.yaml", []byte(cardText(t)))
	require.NoError(t, err)
	var plain map[string]any
	require.NoError(t, yaml.Unmarshal([]byte(cardText(t)), &plain))
	found := 0
	var walk func(path string, v any)
	walk = func(path string, v any) {
		group, ok := v.(map[string]any)
		if ok && group["value"] == nil {
			for k, inner := range group {
				walk(strings.TrimPrefix(path+"."+k, "."), inner)
			}
			return
		}
		if ok {
			v = group["value"]
		}
		if path == "fenderside-card" || path == "demonstration" {
			return
		}
		want := strings.NewReplacer("[", "", "]", "", " ", ", ").Replace(fmt.Sprint(v))
		if _, list := v.([]any); !list {
			want = fmt.Sprint(v)
		}
		got, ok := c.Lookup(path)
		assert.True(t, ok, path)
		assert.Equal(t, want, got, path)
		found++
	}
	walk("", plain)
	fitted, ok := c.Lookup("sensors.fitted")
	assert.True(t, ok, "the positions themselves are a fact")
	assert.Equal(t, strings.Join(c.Sensors, ", "), fitted)
	assert.Len(t, c.Paths(), found+1+len(c.Sensors), "and so is the fellow of each")
}

func TestEachFaultOfACardIsToldAtItsPlace(t *testing.T) {
	for _, c := range []struct{ name, old, replacement, want string }{
		{"an unknown field", "    hex: 22 mm", "    ‸hexx: 22 mm", `sensor B1S1 has no field "hexx" (did you mean "hex"?)`},
		{"a bare number", "40 N·m", "‸40", `"40" is a bare number; a torque belongs here (write it as a number and a unit: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, N·cm, daN·m)`},
		{"another dimension", "3 min", "‸3 mm", `"3 mm" is a length; a time belongs here (write it as a number and a unit: min, s, h, ms, d)`},
		{"a torque of nothing", "420 mm", "‸0 mm", `lead of sensor B1S1 is "0 mm" (look it up again)`},
		{"torques the wrong way round", "torque_high: 37 lbf·ft", "torque_high: ‸3 lbf·ft", `torque_high of sensor B2S1 is less than torque_low (write the lower torque as torque_low)`},
		{"one torque", "  B2S1: {kind: wideband, torque_low: 30 lbf·ft, ", "  B2S1: ‸{kind: wideband, ", `sensor B2S1 has only one of torque_low and torque_high (write both)`},
		{"no position", "  B2S1:", "  ‸B2-1:", `"B2-1" is no position of a sensor (write bank and sensor, such as B1S1)`},
		{"a bank that is not there", "  B2S1:", "  ‸B3S1:", `the engine has no bank B3 (look at engine.banks)`},
		{"a thread", "M18x1.5", "‸18 mm", `thread of sensor B1S1 is "18 mm" (write diameter and pitch in millimetres, such as M18x1.5)`},
		{"a coating", "coating: coated", "coating: ‸coat", `coating of sensor B1S1 is "coat" (known: coated, bare)`},
		{"a fact without its source", "{value: 50 N·m, source: sheet in the box of the new sensor}", "‸{value: 50 N·m}", `torque_high of sensor B1S1 has no "source" (add source: ...)`},
		{"an arrangement", "arrangement: V", "arrangement: ‸W", `arrangement of the engine is "W" (did you mean "V"?)`},
		{"an end that a crosswise engine has not", "cylinder_1: right", "cylinder_1: ‸front", `cylinder_1 of the engine is "front" (known: left, right)`},
		{"a side that a crosswise engine has not", "side: rear", "side: ‸left", `side of bank B1 is "left" (known: front, rear)`},
		{"two banks on one side", "B2: {side: front", "B2: ‸{side: rear", `both banks lie on the rear (give each its own side)`},
		{"a bank with no side", "B2: {side: front, ", "B2: ‸{", `bank B2 has no "side" (add side: ...)`},
		{"cylinder 1 in bank 2", "    B1: {side: rear, cylinders: [1, 3, 5]}\n    B2: {side: front, cylinders: [2, 4, 6]}",
			"    B1: {side: rear, cylinders: [2, 4, 6]}\n    B2: ‸{side: front, cylinders: [1, 3, 5]}", `cylinder 1 stands in B2 (the bank with cylinder 1 is B1)`},
		{"a cylinder in two banks", "B2: {side: front, cylinders: [2, 4, 6]}", "B2: ‸{side: front, cylinders: [2, 3, 4, 6]}", `cylinder 3 stands in B1 and in B2 (put it in one bank)`},
		{"a cylinder in no bank", "    B1: {side: rear, cylinders: [1, 3, 5]}", "    ‸B1: {side: rear, cylinders: [1, 3]}", `cylinder 5 stands in no bank (put it in a bank)`},
		{"a cylinder too many", "B2: {side: front, cylinders: [2, 4, 6]}", "B2: ‸{side: front, cylinders: [2, 4, 6, 8]}", `there is no cylinder 8 in an engine of 6 (look at cylinders)`},
		{"a firing order", "[1, 2, 3, 4, 5, 6]", "‸[1, 2, 3, 4, 5]", `firing_order does not hold each cylinder once (write each of 1 to 6 once)`},
		{"a cylinder that is no number", "cylinders: [2, 4, 6]", "cylinders: [2, 4, 6, ‸two]", `"two" is no cylinder (write a whole number from 1)`},
		{"a wheel with too many studs", "studs: 5", "studs: ‸8", `studs of wheels is "8" (did you mean "4"?)`},
		{"wheel torques the wrong way round", "torque_low: 110 N·m\n  torque_high: {value: 130 N·m", "torque_low: 110 N·m\n  torque_high: ‸{value: 100 N·m", `torque_high of wheels is less than torque_low (write the lower torque as torque_low)`},
		{"one wheel torque", "wheels:\n  studs: 5\n  torque_low: 110 N·m\n", "wheels:\n  ‸studs: 5\n", `wheels has only one of torque_low and torque_high (write both)`},
		{"a seat", "seat: taper", "seat: ‸tapered", `seat of wheels is "tapered" (did you mean "taper"?)`},
		{"a model year", "2016", "‸16", `model_year of the vehicle is "16" (write a whole number from 1900 to 2200)`},
		{"a hidden character", "MB 3", "‸\"MB\\u202E3\"", `bidirectional control character U+202E in the text (take it out)`},
		{"another format", "fenderside-card: 1", "fenderside-card: ‸9", `the card has format 9 (this program reads format 1)`},
		{"no source", "fenderside-card: 1\ncard: millbrook-test\ntitle: Depot minibus for tests\ndemonstration: true\nsource: invented for tests\n",
			"‸fenderside-card: 1\ncard: millbrook-test\ntitle: Depot minibus for tests\ndemonstration: true\n", `the card has no "source" (add source: ...)`},
		{"a procedure's key", "demonstration: true", "demonstration: ‸yes", `demonstration of the card is neither true nor false (write true or false)`},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(cardText(t), c.old))
			text := strings.Replace(cardText(t), c.old, c.replacement, 1)
			if !strings.Contains(text, mark) { // it is told of the second bank
				text = strings.Replace(text, "    B2:", "    ‸B2:", 1)
			}
			cardFault(t, text, c.want)
		})
	}
}

func cardFault(t *testing.T, text, want string) {
	text, places := marked(text)
	require.Len(t, places, 1)
	_, err := ParseCard("bad.yaml", []byte(text))
	assert.EqualError(t, err, fmt.Sprintf("bad.yaml:%d:%d: %s", places[0].Line, places[0].Column, want))
}

// SAE J1979 calls the bank that holds cylinder 1 bank 1 (from memory), and a flat engine lengthwise has its banks left
// and right of the crankshaft (plain geometry).
func TestAFlatEngineLengthwiseHasItsBanksLeftAndRight(t *testing.T) {
	text := strings.NewReplacer("arrangement: V", "arrangement: flat", "mounting: crosswise", "mounting: lengthwise",
		"cylinder_1: right", "cylinder_1: front", "side: rear", "side: right", "side: front", "side: left").Replace(cardText(t))
	c, err := ParseCard("flat.yaml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, "right", c.Engine.Banks[0].Side)
	assert.Equal(t, "front", c.Engine.CylinderOne)
}

func TestAnInLineEngineMayHaveASplitManifold(t *testing.T) {
	text := strings.NewReplacer("arrangement: V", "arrangement: in-line").Replace(cardText(t))
	card, err := ParseCard("split.yaml", []byte(text))
	require.NoError(t, err)
	assert.Len(t, card.Engine.Banks, 2)
}

func TestAFellowIsTheSamePartOnTheOtherBankByEveryFigure(t *testing.T) {
	const figures = "kind: switching zirconia, thread: M18x1.5, hex: 22 mm, connector: four pins, lead: 700 mm"
	card := func(here, there string) *Card {
		c, err := ParseCard("v.yaml", []byte("fenderside-card: 1\ncard: v\ntitle: A V\ndemonstration: true\nsource: invented\nvehicle: {registration: V 1}\n"+
			"engine: {arrangement: V, cylinders: 4, mounting: lengthwise, cylinder_1: front, banks: {B1: {side: left, cylinders: [1, 3]}, B2: {side: right, cylinders: [2, 4]}}}\nsensors:\n  B1S1: {"+here+"}\n  B1S2: {"+figures+"}\n  B2S1: {"+there+"}\n"))
		require.NoError(t, err)
		return c
	}
	fellow := func(c *Card, position string) string {
		f, ok := c.Lookup("sensors." + position + ".fellow")
		require.True(t, ok)
		return f
	}
	alike := card(figures+", title: Left, reach: from above", figures+", title: Right")
	assert.Equal(t, "B2S1", fellow(alike, "B1S1"), "where it is reached from is no figure of the part")
	assert.Equal(t, "B1S1", fellow(alike, "B2S1"))
	assert.Equal(t, NoFellow, fellow(alike, "B1S2"))
	for _, other := range []string{strings.Replace(figures, "700", "720", 1), figures + ", coating: bare", strings.Replace(figures, ", lead: 700 mm", "", 1)} {
		assert.Equal(t, NoFellow, fellow(card(figures, other), "B1S1"), other)
	}
	unsaid := strings.Replace(figures, ", connector: four pins", "", 1)
	assert.Equal(t, NoFellow, fellow(card(unsaid, unsaid), "B1S1"), "what is not said does not agree")
}

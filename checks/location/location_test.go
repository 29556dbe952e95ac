package location_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks/location"
)

func fitted(names ...string) []location.Position {
	var all []location.Position
	for _, n := range names {
		p, err := location.ParsePosition(n)
		if err != nil {
			panic(err)
		}
		all = append(all, p)
	}
	return all
}

// The vehicles are invented. What a word means on each follows from: bank 1
// holds cylinder 1, sensor 1 is before the catalyst (SAE J2012, from memory);
// left and right as seated facing forward; the near side is the kerb side (a
// vehicle handbook).
var (
	two   = fitted("B1S1", "B1S2", "B2S1", "B2S2")
	eight = location.Facts{Arrangement: "V", Mounting: "lengthwise", CylinderOne: "front", Steering: "right", Traffic: "left",
		Banks:   []location.Bank{{Number: 1, Side: "left", Cylinders: []int{1, 3, 5, 7}}, {Number: 2, Side: "right", Cylinders: []int{2, 4, 6, 8}}},
		Sensors: fitted("B1S1", "B1S2", "B1S3", "B2S1", "B2S2", "B2S3")}
	six = location.Facts{Arrangement: "V", Mounting: "crosswise", CylinderOne: "right", Steering: "left", Traffic: "right",
		Banks:   []location.Bank{{Number: 1, Side: "rear", Cylinders: []int{1, 3, 5}}, {Number: 2, Side: "front", Cylinders: []int{2, 4, 6}}},
		Sensors: two}
	flat = location.Facts{Arrangement: "flat", Mounting: "lengthwise", CylinderOne: "front", Steering: "left", Traffic: "right",
		Banks: []location.Bank{{Number: 1, Side: "right"}, {Number: 2}}, Sensors: two}
	four = location.Facts{Arrangement: "in-line", Mounting: "crosswise", CylinderOne: "right", Steering: "right", Traffic: "left",
		Banks: []location.Bank{{Number: 1, Side: "rear", Cylinders: []int{1, 2, 3, 4}}}, Sensors: fitted("B1S1", "B1S2")}
	split = location.Facts{Arrangement: "in-line", Mounting: "lengthwise", CylinderOne: "front", Steering: "right", Traffic: "left",
		Banks: []location.Bank{{Number: 1, Cylinders: []int{1, 2, 3}}, {Number: 2, Cylinders: []int{4, 5, 6}}}, Sensors: two}
	vehicles = map[string]location.Facts{"eight": eight, "six": six, "flat": flat, "four": four, "split": split}
)

// phrases: vehicle, words, and what they leave; one sensor is found, more are
// choices, "" is nowhere, and a ? before them is words not known.
const phrases = `
eight | B2S1                                    | B2S1
eight | b1 s2                                   | B1S2
eight | Bank 1, Sensor 2                        | B1S2
eight | bank one sensor two                     | B1S2
eight | sensor 1 bank 2                         | B2S1
eight | S3B2                                    | B2S3
eight | HO2S21                                  | B2S1
eight | O2S 12                                  | ? B1S1 B1S2 B1S3 B2S1 B2S2 B2S3
eight | bank no. 2 sensor no. 3                 | B2S3
eight | first sensor on the second bank         | B2S1
eight | upstream bank 2                         | B2S1
eight | bank 1 upstream O2 sensor               | B1S1
eight | up-stream, right bank                   | B2S1
eight | pre-cat driver's side                   | B2S1
eight | pre-cat passenger's side                | B1S1
eight | pre-catalyst driver side                | B2S1
eight | before the catalytic converter, left    | B1S1
eight | precat near side                        | B1S1
eight | pre cat offside                         | B2S1
eight | n/s pre-cat                             | B1S1
eight | O/S upstream lambda                     | B2S1
eight | kerb side upstream                      | B1S1
eight | post-cat near side                      | B1S2 B1S3
eight | downstream                              | B1S2 B1S3 B2S2 B2S3
eight | between the cats, left                  | B1S2
eight | behind the second catalyst, right       | B2S3
eight | after the first cat driver's side       | B2S2
eight | last sensor passenger side              | B1S3
eight | furthest from the engine, right         | B2S3
eight | before the second cat, left             | B1S1 B1S2
eight | front left                              | B1S1
eight | front right                             | B2S1
eight | left front oxygen sensor                | B1S1
eight | rear left                               | B1S2 B1S3
eight | LH upstream                             | B1S1
eight | rhs third sensor                        | B2S3
eight | upstream                                | B1S1 B2S1
eight | bank 2                                  | B2S1 B2S2 B2S3
eight | front bank upstream                     | B1S1 B2S1
eight | cylinder 4 side, upstream               | B2S1
eight | cyl 1 bank, sensor 2                    | B1S2
eight | sensor 1 near the firewall              | B1S1 B2S1
eight | left right upstream                     |
eight | bank 3 sensor 1                         |
eight | B2S4                                    |
eight | upstream downstream left                |
eight | upsteam left                            | ? B1S1 B1S2 B1S3
eight | oxygen sensor heater circuit, bank 1 sensor 2 | B1S2
eight | O2 sensor circuit low voltage B2S1, pending | B2S1
eight | fault code stored, control sensor, right | B2S1
eight | not the left, upstream                  | ? B1S1
six   | sensor 1 near the firewall              | B1S1
six   | sensor 1 by the radiator                | B2S1
six   | front bank upstream                     | B2S1
six   | rear bank downstream                    | B1S2
six   | front bank front sensor                 | B2S1
six   | rear bank front sensor                  | B1S1
six   | front bank rear sensor                  | B2S2
six   | rear bank rear O2                       | B1S2
six   | front                                   | B1S1 B2S1 B2S2
six   | rear                                    | B1S1 B1S2 B2S2
six   | front sensor                            | B1S1 B2S1 B2S2
six   | front left                              | B1S1 B2S1 B2S2
six   | rear upstream                           | B1S1
six   | front downstream                        | B2S2
six   | front upstream                          | B1S1 B2S1
six   | bank 1 front sensor                     | B1S1
six   | bank 2 front sensor                     | B2S1 B2S2
six   | upstream driver's side                  | B1S1 B2S1
six   | front of the car, before the cat        | B2S1
six   | bulkhead side post cat                  | B1S2
six   | rear bank 2 sensor 1                    |
six   | front bank 2 sensor one                 | B2S1
six   | rear bank 2                             | B2S2
six   | S1 bank with cylinder 4                 | B2S1
flat  | upstream driver's side                  | B2S1
flat  | upstream passenger's side               | B1S1
flat  | near side downstream                    | B1S2
flat  | off-side post-cat                       | B2S2
flat  | curb side front sensor                  | B1S1
flat  | left bank sensor 2                      | B2S2
four  | upstream                                | B1S1
four  | the downstream sensor                   | B1S2
four  | front O2 sensor                         | B1S1
four  | rear lambda sensor                      | B1S2
four  | pre-cat driver's side                   | B1S1
four  | near side post cat                      | B1S2
four  | in the manifold                         | B1S1
four  | nearest to the engine                   | B1S1
four  | catalyst monitor sensor                 | B1S2
four  | air/fuel ratio sensor                   | B1S1 B1S2
four  | bank 2 sensor 1                         |
four  | sensor 3                                |
split | upstream bank 1                         | B1S1
split | upstream cylinder 5                     | B2S1
split | upstream                                | B1S1 B2S1
split | upstream left                           | B1S1 B2S1
split | front sensor cylinder 2                 | B1S1
split | B2S2                                    | B2S2
`

func TestEachPhraseMeansWhatTheFactsMakeOfIt(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(phrases), "\n")
	require.GreaterOrEqual(t, len(lines), 60)
	for _, line := range lines {
		parts := strings.Split(line, "|")
		name, words, want := strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1]), strings.TrimSpace(parts[2])
		t.Run(name+": "+words, func(t *testing.T) {
			got, err := location.Find(words, vehicles[name])
			require.NoError(t, err)
			assert.Equal(t, want, written(got), strings.Join(got.Workings, "\n"))
			assert.NotEmpty(t, got.Because)
			assert.NotEmpty(t, got.Workings)
			if got.Outcome == location.Found {
				assert.Empty(t, got.Choices)
				assert.Empty(t, got.Question)
				assert.NotEmpty(t, got.Urgency.When)
			} else {
				assert.Zero(t, got.Sensor, "never a guess")
				assert.Zero(t, got.Urgency)
				assert.NotEmpty(t, got.Question)
			}
		})
	}
}

func written(a location.Answer) string {
	var all []string
	switch a.Outcome {
	case location.Found:
		return a.Sensor.String()
	case location.Unread:
		all = append(all, "?")
	}
	for _, c := range a.Choices {
		all = append(all, c.Position.String())
	}
	return strings.Join(all, " ")
}

func TestTheReasoningNamesTheFactItUsed(t *testing.T) {
	for _, x := range []struct {
		facts        location.Facts
		words, wants string
	}{
		{eight, "pre-cat driver's side", "the driver sits on the right, so the driver's side is the right; the bank on the right is bank 2"},
		{eight, "post-cat near side", "traffic keeps left, so the kerb is on the left and the near side is the left; the bank on the left is bank 1"},
		{six, "front", `"front" has 2 meanings: sensor 1: nearest the engine, before the catalyst; or the bank on the front is bank 2`},
		{four, "left upstream", `lie front and rear, so "left" chooses none`},
		{four, "bank 1 upstream", "bank 1, which lies on the rear of this engine"},
		{flat, "left upstream", "the bank on the left is bank 2"},
		{split, "left upstream", "which bank lies on the left is not known"},
		{eight, "cyl 4 s1", "cylinder 4 stands in bank 2"},
	} {
		got, err := location.Find(x.words, x.facts)
		require.NoError(t, err)
		assert.Contains(t, strings.Join(got.Workings, "\n"), x.wants)
	}
}

func TestTheFirewallLiesWhereTheEngineIsNot(t *testing.T) {
	behind := six
	behind.EngineAt = "rear"
	stated := six
	stated.EngineAt = "front"
	for _, x := range []struct {
		facts              location.Facts
		words, want, wants string
	}{
		{six, "S1 by the firewall", "B1S1", "supposing the engine in the front of the vehicle, the firewall lies behind it"},
		{stated, "S1 by the firewall", "B1S1", "the engine is in the front, so the firewall lies behind it"},
		{behind, "S1 by the firewall", "B2S1", "the firewall lies before an engine in the rear of the vehicle"},
		{behind, "S1 by the radiator", "B1S1 B2S1", "the radiator says nothing"},
	} {
		got, err := location.Find(x.words, x.facts)
		require.NoError(t, err)
		assert.Equal(t, x.want, written(got))
		assert.Contains(t, strings.Join(got.Workings, "\n"), x.wants)
	}
}

func TestAnAmbiguousPhraseAsksWhatWouldDecide(t *testing.T) {
	unknownSeat := eight
	unknownSeat.Steering = ""
	unknownRoad := eight
	unknownRoad.Traffic = ""
	for _, x := range []struct {
		facts        location.Facts
		words, wants string
	}{
		{unknownSeat, "upstream driver's side", "on which side does the driver sit?"},
		{unknownRoad, "upstream near side", "on which side of the road does it drive?"},
		{split, "upstream left", "which bank lies on the left: bank 1 is the one with cylinder 1?"},
		{split, "upstream", "is it on bank 1 (the one with cylinder 1) or bank 2?"},
		{six, "upstream", "is it on bank 1 (towards the rear of the vehicle) or bank 2 (towards the front of the vehicle)?"},
		{eight, "bank 1", "is it before the catalyst (sensor 1) or behind the first catalyst (sensor 2) or further along (sensor 3)?"},
		{eight, "upsteam left", "what do the words that were not understood say?"},
		{eight, "bank 3", "which of the words is wrong"},
	} {
		got, err := location.Find(x.words, x.facts)
		require.NoError(t, err)
		assert.NotEqual(t, location.Found, got.Outcome)
		assert.Contains(t, got.Question, x.wants)
	}
	got, err := location.Find("upsteam left", eight)
	require.NoError(t, err)
	assert.Contains(t, got.Because, `"upsteam" (did you mean "upstream"?)`)
}

func TestFrontSensorsAreUrgentAndRearOnesBeforeTheTest(t *testing.T) {
	// Common practice, no source.
	assert.Equal(t, "now", location.UrgencyOf(1).When)
	assert.Contains(t, location.UrgencyOf(1).Meanwhile, "open loop on stored values")
	for _, n := range []int{2, 3, 4} {
		assert.Equal(t, "before the emissions test", location.UrgencyOf(n).When)
		assert.Contains(t, location.UrgencyOf(n).Source, "common practice")
	}
}

func TestFactsThatCannotBeAreRefusedByName(t *testing.T) {
	for want, spoil := range map[string]func(*location.Facts){
		`arrangement "W"`:                       func(f *location.Facts) { f.Arrangement = "W" },
		`mounting "sideways"`:                   func(f *location.Facts) { f.Mounting = "sideways" },
		`end of cylinder 1 "left"`:              func(f *location.Facts) { f.CylinderOne = "left" },
		`steering side "middle"`:                func(f *location.Facts) { f.Steering = "middle" },
		`place of the engine "middle"`:          func(f *location.Facts) { f.EngineAt = "middle" },
		`side of the road "up"`:                 func(f *location.Facts) { f.Traffic = "up" },
		"fitted sensors: 0 given":               func(f *location.Facts) { f.Sensors = nil },
		"fitted sensor B1S9":                    func(f *location.Facts) { f.Sensors = []location.Position{{1, 9}} },
		"fitted sensor B3S1: the engine has no": func(f *location.Facts) { f.Sensors = fitted("B3S1") },
		`side "front" of bank 1`:                func(f *location.Facts) { f.Banks = []location.Bank{{Number: 1, Side: "front"}, {Number: 2}} },
		"banks 1 and 2 both lie on the left": func(f *location.Facts) {
			f.Banks = []location.Bank{{Number: 1, Side: "left"}, {Number: 2, Side: "left"}}
		},
		"cylinder 1 in bank 2":                    func(f *location.Facts) { f.Banks = []location.Bank{{Number: 1}, {Number: 2, Cylinders: []int{1}}} },
		"bank 1: banks are numbered from 1 to 4,": func(f *location.Facts) { f.Banks = []location.Bank{{Number: 1}, {Number: 1}, {Number: 2}} },
		"one bank in a V engine":                  func(f *location.Facts) { f.Banks, f.Sensors = []location.Bank{{Number: 1}}, fitted("B1S1") },
	} {
		f := eight
		spoil(&f)
		_, err := location.Find("B1S1", f)
		require.ErrorContains(t, err, want)
	}
}

func TestTextThatIsNoPhraseIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"": "say nothing of a sensor", "the": "say nothing", " ,-": "say nothing", "up\nstream": "control characters",
		"\xff": "broken text", strings.Repeat("front ", 40): "more than 200 characters", "front rear front rear front rear front rear front": "two meanings",
	} {
		_, err := location.Find(text, six)
		require.ErrorContains(t, err, want)
	}
	for _, text := range []string{"", "B1", "B0S1", "B1S0", "B5S1", "B1S11", "1S1B"} {
		_, err := location.ParsePosition(text)
		require.ErrorContains(t, err, fmt.Sprintf("%q", text))
	}
}

// mirror swaps left and right in words or in a side.
func mirror(text string) string {
	return strings.NewReplacer("left", "right", "right", "left", "LH", "RH", "rhs", "lhs").Replace(text)
}

func mirrored(f location.Facts) location.Facts {
	f.Banks = slices.Clone(f.Banks)
	for i := range f.Banks {
		f.Banks[i].Side = mirror(f.Banks[i].Side)
	}
	f.CylinderOne, f.Steering, f.Traffic = mirror(f.CylinderOne), mirror(f.Steering), mirror(f.Traffic)
	return f
}

func anyPhrase(t *rapid.T) (string, location.Facts) {
	words := rapid.SampledFrom([]string{
		"upstream", "downstream", "bank 1", "bank 2", "sensor 1", "left", "right", "driver's side", "passenger side", "near side", "off side",
		"front", "rear", "front bank", "firewall", "LH", "rhs", "last", "cylinder 1", "oxygen", "pre-cat", "smelly",
	})
	names := []string{"eight", "six", "flat", "four", "split"}
	return strings.Join(rapid.SliceOfN(words, 1, 4).Draw(t, "words"), " "), vehicles[rapid.SampledFrom(names).Draw(t, "vehicle")]
}

func TestMirroringVehicleAndWordsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		phrase, facts := anyPhrase(t)
		a, err := location.Find(phrase, facts)
		require.NoError(t, err)
		b, err := location.Find(mirror(phrase), mirrored(facts))
		require.NoError(t, err)
		assert.Equal(t, a.Outcome, b.Outcome)
		assert.Equal(t, written(a), written(b))
	})
}

func TestMirroringTheVehicleAloneSwapsTheSides(t *testing.T) {
	for _, facts := range []location.Facts{eight, flat} {
		for _, phrase := range []string{"upstream left", "right sensor 2", "LH B1S1"} {
			a, err := location.Find(phrase, mirrored(facts))
			require.NoError(t, err)
			b, err := location.Find(mirror(phrase), facts)
			require.NoError(t, err)
			assert.Equal(t, written(a), written(b))
		}
		a, err := location.Find("upstream left", facts)
		require.NoError(t, err)
		b, err := location.Find("upstream left", mirrored(facts))
		require.NoError(t, err)
		assert.Equal(t, a.Sensor.Bank, 3-b.Sensor.Bank)
	}
}

func TestTheRuleOfTheRoadSwapsNearAndOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		phrase, facts := anyPhrase(t)
		phrase += rapid.SampledFrom([]string{" near side", " offside"}).Draw(t, "side")
		other := facts
		other.Traffic = mirror(facts.Traffic)
		swapped := strings.NewReplacer("near side", "off side", "off side", "near side", "offside", "nearside").Replace(phrase)
		a, err := location.Find(phrase, facts)
		require.NoError(t, err)
		b, err := location.Find(swapped, other)
		require.NoError(t, err)
		assert.Equal(t, written(a), written(b))
	})
}

func TestMoreWordsNeverWidenTheChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		phrase, facts := anyPhrase(t)
		a, err := location.Find(phrase, facts)
		require.NoError(t, err)
		// "rear bank" settles what a lone "rear" means and so may drop a reading; it adds none.
		b, err := location.Find(phrase+" "+rapid.SampledFrom([]string{"upstream", "bank 2", "left", "off side", "rear bank"}).Draw(t, "more"), facts)
		require.NoError(t, err)
		for _, p := range facts.Sensors {
			if allows(b, p) {
				assert.True(t, allows(a, p), "%s", p)
			}
		}
	})
}

func allows(a location.Answer, p location.Position) bool {
	return a.Sensor == p || slices.ContainsFunc(a.Choices, func(c location.Choice) bool { return c.Position == p })
}

func TestEverySensorIsFoundByItsOwnName(t *testing.T) {
	for _, facts := range vehicles {
		for _, p := range facts.Sensors {
			for _, phrase := range []string{p.String(), fmt.Sprintf("bank %d sensor %d", p.Bank, p.Sensor), fmt.Sprintf("s%db%d", p.Sensor, p.Bank)} {
				a, err := location.Find(phrase, facts)
				require.NoError(t, err)
				assert.Equal(t, location.Found, a.Outcome)
				assert.Equal(t, p, a.Sensor)
			}
		}
	}
}

func FuzzFindNamesOnlyFittedSensors(f *testing.F) {
	for _, line := range strings.Split(strings.TrimSpace(phrases), "\n") {
		f.Add(strings.Split(line, "|")[1], strings.TrimSpace(strings.Split(line, "|")[0]))
	}
	f.Fuzz(func(t *testing.T, phrase, name string) {
		facts, ok := vehicles[name]
		if !ok {
			facts = location.Facts{Arrangement: name, Sensors: two}
		}
		a, err := location.Find(phrase, facts)
		if err != nil {
			require.True(t, utf8.ValidString(err.Error()))
			return
		}
		if a.Outcome == location.Found {
			require.Contains(t, facts.Sensors, a.Sensor)
			require.NotContains(t, strings.Join(a.Workings, "\n"), "not understood")
		} else {
			require.Zero(t, a.Sensor)
		}
	})
}

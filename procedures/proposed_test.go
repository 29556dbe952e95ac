package procedures

// What a check makes of the sheet is offered beside a field, with the check's own words, and is never filled in.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/quantity"
)

// toldSheet proposes a position from what was told, for an engine whose bank 1 lies where the sheet says.
const toldSheet = `  - {id: low, title: Least torque, quantity: torque}
  - {id: told, title: What was told, text: true, optional: true}
  - {id: side, title: Side of bank 1, choose: [left, right, front, rear]}
  - id: position
    title: Position
    choose: [B1S1, B1S2, B2S1, B2S2]
    propose: {output: sensor, of: {sensor-position: {words: told, arrangement: V, bank-1-side: side, fitted: "B1S1, B1S2, B2S1, B2S2"}}}
`

// proposed is what the sheet proposes for its last field.
func proposed(t *testing.T, p *Procedure, card *Card, typed map[string]string) (Proposed, bool) {
	t.Helper()
	values, _, faults := Resolve(p, card, typed)
	require.Empty(t, faults)
	return p.Propose(p.Sheet[len(p.Sheet)-1], card, values)
}

func TestACodeProposesTheSensorThatTheStandardNamesByIt(t *testing.T) {
	p := sheetOf(t, toldSheet)
	// SAE J2012 / ISO 15031-6 (read at second hand): heater circuit of bank 1 sensor 1, 1/2, 2/1, 2/2.
	for code, place := range map[string]string{"P0135": "B1S1", "P0141": "B1S2", "P0155": "B2S1", "P0161": "B2S2"} {
		got, ok := proposed(t, p, nil, map[string]string{"told": code, "side": "rear"})
		require.True(t, ok)
		assert.Equal(t, place, got.Value)
		assert.Regexp(t, "^"+code+": oxygen sensor, bank "+place[1:2]+" sensor "+place[3:]+": heater .* circuit", got.Workings[0], "what the code means is said")
	}
	got, _ := proposed(t, p, nil, map[string]string{"told": "P0141", "side": "rear"})
	assert.Equal(t, "B1S2: bank 1 (rear), behind the catalyst", got.Because, "and where that is on this engine")
}

func TestTheSameWordsProposeAnotherSensorOnAnEngineThatLiesOtherwise(t *testing.T) {
	p := sheetOf(t, toldSheet)
	for side, want := range map[string]string{"left": "B1S2", "right": "B2S2"} {
		got, ok := proposed(t, p, nil, map[string]string{"told": "post-cat left bank", "side": side})
		require.True(t, ok)
		assert.Equal(t, want, got.Value)
	}
}

func TestNothingIsProposedWhereTheCheckCannotTellAndItSaysWhatWouldMakeItClear(t *testing.T) {
	p := sheetOf(t, toldSheet)
	for told, says := range map[string]string{
		"upstream":       "is it on bank 1 (towards the rear of the vehicle) or bank 2",
		"upsteam bank 1": `did you mean "upstream"?`,
		"P0300":          "misfire in no one cylinder, or in several; say the bank and the sensor", // SAE J2012, at second hand
		"P0147":          "no fitted sensor fits all the words; fitted are B1S1, B1S2, B2S1, B2S2", // bank 1 sensor 3
		"C0123":          "look in the vehicle's service information",
		"P0000":          "this is padding and means that no code is stored",
		"the":            "say nothing of a sensor",
	} {
		got, ok := proposed(t, p, nil, map[string]string{"told": told, "side": "rear"})
		require.True(t, ok, told)
		assert.Empty(t, got.Value, told)
		assert.Contains(t, got.Because, says, told)
	}
}

func TestNothingIsSaidBeforeWhatTheCheckGoesByIsFilledIn(t *testing.T) {
	p := sheetOf(t, toldSheet)
	for _, typed := range []map[string]string{nil, {"side": "rear"}, {"told": "P0141"}} {
		_, ok := proposed(t, p, nil, typed)
		assert.False(t, ok, "%v", typed)
	}
	values, missing, _ := Resolve(p, nil, map[string]string{"told": "P0141", "side": "rear"})
	assert.NotContains(t, values, "position", "what is proposed fills nothing in")
	assert.Equal(t, []string{"low", "position"}, idsOf(missing))
	_, ok := p.Propose(p.Sheet[0], nil, values)
	assert.False(t, ok, "a field that names no check")
}

func TestAProposalThatTheFieldDoesNotTakeIsSaidAndNotMade(t *testing.T) {
	p := sheetOf(t, strings.Replace(toldSheet, "    propose: {output: sensor, of: {sensor-position: {words: told, arrangement: V, bank-1-side: side, fitted: \"B1S1, B1S2, B2S1, B2S2\"}}}\n",
		"    among: sensors.fitted\n    propose: {output: sensor, of: {sensor-position: {words: told}}}\n", 1))
	got, ok := proposed(t, p, testCard(t), map[string]string{"told": "B1S3", "side": "rear"})
	require.True(t, ok)
	assert.Empty(t, got.Value)
	assert.Contains(t, got.Because, `; but "B1S3" is no choice: choose one of: `)
	got, _ = proposed(t, p, testCard(t), map[string]string{"told": "B2S2", "side": "rear"})
	assert.Empty(t, got.Value)
	assert.Contains(t, got.Because, `; but the card of this vehicle has no "B2S2": choose one of: `)
}

func TestAValueDiffersFromAProposalByWhatItAmountsTo(t *testing.T) {
	of := func(value string) Proposed { return Proposed{Value: value} }
	torque, choice := Field{Kind: TakesQuantity, Quantity: quantity.Torque}, Field{Kind: TakesChoice}
	assert.False(t, of("45 N·m").Differs(torque, "45.0 N·m"))
	assert.True(t, of("45 N·m").Differs(torque, "46 N·m"))
	assert.True(t, of("45 N·m").Differs(torque, "45 mm"), "what cannot be compared is not the same")
	assert.False(t, of("B1S2").Differs(choice, "B1S2"))
	assert.True(t, of("B1S2").Differs(choice, "B2S2"))
	assert.False(t, of("").Differs(choice, "B2S2"), "nothing was proposed")
	assert.False(t, of("B1S2").Differs(choice, ""), "nothing was entered")
}

// quoted is a procedure that includes base.yaml with a line that is proposed, and gives it what stands here.
func quoted(t *testing.T, given, sheet, readings string) (*Procedure, error) {
	part := with(t, "procedure: base", "procedure: part",
		"  - {id: note, title: Note, text: true, optional: true}\n",
		"  - {id: note, title: Note, text: true, optional: true}\n  - {id: place, title: Place, text: true, propose: {output: sensor, of: {sensor-position: {words: note, traffic: side}}}}\n")
	whole := strings.Join([]string{"fenderside: 1", "procedure: whole", "revision: 1", "title: Whole", "scope: For tests", "sheet:", sheet,
		"steps:", "  - {do: look, title: Look, affirm: [It is there]" + readings + "}", "  - {include: part, as: p, with: {" + given + "}}", "make safe: [p]", ""}, "\n")
	return ParseWith("whole.yaml", []byte(whole), func(string) (string, []byte, error) { return "part.yaml", []byte(part), nil })
}

// feeding is what feeds the proposal of a place, by the name of the input, or nil.
func feeding(p *Procedure) map[string]string {
	f, _ := p.FieldByID("p.place")
	if f.Propose == nil {
		return nil
	}
	out := map[string]string{}
	for _, in := range f.Propose.By.Inputs {
		out[in.Name] = in.Ref
	}
	return out
}

func TestAnIncludeRenamesWhatIsProposedFrom(t *testing.T) {
	line := "  - {id: serial, title: Serial, text: true, optional: true}"
	p, err := quoted(t, "low: 1 N·m", line, "")
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"words": "p.note", "traffic": "p.side"}, feeding(p))
	p, err = quoted(t, "note: serial", line, "")
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"words": "serial", "traffic": "p.side"}, feeding(p), "the line that is given")
}

func TestWhatIsGivenAsAReadingProposesNothingForItIsTakenAfterTheSheet(t *testing.T) {
	line, readings := "  - {id: serial, title: Serial, text: true}", ", readings: [{id: seen, title: Seen, text: true}, {id: kerb, title: Kerb, choose: [left, right]}]"
	p, err := quoted(t, "side: kerb", line, readings)
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"words": "p.note"}, feeding(p), "the check does without it")
	p, err = quoted(t, "note: seen", line, readings)
	require.NoError(t, err)
	assert.Nil(t, feeding(p), "the check must have it")
}

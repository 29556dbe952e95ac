package procedures

// What may feed each kind of input of a check, and what may not.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
)

const (
	beforeAsk = "    ask: {question"
	drive     = "    evidence: [{id: drive, title: Log of the drive}]\n"
)

func TestAFileFeedsACheckAsEvidenceAndWordsOfAnyFormCanBeWrittenOut(t *testing.T) {
	text, _ := change{edits: []string{beforeAsk,
		drive + "    check: {sensor-trace: {file: drive, time: {words: time}, column: B1S1, unit: {words: mv}}}\n" + beforeAsk}}.apply(t)
	p, err := Parse("files.yaml", []byte(text))
	require.NoError(t, err)
	inputs := map[string]CheckInput{}
	for _, s := range p.Steps {
		for _, use := range s.Checks {
			for _, in := range use.Inputs {
				inputs[use.Name+" "+in.Name] = in
			}
		}
	}
	assert.Equal(t, "drive", inputs["sensor-trace file"].Ref)
	assert.Equal(t, checks.Argument{Text: "time"}, inputs["sensor-trace time"].Literal)
	assert.Equal(t, checks.Argument{Text: "mv"}, inputs["sensor-trace unit"].Literal)
	assert.Empty(t, inputs["sensor-trace time"].Ref)
}

func TestWordsFeedACheckFromTheProcedureOrFromWhatIsRecorded(t *testing.T) {
	c := change{edits: []string{
		"  - {id: side, title: Side", "  - {id: told, title: What was said, text: true}\n  - {id: side, title: Side",
		beforeAsk, "    advise: {sensor-position: {words: told, expected: B1S1, fitted: side}, trouble-code: {code: P0135}, convert: {value: 45 N·m}}\n" + beforeAsk,
	}}
	text, _ := c.apply(t)
	p, err := Parse("words.yaml", []byte(text))
	require.NoError(t, err)
	inputs := map[string]CheckInput{}
	for _, s := range p.Steps {
		for _, use := range s.Checks {
			for _, in := range use.Inputs {
				inputs[use.Name+" "+in.Name] = in
			}
		}
	}
	assert.Equal(t, "told", inputs["sensor-position words"].Ref)
	assert.Equal(t, "side", inputs["sensor-position fitted"].Ref, "a choice is words too")
	assert.Equal(t, checks.Argument{Text: "B1S1"}, inputs["sensor-position expected"].Literal)
	assert.Equal(t, checks.Argument{Text: "P0135"}, inputs["trouble-code code"].Literal)
	assert.Equal(t, "45 N·m", inputs["convert value"].Literal.Quantity.String())
}

func TestInputsThatCannotBeFedAreToldAtTheirPlace(t *testing.T) {
	for _, c := range []change{
		{"words that look like an id and are none", []string{beforeAsk, "    advise: {trouble-code: {code: ‸tolde}}\n" + beforeAsk}, []string{
			`check "trouble-code" input "code" names "tolde", which is defined nowhere (known: note, side)`}},
		{"a quantity for words", []string{beforeAsk, "    advise: {trouble-code: {code: ‸low}}\n" + beforeAsk}, []string{
			`check "trouble-code" input "code" names the sheet field "low", which is of another kind (give words, or the id of a text, a date or a choice)`}},
		{"a path for a file", []string{beforeAsk, "    advise: {obd-reply: {file: ‸DRIVE.LOG}}\n" + beforeAsk}, []string{
			`check "obd-reply" input "file" names "DRIVE.LOG", which is defined nowhere`}},
		{"a text for a file", []string{beforeAsk, "    advise: {obd-reply: {file: ‸note}}\n" + beforeAsk}, []string{
			`check "obd-reply" input "file" names the sheet field "note", which is of another kind (give the id of evidence)`}},
		{"a file for words", []string{beforeAsk, drive + "    advise: {trouble-code: {code: ‸drive}}\n" + beforeAsk}, []string{
			`check "trouble-code" input "code" names the evidence "drive", which is of another kind`}},
		{"no file for a check of files", []string{beforeAsk, "    advise: {can-log: ‸{from: 7E8}}\n" + beforeAsk}, []string{
			`check "can-log" has no "file" (add file: the id of evidence)`}},
		{"words written out with a strange field", []string{beforeAsk, "    advise: {trouble-code: {code: {‸letters: abc, words: abc}}}\n" + beforeAsk}, []string{
			`has no field "letters"`}},
		{"a step held to a file that may be left out", []string{beforeAsk, strings.Replace(drive, "title", "optional: true, title", 1) +
			"    check: {sensor-trace: {file: ‸drive, column: B1S1}}\n" + beforeAsk}, []string{
			`check "sensor-trace" input "file" depends on the evidence "drive", which is optional`}},
		{"a step held to what judges nothing", []string{beforeAsk, "    check: {‸convert: {value: 45 N·m}}\n" + beforeAsk}, []string{
			`check "convert" judges nothing, so no step can be held to it (write it under advise)`}},
		{"no quantity at all", []string{beforeAsk, "    advise: {convert: {value: ‸45 parsecs}}\n" + beforeAsk}, []string{
			`"45 parsecs" is no quantity: `}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, places := c.apply(t)
			_, err := Parse("bad.yaml", []byte(text))
			require.Error(t, err)
			faults := err.(Faults)
			require.Len(t, faults, 1, err)
			assert.Equal(t, places[0], faults[0].Place)
			assert.Contains(t, faults[0].Error(), c.want[0])
		})
	}
}

func TestAdviceMayRestOnWhatMayBeLeftOutAndAStepMayNot(t *testing.T) {
	text, _ := change{edits: []string{beforeAsk, "    advise: {trouble-code: {code: note}}\n" + beforeAsk}}.apply(t)
	_, err := Parse("advice.yaml", []byte(text))
	require.NoError(t, err)
	text, places := change{edits: []string{beforeAsk, "    check: {sensor-position: {words: ‸note}}\n" + beforeAsk}}.apply(t)
	_, err = Parse("held.yaml", []byte(text))
	require.Error(t, err)
	faults := err.(Faults)
	require.Len(t, faults, 1)
	assert.Equal(t, places[0], faults[0].Place)
	assert.Contains(t, faults[0].Error(), `depends on the sheet field "note", which is optional`)
}

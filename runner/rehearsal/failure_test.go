package rehearsal_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
)

// head is ten lines long.
const head = `fenderside-script: 1
title: A try
procedure: kiln-fuse
sheet: {link: left, limit: 2 N·m}
begin: 2026-02-02T08:00:00Z
people: [{name: asha@millbrook.example, roles: all}, {name: bryn@millbrook.example, roles: stretch@fenderside}]
instruments: {meter: {name: DM-2, due: 2027-02-01}}
acknowledge: all
do:
`

const unplug = "  - {step: pull-plug, affirm: all, take: {residual: 0.1 V}}\n"

// script has a head, the lines, and a signature at its end.
func script(lines string) []byte { return []byte(head + lines + "  - sign: true\n") }

func TestTheFirstUnexpectedRefusalEndsTheRehearsalAndNamesLineStepReasonAndNextAction(t *testing.T) {
	for name, c := range map[string]struct {
		lines string
		line  int
		step  string
		what  string
		codes []runner.Code
	}{
		"a gate without its reading": {"  - {step: pull-plug, affirm: all}\n", 10, "pull-plug", "finish is refused", []runner.Code{runner.ReadingMissing}},
		"a gate without anything": {"  - step: pull-plug\n", 10, "pull-plug", "finish is refused",
			[]runner.Code{runner.StatementMissing, runner.StatementMissing, runner.ReadingMissing}},
		"a step that is not the current one": {"  - {step: look, take: {seen: left}}\n", 10, "look", `current one is "pull-plug"`,
			[]runner.Code{runner.NotCurrent}},
		"a step behind a gate that fell": {unplug + "  - stop-work: true\n  - clear: true\n  - {step: look, take: {seen: left}}\n", 13, "look",
			`current one is "pull-plug"`, []runner.Code{runner.NotCurrent, runner.SafeguardMissing}},
		"a step while work is stopped": {unplug + "  - stop-work: true\n  - step: pull-plug\n", 12, "pull-plug", "none is open", []runner.Code{runner.NotClear}},
		"a step while the job is held": {unplug + "  - kill: true\n  - step: pull-plug\n", 12, "pull-plug", "none is open", []runner.Code{runner.Interruption}},
		"a step after the end":         {unplug + "  - close: {outcome: abandoned, reason: x}\n  - {step: plug-in, affirm: all}\n  - step: look\n", 13, "look", "none is open", nil},
		"an unknown step":              {"  - step: no-such\n", 10, "no-such", "current one is", []runner.Code{runner.NotCurrent}},
		"a reading kept as refused":    {"  - {step: pull-plug, take: {residual: 3 V}}\n", 10, "pull-plug", "kept as refused", []runner.Code{runner.AboveLimit}},
		"an unsafe seal":               {unplug + "  - close: {outcome: abandoned, reason: x}\n", 12, "", "seal is refused", []runner.Code{runner.MakeSafeDue}},
		"a refusal that does not come": {"  - expect refused: {step: pull-plug, affirm: all}\n", 10, "pull-plug", "the command was taken", nil},
		"a refusal for another reason": {"  - expect refused: {step: look, take: {seen: left}, reason: not-on-roster}\n", 10, "look", `not for "not-on-roster"`,
			[]runner.Code{runner.NotCurrent, runner.SafeguardMissing}},
		"no command where a refusal is expected": {"  - expect refused: {step: look, hold: true}\n", 10, "look", "no command was given", nil},
		"a stranger":                             {"  - hand-over: carys@millbrook.example\n", 10, "", "not among the script's people", nil},
		"a time that is over":                    {"  - at: 2026-02-02T07:00:00Z\n", 10, "", "is past 2026-02-02T07:00:00Z already", nil},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := play(t, "try.yaml", script(c.lines))
			var f *rehearsal.Failure
			require.ErrorAs(t, err, &f)
			assert.Equal(t, procedures.Place{Line: c.line, Column: 5}, f.Place)
			assert.Equal(t, c.step, f.Step)
			assert.Contains(t, f.What, c.what)
			var codes []runner.Code
			for _, r := range f.Reasons {
				codes = append(codes, r.Code)
				assert.NotEmpty(t, r.Next)
				assert.Contains(t, err.Error(), r.What)
				assert.Contains(t, err.Error(), r.Next)
			}
			assert.Equal(t, c.codes, codes)
			assert.True(t, strings.HasPrefix(err.Error(), "try.yaml:"), err.Error())
		})
	}
}

func TestWhatIsWrongWithTheOpeningIsAFaultAtItsPlace(t *testing.T) {
	for name, c := range map[string]struct{ from, to, at, what string }{
		"an unknown procedure":      {"kiln-fuse", "no-such", "try.yaml:3:12", "there is no procedure"},
		"an unknown card":           {"sheet:", "card: no-such\nsheet:", "try.yaml:4:7", "there is no vehicle card"},
		"a sheet that is not full":  {", limit: 2 N·m", "", "try.yaml:4:8", "Most torque"},
		"a sheet value not allowed": {"2 N·m", "9 N·m", "try.yaml:4:8", "too much"},
		"a stranger to the sheet":   {"link: left", "link: left, lonk: left", "try.yaml:4:8", "no such field"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := play(t, "try.yaml", []byte(strings.Replace(string(script(unplug)), c.from, c.to, 1)))
			var faults procedures.Faults
			require.ErrorAs(t, err, &faults)
			assert.Contains(t, err.Error(), c.at)
			assert.Contains(t, err.Error(), c.what)
		})
	}
}

func TestALeftPinnedStepAndARefusalInsideAnExpectationChangeNothing(t *testing.T) {
	_, err := play(t, "try.yaml", script(unplug+
		"  - {step: look, take: {seen: left}, answer: By old glue}\n"+
		"  - {step: soften, wait: 11 min, hold: true}\n"+
		"  - expect refused: {step: soften, reason: wait-missed}\n"+
		"  - {step: soften, wait: 3 min}\n"+
		"  - close: {outcome: abandoned, reason: the glue does not give}\n"+
		"  - {step: plug-in, affirm: all}\n"+
		"  - expect refused: {sign: true, reason: make-safe-due}\n"+
		"  - leave: {step: watch, state: watched by dilys to the end}\n"))
	require.NoError(t, err)
}

func TestAFolderThatCannotBeWrittenIsToldWithWhatToDo(t *testing.T) {
	_, err := rehearsal.Run(rehearsal.Options{Script: script(unplug), ScriptName: "try.yaml", Out: "/dev/null/no", Procedures: kiln(t)})
	require.Error(t, err)
	var f *rehearsal.Failure
	require.False(t, errors.As(err, &f))
	assert.Contains(t, err.Error(), "choose another folder with --out")
}

func TestAScriptThatDoesNotShipIsToldByName(t *testing.T) {
	_, err := rehearsal.Sample(t.TempDir(), "no-such")
	assert.ErrorContains(t, err, `"no-such"`)
}

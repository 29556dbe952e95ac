package procedures

// What a check found feeds a later one by its output, its check and its step, and what cannot feed it is told at its place.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// traced is base.yaml with a step before the work that judges a log, and the work asking a check of its own.
func traced(source, work string) []string {
	return []string{
		"  - do: work\n", "  - do: save-log\n    title: Save a log\n" + source + "  - do: work\n",
		beforeAsk, work + beforeAsk,
	}
}

const judgesLog = "    evidence: [{id: drive, title: Log of the drive}]\n    advise: {sensor-trace: {file: drive, column: B1S1}}\n"

func TestWhatAnEarlierCheckFoundFeedsALaterOne(t *testing.T) {
	p := sound(t, traced(judgesLog, "    check: {fault-verdict: {wiring: sound, trace: {output: shows, of: sensor-trace, at: save-log}}}\n")...)
	work, _ := p.StepByID("work")
	require.Len(t, work.Checks, 1)
	in := work.Checks[0].Inputs[1]
	assert.Equal(t, &Found{Output: "shows", Check: "sensor-trace", Step: "save-log"}, in.Found)
	assert.Empty(t, in.Ref)
	assert.Equal(t, "trace", in.Name)
}

func TestWhatACheckFoundIsHeldToWhatItFeeds(t *testing.T) {
	feeds := func(input string) string { return "    check: {fault-verdict: {trace: " + input + "}}\n" }
	firm := "    readings: [{id: firm, title: Torque, quantity: torque}]\n" +
		"    check: {torque-applied: {reading: firm, low: low, high: 50 N·m, accuracy: 4 %}}\n"
	for _, c := range []struct{ name, source, work, want string }{
		{"an unknown step", judgesLog, feeds("{output: shows, of: sensor-trace, at: ‸save-lgo}"), `input "trace" names "save-lgo", which is defined nowhere (did you mean "save-log"?)`},
		{"a later step", judgesLog, feeds("{output: shows, of: sensor-trace, at: ‸warm}"), `names the step "warm", which is recorded later`},
		{"the step itself", judgesLog, feeds("{output: shows, of: fault-verdict, at: ‸work}"), `names the step "work", which is recorded later`},
		{"a reading", judgesLog, feeds("{output: shows, of: sensor-trace, at: ‸heat}"), `names the reading "heat", which is no earlier step (name a step of the line that stands before this one)`},
		{"a check that the step does not make", judgesLog, feeds("{output: shows, of: ‸sensor-trce, at: save-log}"),
			`takes what check "sensor-trce" found, which the step "save-log" does not make (did you mean "sensor-trace"?)`},
		{"an output that there is not", judgesLog, feeds("{output: ‸shwos, of: sensor-trace, at: save-log}"), `check "sensor-trace" gives no "shwos" (did you mean "shows"?)`},
		{"several figures", judgesLog, feeds("{output: ‸flag, of: sensor-trace, at: save-log}"), `takes "flag", which is any number of figures (name an output of one figure)`},
		{"a number for a choice", judgesLog, feeds("{output: ‸observed, of: sensor-trace, at: save-log}"), `takes "observed", which is of another kind (give one of healthy`},
		{"words that the check does not know", judgesLog, "    check: {repair-verdict: {trace: {output: ‸shows, of: sensor-trace, at: save-log}}}\n",
			`takes "shows", which may be "healthy", and the check does not know that`},
		{"a quantity of another dimension", firm, "    advise: {torque-setting: {angle: {output: ‸applied, of: torque-applied, at: save-log}}}\n", `takes "applied", which is of another kind (give a angle, or an id)`},
		{"what may not be found where it must be", judgesLog, "    check: {sensor-position: {words: ‸{output: shows, of: sensor-trace, at: save-log}}}\n",
			`depends on "shows" of check "sensor-trace", which may not be found (hold that step to the check in every way of it`},
		{"a step that may be left out", "    optional: true\n" + judgesLog, feeds("{output: shows, of: sensor-trace, at: ‸save-log}"), `depends on "save-log" of the step "save-log", which is optional`},
		{"no step", judgesLog, feeds("‸{output: shows, of: sensor-trace}"), `has no "at"`},
		{"a strange field", judgesLog, feeds("{output: shows, of: sensor-trace, at: save-log, ‸by: me}"), `has no field "by"`},
		{"a file", judgesLog, "    advise: {sensor-trace: {file: {output: ‸shows, of: sensor-trace, at: save-log}, column: B1S1}}\n", `takes "shows", which is of another kind (give the id of evidence)`},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, places := change{edits: traced(c.source, c.work)}.apply(t)
			_, err := Parse("bad.yaml", []byte(text))
			require.Error(t, err)
			faults := err.(Faults)
			require.Len(t, faults, 1, err)
			assert.Contains(t, faults[0].Error(), c.want)
			assert.Equal(t, places[0], faults[0].Place, err)
		})
	}
}

func TestAQuantityThatACheckFoundFeedsOneOfItsDimension(t *testing.T) {
	firm := "    readings: [{id: firm, title: Torque, quantity: torque}]\n    check: {torque-applied: {reading: firm, low: low, high: 50 N·m, accuracy: 4 %}}\n"
	p := sound(t, traced(firm, "    advise: {torque-setting: {wanted: {output: applied, of: torque-applied, at: save-log}, wrench: 300 mm, adapter: 30 mm}}\n")...)
	work, _ := p.StepByID("work")
	assert.Equal(t, "applied", work.Checks[0].Inputs[0].Found.Output)
}

func TestAdviceTakesWhatMayNotBeFound(t *testing.T) {
	sound(t, traced("    optional: true\n"+judgesLog, "    advise: {fault-verdict: {trace: {output: shows, of: sensor-trace, at: save-log}}}\n")...)
}

func TestAnIncludeRenamesTheStepOfWhatACheckFound(t *testing.T) {
	part := with(t, append(traced(judgesLog, "    check: {fault-verdict: {trace: {output: shows, of: sensor-trace, at: save-log}}}\n"), "procedure: base", "procedure: part")...)
	whole := strings.Join([]string{"fenderside: 1", "procedure: whole", "revision: 1", "title: Whole", "scope: For tests",
		"steps:", "  - {include: part, as: p}", "make safe: [p]", ""}, "\n")
	p, err := ParseWith("whole.yaml", []byte(whole), func(string) (string, []byte, error) { return "part.yaml", []byte(part), nil })
	require.NoError(t, err)
	work, ok := p.StepByID("p.work")
	require.True(t, ok)
	assert.Equal(t, &Found{Output: "shows", Check: "sensor-trace", Step: "p.save-log"}, work.Checks[0].Inputs[0].Found)
}

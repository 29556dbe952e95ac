package rehearsal_test

// Two sensors change places only for want of other evidence, and what the change showed reaches the verdict.

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
)

// sides is the script in which two sensors change places, with pairs of old and new text replaced.
func sides(t *testing.T, edits ...string) []byte {
	for _, s := range library.Scripts() {
		if s.Name != "prove-the-fault-sides" {
			continue
		}
		text := string(s.Text)
		for i := 0; i < len(edits); i += 2 {
			require.Equal(t, 1, strings.Count(text, edits[i]), "%q", edits[i])
			text = strings.Replace(text, edits[i], edits[i+1], 1)
		}
		return []byte(text)
	}
	require.Fail(t, "no such script")
	return nil
}

func played(t *testing.T, script []byte) error {
	_, err := rehearsal.Run(rehearsal.Options{Script: script, ScriptName: "sides.yaml", Out: t.TempDir(), Program: "test", Files: library.ScriptFiles()})
	return err
}

func verdictsOf(t *testing.T, path string) map[string]checks.Verdict {
	out := map[string]checks.Verdict{}
	lines, _ := replayed(t, path)
	for _, l := range lines {
		for _, e := range l.Events {
			if e, ok := e.(runner.Computed); ok && e.Check == "fault-verdict" {
				out[e.Step] = e.Verdict
			}
		}
	}
	return out
}

func TestAFaultThatGoesWithTheSensorIsTheSecondKindOfEvidence(t *testing.T) {
	done, err := rehearsal.Sample(t.TempDir(), "prove-the-fault-sides")
	require.NoError(t, err)
	assert.Equal(t, map[string]checks.Verdict{"weigh-findings": checks.More, "weigh-sides": checks.Pass, "settle-verdict": checks.Pass}, verdictsOf(t, done.Record))
}

func TestAFaultThatStaysWithTheSideOrIsNotShownNamesNoSensor(t *testing.T) {
	for said, want := range map[string]string{"stayed": "look elsewhere: a cause outside the sensor", "not shown": "one kind of evidence alone"} {
		err := played(t, sides(t, "sides.swap_side: moved with the sensor", "sides.swap_side: "+said))
		require.ErrorContains(t, err, want, said)
	}
}

func TestNoSensorChangesPlacesForWhatIsSettled(t *testing.T) {
	err := played(t, sides(t, "element_shows: a resistance, element: 9.2 Ω", "element_shows: over its range"))
	require.ErrorContains(t, err, `"change-sides"`)
	require.ErrorContains(t, err, "the findings say this sensor already")
}

func TestTheChangeIsOfferedOnlyWhereTheCardHasAFellow(t *testing.T) {
	err := played(t, sides(t, "card: millbrook-six", "card: millbrook-eight", "cool.surface: [40.5 °C, 39.0 °C]}\n    spacing: 90 s\n  - {step: find-sensor", "cool.surface: [40.5 °C, 39.0 °C]}\n    spacing: 120 s\n  - {step: find-sensor"))
	require.ErrorContains(t, err, "more-tests")
	require.ErrorContains(t, err, `the current one is "run-again"`)
}

func TestEachSensorIsTorquedAgainAfterItWasSlackenedAndTheEngineStartsOnNoOtherTerms(t *testing.T) {
	for script, part := range map[string]string{"prove-the-fault-sides": "sides.", "oxygen-sensor-sides": "fault.sides."} {
		done, err := rehearsal.Sample(t.TempDir(), script)
		require.NoError(t, err)
		lines, _ := replayed(t, done.Record)
		torqued, starts := map[string]bool{}, 0
		for _, l := range lines {
			for _, e := range l.Events {
				switch e := e.(type) {
				case runner.Secured:
					torqued[e.Safeguard] = true
				case runner.Fell:
					delete(torqued, e.Safeguard)
				case runner.Done:
					if e.Step == part+"run.start-engine" {
						starts++
						assert.True(t, torqued[part+"torqued-here"] && torqued[part+"torqued-there"], "%s, line %d", script, l.Seq)
					}
				}
			}
		}
		assert.Equal(t, 2, starts, "%s: once changed over, and once with each in its own place again", script)
	}
}

func TestTheWholeJobReplacesASensorOnlyOnceBothAreBackInTheirOwnPlaces(t *testing.T) {
	done, err := rehearsal.Sample(t.TempDir(), "oxygen-sensor-sides")
	require.NoError(t, err)
	assert.Equal(t, map[string]checks.Verdict{"fault.weigh-findings": checks.More, "fault.weigh-sides": checks.Pass, "fault.settle-verdict": checks.Pass},
		verdictsOf(t, done.Record))
	lines, _ := replayed(t, done.Record)
	var order []string
	for _, l := range lines {
		for _, e := range l.Events {
			if e, ok := e.(runner.Done); ok && slices.Contains([]string{"fault.sides.lock-connectors", "fault.settle-verdict", "swap.break-loose", "repair.settle-repair"}, e.Step) {
				order = append(order, e.Step)
			}
		}
	}
	assert.Equal(t, []string{"fault.sides.lock-connectors", "fault.sides.lock-connectors", "fault.settle-verdict", "swap.break-loose", "repair.settle-repair"}, order)
}

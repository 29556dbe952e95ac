package rehearsal_test

// A job that has nothing to do with sensors is held by the same core: every stud is read, and a second key signs.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
)

// told is what a record says of one job.
type told struct {
	values         map[string][]string // by reading, in order
	passed, failed map[string]int      // checks of torque, by step; one that failed refuses the reading before it
	witnessed      []string            // steps
}

func recorded(t *testing.T, script string) told {
	t.Helper()
	done, err := rehearsal.Sample(t.TempDir(), script)
	require.NoError(t, err)
	lines, _ := replayed(t, done.Record)
	out := told{map[string][]string{}, map[string]int{}, map[string]int{}, nil}
	for _, l := range lines {
		for _, e := range l.Events {
			out.add(e)
		}
	}
	return out
}

func (o *told) add(e runner.Event) {
	switch e := e.(type) {
	case runner.ReadingTaken:
		o.values[e.Reading] = append(o.values[e.Reading], e.Value)
	case runner.Computed:
		if e.Check == "torque-applied" && e.Verdict == checks.Pass {
			o.passed[e.Step]++
		} else if e.Check == "torque-applied" {
			o.failed[e.Step]++
		}
	case runner.WitnessSigned:
		o.witnessed = append(o.witnessed, e.Step)
	}
}

func TestEveryStudOfTheSheetIsReadAndJudgedAndNoOther(t *testing.T) {
	for script, want := range map[string]map[string]int{
		"wheel-refit-plain":     {"torque-1": 1, "torque-2": 1, "torque-3": 1, "torque-4": 1},
		"wheel-refit-corrected": {"torque-1": 2, "torque-2": 3, "torque-3": 2, "torque-4": 2, "torque-5": 2}, // twice round, one correction
	} {
		o := recorded(t, script)
		for _, step := range []string{"torque-1", "torque-2", "torque-3", "torque-4", "torque-5", "torque-6"} {
			assert.Equal(t, want[step], o.passed[step], "%s: %s", script, step)
		}
		assert.Equal(t, []string{"witness-torque"}, o.witnessed, script)
	}
}

func TestAStudShortOfItsTorqueIsKeptAsRefusedAndPulledAfresh(t *testing.T) {
	o := recorded(t, "wheel-refit-corrected")
	assert.Equal(t, map[string]int{"set-wrench": 1, "torque-3": 1}, o.failed)
	assert.Equal(t, []string{"147 N·m", "162 N·m", "162 N·m"}, o.values["stud_3"], "short, afresh, and in the second round")
	assert.Equal(t, []string{"172 N·m", "162 N·m", "162 N·m"}, o.values["wheel_setting"])
	assert.Equal(t, []string{"6", "5"}, o.values["studs_seen"], "the sheet says five")
}

// The rule of this file: the verdict is held, over every combination of
// answers, to the rule as a person would say it, without the table.

package diagnosis

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// clean is a case with every outside cause ruled out; changes come on top.
func clean(changes Found) Found {
	f := Found{Wiring: Sound, Leak: NoLeak, Supply: Good}
	maps.Copy(f, changes)
	return f
}

func judged(t require.TestingT, f Found) Fault {
	v, err := Sensor(f, nil)
	require.NoError(t, err)
	return v
}

// The verdicts are those of common practice, written here by hand.
func TestASensorIsBlamedOnlyOnTwoKindsOfEvidenceWithEveryOutsideCauseRuledOut(t *testing.T) {
	for _, c := range []struct {
		name  string
		found Found
		want  Blame
		says  string
	}{
		{"nothing was looked at", Found{}, NotShown, "wiring and connector: follow the lead"},
		{"two kinds for it", clean(Found{Rich: NotAtAll, Trace: Suspect}), ThisSensor, "forced mixture and trace"},
		{"the fault moved with it", clean(Found{Swap: Moved, Lean: Slow}), ThisSensor, "forced mixture and swap"},
		{"heater and signal", clean(Found{Heater: Failed, Trace: Suspect}), ThisSensor, "heater and trace"},
		{"both ways of one test are one kind", clean(Found{Rich: NotAtAll, Lean: NotAtAll}), NotShown, "one kind of evidence alone"},
		{"the meter and the controller find the heater dead", clean(Found{Heater: Failed, Coded: OfHeater}), ThisSensor, "heater and controller's own test"},
		{"a good signal clears no heater", clean(Found{Heater: Failed, Coded: OfHeater, Trace: Healthy, Rich: Followed, Lean: Followed}), ThisSensor, "heater and controller's own test"},
		{"a heater's code and a heater in order", clean(Found{Heater: Passed, Coded: OfHeater, Trace: Healthy}), NotShown, "nothing speaks for the sensor or against it"},
		{"a heater's code and a dead supply", clean(Found{Heater: Failed, Coded: OfHeater, Supply: Bad}), LookElsewhere, "fuse, relay"},
		{"a code of another kind is no witness", clean(Found{Heater: Failed, Coded: OfOthers}), NotShown, "(heater)"},
		{"a heater alone", clean(Found{Heater: Failed}), NotShown, "(heater)"},
		{"one way slow, the other followed", clean(Found{Rich: Slow, Lean: Followed, Trace: Suspect}), ThisSensor, "forced mixture"},
		{"level trims clear nothing", clean(Found{Rich: Slow, Trace: Suspect, Trims: TrimsLevel}), ThisSensor, ""},
		{"the leak was not looked for", Found{Wiring: Sound, Supply: Good, Rich: NotAtAll, Trace: Suspect, Swap: Moved}, NotShown, "exhaust ahead of the sensor: smoke"},
		{"a leak", clean(Found{Leak: LeakFound, Rich: NotAtAll, Lean: NotAtAll, Trace: Suspect, Swap: Moved}), LookElsewhere, "seal it"},
		{"oil in the loom", clean(Found{Wiring: OilSoaked, Rich: NotAtAll, Trace: Suspect}), LookElsewhere, "oil leak that feeds the loom"},
		{"a dead supply explains the heater", clean(Found{Supply: Bad, Heater: Failed, Trace: Suspect}), LookElsewhere, "fuse, relay"},
		{"the fault stayed", clean(Found{Swap: Stayed, Trace: Suspect}), LookElsewhere, "controller's input of this place"},
		{"trims of another cause", clean(Found{Trims: TrimsOther, Trace: Suspect, Rich: Slow}), LookElsewhere, "fuel trims"},
		{"it answers and its trace is healthy", clean(Found{Rich: Followed, Lean: Followed, Trace: Healthy}), LookElsewhere, "comes and goes"},
		{"a healthy trace alone", clean(Found{Trace: Healthy}), NotShown, "one test can be done wrong"},
		{"findings that contradict each other", clean(Found{Swap: Moved, Rich: Slow, Trace: Healthy}), NotShown, "contradict"},
		{"a trace that cannot tell is taken again", clean(Found{Heater: Passed, Rich: Slow, Lean: Slow, Trims: TrimsAmong, Trace: CannotTell, Swap: NotTested}), NotShown, "sensor tried in another place"},
	} {
		v := judged(t, c.found)
		assert.Equal(t, c.want, v.Blame, "%s: %s", c.name, v.Because)
		assert.Contains(t, v.Because, c.says, c.name)
	}
}

// blamed is the rule in plain words, without table, worth or evidence.
func blamed(f Found) Blame {
	bad := func(q Question, answers ...string) bool { return slices.Contains(answers, f.answer(q)) }
	lame := func(q Question) bool { return bad(q, Slow, NotAtAll) }
	if bad(Wiring, Damaged, OilSoaked) || bad(Leak, LeakFound) || bad(Supply, Bad) || bad(Trims, TrimsOther) || bad(Swap, Stayed) {
		return LookElsewhere
	}
	count := func(all ...bool) (n int) {
		for _, one := range all {
			if one {
				n++
			}
		}
		return n
	}
	ofHeater := bad(Coded, OfHeater)
	pro := count(bad(Heater, Failed) && bad(Supply, Good), bad(Heater, Failed) && ofHeater, lame(Rich) || lame(Lean), bad(Trace, Suspect), bad(Swap, Moved))
	con := count(bad(Trace, Healthy) && !ofHeater, (bad(Rich, Followed) || bad(Lean, Followed)) && !lame(Rich) && !lame(Lean) && !ofHeater)
	switch {
	case con == 2 && pro == 0:
		return LookElsewhere
	case con == 0 && pro >= 2 && bad(Wiring, Sound) && bad(Leak, NoLeak) && bad(Supply, Good):
		return ThisSensor
	}
	return NotShown
}

// every calls do with every combination of answers to the tests from at on.
func every(tests []Test, f Found, do func(Found)) {
	if len(tests) == 0 {
		do(f)
		return
	}
	for _, a := range append(slices.Clone(tests[0].Answers), NotTested) {
		f[tests[0].Question] = a
		every(tests[1:], f, do)
	}
}

func TestEveryCombinationOfFindingsIsJudgedByTheRuleAsItIsSaid(t *testing.T) {
	tests, n := SensorTests(), 0
	every(tests, Found{}, func(f Found) {
		v, err := Sensor(f, nil)
		if n++; err != nil || blamed(f) != v.Blame || len(v.Workings) != len(tests)+1 {
			require.Failf(t, "wrong verdict", "%v: %s where %s was due; %v", f, v.Blame, blamed(f), err)
		}
		if (v.Blame == LookElsewhere) != (len(v.Where) > 0) || (v.Blame == NotShown) != (len(v.Next) > 0) {
			require.Failf(t, "no way on", "%v: %+v", f, v)
		}
	})
	assert.Equal(t, 4*3*3*4*4*4*4*4*4*3, n)
}

func TestEveryAnswerHasARowWithItsReasonAndSource(t *testing.T) {
	for _, table := range []struct {
		tests []Test
		rules []Rule
	}{{SensorTests(), SensorRules()}, {RepairTests(), RepairRules()}} {
		for _, test := range table.tests {
			assert.NotEmpty(t, test.How, test.Question)
			for _, a := range test.Answers {
				_, ok := Found{test.Question: a}.weigh(test.Question, table.rules)
				assert.True(t, ok, "%s: %s, with nothing else known", test.Question, a)
			}
		}
		for _, r := range table.rules {
			i := slices.IndexFunc(table.tests, func(x Test) bool { return x.Question == r.Question })
			require.GreaterOrEqual(t, i, 0, r.Question)
			test := table.tests[i]
			assert.Contains(t, test.Answers, r.Answer, r.Question)
			assert.NotEmpty(t, r.Because, r.Question)
			assert.NotEmpty(t, r.Source, r.Question)
			assert.Equal(t, r.Worth == For || r.Worth == Against, test.Rests != "" && r.Worth != Nothing && r.Worth != Outside, "%s, %s: evidence has a kind", r.Question, r.Answer)
			if r.Worth == Outside || r.Worth == Refutes || r.Worth == FollowUp {
				assert.NotEmpty(t, r.Then, "%s, %s", r.Question, r.Answer)
			}
			assert.False(t, test.First && (r.Worth == For || r.Worth == Against), "%s is of the vehicle and says nothing of the sensor", r.Question)
		}
	}
}

func drawn(t *rapid.T, tests []Test) Found {
	f := Found{}
	for _, test := range tests {
		f[test.Question] = rapid.SampledFrom(append(slices.Clone(test.Answers), NotTested)).Draw(t, string(test.Question))
	}
	return f
}

func TestAFindingAgainstNeverTurnsAVerdictToThisSensor(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := drawn(r, SensorTests())
		before := judged(r, f)
		test := rapid.SampledFrom(SensorTests()).Draw(r, "changed")
		f[test.Question] = rapid.SampledFrom(test.Answers).Draw(r, "answer")
		row, _ := f.weigh(test.Question, SensorRules())
		after := judged(r, f)
		if row.Worth == Against || row.Worth == Outside {
			assert.NotEqual(r, ThisSensor, after.Blame)
		}
		if row.Worth != For && row.Worth != Clears && len(before.For) < 2 && len(before.Against) == 0 && len(before.Where) == 0 {
			assert.NotEqual(r, ThisSensor, after.Blame, "nothing new speaks for it")
		}
	})
}

func TestWhatTheTrimsPointToIsNamed(t *testing.T) {
	v, err := Sensor(Found{Trims: TrimsOther}, []string{"air leaking in", "fuel pressure"})
	require.NoError(t, err)
	assert.Contains(t, v.Where[0], "air leaking in; or fuel pressure")
}

func FuzzAnAnswerThatIsNoneIsRefusedByName(f *testing.F) {
	f.Add("wiring and connector", "sound")
	f.Add("wiring and connector", "oily")
	f.Add("codes after the drive", "none")
	f.Fuzz(func(t *testing.T, question, answer string) {
		_, sensor := Sensor(Found{Question(question): answer}, nil)
		_, repair := Repair(Found{Question(question): answer}, nil)
		if sensor == nil && repair == nil {
			require.Fail(t, "a question of both tables", question)
		}
		for _, err := range []error{sensor, repair} {
			if err != nil {
				require.ErrorContains(t, err, "diagnosis: ")
			}
		}
	})
}

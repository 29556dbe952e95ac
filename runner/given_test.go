package runner_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/roster"
	"fenderside/runner/session/sessiontest"
)

// held is the same step, held to the torque instead.
const held = `
fenderside: 1
procedure: held
revision: 1
title: Pull a bolt
scope: For tests
safeguards:
  tight: {title: Tight, lapses: {on: [loosened], because: it is loosened again}}
steps:
  - gate: pull
    title: Pull it
    secures: tight
    readings:
      - {id: set, title: Setting, quantity: torque, at most: 90 N·m}
    check: {torque-applied: {reading: set, low: 40 N·m, high: 60 N·m, accuracy: 4 %}}
  - gate: loosen
    title: Loosen it
    releases: [tight]
    causes: [loosened]
    affirm: [It is loose]
make safe: [loosen]
`

// What Given gives, run through the check again, says what the record says: nothing else was looked at.
func TestACheckRunAgainOnWhatItWasGivenSaysTheSame(t *testing.T) {
	for name, x := range map[string]struct {
		text, step, check string
		values            [][2]string
	}{
		"accepted":            {held, "pull", "torque-applied", [][2]string{{"set", "50 N·m"}}},
		"refused by it":       {held, "pull", "torque-applied", [][2]string{{"set", "41 N·m"}}},
		"refused, then taken": {held, "pull", "torque-applied", [][2]string{{"set", "41 N·m"}, {"set", "50 N·m"}}},
		"refused twice":       {held, "pull", "torque-applied", [][2]string{{"set", "41 N·m"}, {"set", "62 N·m"}}},
		"advice":              {advised, "measure", "touch-safe", [][2]string{{"method", "contact probe"}, {"plate", "90 °C"}, {"plate", "50 °C"}}},
	} {
		t.Run(name, func(t *testing.T) {
			do, state := work(t, x.text)
			_, ok := state().Given(x.step, x.check)
			assert.False(t, ok, "nothing was given yet")
			var said runner.Computed
			for _, v := range x.values {
				for _, e := range do(runner.Read{Step: x.step, Reading: v[0], Value: v[1]}).Events {
					if c, is := e.(runner.Computed); is {
						said = c
					}
				}
			}
			args, ok := state().Given(x.step, x.check)
			require.True(t, ok)
			st, _ := state().Job().Procedure.StepByID(x.step)
			again, err := st.Checks[0].Check.Run(args)
			require.NoError(t, err)
			assert.Equal(t, said.Because, again.Because)
			assert.Equal(t, said.Workings, again.Workings)
		})
	}
}

func TestWhatAValueOutsideItsLimitsSaysIsGivenToNoCheckThatHoldsTheStep(t *testing.T) {
	do, state := work(t, held)
	do(runner.Read{Step: "pull", Reading: "set", Value: "95 N·m"})
	_, ok := state().Given("pull", "torque-applied")
	assert.False(t, ok)
	_, ok = state().Given("pull", "touch-safe")
	assert.False(t, ok, "no such check")
	_, ok = state().Given("push", "torque-applied")
	assert.False(t, ok, "no such step")
}

// work begins a job of a procedure, its briefing acknowledged.
func work(t *testing.T, text string) (do func(runner.Command) runner.Decision, state func() runner.State) {
	t.Helper()
	p, err := procedures.Parse("work.yaml", []byte(strings.TrimPrefix(text, "\n")))
	require.NoError(t, err)
	asha := sessiontest.Person("asha")
	r, err := roster.Parse([]byte(sessiontest.RosterOf(asha)))
	require.NoError(t, err)
	job, err := runner.Bind(runner.Opening{Fenderside: runner.RecordFormat, Semantics: runner.Semantics, Mode: runner.Practice, Performer: asha.Person,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest}, Roster: runner.Document{Digest: r.Digest()}}, p, nil, r)
	require.NoError(t, err)
	now := runner.Moment{Wall: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC), Session: 1}
	s := runner.Begin(job, now)
	do = func(c runner.Command) runner.Decision {
		now.Wall, now.Mono = now.Wall.Add(time.Minute), now.Mono+time.Minute
		d := runner.Decide(s, c, now)
		s = d.State
		return d
	}
	for _, b := range runner.Briefs(p) {
		do(runner.Acknowledge{Item: b.ID})
	}
	return do, func() runner.State { return s }
}

package runner_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/roster"
	"fenderside/runner/session/sessiontest"
)

const advised = `
fenderside: 1
procedure: advised
revision: 1
title: Let a plate cool
scope: For tests
safeguards:
  cool: {title: Cool, lapses: {on: [heated], because: it is heated again}}
steps:
  - gate: measure
    title: Measure it
    secures: cool
    readings:
      - {id: method, title: How, choose: [contact probe, infrared]}
      - {id: plate, title: Plate, quantity: temperature, at most: 60 °C, series: true}
    advise: {touch-safe: {surface: plate, limit: 43 °C, method: method}}
  - gate: heat
    title: Heat it
    releases: [cool]
    causes: [heated]
    affirm: [The heat is on]
make safe: [heat]
`

func TestAdviceIsWrittenDownAndHoldsNothing(t *testing.T) {
	p, err := procedures.Parse("advised.yaml", []byte(advised))
	require.NoError(t, err)
	asha := sessiontest.Person("asha")
	text := sessiontest.RosterOf(asha)
	r, err := roster.Parse([]byte(text))
	require.NoError(t, err)
	job, err := runner.Bind(runner.Opening{Fenderside: runner.RecordFormat, Semantics: runner.Semantics, Mode: runner.Practice, Performer: asha.Person,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest},
		Roster:    runner.Document{Digest: r.Digest()}}, p, nil, r)
	require.NoError(t, err)
	now := runner.Moment{Wall: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC), Session: 1}
	s := runner.Begin(job, now)
	do := func(c runner.Command) runner.Decision {
		now.Wall, now.Mono = now.Wall.Add(time.Minute), now.Mono+time.Minute
		d := runner.Decide(s, c, now)
		s = d.State
		return d
	}
	for _, b := range runner.Briefs(p) {
		do(runner.Acknowledge{Item: b.ID})
	}
	do(runner.Read{Step: "measure", Reading: "method", Value: "contact probe"})
	do(runner.Read{Step: "measure", Reading: "plate", Value: "90 °C"}) // outside its limit: refused, and still part of the curve
	d := do(runner.Read{Step: "measure", Reading: "plate", Value: "50 °C"})
	said := d.Events[len(d.Events)-1].(runner.Computed)
	assert.Equal(t, checks.Fail, said.Verdict)
	view, _ := s.View("measure", now)
	assert.Len(t, view.Readings[1].Refused, 1, "advice refuses no reading")
	assert.Contains(t, view.Checks[0].Workings[0]+view.Checks[0].Because, "50", "the advice was run on what was read")
	assert.Nil(t, do(runner.Finish{Step: "measure"}).Refusal, "advice holds nothing")
}

func TestACheckIsNotBothAskedAndAdvice(t *testing.T) {
	const advice = "    advise: {touch-safe"
	both := strings.Replace(advised, advice, "    check: {touch-safe: {surface: plate, limit: 43 °C, method: method}}\n"+advice, 1)
	_, err := procedures.Parse("both.yaml", []byte(both))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "keep one of the two")
}

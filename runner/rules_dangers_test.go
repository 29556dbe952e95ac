package runner_test

// What a danger alone states is held to at run time, whatever the proof says: needs, lapses, their time, causes, pinned work and
// what a close asks for.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/prove"
	"fenderside/runner"
)

// byDangers is a job whose dangers say what nothing else does.
const byDangers = `
fenderside: 1
procedure: bench-lamp
revision: 1
title: Change the lamp of a workbench
scope: For tests.
safeguards:
  unplugged: {title: Unplugged}
  swept: {title: Splinters swept up, lasting: true}
dangers:
  shock: {title: A live socket, kept off by: [unplugged], comes with: [interruption, jolt], comes back after: 30 min}
  splinters: {title: Splinters, kept off by: [swept], comes with: [broken]}
  ember: {title: An ember, kept off by: [watch], comes with: [lit, broken]}
steps:
  - gate: pull-plug
    title: Pull the plug
    secures: unplugged
    affirm: [The plug is in my pocket]
  - do: draw-lamp
    title: Draw the lamp
    faces: [shock]
    brings: [splinters]
    affirm: [The lamp is out]
  - do: bend-over
    title: Bend over the lamp
    faces: [ember]
    affirm: [It is seen]
  - do: bump
    title: Bump the bench
    causes: [jolt, broken, lit]
    affirm: [It is bumped]
  - gate: sweep
    title: Sweep the splinters up
    secures: swept
    affirm: [The bench is bare]
  - gate: plug-back
    title: Put the plug back
    releases: [unplugged]
    affirm: [The lamp burns]
pinned:
  - {pin: watch, title: Watch it, starts on: [lit], at least: 1 min, affirm: [Nothing glows]}
make safe: [sweep, plug-back]
`

func TestWhatADangerAloneSaysIsHeldToAtRunTime(t *testing.T) {
	p, err := procedures.Parse("bench-lamp.yaml", []byte(byDangers))
	require.NoError(t, err)
	require.False(t, prove.Procedure(p, prove.Limits{}).Proved(), "the proof refuses it; the core holds without the proof")
	at := func(id string) *bench { return open(t, setup{text: byDangers}).to(id) }

	b := at("draw-lamp")
	b.do(runner.StopWork{Safeguards: []string{"unplugged"}})
	b.do(runner.Clear{})
	assert.Equal(t, "pull-plug", b.open(), "what is faced is kept off first")
	b.refused(runner.Finish{Step: "draw-lamp"}, runner.NotCurrent, runner.SafeguardMissing)

	b = at("draw-lamp")
	b.do(runner.Pause{Reason: "tea"})
	assert.False(t, b.stands("unplugged"), "an interruption brings the danger back")

	b = at("draw-lamp").pass(31 * time.Minute)
	b.do(runner.Tick{})
	assert.False(t, b.stands("unplugged"), "the clock brings it back")
	assert.Equal(t, "pull-plug", b.open())

	b = at("bump")
	b.step()
	assert.False(t, b.stands("unplugged"), "a cause brings it back")
}

func TestWhatAStepBringsOnHappensThoughItNamesNoCause(t *testing.T) {
	b := open(t, setup{text: byDangers}).to("pull-plug")
	b.fill("pull-plug")
	d := b.do(runner.Finish{Step: "pull-plug"})
	require.Equal(t, "draw-lamp", b.open())
	require.Len(t, find[runner.Happened](d), 1)
	assert.Equal(t, "broken", find[runner.Happened](d)[0].Cause)
	b.step()
	require.NotEmpty(t, b.state.Pins(b.now), "what watches for a danger starts on all that the danger comes with")
	assert.Equal(t, "bend-over", b.cursor())
	assert.NotEqual(t, "bend-over", b.open(), "and is over before the danger is faced")
	b.do(runner.Close{Outcome: procedures.Referred, Reason: "cracked"})
	var due []string
	for _, st := range b.state.Due() {
		due = append(due, st.ID)
	}
	assert.Contains(t, due, "sweep", "a close asks for what keeps off the danger that was brought on")
}

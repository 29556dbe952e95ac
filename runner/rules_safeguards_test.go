package runner_test

// A safeguard stands from its gate until a step releases it, its cause of lapse happens, its time is up, what it rests on
// falls, or somebody reports it lost. While a step's need is missing the job is held: only the gate is offered.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
)

func TestASafeguardFallsByItsCauseAndNoOther(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	assert.False(t, b.stands("cool"), "the torch heats it")
	assert.True(t, b.stands("dead"))
	assert.True(t, b.stands("chocked"))
}

func TestACauseHappensAgainAsItsStepIsLeft(t *testing.T) {
	b := above(t).to("loosen")
	d := b.do(runner.Answer{Step: "loosen", Say: "It is to be heated"})
	assert.Len(t, find[runner.PinStarted](d), 1)
	b.fill("heat").pass(5 * time.Minute)
	d = b.do(runner.Finish{Step: "heat"})
	assert.Len(t, find[runner.PinStarted](d), 1, "the watch starts again with the flame out")
	require.Len(t, b.state.Pins(b.now), 1)
	assert.Equal(t, 30*time.Minute, b.state.Pins(b.now)[0].Left)
}

func TestASafeguardFallsWhenItsTimeIsUp(t *testing.T) {
	b := beneath(t).to("lift")
	b.step()
	b.pass(3*time.Hour - time.Millisecond)
	b.do(runner.Tick{})
	assert.True(t, b.stands("raised"))
	b.pass(time.Millisecond)
	d := b.do(runner.Tick{})
	assert.False(t, b.stands("raised"))
	assert.Equal(t, runner.ByTime, find[runner.Fell](d)[0].Why)
}

func TestWhatFellWithTimeIsGoneBeforeTheCommandIsLookedAt(t *testing.T) {
	b := beneath(t).to("loosen").pass(4 * time.Hour)
	d := b.try(runner.Answer{Step: "loosen", Say: "It turns"})
	require.NotNil(t, d.Refusal)
	assert.Equal(t, "lift", b.open())
	assert.Equal(t, runner.NotCurrent, d.Refusal.Reasons[0].Code)
}

func TestWhatRestsOnAFallenSafeguardFalls(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	for _, id := range []string{"chocked", "dead", "cool"} {
		assert.False(t, b.stands(id), id)
	}
	b = above(t).to("measure")
	b.do(runner.StopWork{Safeguards: []string{"dead"}})
	assert.True(t, b.stands("fitted"), "what is lasting rests on nothing")
	assert.True(t, b.stands("chocked"))
}

func TestAHeldJobOffersTheGateWithItsOwnNeedsFirstAndComesBack(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.do(runner.Clear{})
	for _, gate := range []string{"chock", "isolate", "cool-down"} {
		assert.Equal(t, gate, b.open())
		assert.Equal(t, "loosen", b.cursor())
		assert.NotEmpty(t, b.state.HeldBy())
		b.refused(runner.Answer{Step: "loosen", Say: "It turns"}, codes(runner.NotCurrent, len(b.state.HeldBy()))...)
		b.step()
	}
	assert.Equal(t, "loosen", b.open())
	assert.Empty(t, b.state.HeldBy())
}

// codes is a code, then as often safeguard-missing.
func codes(first runner.Code, missing int) []runner.Code {
	out := []runner.Code{first}
	for range missing {
		out = append(out, runner.SafeguardMissing)
	}
	return out
}

func TestAGateThatFellWantsFreshEvidence(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.StopWork{Safeguards: []string{"dead"}})
	b.do(runner.Clear{})
	b.refused(runner.Finish{Step: "isolate"}, runner.StatementMissing, runner.ReadingMissing)
}

func TestEntriesOfAGateUnderWayFallWithWhatItNeeds(t *testing.T) {
	b := above(t).to("isolate")
	b.do(runner.Affirm{Step: "isolate", Statement: 0})
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.do(runner.Clear{})
	assert.Equal(t, "chock", b.open())
	b.step()
	b.refused(runner.Finish{Step: "isolate"}, runner.StatementMissing, runner.ReadingMissing)
}

func TestEntriesOfAStepFallWithASafeguardItNeeds(t *testing.T) {
	b := above(t).to("remove")
	b.do(runner.Affirm{Step: "remove", Statement: 0})
	b.do(runner.StopWork{Safeguards: []string{"cool"}})
	b.do(runner.Clear{})
	b.step()
	assert.Equal(t, "remove", b.open())
	b.refused(runner.Finish{Step: "remove"}, runner.StatementMissing)
}

func TestStopWorkIsTakenWhateverElseIsTheMatter(t *testing.T) {
	for name, bring := range map[string]func(*bench){
		"working":  func(*bench) {},
		"paused":   func(b *bench) { b.do(runner.Pause{Reason: "tea"}) },
		"handover": func(b *bench) { b.do(runner.HandOver{To: bryn}) },
		"closing":  func(b *bench) { b.do(runner.Close{Outcome: "referred", Reason: "crack"}) },
	} {
		t.Run(name, func(t *testing.T) {
			b := above(t).to("loosen")
			bring(b)
			b.do(runner.StopWork{Safeguards: []string{"cool"}})
			assert.False(t, b.stands("cool"))
			assert.True(t, b.state.Stopped())
			assert.Empty(t, b.open())
			d := b.try(runner.Finish{Step: "cool-down"})
			require.NotNil(t, d.Refusal)
			assert.Equal(t, runner.NotClear, d.Refusal.Reasons[0].Code)
		})
	}
}

func TestStopWorkWithNoneNamedIsEveryOneThatStands(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.StopWork{})
	assert.False(t, b.stands("chocked") || b.stands("dead") || b.stands("cool"))
}

func TestStopWorkHoldsTheBriefingToo(t *testing.T) {
	b := above(t)
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.refused(runner.Acknowledge{Item: "scope"}, runner.NotClear)
	b.do(runner.Clear{})
	b.do(runner.Acknowledge{Item: "scope"})
	b.refused(runner.StopWork{Safeguards: []string{"charmed"}}, runner.NotASafeguard)
}

func TestAGateWhoseSafeguardStandsIsGoneByWithoutLosingIt(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	b.step()
	assert.Equal(t, "cool-down", b.open(), "held for the exhaust")
	assert.Equal(t, "loosen", b.cursor())
	b.step()
	assert.Equal(t, "loosen", b.open())
}

func TestAStepThatReleasesFellsWhatRested(t *testing.T) {
	b := above(t).to("connect")
	b.do(runner.Affirm{Step: "connect", Statement: 0})
	d := b.do(runner.Finish{Step: "connect"})
	assert.Len(t, find[runner.Released](d), 2)
	assert.Empty(t, find[runner.Fell](d))
	assert.False(t, b.stands("dead") || b.stands("cool"))
}

func TestAPinnedStepRunsItsTimeAndBlocksWhatNeedsIt(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	b.step()
	b.refused(runner.Affirm{Step: "fire-watch", Statement: 0}, runner.WaitRunning)
	b.refused(runner.Finish{Step: "fire-watch"}, runner.WaitRunning)
	for b.cursor() != "connect" {
		b.step()
	}
	assert.Equal(t, "fire-watch", b.open(), "connecting needs the watch to be over")
	b.refused(runner.Affirm{Step: "connect", Statement: 0}, runner.NotCurrent, runner.PinRunning)
	b.pass(30 * time.Minute)
	b.do(runner.Affirm{Step: "fire-watch", Statement: 0})
	b.do(runner.Finish{Step: "fire-watch"})
	assert.Equal(t, "connect", b.open())
}

func TestAnAnswerThatEndsTheJobSecuresNothing(t *testing.T) {
	text := `
fenderside: 1
procedure: prove
revision: 1
title: Prove
scope: For tests.
safeguards:
  dead: {title: Dead, lapses: {on: [interruption], because: somebody connects it}}
steps:
  - gate: prove
    title: Prove it dead
    secures: dead
    affirm: [The meter is on both ends]
    ask: {question: What does it show, answers: [{say: Nothing}, {say: Still live, then: referred}]}
  - do: work
    title: Work
    needs: [dead]
    affirm: [The work is over]
  - gate: connect
    title: Connect it
    releases: [dead]
    affirm: [It is connected]
make safe: [connect]
`
	b := open(t, setup{text: text}).to("prove")
	b.fill("prove")
	b.do(runner.Answer{Step: "prove", Say: "Still live"})
	assert.False(t, b.stands("dead"))
	assert.Equal(t, "connect", b.open())

	b = open(t, setup{text: text}).to("work")
	b.do(runner.Pause{Reason: "tea"})
	b.do(runner.Resume{})
	b.fill("prove")
	b.refused(runner.Answer{Step: "prove", Say: "Still live"}, runner.NotNow)
	b.do(runner.Answer{Step: "prove", Say: "Nothing"})
	assert.Equal(t, "work", b.open())
}

func TestALossCarriesWhatIsToBeDoneFirst(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	require.Len(t, b.state.StopWork(), 1)
	assert.Equal(t, []string{"Stand clear"}, b.state.StopWork()[0].IfLost)
	b.do(runner.Clear{})
	b.refused(runner.Clear{}, runner.NotNow)
}

package runner_test

// Every close passes the make-safe steps of what was secured or begun, and of nothing else. What cannot be made safe is
// written down, and then the job is never complete.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

func refer(b *bench) { b.do(runner.Close{Outcome: procedures.Referred, Reason: "cracked"}) }

func TestAnEarlyCloseMakesSafeWhatWasBegunOnly(t *testing.T) {
	b := above(t)
	refer(b)
	assert.Empty(t, b.state.Due(), "nothing was begun in the briefing")
	b.do(runner.Seal{By: asha})

	b = above(t).to("isolate")
	refer(b)
	assert.Equal(t, []string{"unchock"}, dueSteps(b))

	b = above(t).to("isolate")
	b.do(runner.Affirm{Step: "isolate", Statement: 0})
	refer(b)
	assert.Equal(t, []string{"connect", "unchock"}, dueSteps(b), "a gate that was only begun is undone too")

	b = beneath(t).to("remove")
	refer(b)
	assert.Equal(t, []string{"tools-out", "look-round", "lower", "connect", "unchock"}, dueSteps(b))
	for _, want := range []string{"tools-out", "look-round", "lower", "connect", "unchock"} {
		b.refused(runner.Seal{By: asha}, madeSafe(len(b.state.Due()))...)
		require.Equal(t, want, b.open())
		b.step()
	}
	b.do(runner.Seal{By: asha})
	assert.Equal(t, procedures.Referred, b.state.Outcome())
}

func TestTheTrackOfAnEarlyCloseLeadsThroughWhatIsStillToMakeSafe(t *testing.T) {
	b := beneath(t).to("remove")
	require.Equal(t, "remove", b.ahead(2)[0])
	refer(b)
	assert.Equal(t, []string{"tools-out", "look-round", "lower"}, b.ahead(2), "no step of the work comes next")
	for range 4 {
		b.step()
	}
	assert.Equal(t, []string{"unchock"}, b.ahead(3))
}

// ahead is the step at hand and the next n on the track.
func (b *bench) ahead(n int) []string {
	var steps []string
	for _, m := range b.state.Track(n) {
		if steps != nil || m.Here {
			steps = append(steps, m.Step.ID)
		}
	}
	return steps
}

func TestTheTrackLeadsWhereTheWorkLeadsAndNotThroughTheFile(t *testing.T) {
	b := above(t).to("loosen")
	assert.Equal(t, []string{"loosen", "remove", "picture", "fit"}, b.ahead(3), "by the first answer, while none is given")
	b.answer("loosen", "It is stuck")
	assert.Equal(t, []string{"soak", "loosen", "remove", "picture"}, b.ahead(3), "and back again")

	b = above(t).to("measure")
	assert.Equal(t, []string{"measure", "tools-out", "look-round", "connect", "start", "unchock"}, b.ahead(9), "nothing was raised")
	b = beneath(t).to("measure")
	assert.Equal(t, []string{"measure", "crawl-out", "tools-out", "look-round", "lower", "connect", "start", "unchock"}, b.ahead(9))
}

func TestTheTrackLeadsFromAGateToTheStepThatItHolds(t *testing.T) {
	b := above(t).to("remove")
	b.do(runner.StopWork{Safeguards: []string{"cool"}})
	b.do(runner.Clear{})
	require.NotEqual(t, b.cursor(), b.open())
	assert.Equal(t, []string{b.open(), "remove", "picture"}, b.ahead(2))
}

func madeSafe(n int) []runner.Code {
	out := make([]runner.Code, n)
	for i := range out {
		out[i] = runner.MakeSafeDue
	}
	return out
}

func TestWhatOneStepMakesSafeIsNotMadeSafeByAnother(t *testing.T) {
	b := above(t).to("remove")
	refer(b)
	b.step()
	assert.Equal(t, "look-round", b.open(), "both are due after the same work")
}

func TestASafeguardThatFellIsStillToBeUndone(t *testing.T) {
	b := above(t).to("loosen")
	b.restart()
	b.do(runner.Resume{})
	require.False(t, b.stands("dead"))
	refer(b)
	assert.Contains(t, dueSteps(b), "connect")
}

func TestARunningPinBlocksEveryClose(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	b.do(runner.Close{Outcome: procedures.Abandoned, Reason: "no gas"})
	for b.open() != "fire-watch" {
		b.step()
	}
	b.pass(29 * time.Minute)
	b.refused(runner.Finish{Step: "fire-watch"}, runner.WaitRunning)
	assert.Contains(t, dueSteps(b), "fire-watch")
	b.pass(time.Minute)
	b.step()
	for b.open() != "" {
		b.step()
	}
	b.do(runner.Seal{By: asha})
}

func TestOnlyTheEndOfTheProcedureIsComplete(t *testing.T) {
	b := above(t).to("loosen")
	b.refused(runner.Close{Outcome: procedures.Complete, Reason: "done"}, runner.CompleteNotByHand)
	b.refused(runner.Close{Outcome: "finished", Reason: "done"}, runner.NotAChoice)
	b.refused(runner.Close{Outcome: procedures.Referred}, runner.ReasonMissing)
	b.refused(runner.Seal{By: asha}, runner.NotNow)
}

func TestALeftLineIsSignedForAndBarsComplete(t *testing.T) {
	b := above(t).to("loosen")
	b.refused(runner.Leave{Step: "connect", State: "cable off"}, runner.NotNow)
	refer(b)
	b.refused(runner.Leave{Step: "connect"}, runner.ReasonMissing)
	b.refused(runner.Leave{Step: "lower", State: "up"}, runner.NotDueToMakeSafe)
	b.do(runner.Leave{Step: "connect", State: "cable off, tag on the wheel"})
	b.refused(runner.Leave{Step: "connect", State: "again"}, runner.NotDueToMakeSafe)
	assert.Len(t, b.state.Left(), 1)
	b.do(runner.Continue{Reason: "the part came"})
	assert.Empty(t, b.state.Left())
	for b.open() != "" {
		b.step()
	}
	assert.Equal(t, procedures.Complete, b.state.Outcome())
	assert.True(t, b.state.ReadyToSeal())

	b = above(t).to("unchock")
	b.step()
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.do(runner.Clear{})
	b.refused(runner.Leave{Step: "unchock", State: "chocks in"}, runner.LeftNotForComplete)
}

func TestACloseIsTakenBackToWhereTheJobWas(t *testing.T) {
	b := above(t).to("loosen")
	b.refused(runner.Continue{Reason: "on"}, runner.NotNow)
	refer(b)
	b.refused(runner.Continue{}, runner.ReasonMissing)
	b.do(runner.Continue{Reason: "it is not cracked"})
	assert.Equal(t, "loosen", b.cursor())
	b = above(t)
	refer(b)
	b.do(runner.Continue{Reason: "on"})
	assert.Equal(t, runner.Briefing, b.state.Phase())
}

func TestACompleteJobHasNothingEngaged(t *testing.T) {
	b := open(t, setup{text: `
fenderside: 1
procedure: short
revision: 1
title: Short
scope: For tests.
safeguards:
  off: {title: "Off"}
steps:
  - gate: turn-off
    title: Turn it off
    secures: off
    affirm: ["It is off"]
  - do: look
    title: Look
    ask: {question: Done, answers: [{say: "Done", then: complete}, {say: "Not done"}]}
  - gate: turn-on
    title: Turn it on
    releases: [off]
    affirm: ["It is on"]
make safe: [turn-on]
`}).to("look")
	b.do(runner.Answer{Step: "look", Say: "Done"})
	assert.Equal(t, procedures.Complete, b.state.Outcome())
	b.refused(runner.Seal{By: asha}, runner.MakeSafeDue, runner.StillEngaged)
	assert.Equal(t, "turn-on", b.open())
	b.step()
	b.do(runner.Seal{By: asha})
}

func TestAClosedJobTakesNothingMore(t *testing.T) {
	b := above(t)
	refer(b)
	b.do(runner.FollowUp{What: "look at it", Due: "2026-04-01"})
	b.refused(runner.FollowUp{What: "look at it", Due: "soon"}, runner.NotADate)
	b.do(runner.Seal{By: asha})
	for _, c := range []runner.Command{runner.Note{Text: "oh"}, runner.Tick{}, runner.Resume{}, runner.Reopen{}, runner.StopWork{}} {
		d := b.refused(c, runner.JobClosed)
		assert.Empty(t, d.Events)
	}
}

func TestAJobThatFollowsAnotherOwesEveryMakeSafeStep(t *testing.T) {
	b := open(t, setup{text: heater(t), after: "millbrook-0000", sheet: map[string]string{"reach": "beneath", "longest": "50 mm"}})
	for _, v := range b.state.Strip(b.now) {
		assert.Equal(t, runner.NotInPlace, v.State, "it starts with nothing secured")
		assert.Equal(t, !v.Safeguard.Lasting, v.Engaged, v.Safeguard.ID)
	}
	refer(b)
	assert.Equal(t, []string{"tools-out", "look-round", "lower", "connect", "unchock", "fire-watch"}, dueSteps(b))
	b.refused(runner.Seal{By: asha}, madeSafe(6)...)
	assert.Equal(t, "chock", b.open(), "the count of the tools needs it dead, and that needs it chocked")
	for b.open() != "" {
		b.step()
	}
	assert.Empty(t, b.state.Due())
	b.do(runner.Seal{By: asha})
}

func TestAJobThatFollowsAnotherMayAlsoRunToItsEnd(t *testing.T) {
	b := open(t, setup{text: heater(t), after: "millbrook-0000", sheet: map[string]string{"reach": "above", "longest": "50 mm"}})
	b.to("unchock")
	assert.Equal(t, runner.Finished, b.status("lower"), "nobody knows whether the other job had raised it")
	assert.Equal(t, runner.Finished, b.status("fire-watch"))
	b.step()
	assert.Equal(t, procedures.Complete, b.state.Outcome())
	b.do(runner.Seal{By: asha})
}

package runner_test

// Work that was broken off waits for a deliberate resume, which moves nothing. A change of person is signed by both, in
// order. A witness is another person, on the roster in that role, over what was entered so far.

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/seal"
)

func TestARestartComesBackHeldAndWaitsForAResume(t *testing.T) {
	b := above(t).to("loosen")
	b.now.Session, b.now.Mono = 2, 0
	d := b.do(runner.Reopen{Cut: 7, CutDigest: "ab"})
	assert.Equal(t, runner.ByRestart, find[runner.Interrupted](d)[0].Cause)
	require.NotNil(t, b.state.Hold())
	assert.Equal(t, "loosen", b.state.Hold().Step)
	assert.Equal(t, []string{"dead", "cool"}, b.state.Hold().Fell)
	assert.Empty(t, b.open())
	b.refused(runner.Affirm{Step: "isolate", Statement: 0}, runner.Interruption)
	b.refused(runner.Close{Outcome: "referred", Reason: "enough"}, runner.Interruption)
	b.refused(runner.HandOver{To: bryn}, runner.Interruption)
	b.refused(runner.Pause{Reason: "tea"}, runner.Interruption)
	b.do(runner.Note{Text: "power cut"})
	at := b.cursor()
	b.do(runner.Resume{})
	assert.Equal(t, at, b.cursor(), "a resume advances nothing")
	assert.Equal(t, "isolate", b.open())
	b.refused(runner.Resume{}, runner.NotNow)
}

func TestASecondInterruptionStillTellsWhatFellWithTheFirst(t *testing.T) {
	b := above(t).to("loosen")
	b.restart()
	b.restart()
	assert.Equal(t, []string{"dead", "cool"}, b.state.Hold().Fell)
}

func TestAnotherProcessHasNoSayWithoutReopening(t *testing.T) {
	b := above(t).to("loosen")
	was := b.now
	b.now.Session++
	b.refused(runner.Note{Text: "hello"}, runner.WrongSession)
	b.refused(runner.Note{Text: "hello"}, runner.WrongSession)
	b.refused(runner.Resume{}, runner.WrongSession)
	b.now.Session++
	b.refused(runner.Reopen{}, runner.WrongSession)
	b.now.Session = was.Session
	b.refused(runner.Reopen{}, runner.WrongSession)
	assert.Equal(t, was.Session, b.state.Last().Session)
	assert.Nil(t, b.state.Hold())
}

func TestTimeThatRunsBackwardsIsRefusedAsOftenAsItIsTried(t *testing.T) {
	b := above(t).to("isolate").pass(time.Hour)
	b.do(runner.Note{Text: "later"})
	b.pass(-time.Minute)
	b.refused(runner.Note{Text: "earlier"}, runner.ClockBackwards)
	b.pass(time.Second)
	b.refused(runner.Note{Text: "still earlier"}, runner.ClockBackwards)
}

func TestClocksThatPartBothWaysAreAnInterruption(t *testing.T) {
	for name, drift := range map[string]time.Duration{"slept": 3 * time.Second, "set back": -3 * time.Second} {
		t.Run(name, func(t *testing.T) {
			b := above(t).to("loosen")
			b.now.Wall = b.now.Wall.Add(drift)
			d := b.do(runner.Tick{})
			i := find[runner.Interrupted](d)
			require.Len(t, i, 1)
			assert.Equal(t, runner.ByClock, i[0].Cause)
			assert.Equal(t, drift.Milliseconds(), i[0].Drift)
			assert.False(t, b.stands("dead"))
		})
	}
	b := above(t).to("loosen")
	b.now.Wall = b.now.Wall.Add(1900 * time.Millisecond)
	b.do(runner.Tick{})
	assert.Nil(t, b.state.Hold(), "a clock that is slewed stays within two seconds")
	b.pass(time.Hour)
	b.now.Wall = b.now.Wall.Add(2 * time.Second)
	b.do(runner.Note{Text: "an hour on"})
	assert.Nil(t, b.state.Hold(), "one in a thousand of an hour is allowed on top")
}

func TestAResumeDoesNotTakeUpWhatItsOwnMomentBrokeOff(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.Pause{Reason: "tea"})
	b.now.Wall = b.now.Wall.Add(time.Hour)
	b.refused(runner.Resume{}, runner.Interruption)
	require.NotNil(t, b.state.Hold())
	assert.Equal(t, runner.ByClock, b.state.Hold().Why)
	b.do(runner.Resume{})
}

func TestWaitsEarnNothingAcrossARestart(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	b.step()
	b.pass(29 * time.Minute)
	b.restart()
	b.pass(29 * time.Minute)
	b.do(runner.Resume{})
	require.Len(t, b.state.Pins(b.now), 1)
	assert.Equal(t, time.Minute, b.state.Pins(b.now)[0].Left, "counted from the reopening, not from before")

	b = above(t).to("cool-down")
	b.do(runner.StartWait{Step: "cool-down"})
	b.pass(4 * time.Minute)
	b.restart()
	b.do(runner.Resume{})
	b.to("cool-down")
	b.pass(2 * time.Hour)
	d := b.try(runner.Finish{Step: "cool-down"})
	assert.Equal(t, runner.ReadingMissing, d.Refusal.Reasons[0].Code)
	assert.Contains(t, d.Refusal.Reasons, runner.Reason{Code: runner.WaitNotStarted, Step: "cool-down"})
}

func TestAWaitThatIsBrokenOffStartsAgain(t *testing.T) {
	for name, breakOff := range map[string]func(*bench){
		"restart": func(b *bench) { b.restart() },
		"slept":   func(b *bench) { b.now.Wall = b.now.Wall.Add(time.Hour); b.do(runner.Tick{}) },
	} {
		t.Run(name, func(t *testing.T) {
			b := open(t, setup{text: `
fenderside: 1
procedure: wait
revision: 1
title: Wait
scope: For tests.
steps:
  - do: rest
    title: Let it rest
    wait: {at least: 5 min, for: it to settle}
`}).to("rest")
			b.do(runner.StartWait{Step: "rest"})
			b.pass(4 * time.Minute)
			breakOff(b)
			b.do(runner.Resume{})
			b.pass(time.Minute)
			b.refused(runner.Finish{Step: "rest"}, runner.WaitNotStarted)
			b.do(runner.StartWait{Step: "rest"})
			b.pass(5 * time.Minute)
			b.do(runner.Finish{Step: "rest"})
		})
	}
}

func TestAcrossARestartTheAgeOfASafeguardIsShownByTheWallClock(t *testing.T) {
	b := above(t).to("isolate").pass(time.Minute)
	at := b.now.Wall
	b.restart()
	b.pass(time.Hour)
	require.True(t, b.stands("chocked"))
	assert.Equal(t, b.now.Wall.Sub(at)+time.Minute, b.state.Strip(b.now)[0].For)
}

func TestTheLongestTimeOfASafeguardCountsAsPassedAcrossARestart(t *testing.T) {
	b := beneath(t).to("lift")
	b.step()
	require.True(t, b.stands("raised"))
	b.restart()
	assert.False(t, b.stands("raised"))
}

func TestAPauseIsHeldAndMayBeSigned(t *testing.T) {
	b := above(t).to("loosen")
	b.refused(runner.Pause{}, runner.ReasonMissing)
	b.refused(runner.Pause{Reason: "tea", Signature: b.stretch(bryn, "pause")}, runner.SignatureBad)
	b.refused(runner.Pause{Reason: "tea", Signature: b.stretch(asha, "sign-on")}, runner.SignatureBad)
	d := b.do(runner.Pause{Reason: "tea", Signature: b.stretch(asha, "pause")})
	assert.True(t, find[runner.Interrupted](d)[0].Signed)
	assert.False(t, b.stands("dead"))
	assert.True(t, b.stands("chocked"))
}

func TestAHandoverKeepsItsOrder(t *testing.T) {
	b := above(t).to("loosen")
	b.refused(runner.SignOn{}, runner.NoHandover)
	b.refused(runner.SignOff{}, runner.NoHandover)
	b.refused(runner.KeepJob{Reason: "no"}, runner.NoHandover)
	b.refused(runner.HandOver{To: asha}, runner.SameKey)
	b.refused(runner.HandOver{To: efa}, runner.NotOnRoster)
	b.refused(runner.HandOver{To: dilys}, runner.NotOnRoster)
	b.do(runner.HandOver{To: bryn})
	assert.Equal(t, bryn, b.state.Acting())
	assert.Equal(t, asha, b.state.Performer())
	assert.False(t, b.stands("chocked") || b.stands("dead") || b.stands("cool"))
	b.refused(runner.SignOn{Signature: b.stretch(bryn, "sign-on")}, runner.StillToSecure, runner.StillToSecure, runner.StillToSecure)
	b.refused(runner.SignOff{Signature: b.stretch(asha, "sign-off")}, runner.NotSignedOn)
	b.refused(runner.Close{Outcome: "referred", Reason: "enough"}, runner.HandoverOpen)
	for _, gate := range []string{"chock", "isolate", "cool-down"} {
		require.Equal(t, gate, b.open())
		b.step()
	}
	assert.Empty(t, b.open(), "only the signatures are left")
	b.refused(runner.SignOn{Signature: b.stretch(asha, "sign-on")}, runner.SignatureBad)
	b.do(runner.SignOn{Signature: b.stretch(bryn, "sign-on")})
	b.refused(runner.SignOff{Signature: b.stretch(bryn, "sign-off")}, runner.SignatureBad)
	b.do(runner.SignOff{Signature: b.stretch(asha, "sign-off")})
	assert.Equal(t, bryn, b.state.Performer())
	assert.Empty(t, b.state.Unsigned())
	assert.Equal(t, "loosen", b.open())
}

func TestWhatFallsAfterSigningOnIsSecuredAndSignedForAgain(t *testing.T) {
	b := above(t).to("isolate")
	b.do(runner.HandOver{To: bryn})
	b.step()
	b.do(runner.SignOn{Signature: b.stretch(bryn, "sign-on")})
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.do(runner.Clear{})
	b.refused(runner.SignOff{Signature: b.stretch(asha, "sign-off")}, runner.NotSignedOn)
	b.refused(runner.SignOn{Signature: b.stretch(bryn, "sign-on")}, runner.StillToSecure)
}

func TestAHandoverMayBeWithdrawn(t *testing.T) {
	b := above(t).to("loosen")
	b.do(runner.HandOver{To: bryn})
	b.refused(runner.KeepJob{}, runner.ReasonMissing)
	b.do(runner.KeepJob{Reason: "bryn was called away"})
	assert.Equal(t, asha, b.state.Performer())
	assert.Equal(t, "chock", b.open(), "what fell has fallen")
}

func TestATakeoverLeavesTheStretchUnsigned(t *testing.T) {
	b := above(t).to("loosen")
	b.restart()
	b.refused(runner.TakeOver{By: asha, Reason: "gone", Signature: b.stretch(asha, "take-over")}, runner.SameKey)
	b.refused(runner.TakeOver{By: bryn, Signature: b.stretch(bryn, "take-over")}, runner.ReasonMissing)
	b.refused(runner.TakeOver{By: bryn, Reason: "gone", Signature: b.stretch(bryn, "sign-on")}, runner.SignatureBad)
	b.refused(runner.TakeOver{By: dilys, Reason: "gone", Signature: b.stretch(dilys, "take-over")}, runner.NotOnRoster)
	b.do(runner.TakeOver{By: bryn, Reason: "asha is ill", Signature: b.stretch(bryn, "take-over")})
	assert.Equal(t, []runner.Person{asha}, b.state.Unsigned())
	assert.Equal(t, bryn, b.state.Performer())
	require.NotNil(t, b.state.Hold(), "and still waits for a resume")
	assert.False(t, b.stands("chocked"), "what a handover fells has fallen")
}

func TestAWitnessIsAnotherPersonInThatRoleOverWhatIsEntered(t *testing.T) {
	b := above(t).to("fit")
	b.refused(b.witness("fit", dilys), runner.ReadingMissing, runner.ReadingMissing, runner.ReadingMissing)
	for b.next("fit") != nil {
		c := b.next("fit")
		if _, last := c.(runner.Witnessed); last {
			break
		}
		b.do(c)
	}
	b.refused(runner.Finish{Step: "fit"}, runner.WitnessMissing)
	b.refused(b.witness("fit", asha), runner.SameKey)
	b.refused(b.witness("fit", efa), runner.NotOnRoster)
	b.refused(b.witness("fit", cefin), runner.NotOnRoster)
	b.refused(runner.Witnessed{Step: "fit", By: dilys, Signature: b.stretch(dilys, "witness")}, runner.SignatureBad)
	alias := b.witness("fit", bryn)
	alias.By.Name = dilys.Name
	b.refused(alias, runner.NotOnRoster)
	stale := b.witness("fit", dilys)
	b.do(runner.Note{Text: "the head moves on"})
	b.refused(stale, runner.SignatureBad)
	other := runner.Witnessed{Step: "fit", By: dilys, Signature: b.sign(dilys, seal.Witness, runner.WitnessMessage("millbrook-0002", "fit", b.now.Head))}
	b.refused(other, runner.SignatureBad)
	b.do(b.witness("fit", dilys))
	b.do(runner.Finish{Step: "fit"})
	b.refused(b.witness("measure", dilys), runner.UnknownItem)
}

func TestInAHandoverNeitherPersonWitnesses(t *testing.T) {
	b := open(t, setup{text: heater(t), by: cefin, sheet: map[string]string{"reach": "above", "longest": "50 mm"}})
	b.to("isolate")
	b.do(runner.HandOver{To: bryn})
	require.Equal(t, "chock", b.open())
	b.do(runner.KeepJob{Reason: "no"})
	b.do(runner.Affirm{Step: "chock", Statement: 0})
	b.do(runner.Affirm{Step: "chock", Statement: 1})
	b.refused(b.witness("chock", cefin), runner.SameKey)
	b.do(b.witness("chock", bryn))
}

func TestAnApprenticesEveryGateIsWitnessed(t *testing.T) {
	b := open(t, setup{text: heater(t), by: cefin, sheet: map[string]string{"reach": "above", "longest": "50 mm"}})
	b.to("chock")
	b.refused(runner.Finish{Step: "chock"}, runner.StatementMissing, runner.StatementMissing, runner.WitnessMissing)
	b.step()
	b.to("measure")
	b.fill("measure")
	b.do(runner.Finish{Step: "measure"}) // no gate
	b.to("unchock")
	b.step()
	require.True(t, b.state.ReadyToSeal())
	b.refused(runner.Seal{By: cefin}, runner.NotOnRoster)
	b.refused(runner.Seal{By: asha}, runner.SignatureBad)
	b.refused(runner.Seal{By: asha, Signature: b.stretch(asha, "close")}, runner.SignatureBad)
	b.refused(runner.Seal{By: dilys, Signature: b.stretch(cefin, "close")}, runner.NotOnRoster)
	b.do(runner.Seal{By: asha, Signature: b.stretch(cefin, "close")})
	assert.Equal(t, runner.Closed, b.state.Phase())
}

package runner_test

// A wrong entry is corrected by appending, with a reason. What rested on it is judged again: what would not be accepted now
// is undone, its safeguard falls, the job returns. A refused reading is never corrected into a pass.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
)

func reading(id, value string) runner.Correct {
	return runner.Correct{Correction: runner.Correction{Reading: id, Value: value, Reason: "misread"}}
}

func answerOf(step string) runner.Correct {
	return runner.Correct{Correction: runner.Correction{Answer: step, Reason: "wrong key"}}
}

func statement(step string, n int) runner.Correct {
	return runner.Correct{Correction: runner.Correction{Statement: step, Index: n, Reason: "not so"}}
}

func sheet(id, value string) runner.Correct {
	return runner.Correct{Correction: runner.Correction{Sheet: id, Value: value, Reason: "wrong line"}}
}

func TestARefusedReadingIsNeverCorrectedIntoAPass(t *testing.T) {
	b := above(t).to("isolate")
	b.do(runner.Take{Instrument: "meter", Name: "Meter 7", Due: "2027-01-31"})
	b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "12 V"})
	b.refused(reading("residual", "0.1 V"), runner.TakeFresh)
	b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "0.1 V"})
	b.do(reading("residual", "0.9 V"))
	b.refused(reading("residual", "0.1 V"), runner.TakeFresh)
	b.do(runner.Affirm{Step: "isolate", Statement: 0})
	b.refused(runner.Finish{Step: "isolate"}, runner.ReadingRefused)
}

func TestACorrectionKeepsTheOldValueAndItsReason(t *testing.T) {
	b := above(t).to("cool-down")
	d := b.do(reading("residual", "0.3 V"))
	c := find[runner.Corrected](d)
	require.Len(t, c, 1)
	assert.Equal(t, "0.5 V", c[0].Old)
	assert.Equal(t, "misread", c[0].Reason)
	assert.True(t, b.stands("dead"), "it is still accepted")
	b.refused(runner.Correct{Correction: runner.Correction{Reading: "residual", Value: "0.2 V"}}, runner.ReasonMissing)
	b.refused(reading("residual", "0.3 V"), runner.NothingToCorrect)
	b.refused(reading("residual", "lots"), runner.NotAQuantity)
	b.refused(reading("nothing", "0.2 V"), runner.UnknownItem)
	b.refused(runner.Correct{Correction: runner.Correction{Reading: "residual", Sheet: "reach", Value: "1 V", Reason: "both"}}, runner.NothingToCorrect)
}

func TestACorrectionThatFailsFellsTheSafeguardAndReturnsTheJob(t *testing.T) {
	b := above(t).to("measure")
	d := b.do(reading("residual", "12 V"))
	assert.False(t, b.stands("dead"))
	assert.False(t, b.stands("cool"), "it rested on the other")
	assert.Equal(t, runner.ByCorrection, find[runner.Fell](d)[0].Why)
	assert.Equal(t, "isolate", b.cursor())
	assert.Equal(t, "isolate", b.open())
	b.refused(runner.Finish{Step: "isolate"}, runner.StatementMissing, runner.ReadingMissing)
}

func TestAnAnswerCorrectedReturnsToTheDecision(t *testing.T) {
	b := above(t).to("remove")
	b.do(answerOf("loosen"))
	assert.Equal(t, "loosen", b.open())
	b.refused(runner.Finish{Step: "loosen"}, runner.AnswerMissing)
	b.answer("loosen", "It is stuck")
	assert.Equal(t, "soak", b.open())
	b.refused(answerOf("chock"), runner.NothingToCorrect)
	b.refused(answerOf("nowhere"), runner.NothingToCorrect)
}

func TestACorrectionNeverCarriesTheJobPastWorkThatIsNotDone(t *testing.T) {
	b := above(t).to("measure")
	b.do(statement("isolate", 0)) // back to the beginning, with all that follows still to be done again
	require.Equal(t, "isolate", b.cursor())
	b.step()
	require.Equal(t, "cool-down", b.open())
	b.do(answerOf("loosen"))
	assert.Equal(t, "cool-down", b.cursor(), "the main line comes to it by itself")
	assert.Equal(t, runner.Untouched, b.status("loosen"))
	b.to("loosen")
	b.refused(runner.Finish{Step: "loosen"}, runner.AnswerMissing)
}

func TestAnAnswerThatLedBackIsCorrectedWhereNothingWasDoneSince(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	b.step()
	b.to("loosen")
	b.answer("loosen", "It is stuck")
	require.Equal(t, "soak", b.cursor())
	b.do(answerOf("loosen"))
	assert.Equal(t, "loosen", b.cursor())
}

func TestAWayTakenByMistakeIsTakenAnew(t *testing.T) {
	b := beneath(t).to("lift")
	b.do(runner.Choose{Step: "lift", Way: "ram"})
	b.do(runner.Affirm{Step: "lift", Statement: 0})
	b.do(answerOf("lift"))
	b.do(runner.Choose{Step: "lift", Way: "stands"})
	b.refused(runner.Finish{Step: "lift"}, runner.StatementMissing)
	b.step()
	assert.True(t, b.stands("raised"))
	b.do(answerOf("lift"))
	assert.False(t, b.stands("raised"))
	assert.Equal(t, "lift", b.open())
}

func TestAStatementTakenBackUndoesItsStep(t *testing.T) {
	b := above(t).to("measure")
	b.do(statement("chock", 1))
	assert.False(t, b.stands("chocked") || b.stands("dead") || b.stands("cool"))
	assert.Equal(t, "chock", b.open())
	b.refused(statement("chock", 1), runner.NothingToCorrect)
	b.refused(statement("chock", 99), runner.NothingToCorrect)
	b.refused(statement("chock", -1), runner.NothingToCorrect)
}

func TestACorrectionVoidsTheWitnessThatCoveredIt(t *testing.T) {
	b := above(t).to("fit")
	b.fill("fit")
	d := b.do(reading("shell", "19 mm"))
	assert.Len(t, find[runner.WitnessVoided](d), 1)
	b.refused(runner.Finish{Step: "fit"}, runner.WitnessMissing)
	b.step()
	b.do(reading("shell", "18 mm"))
	assert.False(t, b.stands("fitted"), "done, but nobody has witnessed it as it is now")
	assert.Equal(t, "fit", b.open())
}

func TestAnEntryAfterTheWitnessVoidsTheSignature(t *testing.T) {
	b := above(t).to("fit")
	b.fill("fit")
	d := b.do(photo("fit", "label"))
	assert.Len(t, find[runner.WitnessVoided](d), 1)
	b.refused(runner.Finish{Step: "fit"}, runner.WitnessMissing)
}

func TestAReadingThatLimitsAnotherIsCorrectedInBothPlaces(t *testing.T) {
	b := above(t).to("fit")
	b.do(runner.Read{Step: "fit", Reading: "shell", Value: "20 mm"})
	b.do(runner.Read{Step: "fit", Reading: "whole", Value: "30 mm"})
	d := b.do(reading("shell", "40 mm"))
	assert.Equal(t, "whole", find[runner.Overruled](d)[0].Reading)
	b.do(runner.Read{Step: "fit", Reading: "from", Value: "above"})
	b.refused(runner.Finish{Step: "fit"}, runner.ReadingRefused, runner.WitnessMissing)
	b.refused(reading("whole", "41 mm"), runner.TakeFresh)
	b.do(runner.Read{Step: "fit", Reading: "whole", Value: "41 mm"})
}

func TestTheSheetCorrectedIsHeldAgainstWhatWasRead(t *testing.T) {
	b := above(t).to("measure")
	b.do(sheet("longest", "10 mm"))
	assert.False(t, b.stands("fitted"))
	assert.Equal(t, "fit", b.open())
	b = above(t).to("fit")
	b.do(runner.Read{Step: "fit", Reading: "shell", Value: "20 mm"})
	d := b.do(sheet("longest", "15 mm"))
	assert.Equal(t, "shell", find[runner.Overruled](d)[0].Reading)
	b.refused(sheet("longest", "15 mm"), runner.NothingToCorrect)
	b.refused(sheet("longest", "5 mm"), runner.NotAQuantity)
	b.refused(sheet("weight", "5 mm"), runner.NothingToCorrect)
	b.do(sheet("longest", " 16 mm "))
	for _, e := range b.state.Sheet() {
		if e.ID == "longest" {
			assert.Equal(t, "16 mm", e.Value)
			assert.Equal(t, "typed", e.From)
		}
	}
}

func TestAStepGoneByIsDoneWhenItAppliesAfterAll(t *testing.T) {
	b := above(t).to("measure")
	b.do(sheet("reach", "beneath"))
	assert.Equal(t, "lift", b.cursor(), "the first step that applies now")
	assert.Equal(t, runner.Untouched, b.status("fit"), "reached from another side than it says")
}

func TestAWatchWhoseWordIsTakenBackRunsAgain(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is to be heated")
	for b.cursor() != "start" {
		b.step()
	}
	require.Empty(t, b.state.Pins(b.now))
	b.do(statement("fire-watch", 0))
	require.Len(t, b.state.Pins(b.now), 1)
	b.do(runner.Close{Outcome: "referred", Reason: "smoke"})
	assert.NotEmpty(t, b.state.Due())
}

func TestAMakeSafeStepThatIsUndoneIsDueAgain(t *testing.T) {
	b := above(t).to("start")
	b.do(statement("tools-out", 0))
	b.do(runner.Close{Outcome: "abandoned", Reason: "no light"})
	assert.Contains(t, dueSteps(b), "tools-out")
}

func dueSteps(b *bench) []string {
	var out []string
	for _, st := range b.state.Due() {
		out = append(out, st.ID)
	}
	return out
}

func TestACheckIsRunAgainWhereverItsFigureIsUsed(t *testing.T) {
	b := open(t, setup{text: `
fenderside: 1
procedure: torque
revision: 1
title: Torque
scope: For tests.
instruments: {wrench: {title: Wrench}}
safeguards:
  tight: {title: Tight, lasting: true}
steps:
  - do: look-up
    title: Look the certificate up
    readings: [{id: spread, title: Spread, quantity: ratio, unit: "%", between: [0.5 %, 10 %]}]
  - gate: tighten
    title: Tighten it
    secures: tight
    readings: [{id: click, title: Click, quantity: torque, unit: N·m, instrument: wrench}]
    check: {torque-applied: {reading: click, low: 40 N·m, high: 44 N·m, accuracy: spread, adapter: 0 mm}}
  - do: look
    title: Look
    needs: [tight]
    affirm: [The bolt is tight]
`})
	b.values["spread"] = "1 %"
	b.to("look")
	require.True(t, b.stands("tight"))
	d := b.do(reading("spread", "10 %"))
	require.NotEmpty(t, find[runner.Computed](d))
	assert.False(t, b.stands("tight"), "with that wrench nobody knows")
	assert.Equal(t, "tighten", b.open())
}

func TestAChoiceThatIsWipedStillCountsUntilItIsMadeAnew(t *testing.T) {
	b := open(t, setup{text: `
fenderside: 1
procedure: reach
revision: 1
title: Reach
scope: For tests.
safeguards:
  up: {title: Up}
steps:
  - do: decide
    title: Decide
    ask: {question: From where, answers: [{say: above}, {say: beneath}]}
  - gate: raise
    title: Raise
    when: {decide: beneath}
    secures: up
    affirm: [It is up]
  - do: work
    title: Work
    needs: [{safeguard: up, when: {decide: beneath}}]
    affirm: [The work is over]
  - gate: count
    title: Count
    needs: [{safeguard: up, when: {decide: beneath}}]
    due after: [work]
    affirm: [The count agrees]
  - gate: lower
    title: Lower
    releases: [up]
    affirm: [It is down]
make safe: [count, lower]
`}).to("decide")
	b.answer("decide", "beneath")
	b.to("work")
	b.do(runner.Affirm{Step: "work", Statement: 0})
	b.do(answerOf("decide"))
	require.Equal(t, "decide", b.open())
	b.do(runner.StopWork{Safeguards: []string{"up"}})
	b.do(runner.Clear{})
	b.do(runner.Close{Outcome: "referred", Reason: "done for"})
	assert.Equal(t, "raise", b.open(), "nobody counts tools beneath what nothing holds up")
}

func TestAWitnessNotAskedForThenIsNotAskedForLater(t *testing.T) {
	b := above(t).to("measure")
	b.do(runner.TakeOver{By: cefin, Reason: "asha is ill", Signature: b.stretch(cefin, "take-over")})
	b.do(runner.Resume{})
	for b.open() != "measure" {
		b.step()
	}
	b.do(sheet("longest", "60 mm"))
	assert.True(t, b.stands("fitted"))
	assert.Equal(t, "measure", b.open(), "a correction that changes nothing returns to nothing")
}

func TestWhatACloseMadeSafeIsOwedAgainAndIsNoPlaceOnTheLine(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It broke")
	require.Equal(t, "tools-out", b.open())
	b.step()
	require.Equal(t, "look-round", b.open())
	b.do(statement("tools-out", 0))
	assert.Equal(t, runner.Closing, b.state.Phase(), "the line went to referred, and passes neither the count nor what follows it")
	assert.Equal(t, "tools-out", b.open())
	for range 10 {
		if b.open() != "" {
			require.NotEqual(t, "start", b.open())
			b.step()
		}
	}
	assert.True(t, b.state.ReadyToSeal())
}

func TestAGateOfAHoldThatIsUndoneBringsTheJobBackToWhatRestedOnIt(t *testing.T) {
	b := above(t).to("measure")
	b.do(runner.StopWork{Safeguards: []string{"dead"}})
	b.do(runner.Clear{})
	require.Equal(t, "isolate", b.open())
	b.to("measure")
	b.step()
	require.Equal(t, "tools-out", b.cursor())
	b.do(statement("isolate", 0))
	assert.Equal(t, "measure", b.cursor(), "the first that was done on the line since and needed it")
	assert.Equal(t, "isolate", b.open())
}

func TestAGateOfAHoldThatIsUndoneBeforeAnythingRestedOnItIsAskedForAgain(t *testing.T) {
	b := above(t).to("measure")
	b.do(runner.StopWork{Safeguards: []string{"dead"}})
	b.do(runner.Clear{})
	b.to("measure")
	b.do(statement("isolate", 0))
	assert.Equal(t, "measure", b.cursor())
	assert.Equal(t, "isolate", b.open())
}

func TestTheJobGoesBackForWhatRestedOnASafeguardThatRestedOnTheUndoneOne(t *testing.T) {
	b := above(t).to("remove")
	b.do(runner.StopWork{Safeguards: []string{"chocked"}})
	b.do(runner.Clear{})
	b.to("remove")
	require.True(t, b.stands("cool"), "it was measured again on the new chocks")
	b.step()
	require.Equal(t, "picture", b.cursor())
	b.do(statement("chock", 0))
	assert.Equal(t, "remove", b.cursor(), "it needs cool, which rests on dead, which rests on the chocks")
	assert.Equal(t, "chock", b.open())
}

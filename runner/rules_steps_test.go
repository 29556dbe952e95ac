package runner_test

// A step completes only as the current one, with every safeguard it needs, every reading accepted, every statement
// affirmed one by one, its check passed, its time waited, its witness signed. No gate is ever gone around.

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
)

func TestOnlyTheCurrentStepTakesEntries(t *testing.T) {
	b := above(t).to("isolate")
	b.refused(runner.Affirm{Step: "cool-down", Statement: 0}, runner.NotCurrent, runner.SafeguardMissing)
	b.refused(runner.Affirm{Step: "chock", Statement: 0}, runner.NotCurrent)
	b.refused(runner.Finish{Step: "fit"}, runner.NotCurrent, runner.SafeguardMissing, runner.SafeguardMissing)
	b.refused(runner.Answer{Step: "loosen", Say: "It turns"}, runner.NotCurrent, runner.SafeguardMissing, runner.SafeguardMissing)
	b.refused(runner.StartWait{Step: "cool-down"}, runner.NotCurrent, runner.SafeguardMissing)
	b.refused(runner.Read{Step: "cool-down", Reading: "surface", Value: "20 °C"}, runner.NotCurrent, runner.SafeguardMissing)
	b.refused(runner.Choose{Step: "lift", Way: "ram"}, runner.NotCurrent)
	b.refused(photo("fit", "label"), runner.NotCurrent, runner.SafeguardMissing, runner.SafeguardMissing)
	b.refused(b.witness("fit", dilys), runner.NotCurrent, runner.SafeguardMissing, runner.SafeguardMissing)
	b.refused(runner.Skip{Step: "picture", Reason: "no camera"}, runner.NotCurrent, runner.SafeguardMissing)
	b.refused(runner.Affirm{Step: "nowhere"}, runner.UnknownStep)
}

func TestEveryStatementIsAffirmedOnItsOwn(t *testing.T) {
	b := above(t).to("chock")
	b.refused(runner.Finish{Step: "chock"}, runner.StatementMissing, runner.StatementMissing)
	b.do(runner.Affirm{Step: "chock", Statement: 0})
	b.refused(runner.Affirm{Step: "chock", Statement: 0}, runner.AlreadyEntered)
	b.refused(runner.Affirm{Step: "chock", Statement: 2}, runner.UnknownItem)
	b.refused(runner.Affirm{Step: "chock", Statement: -1}, runner.UnknownItem)
	b.refused(runner.Finish{Step: "chock"}, runner.StatementMissing)
	b.do(runner.Affirm{Step: "chock", Statement: 1})
	b.do(runner.Finish{Step: "chock"})
	assert.True(t, b.stands("chocked"))
}

func TestEveryReadingIsRecordedAndAcceptedFirst(t *testing.T) {
	b := above(t).to("isolate")
	b.do(runner.Affirm{Step: "isolate", Statement: 0})
	b.refused(runner.Finish{Step: "isolate"}, runner.ReadingMissing)
	b.refused(runner.Read{Step: "isolate", Reading: "residual", Value: "0 V"}, runner.InstrumentMissing)
	b.do(runner.Take{Instrument: "meter", Name: "Meter 7", Due: "2027-01-31"})
	b.refused(runner.Read{Step: "isolate", Reading: "residual", Value: "0 N·m"}, runner.NotAQuantity)
	b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "-0.6 V"})
	b.refused(runner.Finish{Step: "isolate"}, runner.ReadingRefused)
	b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "-0.5 V"})
	b.refused(runner.Read{Step: "isolate", Reading: "residual", Value: "0 V"}, runner.AlreadyEntered)
	b.do(runner.Finish{Step: "isolate"})
}

func TestAReadingOutOfRangeIsKeptWithItsReasons(t *testing.T) {
	b := above(t).to("isolate")
	b.do(runner.Take{Instrument: "meter", Name: "Meter 7", Due: "2027-01-31"})
	d := b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "12.4 V"})
	taken := find[runner.ReadingTaken](d)
	require.Len(t, taken, 1)
	assert.False(t, taken[0].Accepted)
	assert.Equal(t, runner.AboveLimit, taken[0].Reasons[0].Code)
	assert.Equal(t, "12.4 V", taken[0].Value)
	b.do(runner.Read{Step: "isolate", Reading: "residual", Value: "0.1 V"})
	v, _ := b.state.View("isolate", b.now)
	require.Len(t, v.Readings[0].Refused, 1)
	assert.Equal(t, "12.4 V", v.Readings[0].Refused[0].Text)
	assert.Equal(t, "0.1 V", v.Readings[0].Values[0].Text)
}

func TestTheLastValueOfASeriesMustBeAcceptedToo(t *testing.T) {
	b := open(t, setup{text: `
fenderside: 1
procedure: series
revision: 1
title: A series
scope: For tests.
safeguards:
  warm: {title: Warm}
steps:
  - gate: feel
    title: Feel it
    secures: warm
    readings: [{id: heat, title: Heat, quantity: temperature, unit: °C, at most: 48 °C, series: true}]
  - gate: leave-it
    title: Leave it
    releases: [warm]
    affirm: [The cover is shut]
make safe: [leave-it]
`}).to("feel")
	b.do(runner.Read{Step: "feel", Reading: "heat", Value: "40 °C"})
	b.do(runner.Read{Step: "feel", Reading: "heat", Value: "200 °C"})
	b.refused(runner.Finish{Step: "feel"}, runner.ReadingRefused)
	b.do(runner.Read{Step: "feel", Reading: "heat", Value: "41 °C"})
	b.do(runner.Finish{Step: "feel"})
}

func TestALimitThatIsNotKnownYetLetsNothingPass(t *testing.T) {
	b := above(t).to("fit")
	b.refused(runner.Read{Step: "fit", Reading: "whole", Value: "5 mm"}, runner.ReadingMissing)
	b.do(runner.Read{Step: "fit", Reading: "shell", Value: "20 mm"})
	b.do(runner.Read{Step: "fit", Reading: "whole", Value: "5 mm"})
	b.do(runner.Read{Step: "fit", Reading: "from", Value: "above"})
	b.refused(runner.Finish{Step: "fit"}, runner.ReadingRefused, runner.WitnessMissing)
}

func TestAReadingThatMustBeTheSameIsHeldToIt(t *testing.T) {
	b := above(t).to("fit")
	d := b.do(runner.Read{Step: "fit", Reading: "from", Value: "beneath"})
	assert.Equal(t, runner.NotTheSame, find[runner.ReadingTaken](d)[0].Reasons[0].Code)
	b.refused(runner.Read{Step: "fit", Reading: "from", Value: "sideways"}, runner.NotAChoice)
	b.do(runner.Read{Step: "fit", Reading: "from", Value: "above"})
}

func TestAnInstrumentPastItsCalibrationIsRefused(t *testing.T) {
	read := runner.Read{Step: "isolate", Reading: "residual", Value: "0 V"}
	for due, good := range map[string]bool{"2026-03-13": false, "2026-03-14": true, "2026-03-15": true} {
		b := above(t).to("isolate")
		take := runner.Take{Instrument: "meter", Name: "Meter 7", Due: due}
		if good {
			b.do(take)
			b.do(read)
			continue
		}
		b.refused(take, runner.InstrumentOverdue)
		b.refused(read, runner.InstrumentMissing)
	}
	b := above(t).to("isolate")
	b.do(runner.Take{Instrument: "meter", Name: "Meter 7", Due: "2026-03-14"})
	b.pass(16 * time.Hour) // past midnight
	b.refused(read, runner.InstrumentOverdue)
	b = above(t).to("isolate")
	b.refused(runner.Take{Instrument: "meter", Name: "Meter 7"}, runner.NotADate)
	b.refused(runner.Take{Instrument: "hammer", Name: "Hammer"}, runner.UnknownItem)
	b.do(runner.Take{Instrument: "probe", Name: "Probe 2"})
}

func TestACheckMustPassAndAFailedOneWantsFreshMeasurements(t *testing.T) {
	b := above(t).to("cool-down")
	b.do(runner.StartWait{Step: "cool-down"})
	b.pass(5 * time.Minute)
	b.do(runner.Take{Instrument: "probe", Name: "Probe 2"})
	b.refused(runner.Finish{Step: "cool-down"}, runner.ReadingMissing, runner.CheckNotPassed)
	b.do(runner.Read{Step: "cool-down", Reading: "surface", Value: "40 °C"})
	b.refused(runner.Finish{Step: "cool-down"}, runner.CheckWantsMore)
	b.refused(runner.Read{Step: "cool-down", Reading: "surface", Value: "40 °C"}, runner.TooSoon)
	b.pass(10 * time.Second)
	b.do(runner.Read{Step: "cool-down", Reading: "surface", Value: "90 °C"})
	for range 4 {
		b.pass(10 * time.Second)
		b.do(runner.Read{Step: "cool-down", Reading: "surface", Value: "90 °C"})
	}
	d := b.try(runner.Finish{Step: "cool-down"})
	require.NotNil(t, d.Refusal, "a hot surface completes the gate")
	b.fill("cool-down")
	b.do(runner.Finish{Step: "cool-down"})
	assert.True(t, b.stands("cool"))
}

func TestACheckOfWhatWasGivenBeforeHoldsItsStep(t *testing.T) {
	for spread, good := range map[string]bool{"1 %": true, "10 %": false} {
		b := open(t, setup{text: `
fenderside: 1
procedure: judge
revision: 1
title: Judge
scope: For tests.
steps:
  - do: pull
    title: Pull
    readings:
      - {id: spread, title: Spread, quantity: ratio, unit: "%", between: [0.5 %, 10 %]}
      - {id: click, title: Click, quantity: torque, unit: N·m}
    affirm: [The wrench is back]
  - do: judge
    title: Judge it
    affirm: [The mark is made]
    check: {torque-applied: {reading: click, low: 40 N·m, high: 44 N·m, accuracy: spread, adapter: 0 mm}}
    ask: {question: How is it, answers: [{say: It holds}, {say: It slips, then: referred}]}
`})
		b.values["spread"] = spread
		b.to("judge")
		if !good {
			b.refused(runner.Answer{Step: "judge", Say: "It holds"}, runner.StatementMissing, runner.CheckNotPassed)
			b.do(runner.Affirm{Step: "judge", Statement: 0})
			b.refused(runner.Answer{Step: "judge", Say: "It holds"}, runner.CheckNotPassed)
			continue
		}
		b.refused(runner.Answer{Step: "judge", Say: "It holds"}, runner.StatementMissing)
		b.step()
	}
}

func TestAWaitIsWaitedOutAndOneMissedStartsAgain(t *testing.T) {
	b := above(t).to("loosen")
	b.answer("loosen", "It is stuck")
	b.do(runner.Affirm{Step: "soak", Statement: 0})
	b.refused(runner.Finish{Step: "soak"}, runner.WaitNotStarted)
	b.do(runner.StartWait{Step: "soak"})
	b.refused(runner.StartWait{Step: "soak"}, runner.AlreadyEntered)
	b.pass(10*time.Minute - time.Millisecond)
	b.refused(runner.Finish{Step: "soak"}, runner.WaitRunning)
	b.pass(20*time.Minute + 2*time.Millisecond)
	b.refused(runner.Finish{Step: "soak"}, runner.WaitMissed)
	b.do(runner.StartWait{Step: "soak"})
	b.pass(10 * time.Minute)
	b.do(runner.Finish{Step: "soak"})
	assert.Equal(t, "loosen", b.open())
}

func TestAStepIsRepeatedOnlySoOften(t *testing.T) {
	b := above(t).to("loosen")
	for range 2 {
		b.answer("loosen", "It is stuck")
		b.fill("soak")
		b.do(runner.Finish{Step: "soak"})
	}
	b.refused(runner.Answer{Step: "loosen", Say: "It is stuck"}, runner.RoundsSpent)
	assert.Equal(t, runner.Current, b.status("loosen"))
	b.do(runner.Answer{Step: "loosen", Say: "It turns"})
}

func TestAGateIsNeverSkipped(t *testing.T) {
	b := above(t).to("chock")
	b.refused(runner.Skip{Step: "chock", Reason: "in a hurry"}, runner.GateNotSkippable)
	b.to("loosen")
	b.refused(runner.Skip{Step: "loosen", Reason: "in a hurry"}, runner.NotOptional)
}

func TestAnOptionalStepIsSkippedOnlyWithAReason(t *testing.T) {
	b := above(t).to("picture")
	b.refused(runner.Skip{Step: "picture"}, runner.ReasonMissing)
	b.do(runner.Skip{Step: "picture", Reason: "no camera"})
	assert.Equal(t, runner.SkippedIt, b.status("picture"))
	assert.Equal(t, "fit", b.open())
}

func TestARefusalNamesEveryReason(t *testing.T) {
	b := above(t).to("fit")
	b.refused(runner.Finish{Step: "fit"}, runner.ReadingMissing, runner.ReadingMissing, runner.ReadingMissing, runner.WitnessMissing)
	b.refused(runner.Affirm{Step: "start", Statement: 0}, runner.NotCurrent, runner.SafeguardMissing)
	assert.Contains(t, b.state.Wants("start", b.now), runner.Reason{Code: runner.SafeguardMissing, Step: "start", Item: "fitted"})
}

func TestAStepThatDoesNotApplyIsGoneBy(t *testing.T) {
	b := above(t).to("cool-down")
	v, _ := b.state.View("lift", b.now)
	assert.Equal(t, runner.Passed, v.Status)
	b = beneath(t).to("lift")
	b.refused(runner.Finish{Step: "lift"}, runner.WayMissing)
	b.do(runner.Choose{Step: "lift", Way: "stands"})
	b.refused(runner.Affirm{Step: "lift", Statement: 0}, runner.NotApplicableHere)
	b.refused(runner.Choose{Step: "lift", Way: "ram"}, runner.AlreadyEntered)
	b.refused(runner.Finish{Step: "lift"}, runner.StatementMissing)
	b.step()
	assert.True(t, b.stands("raised"))
	b.to("measure")
	b.step()
	assert.Equal(t, "crawl-out", b.open())
}

func TestEvidenceIsBoundByItsDigest(t *testing.T) {
	b := above(t).to("picture")
	good := photo("picture", "photo")
	for name, spoil := range map[string]func(*runner.File){
		"short digest": func(f *runner.File) { f.SHA256 = "ab" },
		"no digest":    func(f *runner.File) { f.SHA256 = strings.Repeat("\x1b", 64) },
		"size":         func(f *runner.File) { f.Size = -1 },
		"time":         func(f *runner.File) { f.Modified = "yesterday" },
	} {
		bad := good
		spoil(&bad.File)
		d := b.try(bad)
		require.NotNil(t, d.Refusal, name)
	}
	b.refused(runner.Finish{Step: "picture"}, runner.EvidenceMissing)
	b.do(good)
	b.do(runner.Finish{Step: "picture"})
}

func TestTheBriefingComesFirstItemByItem(t *testing.T) {
	b := above(t)
	b.refused(runner.Affirm{Step: "chock", Statement: 0}, runner.Acknowledgement, runner.Acknowledgement, runner.Acknowledgement)
	b.do(runner.Acknowledge{Item: "hazards"})
	b.refused(runner.Acknowledge{Item: "hazards"}, runner.AlreadyEntered)
	b.refused(runner.Acknowledge{Item: "weather"}, runner.UnknownItem)
	b.do(runner.Acknowledge{Item: "limits"})
	assert.Empty(t, b.open())
	b.do(runner.Acknowledge{Item: "scope"})
	assert.Equal(t, "chock", b.open())
	b.refused(runner.Acknowledge{Item: "scope"}, runner.NotNow)
}

func TestTextsAreHeldToWhatMayBeWritten(t *testing.T) {
	b := above(t).to("chock")
	b.refused(runner.Note{Text: ""}, runner.ReasonMissing)
	b.refused(runner.Note{Text: "a\x1b[2Jb"}, runner.TextRefused)
	b.refused(runner.Note{Text: strings.Repeat("a", runner.LongestText+1)}, runner.TextTooLong)
	b.do(runner.Note{Text: strings.Repeat("a", runner.LongestText)})
}

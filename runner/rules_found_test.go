package runner_test

// What a check found is passed on and never typed: where it changes, what takes it is judged again, and what rested on that
// falls. A replay reckons both.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/runner"
	"fenderside/runner/session/sessiontest"
)

const verdict = `
fenderside: 1
procedure: weigh-log
revision: 1
title: Weigh a log
scope: One sensor, for tests.
safeguards:
  shown: {title: Fault shown, lasting: true}
steps:
  - do: log
    title: Save a log
    repeat: {at most: 4, until: the log tells}
    readings: [{id: column, title: Column, text: true}]
    evidence: [{id: drive, title: Log}]
    advise: {sensor-trace: {file: drive, time: {words: time}, column: column}}
  - do: force
    title: Force the mixture
    readings: [{id: rich, title: The signal, choose: [followed, slow, not followed]}]
  - do: turn
    title: Go on or log again
    ask: {question: Which, answers: [{say: Go on}, {say: Log again, then: log}]}
  - gate: settle
    title: Settle it
    secures: shown
    affirm: [Both of us agree]
    check: {fault-verdict: {wiring: sound, leak: none, supply: both there, rich: rich, trace: {output: shows, of: sensor-trace, at: log}}}
  - do: end
    title: Order the part
    needs: [shown]
    affirm: [It is ordered]
`

// logged is the job with a log saved and the mixture forced, where it is asked how to go on.
func logged(t *testing.T, text string) (*bench, shelf) {
	files := shelf{}
	b := open(t, setup{text: verdict})
	b.job.Files = files.give
	b.brief()
	b.do(runner.Read{Step: "log", Reading: "column", Value: "B1S1"})
	b.do(files.put("log", "drive", "drive.csv", text))
	b.do(runner.Finish{Step: "log"})
	b.do(runner.Read{Step: "force", Reading: "rich", Value: "not followed"})
	b.do(runner.Finish{Step: "force"})
	return b, files
}

func settled(t *testing.T) (*bench, shelf) {
	b, files := logged(t, sessiontest.Weak())
	b.do(runner.Answer{Step: "turn", Say: "Go on"})
	b.do(runner.Affirm{Step: "settle"})
	b.do(runner.Finish{Step: "settle"})
	require.True(t, b.stands("shown"))
	return b, files
}

func TestWhatACheckFoundIsPassedOnWithoutBeingTyped(t *testing.T) {
	b, files := logged(t, sessiontest.Weak())
	d := b.do(runner.Answer{Step: "turn", Say: "Go on"})
	e := computed(t, d, "fault-verdict")
	assert.Equal(t, checks.Pass, e.Verdict, e.Because)
	assert.Contains(t, e.Because, "trace", "the log is one of the two kinds of evidence")
	v, _ := b.state.View("settle", b.now)
	assert.Equal(t, []runner.FoundView{{Input: "trace", Text: "suspect", Check: "A sensor's signal over time", Step: "Save a log"}}, v.Checks[0].Found)
	_, err := b.replayed(files.give)
	assert.NoError(t, err)

	b, _ = logged(t, sessiontest.Healthy())
	d = b.do(runner.Answer{Step: "turn", Say: "Go on"})
	assert.Equal(t, checks.More, computed(t, d, "fault-verdict").Verdict, "a healthy log speaks against the sensor")
	b.do(runner.Affirm{Step: "settle"})
	b.refused(runner.Finish{Step: "settle"}, runner.CheckWantsMore)
}

func TestACorrectionThatChangesAVerdictFellsWhatRestedOnIt(t *testing.T) {
	b, files := settled(t)
	d := b.do(reading("column", "B1S9"))
	assert.Equal(t, checks.More, computed(t, d, "sensor-trace").Verdict)
	assert.Equal(t, checks.More, computed(t, d, "fault-verdict").Verdict, "one kind of evidence is left")
	assert.False(t, b.stands("shown"))
	require.Equal(t, "settle", b.open())
	d = b.do(reading("column", "B1S1"))
	assert.Equal(t, checks.Fail, computed(t, d, "sensor-trace").Verdict, "the signal is that of a bad sensor again")
	assert.Equal(t, "settle", b.open())
	b.do(runner.Affirm{Step: "settle"})
	b.do(runner.Finish{Step: "settle"})
	assert.True(t, b.stands("shown"))
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

func TestACorrectionThatChangesNoVerdictFellsNothing(t *testing.T) {
	b, _ := settled(t)
	d := b.do(reading("rich", "slow"))
	assert.Equal(t, checks.Pass, computed(t, d, "fault-verdict").Verdict)
	assert.True(t, b.stands("shown"))
	assert.Equal(t, "end", b.open())
}

func TestAFreshFileThatChangesAVerdictFellsWhatRestedOnIt(t *testing.T) {
	b, files := settled(t)
	b.do(answerOf("turn"))
	b.do(runner.Answer{Step: "turn", Say: "Log again"})
	require.Equal(t, "log", b.open())
	assert.True(t, b.stands("shown"), "the earlier log still counts")
	v, _ := b.state.View("settle", b.now)
	assert.Equal(t, "suspect", v.Checks[0].Found[0].Text, "a step begun anew is known by what it found last")
	b.do(runner.Read{Step: "log", Reading: "column", Value: "B1S1"})
	d := b.do(files.put("log", "drive", "second.csv", sessiontest.Healthy()))
	assert.Equal(t, checks.Pass, computed(t, d, "sensor-trace").Verdict)
	assert.Equal(t, checks.More, computed(t, d, "fault-verdict").Verdict)
	assert.False(t, b.stands("shown"), "the fresh log took it away")
	assert.Equal(t, "log", b.open(), "the work goes on where it is")
	b.do(runner.Finish{Step: "log"})
	b.do(runner.Read{Step: "force", Reading: "rich", Value: "not followed"})
	b.do(runner.Finish{Step: "force"})
	b.do(runner.Answer{Step: "turn", Say: "Go on"})
	require.Equal(t, "settle", b.open(), "and comes to the gate again")
	b.do(runner.Affirm{Step: "settle"})
	b.refused(runner.Finish{Step: "settle"}, runner.CheckWantsMore)
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

func TestAReplayReckonsWhatWasPassedOn(t *testing.T) {
	for name, change := range map[string]func(e *runner.Computed){
		"the verdict that was passed on": func(e *runner.Computed) {
			if e.Check == "sensor-trace" {
				e.Verdict, e.Figures = checks.Pass, append([]checks.Figure{{Name: "shows", Text: "healthy"}}, e.Figures[1:]...)
			}
		},
		"the verdict that rests on it": func(e *runner.Computed) {
			if e.Check == "fault-verdict" {
				e.Verdict = checks.Fail
			}
		},
	} {
		b, files := settled(t)
		for _, l := range b.lines {
			for i, e := range l.Events {
				if e, ok := e.(runner.Computed); ok {
					change(&e)
					l.Events[i] = e
				}
			}
		}
		_, err := b.replayed(files.give)
		assert.Error(t, err, name)
	}
	b, files := settled(t)
	_, err := b.replayed(nil)
	assert.NoError(t, err, "without the file the first is taken on trust")
	_, err = b.replayed(files.give)
	assert.NoError(t, err)
}

func TestAVerdictThatRestsOnAFileThatCannotBeReadBackPassesNothing(t *testing.T) {
	b, files := logged(t, sessiontest.Weak())
	b.job.Files = nil
	b.do(reading("column", "B1S9"))
	b.do(runner.Answer{Step: "turn", Say: "Go on"})
	b.do(runner.Affirm{Step: "settle"})
	no := b.refused(runner.Finish{Step: "settle"}, runner.FileMissing)
	assert.Equal(t, "sensor-trace", no.Refusal.Reasons[0].Item)
	_, err := b.replayed(files.give)
	assert.NoError(t, err, "that it was missing then is no fault now that it is there")

	b.job.Files = files.give
	b.do(reading("column", "B1S1"))
	d := b.do(runner.Finish{Step: "settle"})
	assert.True(t, b.stands("shown"))
	assert.Empty(t, find[runner.Fell](d))
	_, err = b.replayed(files.give)
	assert.NoError(t, err)
}

func TestAFileThatIsPutBackIsLookedForByTheGateThatRestsOnIt(t *testing.T) {
	b, files := logged(t, sessiontest.Weak())
	b.job.Files = nil
	b.do(reading("column", "B1S9"))
	b.job.Files = files.give
	b.do(runner.Answer{Step: "turn", Say: "Go on"})
	b.do(runner.Affirm{Step: "settle"})
	d := b.refused(runner.Finish{Step: "settle"}, runner.CheckWantsMore) // it is back, and has no such column
	assert.Len(t, d.Events, 1, "a refusal changes nothing")
	b.do(reading("column", "B1S1"))
	b.do(runner.Finish{Step: "settle"})
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

const twoBanks = `
fenderside: 1
procedure: two-banks
revision: 1
title: Weigh with one bank or two
scope: One sensor, for tests.
sheet: [{id: banks, title: Banks, choose: [one, two]}]
safeguards:
  shown: {title: Fault shown, lasting: true}
steps:
  - do: change
    title: Change the sensors over
    when: {banks: two}
    readings: [{id: fault, title: The fault, choose: [moved with the sensor, stayed]}]
  - gate: settle
    title: Settle it
    secures: shown
    affirm: [Both of us agree]
    check: {fault-verdict: {wiring: sound, leak: none, supply: both there, rich: not followed, trace: suspect, swap: fault}}
  - do: end
    title: Order the part
    needs: [shown]
    affirm: [It is ordered]
`

func TestACheckWaitsForNoReadingOfAStepThatDoesNotApply(t *testing.T) {
	b := open(t, setup{text: twoBanks, sheet: map[string]string{"banks": "one"}}).brief()
	require.Equal(t, "settle", b.open())
	b.do(runner.Affirm{Step: "settle"})
	b.do(runner.Finish{Step: "settle"})
	assert.True(t, b.stands("shown"))

	b = open(t, setup{text: twoBanks, sheet: map[string]string{"banks": "two"}}).brief()
	b.do(runner.Read{Step: "change", Reading: "fault", Value: "stayed"})
	b.do(runner.Finish{Step: "change"})
	b.do(runner.Affirm{Step: "settle"})
	b.refused(runner.Finish{Step: "settle"}, runner.CheckNotPassed)
}

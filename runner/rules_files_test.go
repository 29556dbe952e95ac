package runner_test

// A check that takes a file judges the very file that was attached: it passes, it fails and wants another, or it cannot
// judge it; and where the file is not to be had, nothing passes.

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session/sessiontest"
)

// shelf holds files by their digest, as whoever keeps the copies does.
type shelf map[string]string

func (s shelf) give(f runner.File) (checks.Data, bool) {
	text, ok := s[f.SHA256]
	return checks.Data{Name: f.Name, Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }}, ok
}

// put lays a file on the shelf and gives the command that attaches it.
func (s shelf) put(step, item, name, text string) runner.Attach {
	sum := sha256.Sum256([]byte(text))
	f := runner.File{Name: name, SHA256: hex.EncodeToString(sum[:]), Size: int64(len(text)), Modified: "2026-03-14T08:00:00Z"}
	s[f.SHA256] = text
	return runner.Attach{Step: step, Item: item, File: f}
}

// atProof is the drive job at its gate, with the column named and the weak log from before attached.
func atProof(t *testing.T) (*bench, shelf) {
	b, files := toProof(t)
	b.do(runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	return b, files
}

// toProof is the drive job where its gate has just opened.
func toProof(t *testing.T) (*bench, shelf) {
	files := shelf{}
	b := open(t, setup{text: sessiontest.Drive()})
	b.job.Files = files.give
	for _, brief := range runner.Briefs(b.job.Procedure) {
		b.do(runner.Acknowledge{Item: brief.ID})
	}
	b.do(files.put("listen", "before", "before.csv", sessiontest.Weak()))
	b.do(runner.Finish{Step: "listen"})
	b.do(runner.Affirm{Step: "swap"})
	b.do(runner.Finish{Step: "swap"})
	return b, files
}

// computed is what a check found in a decision.
func computed(t *testing.T, d runner.Decision, check string) runner.Computed {
	for _, e := range find[runner.Computed](d) {
		if e.Check == check {
			return e
		}
	}
	require.Fail(t, "not run: "+check)
	return runner.Computed{}
}

func figureOf(e runner.Computed, name string) string {
	for _, f := range e.Figures {
		if f.Name == name {
			return f.Text
		}
	}
	return ""
}

// replayed holds what was written down to the rules, with the files that are to be had now.
func (b *bench) replayed(files runner.Files) (*record.Replay, error) {
	r, err := record.Start(&record.Binder{}, b.lines[0])
	require.NoError(b.t, err)
	r.Job.Files = files
	for _, l := range b.lines[1:] {
		data, err := record.Encode(l)
		require.NoError(b.t, err)
		if l, err = record.Decode(data); err == nil {
			err = r.Step(l)
		}
		if err != nil {
			return r, err
		}
	}
	return r, nil
}

func TestAGateIsPassedByTheFileThatWasAttached(t *testing.T) {
	b, files := atProof(t)
	d := b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	e := computed(t, d, "sensor-trace")
	// Victor Valley College, AUTO 85.5: minimum 0 to 175 mV, maximum 800 to 1000 mV.
	assert.Equal(t, checks.Pass, e.Verdict, e.Because)
	assert.Equal(t, "100 mV", figureOf(e, "minimum"))
	assert.Equal(t, "850 mV", figureOf(e, "maximum"))
	advice := computed(t, d, "trace-compare")
	assert.NotEmpty(t, figureOf(advice, "direction"), "the log of the earlier step is set beside it")
	b.do(runner.Finish{Step: "prove"})
	assert.True(t, b.stands("proved"))
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

func TestAFileWaitsForTheWordsThatSayWhereToLook(t *testing.T) {
	b, files := toProof(t)
	d := b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	assert.Empty(t, find[runner.Computed](d), "no column is named yet")
	b.refused(runner.Finish{Step: "prove"}, runner.ReadingMissing, runner.CheckNotPassed)
	d = b.do(runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	assert.Equal(t, checks.Pass, computed(t, d, "sensor-trace").Verdict)
}

func TestAFileThatShowsAFaultIsRefusedAndAnotherIsWanted(t *testing.T) {
	b, files := atProof(t)
	d := b.do(files.put("prove", "after", "after.csv", sessiontest.Weak()))
	assert.Equal(t, checks.Fail, computed(t, d, "sensor-trace").Verdict)
	b.refused(runner.Finish{Step: "prove"}, runner.EvidenceMissing, runner.CheckNotPassed)
	d = b.do(runner.Correct{Correction: runner.Correction{Reading: "column", Value: "B1S2", Reason: "the other one"}})
	assert.Empty(t, find[runner.Computed](d), "a refused file is not corrected into a pass")
	b.do(runner.Correct{Correction: runner.Correction{Reading: "column", Value: "B1S1", Reason: "slip"}})
	b.refused(runner.Finish{Step: "prove"}, runner.EvidenceMissing, runner.CheckNotPassed)
	assert.False(t, b.stands("proved"))
	b.do(files.put("prove", "after", "again.csv", sessiontest.Healthy()))
	b.do(runner.Finish{Step: "prove"})
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

func TestAFileThatCannotBeJudgedSaysWhyAndHoldsTheGate(t *testing.T) {
	for name, text := range map[string]string{
		"a picture":                "\x89PNG\r\n\x1a\n\x00\x00\x1b[2J\xff\xfe",
		"nothing":                  "",
		"a header alone":           "time (s),B1S1 (V)\n",
		"words":                    "the sensor is fine",
		"another column":           "time (s),B2S1 (V)\n0,0.1\n1,0.8\n",
		"times that go back":       "time (s),B1S1 (V)\n1,0.1\n0,0.8\n",
		"figures that are none":    "time (s),B1S1 (V)\n0,\x1b]0;x\x07\n1,NaN\n",
		"too short":                "time (s),B1S1 (V)\n0,0.1\n0.1,0.8\n",
		"a line without end":       strings.Repeat("x", 1<<20),
		"a long name of a column":  strings.Repeat("y", 100_000) + ",B1S1 (V)\n0,1\n",
		"text in two byte letters": "t\x00i\x00m\x00e\x00",
	} {
		b, files := atProof(t)
		d := b.do(files.put("prove", "after", "after.csv", text))
		e := computed(t, d, "sensor-trace")
		assert.Equal(t, checks.More, e.Verdict, name)
		assert.NotEmpty(t, e.Because, name)
		for _, said := range append(e.Workings, e.Because) {
			assert.NoError(t, plaintext.Check(said), name)
			assert.Less(t, len(said), 10*runner.LongestText, name)
		}
		b.refused(runner.Finish{Step: "prove"}, runner.CheckWantsFile)
		assert.False(t, b.stands("proved"), name)
		_, err := b.replayed(files.give)
		assert.NoError(t, err, name)
		b.do(files.put("prove", "after", "again.csv", sessiontest.Healthy()))
		b.do(runner.Finish{Step: "prove"})
	}
}

func TestAWrongColumnIsCorrectedWithoutAnotherDrive(t *testing.T) {
	b, files := atProof(t)
	b.do(runner.Correct{Correction: runner.Correction{Reading: "column", Value: "B1S9", Reason: "slip"}})
	b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	b.refused(runner.Finish{Step: "prove"}, runner.CheckWantsFile)
	d := b.do(runner.Correct{Correction: runner.Correction{Reading: "column", Value: "B1S1", Reason: "misread"}})
	assert.Equal(t, checks.Pass, computed(t, d, "sensor-trace").Verdict)
	b.do(runner.Finish{Step: "prove"})
	d = b.do(runner.Correct{Correction: runner.Correction{Reading: "column", Value: "B1S9", Reason: "back again"}})
	assert.Equal(t, checks.More, computed(t, d, "sensor-trace").Verdict)
	assert.False(t, b.stands("proved"), "what rested on the column falls")
	assert.Equal(t, "prove", b.open())
}

func TestAFileThatCannotBeReadBackPassesNothing(t *testing.T) {
	b, files := atProof(t)
	b.job.Files = nil
	d := b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	e := computed(t, d, "sensor-trace")
	assert.Equal(t, checks.More, e.Verdict)
	assert.Equal(t, "after.csv", e.Missing)
	no := b.refused(runner.Finish{Step: "prove"}, runner.FileMissing)
	what, next := b.job.Text(no.Refusal.Reasons[0])
	assert.Contains(t, what, "after.csv")
	assert.Contains(t, next, "put it back")
	assert.False(t, b.stands("proved"))
	replay, err := b.replayed(files.give)
	assert.NoError(t, err, "that it was missing then is no fault now that it is there")
	assert.Equal(t, checks.More, verdictOf(replay.State, "sensor-trace"))

	b.job.Files = files.give
	d = b.do(runner.Finish{Step: "prove"})
	assert.Equal(t, checks.Pass, computed(t, d, "sensor-trace").Verdict, "it was put back")
	assert.True(t, b.stands("proved"))
	_, err = b.replayed(files.give)
	assert.NoError(t, err)
}

func verdictOf(s runner.State, check string) checks.Verdict {
	v, _ := s.View("prove", s.Last())
	for _, c := range v.Checks {
		if c.Use.Name == check {
			return c.Verdict
		}
	}
	return ""
}

func TestAReplayWithoutTheFileTakesTheResultOnTrustAndSaysSo(t *testing.T) {
	b, files := atProof(t)
	b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	r, err := b.replayed(nil)
	require.NoError(t, err)
	require.Len(t, r.OnTrust, 2, "the advice and the check of the last line")
	assert.Equal(t, "sensor-trace", r.OnTrust[1].Check)
	b.do(runner.Note{Text: "none rests on a file here"})
	r, err = b.replayed(nil)
	require.NoError(t, err)
	assert.Empty(t, r.OnTrust)
	b.do(runner.Finish{Step: "prove"})
	r, err = b.replayed(nil)
	require.NoError(t, err)
	assert.Equal(t, "hand-back", r.State.Current().ID)
}

func TestAReplayWithTheFileHoldsTheResultToIt(t *testing.T) {
	for name, change := range map[string]func(e *runner.Computed){
		"another verdict": func(e *runner.Computed) { e.Verdict = checks.Pass },
		"another figure": func(e *runner.Computed) {
			e.Figures = append([]checks.Figure(nil), e.Figures...)
			e.Figures[2].Text = "100 mV"
		},
		"a figure left out": func(e *runner.Computed) { e.Figures = e.Figures[1:] },
	} {
		b, files := atProof(t)
		b.do(files.put("prove", "after", "after.csv", sessiontest.Weak()))
		last := &b.lines[len(b.lines)-1]
		for i, e := range last.Events {
			if e, ok := e.(runner.Computed); ok && e.Check == "sensor-trace" {
				change(&e)
				last.Events[i] = e
			}
		}
		_, err := b.replayed(files.give)
		assert.Error(t, err, name)
	}
}

func TestAProofThatFellTakesAnotherFileAndTheEarlierOneIsStillKnown(t *testing.T) {
	b, files := atProof(t)
	b.do(files.put("prove", "after", "after.csv", sessiontest.Healthy()))
	b.do(runner.Finish{Step: "prove"})
	b.do(runner.Correct{Correction: runner.Correction{Statement: "swap", Reason: "not tight"}})
	require.Equal(t, "swap", b.open())
	b.do(runner.Affirm{Step: "swap"})
	b.do(runner.Finish{Step: "swap"})
	require.Equal(t, "prove", b.open(), "taking the sensor out felled what its proof had secured")
	b.refused(runner.Finish{Step: "prove"}, runner.ReadingMissing, runner.EvidenceMissing, runner.CheckNotPassed)
	d := b.do(runner.Read{Step: "prove", Reading: "column", Value: "B1S1"})
	assert.Empty(t, find[runner.Computed](d), "the file from before does not count any more")
	d = b.do(files.put("prove", "after", "second.csv", sessiontest.Weak()))
	assert.NotEmpty(t, figureOf(computed(t, d, "trace-compare"), "direction"))
}

const kiln = `
fenderside: 1
procedure: kiln-log
revision: 1
title: Read the log of a kiln
scope: One kiln, for tests.
safeguards:
  logged: {title: Logged, lapses: {on: [interruption], because: somebody can move the probe}, lasting: true}
steps:
  - gate: log
    title: Log it
    secures: logged
    evidence: [{id: curve, title: Log}]
    check: {sensor-trace: {file: curve, time: {words: time}, column: B1S1}}
  - do: sweep
    title: Sweep the floor
    affirm: [It is clean]
  - do: read
    title: Read the log
    readings: [{id: named, title: Column, text: true}]
    check: {sensor-trace: {file: curve, time: {words: time}, column: named}}
  - do: end
    title: End
    needs: [logged]
    affirm: [It is over]
`

func TestAFileIsKnownToLaterStepsOnceItsOwnIsWipedAndNotToItsOwn(t *testing.T) {
	files := shelf{}
	b := open(t, setup{text: kiln})
	b.job.Files = files.give
	for _, brief := range runner.Briefs(b.job.Procedure) {
		b.do(runner.Acknowledge{Item: brief.ID})
	}
	b.do(files.put("log", "curve", "log.csv", sessiontest.Healthy()))
	b.do(runner.Finish{Step: "log"})
	b.do(runner.Affirm{Step: "sweep"})
	b.do(runner.Finish{Step: "sweep"})
	b.restart()
	b.do(runner.Resume{})
	require.False(t, b.stands("logged"))
	d := b.do(runner.Read{Step: "read", Reading: "named", Value: "B1S1"})
	assert.Equal(t, checks.Pass, computed(t, d, "sensor-trace").Verdict)
	b.do(runner.Finish{Step: "read"})
	require.Equal(t, "log", b.open())
	b.refused(runner.Finish{Step: "log"}, runner.EvidenceMissing, runner.CheckNotPassed)
	v, _ := b.state.View("log", b.now)
	assert.False(t, v.Checks[0].Ran, "the log is taken again")
	_, err := b.replayed(files.give)
	assert.NoError(t, err)
}

package ui

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/home"
)

// flat is the screen as one row of words.
func (r *rig) flat() string { return strings.Join(strings.Fields(r.m.View()), " ") }

func TestAPieceLeftOutLetsNoLesserOneIn(t *testing.T) {
	must := block{rows: []string{"warning"}}
	how := block{rows: []string{"", "how", "how"}, rank: 1, shorten: "the rest"}
	big := block{rows: []string{"big", "big", "big"}, rank: 2}
	small := block{rows: []string{"small"}, rank: 3}
	rows, _ := fit([]block{must, how}, 2)
	assert.Equal(t, []string{"warning", "the rest"}, rows, "one row is enough to say that there is more")
	rows, _ = fit([]block{must, big, small}, 3)
	assert.Equal(t, []string{"warning"}, rows)
	rows, _ = fit([]block{must, how, big, small}, 8)
	assert.Equal(t, []string{"warning", "", "how", "how", "big", "big", "big", "small"}, rows)
}

func TestASparePieceLeftOutKeepsNoOtherOut(t *testing.T) {
	must := block{rows: []string{"warning"}}
	spare := block{rows: []string{"picture", "picture", "picture"}, rank: 1, place: 5, spare: true}
	large := block{rows: []string{"large", "large", "large", "large"}, rank: 3, place: 5, spare: true}
	small := block{rows: []string{"small"}, rank: 2}
	rows, _ := fit([]block{must, spare, large, small}, 3)
	assert.Equal(t, []string{"warning", "small"}, rows)
	rows, _ = fit([]block{must, spare, large, small}, 5)
	assert.Equal(t, []string{"warning", "picture", "picture", "picture", "small"}, rows)
	rows, _ = fit([]block{must, spare, large, small}, 6)
	assert.Equal(t, []string{"warning", "large", "large", "large", "large", "small"}, rows, "the larger takes its place")
}

func TestHowAStepIsDoneNeverVanishesWithoutAWord(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four")
	seen := 0
	for i := 0; i < 700 && r.m.work.scene().want.id != "review"; i++ {
		r.size(leastWidth, leastHeight)
		sc := r.m.work.scene()
		if len(sc.how) > 0 && !r.m.hidden() {
			seen++
			last := sc.how[len(sc.how)-1]
			whole := strings.Contains(r.flat(), strings.Join(strings.Fields(last), " "))
			assert.True(t, whole != strings.Contains(r.flat(), "| F2 HOW"), r.m.View())
			assert.Contains(t, r.flat(), "F4 STOP WORK |")
		}
		r.size(80, 24).one(plainJob)
	}
	assert.Greater(t, seen, 20)
}

func TestTheBatteryGateIsUsableInTheSmallestWindowAfterAStop(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four").to("read found", plainJob)
	r.size(leastWidth, leastHeight)
	stop(r, "3")
	r.key("enter")
	require.Equal(t, "battery.isolate-battery", r.m.work.step().ID)
	r.key("enter") // which says that a figure is to be pressed
	require.NotContains(t, r.m.View(), "WINDOW TOO SMALL")
	before := len(r.m.work.session.Lines())
	for range len(r.m.work.step().Statements) {
		require.NotContains(t, r.m.View(), "WINDOW TOO SMALL")
		r.key(r.m.work.scene().want.figure)
	}
	assert.Greater(t, len(r.m.work.session.Lines()), before)
}

func TestAKeyThatDoesNothingAtAGateNamesTheFigure(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four").to("affirm take-key", plainJob).key("q")
	assert.Contains(t, r.flat(), "press the figure "+r.m.work.scene().want.figure+" if it is so")
	assert.NotContains(t, r.m.message, "Enter is the key")
}

func TestAKeyOfAJobSaysOnTheBoardThatItIsOne(t *testing.T) {
	r := newRig(t)
	for key := range functionKeys() {
		r.key(key)
		assert.Contains(t, r.m.message, "That key is for a job that is open.", key)
	}
	r.key("f4")
	assert.Contains(t, r.m.message, "no work to stop")
	r.key("q")
	assert.Equal(t, "Press a number to mark a line, then Enter.", r.m.message)
}

func TestALineOfTheSheetThatTheCardWillFillSaysSo(t *testing.T) {
	r := newRig(t)
	r.key(r.starts("sensor-swap"), "enter", "2", "enter")
	assert.Contains(t, r.view(), "12 Least tightening torque: from the card, after line 10")
	assert.Contains(t, r.view(), "10 Sensor to replace: to fill in")
	r.key("down", "down", "enter", "1")
	assert.Contains(t, r.view(), "12 Least tightening torque: 40 N·m (from the card)")
	assert.NotContains(t, r.view(), "after line")
	r = newRig(t)
	r.key(r.starts("sensor-swap"), "enter", "4", "enter", "2", "enter")
	assert.NotContains(t, r.view(), "from the card", "there is none")
}

func TestAListSaysHowMuchOfItIsAboveAndBelow(t *testing.T) {
	r := newRig(t)
	r.size(leastWidth, leastHeight)
	assert.Regexp(t, `\d+ rows more below`, r.view())
	assert.NotContains(t, r.view(), "more above")
	for range 6 {
		r.key("down")
	}
	assert.Regexp(t, `(?s)\d+ rows more above.*> .*\d+ rows more below`, r.view())
	for range len(library.Procedures()) + 1 {
		r.key("down")
	}
	assert.NotContains(t, r.view(), "more below")
}

func TestWhoeverStartsForTheFirstTimeIsToldWhatThisIs(t *testing.T) {
	dir := t.TempDir()
	h := home.Home{ConfigDir: filepath.Join(dir, "config"), DataDir: filepath.Join(dir, "data")}
	r := newRig(t)
	r.open(h, Options{})
	assert.Contains(t, r.flat(), "takes you through one job at a vehicle, a step at a time")
	r.size(leastWidth, leastHeight)
	assert.Contains(t, r.flat(), "START A JOB", "the list keeps its half of the window")
	assert.Contains(t, r.flat(), "F2 reads the rest")
	r.key("f2", "end")
	assert.Contains(t, r.flat(), "Add others with: fenderside roster add")
	r.open(h, Options{})
	assert.NotContains(t, r.flat(), "a step at a time", "once")
}

func TestASignedJobStillSaysWhatIsDue(t *testing.T) {
	r := newRig(t)
	screens["done-follow-up"](r)
	for _, s := range sizes {
		r.size(s[0], s[1])
		assert.Contains(t, r.flat(), "To follow by 2026-03-18: Tighten the front left wheel again at 148 310 km")
	}
}

func TestTooSmallByOneSaysOneRow(t *testing.T) {
	assert.Equal(t, "1 row", counted(1, "row"))
	assert.Equal(t, "2 rows", counted(2, "row"))
}

func TestAJobTakenUpAgainSaysFirstWhatToDoWithoutWhatFell(t *testing.T) {
	r := newRig(t)
	screens["resumed"](r)
	must := r.m.work.scene().must
	fell := r.m.work.state.Hold().Fell
	require.NotEmpty(t, fell)
	want := []string{"Do this first:"}
	for _, id := range fell {
		g, ok := r.m.work.job.Procedure.SafeguardByID(id)
		require.True(t, ok)
		lost := r.m.work.job.Procedure.Safeguards[g]
		require.NotEmpty(t, lost.IfLost)
		want = append(want, "NO LONGER IN PLACE: "+lost.Title)
		for _, l := range lost.IfLost {
			want = append(want, "  - "+l)
		}
	}
	assert.Equal(t, want, must[:len(want)])
	assert.Contains(t, r.m.View(), want[2])
}

func TestAHotSurfaceIsRefusedInTheChecksOwnWordsWithTheTimeToMeasureAgain(t *testing.T) {
	r := newRig(t)
	screens["forecast"](r)
	for _, s := range sizes {
		r.size(s[0], s[1])
		assert.Contains(t, r.flat(), "NOT ACCEPTED: 84 °C:")
		assert.Contains(t, r.flat(), "above the limit 43.0 °C")
		assert.Contains(t, r.flat(), "measure again then", "%d by %d", s[0], s[1])
		assert.NotContains(t, r.m.View(), "touch-safe")
	}
}

func TestAMethodThatCannotBeJudgedIsToBeCorrected(t *testing.T) {
	r := newRig(t)
	book := with(with(with(plainJob, "cool.method", "infrared"), "cool.finish", "bright metal"), "cool.emissivity", "0.2")
	r.start("millbrook-four").to("read cool.surface", book).typed("38")
	r.size(leastWidth, leastHeight)
	assert.Contains(t, r.flat(), "bright metal reads far too low by infrared")
	assert.Contains(t, r.flat(), "With F5, correct first:")
}

func TestAWrongPositionIsNotAnsweredWithTheRightOne(t *testing.T) {
	r := newRig(t)
	r.start("millbrook-four").to("read found", with(plainJob, "found", "B1S2"))
	r.one(with(plainJob, "found", "B1S2"))
	note := strings.Join(r.m.work.scene().want.notes, " ")
	assert.Contains(t, note, "NOT ACCEPTED: B1S2: it is not what was entered before")
	assert.NotContains(t, note, "B1S1")
}

func TestASafeguardThatDoesNotApplyIsNotInTheStrip(t *testing.T) {
	for reach, shown := range map[string]bool{"from above": false, "from beneath": true} {
		r := newRig(t)
		r.start("millbrook-four").to("answer choose-reach", plainJob)
		r.size(200, 60)
		assert.Contains(t, r.flat(), "Raised on locks or stands", "before it is chosen")
		r.one(with(plainJob, "choose-reach", reach))
		assert.Equal(t, shown, strings.Contains(r.flat(), "Raised on locks or stands"), reach)
	}
}

func TestLeavingAfterSigningSaysHowTheRecordIsVerified(t *testing.T) {
	for _, board := range []bool{false, true} {
		r := newRig(t)
		screens["done"](r)
		f := *r.m.work.finished
		if board {
			r.key("enter")
			require.Nil(t, r.m.work)
		}
		var out strings.Builder
		r.m.opt.Out = &out
		require.NoError(t, r.m.left(nil))
		assert.Contains(t, out.String(), f.Record+"\n")
		assert.Contains(t, out.String(), f.VerifyLine()+"\n", "in one row, to be copied")
	}
}

func TestTheFigureOfAStatementChangesWithTheJobAndTheRound(t *testing.T) {
	for n := range 20 {
		assert.NotEqual(t, figureFor("take-key", 0, n, 1), figureFor("take-key", 0, n+1, 1))
		assert.NotEqual(t, figureFor("take-key", 0, 1, n), figureFor("take-key", 0, 1, n+1))
	}
}

func TestTheWholeSheetIsReadFromTheTopBeforeAJobIsOpened(t *testing.T) {
	r := newRig(t)
	r.size(leastWidth, leastHeight)
	screens["sheet-end"](r)
	r.size(leastWidth, leastHeight)
	s, ok := r.m.top().(*sheet)
	require.True(t, ok)
	require.True(t, s.ready())
	seen := ""
	for range 20 {
		if r.m.work != nil {
			break
		}
		seen += " " + r.flat()
		r.key("enter")
	}
	require.NotNil(t, r.m.work, "the last page opens the job")
	assert.Contains(t, seen, "1 "+s.p.Sheet[0].Title)
	cited := ""
	for i, f := range s.p.Sheet {
		assert.Contains(t, seen, strings.Join(strings.Fields(f.Title+": "+s.stands(f, i, s.cite(f, i, &cited))), " "))
	}
}

func TestEndGoesToTheEndOfAText(t *testing.T) {
	r := newRig(t)
	screens["review"](r)
	r.key("end")
	assert.Contains(t, r.m.View(), r.signs()+" signs it")
	r.key("home")
	assert.Contains(t, r.m.View(), "Enter next page")
}

func TestNoTurnOfAPageSignsARecord(t *testing.T) {
	r := newRig(t)
	screens["review"](r)
	r.key(r.signs())
	assert.Contains(t, r.m.message, "Read it to its end first")
	r.toEnd().key("enter", "enter", "enter")
	assert.Contains(t, r.m.message, "The figure "+r.signs()+" signs it")
	assert.Equal(t, runner.Closing, r.m.work.state.Phase())
	r.key(r.signs())
	assert.Equal(t, runner.Closed, r.m.work.state.Phase())
}

func TestNothingIsSavedWhileAPassphraseIsWaitedFor(t *testing.T) {
	r := newRig(t)
	screens["passphrase"](r)
	assert.NotContains(t, r.m.View(), "Saving")
	r.pass(time.Second)
	assert.NotContains(t, r.m.View(), "Saving")
}

func TestALowWindowGivesUpEmptyRowsAndNamesInTheStripForHowAStepIsDone(t *testing.T) {
	r := newRig(t)
	screens["wait"](r)
	r.size(leastWidth, leastHeight)
	for _, l := range r.m.work.scene().how {
		assert.Contains(t, r.flat(), strings.Join(strings.Fields(l), " "))
	}
	assert.Contains(t, r.flat(), "NOT IN PLACE: restraints quiet", "what the step secures is named all the same")
	r = newRig(t)
	screens["held-step"](r)
	for _, s := range sizes {
		r.size(s[0], s[1])
		assert.Contains(t, strings.ToLower(r.flat()), "exhaust", "what lapsed is named to the last, %v", s)
	}
}

func TestTheLimitOfASeriesIsShownBeforeItsFirstValueIsTaken(t *testing.T) {
	r := newRig(t).start("millbrook-four").to("read cool.ambient", plainJob)
	for _, s := range sizes {
		assert.NotContains(t, r.size(s[0], s[1]).flat(), "The limit is", "the air has none")
	}
	r.size(80, 24).to("read cool.surface 0", plainJob)
	for _, s := range sizes {
		assert.Contains(t, r.size(s[0], s[1]).flat(), "The limit is 43 °C.")
	}
}

package ui

import (
	"fmt"
	"hash/fnv"
	"math/rand"
	"sort"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// allKeys is every key that a keyboard sends here, but Ctrl+C.
func allKeys() []string {
	var out []string
	for k := range keyTypes {
		out = append(out, k)
	}
	sort.Strings(out)
	for c := ' '; c <= '~'; c++ {
		out = append(out, string(c))
	}
	return append(out, "é", "漢", "\u202e", "\x1b", "ab\ncd")
}

// wander presses keys as they come, at three sizes, and looks at the screen after each.
func (r *rig) wander(name string, n int) {
	r.t.Helper()
	seed := fnv.New64()
	_, _ = seed.Write([]byte(name))
	dice, all := rand.New(rand.NewSource(int64(seed.Sum64()))), allKeys()
	for i := range n {
		k := all[dice.Intn(len(all))]
		if dice.Intn(4) == 0 {
			k = "enter"
		}
		r.m.width, r.m.height = sizes[i%3][0], sizes[i%3][1]
		msg := keyMsg(k)
		msg.Alt = msg.Type == tea.KeyRunes && dice.Intn(8) == 0
		r.send(msg)
		rows := strings.Split(r.m.View(), "\n")
		require.LessOrEqual(r.t, len(rows), r.m.height, "%s after %q", name, k)
	}
}

// evidenceOf counts, from the journal and the procedure alone, what a step was given since it was last opened.
func evidenceOf(r *rig, st *procedures.Step) (affirmed, read int) {
	for _, l := range r.m.work.session.Lines() {
		for _, e := range l.Events {
			switch e := e.(type) {
			case runner.Affirmed:
				if e.Step == st.ID {
					affirmed++
				}
			case runner.ReadingTaken:
				if e.Step == st.ID && e.Accepted {
					read++
				}
			}
		}
	}
	return affirmed, read
}

// always counts what a step asks for whatever was chosen.
func always(st *procedures.Step) (statements, readings int) {
	for _, s := range st.Statements {
		if len(s.When) == 0 {
			statements++
		}
	}
	for _, r := range st.Readings {
		if len(r.When) == 0 && !r.Optional {
			readings++
		}
	}
	return statements, readings
}

func TestNoKeyOpensAGateWithoutItsEvidence(t *testing.T) {
	for _, job := range []map[string][]string{plainJob, heatedJob} {
		r := newRig(t)
		r.start("millbrook-four")
		tried := map[string]bool{}
		for i := 0; r.m.work.state.Phase() != runner.Closed && i < 700 && r.m.work.scene().want.id != "review"; i++ {
			if st := r.m.work.state.Current(); st != nil && st.Kind == procedures.Gate && !tried[st.ID] && r.m.work.scene().want.id != "" {
				tried[st.ID] = true
				everyKeyAt(r, st)
			}
			if r.m.work.state.Current() != nil || r.m.work.scene().want.id != "review" {
				r.one(job)
			}
		}
		assert.Greater(t, len(tried), 10, "the gates of the job were tried")
	}
}

// everyKeyAt presses every key but Enter at a gate, then Enter without typing anything.
func everyKeyAt(r *rig, st *procedures.Step) {
	r.t.Helper()
	doneBefore := count[runner.Done](r, st.ID)
	for _, k := range allKeys() {
		if k == "enter" || k == "f8" {
			continue
		}
		if k == r.m.work.scene().want.figure {
			continue // the one key that says it
		}
		r.key(k)
		r.m.toWork()
		r.m.escaped, r.m.work.input, r.m.work.choice = false, line{}, unmarked
		require.Equal(r.t, doneBefore, count[runner.Done](r, st.ID), "%q at %s", k, st.ID)
	}
	if len(st.Releases) > 0 || st.Secures < 0 {
		return // nothing to open
	}
	wantSaid, wantRead := always(st)
	said0, read0 := evidenceOf(r, st)
	for range 3 * (len(st.Statements) + 2) {
		if count[runner.Done](r, st.ID) > doneBefore {
			break
		}
		said := count[runner.Affirmed](r, st.ID)
		if figure := r.m.work.scene().want.figure; figure != "" {
			r.key("enter")
			require.Equal(r.t, said, count[runner.Affirmed](r, st.ID), "Enter affirms nothing at a gate")
			r.key(figure)
			require.Equal(r.t, said+1, count[runner.Affirmed](r, st.ID))
			continue
		}
		r.key("enter")
		require.LessOrEqual(r.t, count[runner.Affirmed](r, st.ID), said+1, "one key says one statement at %s", st.ID)
	}
	if count[runner.Done](r, st.ID) > doneBefore {
		said, read := evidenceOf(r, st)
		assert.GreaterOrEqual(r.t, said-said0, wantSaid, "%s was done with too few statements", st.ID)
		assert.GreaterOrEqual(r.t, read-read0, wantRead, "%s was done with too few readings", st.ID)
		assert.Zero(r.t, wantRead, "Enter alone cannot give a reading at %s", st.ID)
	}
}

// count counts events of a kind about a step.
func count[E runner.Event](r *rig, step string) int {
	n := 0
	for _, l := range r.m.work.session.Lines() {
		for _, e := range l.Events {
			if _, ok := e.(E); ok && strings.Contains(fmt.Sprintf("%+v", e), step) {
				n++
			}
		}
	}
	return n
}

func TestStopWorkIsOneKeyFromEveryScreenOfAJob(t *testing.T) {
	for _, name := range []string{"statement", "reading", "wait-running", "note", "more", "help", "why", "look-round", "passphrase", "held", "correct", "paused", "end", "review", "briefing", "hand-over"} {
		for _, k := range []string{"f4", "ctrl+x"} {
			t.Run(name+" "+k, func(t *testing.T) {
				t.Parallel()
				r := newRig(t)
				screens[name](r)
				r.key(k)
				assert.Contains(t, r.m.View(), "STOP WORK: what is no longer true?")
				before := count[runner.WorkStopped](r, "")
				r.key("enter")
				assert.Equal(t, before+1, count[runner.WorkStopped](r, ""), r.m.message)
			})
		}
	}
}

func TestStopWorkIsTakenInAWindowTooSmallToShowAnything(t *testing.T) {
	r := newRig(t)
	screens["reading"](r)
	r.size(20, 5).key("f4")
	assert.Equal(t, 1, count[runner.WorkStopped](r, ""))
}

func TestNothingIsTakenWhileTheWindowCannotShowIt(t *testing.T) {
	r := newRig(t)
	screens["statement"](r)
	before := len(r.m.work.session.Lines())
	figure := r.m.work.scene().want.figure
	r.size(60, 12).key(figure, "enter", figure)
	assert.Len(t, r.m.work.session.Lines(), before)
	r.size(80, 24).key(figure)
	assert.Greater(t, len(r.m.work.session.Lines()), before)
}

func TestAKeyPressedWhileSavingIsToldSoAndSendsNothing(t *testing.T) {
	r := newRig(t)
	screens["statement"](r)
	figure := r.m.work.scene().want.figure
	_, first := r.m.Update(keyMsg(figure))
	require.NotNil(t, first, "the append is a command")
	_, second := r.m.Update(keyMsg(figure))
	assert.Nil(t, second)
	assert.Contains(t, r.m.message, "Saving")
	assert.Contains(t, r.m.View(), "Saving...")
	assert.Contains(t, r.m.View(), "The engine stands still", "the screen stays until the entry is on disk")
	r.send(first())
	assert.Contains(t, r.m.View(), "Every key is in my pocket")
}

func TestEscAndALetterStandForAFunctionKey(t *testing.T) {
	for letter, title := range map[string]string{"h": "KEYS", "w": "WHY AND HOW", "l": "ALL OF THE JOB", "s": "STOP WORK: what", "c": "CORRECT AN ENTRY", "n": "NOTE", "m": "WHAT ELSE", "d": "This step has no picture"} {
		r := newRig(t)
		screens["reading"](r) // where letters are typed
		r.key("esc", letter)
		assert.Contains(t, r.m.View(), title)
		r.m.toWork()
		r.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(letter), Alt: true}) // as some terminals send both in one
		assert.Contains(t, r.m.View(), title)
	}
}

func TestAPassphraseIsNeverShown(t *testing.T) {
	r := newRig(t)
	screens["passphrase"](r)
	for _, c := range brynsWords {
		r.key(string(c))
	}
	assert.NotContains(t, r.m.View(), "kettle")
	r.key("enter")
	assert.NotContains(t, r.m.View(), "kettle")
	assert.Contains(t, r.m.View(), "Sign off")
}

func TestEveryWarningIsShownWholeAtItsStep(t *testing.T) {
	for name, job := range map[string]map[string][]string{"plain": plainJob, "heated": heatedJob, "beneath": beneathJob} {
		r := newRig(t)
		r.start("millbrook-four")
		seen, small := map[string]bool{}, map[string]bool{}
		for i := 0; i < 900 && r.m.work.scene().want.id != "review"; i++ {
			if st := r.m.work.step(); st != nil && r.m.work.scene().action == st.Title {
				warned(r, st)
				r.m.width, r.m.height = leastWidth, leastHeight
				if !strings.Contains(r.m.View(), "WINDOW TOO SMALL") {
					warned(r, st)
				} else {
					small[st.ID] = true
				}
				r.m.width, r.m.height = 80, 24
				seen[st.ID] = true
			}
			r.one(job)
		}
		assert.Greater(t, len(seen), 25, name)
		assert.Less(t, len(small), 4, "steps that the smallest window cannot show: %v", small)
	}
}

var beneathJob = with(with(plainJob, "choose-reach", "from beneath"), "support.supports", "4")

func init() {
	beneathJob = with(beneathJob, "support.support-vehicle", "On a lift, resting on its mechanical locks")
}

func warned(r *rig, st *procedures.Step) {
	r.t.Helper()
	screen := strings.Join(strings.Fields(r.m.View()), " ")
	for _, warn := range st.Warnings {
		for _, part := range []string{string(warn.Word), warn.Hazard, warn.Consequence, warn.Avoid} {
			assert.Contains(r.t, screen, strings.TrimSuffix(part, "."), "the warning of %s at 80 by 24", st.ID)
		}
	}
	assert.Contains(r.t, screen, st.Title)
}

func TestTimeThatRunsOutChangesTheScreenWithoutAKey(t *testing.T) {
	r := newRig(t)
	screens["fire-watch"](r)
	assert.Contains(t, r.m.View(), "running 0 s, 30 min to go")
	r.pass(11 * time.Minute)
	assert.Contains(t, r.m.View(), "LOOK NOW: Keep the fire watch.")
	r.pass(34*time.Minute + time.Second)
	assert.Contains(t, r.m.View(), "time ran out", "hot work is ready for 45 minutes at most")
}

func TestAHeldKeySaysOneStatementAtMost(t *testing.T) {
	r := newRig(t)
	screens["statement"](r)
	figure := r.m.work.scene().want.figure
	for range 30 {
		r.key(figure)
	}
	assert.Equal(t, 1, count[runner.Affirmed](r, "take-key"), "the next statement has another figure")
	assert.Contains(t, r.m.View(), "Nothing was affirmed")
	r.key("enter")
	assert.Contains(t, r.m.View(), "look first")
}

func TestTwoStatementsOfAGateNeverHaveTheSameFigureInTurn(t *testing.T) {
	for _, p := range library.Procedures() {
		for _, st := range p.Steps {
			for i := 1; i < len(st.Statements); i++ {
				assert.NotEqual(t, figureFor(st.ID, i-1, 1, 1), figureFor(st.ID, i, 1, 1), st.ID)
			}
		}
	}
}

func TestAHeldEnterReadsOneItemAtMost(t *testing.T) {
	r := newRig(t)
	screens["briefing"](r)
	var at time.Time
	r.m.clock = func() time.Time { at = at.Add(33 * time.Millisecond); return at }
	r.m.entered = at.Add(-time.Second)
	for range 30 {
		r.key("enter")
	}
	assert.Equal(t, 1, count[runner.Acknowledged](r, ""))
	assert.Contains(t, r.m.View(), "too quick")
}

func TestTextThatWouldDriveTheTerminalIsWrittenOut(t *testing.T) {
	r := newRig(t)
	screens["note"](r)
	for _, evil := range []string{"\x1b", "]", "0", ";", "x", "\u202e", "\u0007", "\u009b"} {
		r.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(evil)})
	}
	seen := r.m.View()
	r.key("enter")
	seen += r.m.View()
	r.m.say("%s", "\x1b[2Jgone\u202e")
	seen += r.m.View()
	for _, c := range seen {
		assert.False(t, c != '\n' && plaintext.Forbidden(c), "U+%04X reached the terminal", c)
	}
	assert.Contains(t, seen, `\u{001B}`)
}

func TestOnlyKeysThatDoSomethingAreNamedUnderAListOrAText(t *testing.T) {
	r := newRig(t).start("millbrook-four").size(60, 18).key("f4")
	assert.NotContains(t, r.flat(), "Up/Down mark", "nothing stands that could be marked")
	assert.Contains(t, r.flat(), "Esc back")
	r.key("esc").size(200, 60).key("f1")
	assert.NotContains(t, r.flat(), "Up/Down row", "all of it is shown")
	assert.Contains(t, r.size(60, 18).flat(), "Esc close | Up/Down row", "the way out comes first")
}

//go:build unix

package wholejob

// The hand reads the screen, looks up in the journal which step is open, and gives the one answer that a person would.

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
)

// pace is the least time between two entries of somebody who looks before they speak. The audit remarks on long runs of
// entries that are quicker.
const pace = 1050 * time.Millisecond

type hand struct {
	*terminal
	folder string
	book   map[string][]string // what to answer, by the id of a reading, a step or an instrument
	tried  map[string]bool     // the gates at which every key was tried
	last   time.Time
}

// journal is the one open job's journal, replayed through the rules.
func (h *hand) journal() (*record.Replay, []record.Line) {
	found, err := filepath.Glob(filepath.Join(h.folder, "*", "open", "*", "journal.jsonl"))
	require.NoError(h.t, err)
	if len(found) == 0 {
		return nil, nil
	}
	data, err := os.ReadFile(found[0])
	if os.IsNotExist(err) {
		return nil, nil // it has just moved to the records
	}
	require.NoError(h.t, err)
	var replay *record.Replay
	var lines []record.Line
	for text := range strings.Lines(string(data)) {
		if !strings.HasSuffix(text, "\n") {
			break // being written
		}
		l, err := record.Decode([]byte(strings.TrimSuffix(text, "\n")))
		require.NoError(h.t, err)
		if replay == nil {
			replay, err = record.Start(&record.Binder{}, l)
		} else {
			err = replay.Step(l)
		}
		require.NoError(h.t, err)
		lines = append(lines, l)
	}
	return replay, lines
}

// length is how many lines the journal has.
func (h *hand) length() int {
	_, lines := h.journal()
	return len(lines)
}

// entry makes an entry, at a person's pace, and waits until it is on disk.
func (h *hand) entry(keys ...string) {
	before := h.length()
	h.steady()
	for _, k := range keys {
		if text, ok := strings.CutPrefix(k, "text:"); ok {
			h.typed(text)
			continue
		}
		h.press(k)
	}
	h.until("the entry "+strings.Join(keys, " ")+" is in the journal", func() bool { return h.length() != before })
}

func (h *hand) steady() {
	time.Sleep(time.Until(h.last.Add(pace)))
	h.last = time.Now()
}

// flat is the screen as one line of words, for titles that are wrapped.
func flat(screen string) string { return strings.Join(strings.Fields(screen), " ") }

var figure = regexp.MustCompile(`Press (\d) if it is so`)

// once does the next thing that the screen asks for.
func (h *hand) once(replay *record.Replay) {
	time.Sleep(time.Until(h.last.Add(pace))) // the journal is ahead of the screen for a moment
	state, screen := replay.State, h.settled()
	shown := flat(screen)
	switch {
	case strings.Contains(shown, "Enter turns the page"):
		h.turn()
		return
	case state.Phase() == runner.Briefing, state.Hold() != nil, strings.Contains(shown, "Enter completes the step"),
		strings.Contains(shown, "Enter starts the time"), strings.Contains(shown, "Enter it is so"):
		h.entry("Enter")
		return
	case strings.Contains(shown, "HELD AT A GATE"):
		h.turn()
		return
	case state.ReadyToSeal() || state.Current() == nil:
		h.turn()
		return
	}
	if m := figure.FindStringSubmatch(shown); m != nil {
		h.entry(m[1])
		return
	}
	h.answer(state, screen)
}

// turn presses Enter where no entry follows from it.
func (h *hand) turn() {
	before := h.screen()
	h.steady()
	h.press("Enter")
	h.until("the screen moves on", func() bool { return h.screen() != before })
}

// answer gives the value, choice or name that the screen asks for.
func (h *hand) answer(state runner.State, screen string) {
	shown := flat(screen)
	step := state.Current()
	if step.Optional {
		h.steady()
		h.press("F7")
		h.pick("Pass over")
		h.until("a reason is asked for", func() bool { return strings.Contains(h.screen(), "> _") })
		h.entry("text:no camera in the bay today", "Enter")
		return
	}
	for _, in := range state.Job().Procedure.Instruments {
		if strings.Contains(shown, "Which one is in your hand? "+in.Title) {
			h.name(in)
			return
		}
	}
	if strings.Contains(shown, "How is it done?") {
		h.choose(screen, h.book[step.ID][0])
		return
	}
	if step.Ask != nil && strings.Contains(shown, step.Ask.Question) {
		h.choose(screen, h.book[step.ID][0])
		return
	}
	h.read(state, step, screen)
}

func (h *hand) name(in procedures.Instrument) {
	if !in.Calibration {
		h.entry("text:"+h.book[in.ID][0], "Enter")
		return
	}
	h.steady()
	h.typed(h.book[in.ID][0])
	h.press("Enter")
	h.until("the calibration date is asked for", func() bool {
		return strings.Contains(h.screen(), "alibration") && !strings.Contains(h.screen(), "Which one is in your hand")
	})
	h.steady()
	h.entry("text:"+time.Now().AddDate(0, 6, 0).Format(time.DateOnly), "Enter")
}

func (h *hand) read(state runner.State, step *procedures.Step, screen string) {
	shown, now := flat(screen), state.Last()
	view, ok := state.View(step.ID, now)
	require.True(h.t, ok)
	for _, r := range view.Readings {
		answers := h.book[r.Spec.ID]
		if len(answers) == 0 || len(r.Values) > 0 && !r.Spec.Series || !strings.Contains(shown, r.Spec.Title) {
			continue
		}
		given := answers[min(len(r.Values), len(answers)-1)]
		if r.Spec.Kind == procedures.TakesChoice {
			h.choose(screen, given)
			return
		}
		if r.Spec.Series && len(r.Values) > 0 && strings.Contains(shown, "The next value in") {
			h.until("the next value may be taken", func() bool { return strings.Contains(flat(h.screen()), "can be taken now") })
		}
		h.entry("text:"+given, "Enter")
		return
	}
	for _, w := range state.Wants(step.ID, now) {
		if w.Code == runner.WaitRunning {
			h.until("the time is over", func() bool { return !strings.Contains(flat(h.screen()), "TIME LEFT") })
			return
		}
	}
	require.Failf(h.t, "no answer known", "at %s; the screen shows:\n%s", step.ID, h.screen())
}

// choose presses the number that stands before an answer, then Enter.
func (h *hand) choose(screen, answer string) {
	h.press(h.numberOf(screen, answer))
	h.entry("Enter")
}

// pick does the same on a menu, once the menu shows the answer.
func (h *hand) pick(answer string) {
	h.until("the menu shows "+answer, func() bool { return strings.Contains(h.screen(), answer) })
	h.press(h.numberOf(h.settled(), answer), "Enter")
}

var numbered = regexp.MustCompile(`(?:^|\s)>?\s*(\d)\s+(\S.*?)(?:\s{3,}|\s+>\s|$)`)

// numberOf finds the number that stands before an answer on the screen.
func (h *hand) numberOf(screen, answer string) string {
	for line := range strings.Lines(screen) {
		rest := strings.TrimRight(line, "\n ")
		for {
			m := numbered.FindStringSubmatchIndex(rest)
			if m == nil {
				break
			}
			text := rest[m[4]:m[5]]
			if strings.HasPrefix(answer, text) || strings.HasPrefix(text, answer) {
				return rest[m[2]:m[3]]
			}
			rest = rest[m[5]:]
		}
	}
	require.Failf(h.t, "no such answer on the screen", "%q in:\n%s", answer, screen)
	return ""
}

// everyKey presses, at a gate, every key that does not say what the gate asks for, and sees that the gate stays shut.
func (h *hand) everyKey(state runner.State) {
	step := state.Current()
	if step == nil || step.Kind != procedures.Gate || h.tried[step.ID] || state.Phase() == runner.Briefing || strings.Contains(h.screen(), "HELD") {
		return
	}
	h.tried[step.ID] = true
	done := h.finished(step.ID)
	avoid := ""
	if m := figure.FindStringSubmatch(flat(h.screen())); m != nil {
		avoid = m[1]
		h.press("Enter")
	}
	for _, c := range "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ !\"#$%&'()*+,-./:;<=>@[\\]^_`{|}~0123456789" {
		if string(c) != avoid {
			h.typed(string(c))
		}
	}
	h.press("Tab", "BTab", "Up", "Down", "Left", "Right", "PageUp", "PageDown", "Home", "End", "Insert", "Delete")
	for _, k := range []string{"F1", "F2", "F3", "F4", "F5", "F6", "F7", "F10", "F11", "F12", "C-a", "C-b", "C-d", "C-e", "C-f", "C-g", "C-k", "C-l", "C-n", "C-o", "C-p", "C-q", "C-r", "C-s", "C-t", "C-v", "C-w", "C-y", "C-z"} {
		h.press(k)
		h.until("a screen over the job is closed", func() bool {
			if h.atJob(step) {
				return true
			}
			h.press("Escape")
			return false
		})
	}
	h.press(slices.Repeat([]string{"BSpace"}, 120)...)
	require.Equal(h.t, done, h.finished(step.ID), "gate %s was passed without what it asks for", step.ID)
	replay, _ := h.journal()
	require.Equal(h.t, step.ID, replay.State.Current().ID, "the job moved from gate %s", step.ID)
}

// atJob says whether the step's own screen is shown.
func (h *hand) atJob(step *procedures.Step) bool {
	return strings.Contains(flat(h.screen()), step.Title) && strings.Contains(h.screen(), "F4 STOP WORK") && !strings.Contains(h.screen(), "Esc back")
}

func (h *hand) finished(step string) int {
	_, lines := h.journal()
	n := 0
	for _, l := range lines {
		for _, e := range l.Events {
			if d, ok := e.(runner.Done); ok && d.Step == step {
				n++
			}
		}
	}
	return n
}

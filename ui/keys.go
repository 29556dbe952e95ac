package ui

// The rule of this file: letters are for typing. What a job can be asked beside its next entry stands on function keys,
// and each of those also on Esc followed by a letter, for keyboards whose function keys are hard to hit. Stop-work works
// from everywhere in a job.

import (
	"slices"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/runner"
)

// letters are what follows Esc.
var letters = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"h": "f1", "w": "f2", "l": "f3", "s": "f4", "c": "f5", "n": "f6", "m": "f7", "t": "f8", "p": "f9", "o": "f10", "d": "f12",
	}
})

// named is the key's name, with Esc and a letter taken together.
func (m *model) named(k tea.KeyMsg) string {
	name := k.String()
	if k.Alt && len(k.Runes) == 1 { // the terminal sent Esc and the letter in one
		if f, ok := letters()[string(k.Runes)]; ok {
			return f
		}
	}
	if m.escaped {
		m.escaped = false
		if f, ok := letters()[name]; ok {
			return f
		}
	}
	if name == "ctrl+x" {
		return "f4"
	}
	return name
}

// press takes a key: what works everywhere first, then the screen that is shown.
func (m *model) press(k tea.KeyMsg) tea.Cmd {
	name := m.named(k)
	if name == "ctrl+c" {
		return tea.Quit
	}
	m.message = ""
	if name == "enter" && m.tooQuick() {
		m.say("That was too quick to have been read. Press Enter again.")
		return nil
	}
	if name == "f4" {
		return m.stopWork()
	}
	if m.secret != nil {
		m.secret.press(m, k)
		return nil
	}
	switch name {
	case "ctrl+z":
		m.say("The program does not go to the background: time would run unseen. Ctrl+C leaves the job, which stays open.")
		return nil
	case "f1":
		return m.help()
	}
	if f, ok := functionKeys()[name]; ok && m.work != nil {
		return m.function(f)
	}
	if m.width < leastWidth || m.height < leastHeight || m.hidden() {
		m.say("Nothing is taken while the window is too small to show it.")
		return nil
	}
	return m.top().press(m, k)
}

// quickest is the least time between two presses of Enter. A key that is held, or bounces under a glove, comes faster, and
// must not say one statement after the other.
const quickest = 150 * time.Millisecond

// tooQuick says whether Enter came sooner after the last one than anybody reads.
func (m *model) tooQuick() bool {
	now := m.clock()
	gap := now.Sub(m.entered)
	m.entered = now
	return gap < quickest
}

// hidden says whether the screen at hand cannot be shown whole: then no key may answer it.
func (m *model) hidden() bool {
	_, missing := m.frame(m.width, m.height)
	return missing > 0
}

// functionKeys are what F2 and on do in a job.
var functionKeys = sync.OnceValue(func() map[string]func(*model) tea.Cmd {
	return map[string]func(*model) tea.Cmd{
		"f2": (*model).why, "f3": (*model).lookRound, "f5": (*model).corrections, "f6": (*model).note, "f7": (*model).more,
		"f8": (*model).startTime, "f9": (*model).pinned, "f10": (*model).skip, "f12": (*model).picture,
	}
})

// function does what a function key does, on the job itself: a screen above it is closed first.
func (m *model) function(f func(*model) tea.Cmd) tea.Cmd {
	switch {
	case m.work.finished != nil:
		m.say("The job is closed. Enter goes back to the board.")
		return nil
	case m.work.locked != nil:
		m.say("The job is locked. Nothing more is written to it.")
		return nil
	}
	m.toWork()
	return f(m)
}

// jobKeys are the keys shown under every step.
func jobKeys() []hint {
	return []hint{{"F4", "STOP WORK"}, {"F1", "help"}, {"F2", "why"}, {"F7", "more"}, {"F3", "look round"}, {"F5", "correct"}, {"F6", "note"}}
}

// stoppable puts stop-work behind the first key of a page where there is work to stop.
func (m *model) stoppable(keys []hint) []hint {
	if m.work == nil {
		return keys
	}
	return slices.Insert(keys, 1, hint{"F4", "STOP WORK"})
}

// startTime starts the time of a timed step at any moment of it.
func (m *model) startTime() tea.Cmd {
	v, ok := m.work.view()
	if !ok || !v.Wait.Timed || v.Step.Wait == nil {
		m.say("This step has no time to start.")
		return nil
	}
	return m.do(runner.StartWait{Step: v.Step.ID}, nil)
}

// pinned turns to a pinned step that runs, and back.
func (m *model) pinned() tea.Cmd {
	w := m.work
	if w.focus != "" {
		w.focus = ""
		return nil
	}
	for _, p := range w.state.Pins(w.now) {
		w.focus = p.Step.ID
		return nil
	}
	m.say("No step runs beside this one.")
	return nil
}

// singly is a key a character at a time: pasted, or typed over a slow line, several come at once.
func singly(k tea.KeyMsg) []tea.KeyMsg {
	if k.Type != tea.KeyRunes || k.Alt {
		return []tea.KeyMsg{k}
	}
	var out []tea.KeyMsg
	for _, r := range k.Runes {
		out = append(out, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	return out
}

package ui

// The rule of this file: what is asked next is read off the core's state, and one key answers it. The screen of a job has
// no memory of its own beyond what is being typed.

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session"
	"fenderside/ui/bell"
	"fenderside/ui/picture"
)

// work is the job in hand.
type work struct {
	session *session.Session
	job     *runner.Job
	who     runner.Person // whose key this machine has
	state   runner.State
	now     runner.Moment
	lines   []record.Line
	astray  []session.Astray // attached files whose copies are lost or changed

	saving, ticking bool
	queued          tea.Cmd // a command that waits for the tick to end
	bell            bell.Bell

	input  line   // what is being typed
	choice mark   // the choice that is marked
	turned int    // rows of a long text that were read and turned over
	asked  string // what these three belong to
	focus  string // a pinned step that is being completed
	seen   string // the hold at a gate that was looked at

	finished *session.Finished
	locked   *session.Locked
}

// want is what is asked next.
type want struct {
	id       string // what typed text and the mark belong to
	title    string
	row      []string // what is asked one after the other, of which it is one
	notes    []string
	choices  []string
	typed    bool
	unit     string
	enter    string   // what Enter does, or the figure
	figure   string   // the figure that says it instead of Enter, at a gate
	before   string   // what is to be done before it
	hint     string   // what else is to be known of it
	more     []string // what checks advise about what was refused
	compared bool     // it is compared with what was entered before
	told     []string // the checks that the notes and the advice speak for
	act      func(m *model, text string, choice int) tea.Cmd
}

// scene is one screen of a job.
type scene struct {
	banner   []string // why the job is here, where that needs saying
	warnings []procedures.Warning
	action   string
	large    bool          // in large letters, where there is room
	how      []string      // the action in more words; may be shortened
	shown    []string      // what is gone by: lines of the sheet, earlier readings
	must     []string      // what must be read before the key is pressed; turned page by page where it is long
	read     []string      // the page of it that is shown
	clock    string        // time left, drawn large
	passed   time.Duration // of the whole time that is waited for
	whole    time.Duration
	picture  *picture.Source // what the step is shown by, or nil
	want     want
	found    []string // what the checks say
	worked   []string // their workings
	given    []string // what is recorded so far
	track    bool
	keys     []hint // beside Enter and the keys of every job
}

// take shows a new state. Typed text is dropped where something else is asked now.
func (w *work) take(s runner.State, now runner.Moment, lines []record.Line) {
	w.state, w.now, w.lines = s, now, lines
	if w.focus != "" && !w.runs(w.focus) {
		w.focus = ""
	}
	w.freshen()
}

func (w *work) freshen() {
	if id := w.scene().want.id; id != w.asked {
		w.asked, w.input, w.choice, w.turned = id, line{}, unmarked, 0
	}
}

func (w *work) runs(pin string) bool {
	for _, p := range w.state.Pins(w.now) {
		if p.Step.ID == pin {
			return true
		}
	}
	return false
}

// step is the step that is shown: a pinned one that was turned to, else the current one.
func (w *work) step() *procedures.Step {
	if w.focus != "" {
		if st, ok := w.job.Procedure.StepByID(w.focus); ok {
			return st
		}
	}
	return w.state.Current()
}

func (w *work) view() (runner.StepView, bool) {
	st := w.step()
	if st == nil {
		return runner.StepView{}, false
	}
	return w.state.View(st.ID, w.now)
}

// scene is what the job shows now.
func (w *work) scene() scene {
	s := w.state
	switch {
	case w.finished != nil:
		return w.doneScene()
	case w.locked != nil:
		return w.lockedScene()
	case s.Phase() == runner.Closed:
		return w.unsignedScene()
	case s.Stopped():
		return w.stoppedScene()
	case s.Hold() != nil:
		return w.brokenOffScene()
	case s.Phase() == runner.Briefing:
		return w.briefingScene()
	case w.heldKey() != "" && w.heldKey() != w.seen && w.focus == "":
		return w.heldScene()
	case w.step() != nil:
		return w.stepScene()
	case s.Handover() != nil:
		return w.signingOverScene()
	}
	return w.endScene()
}

// press takes a key on the job's own screen.
func (w *work) press(m *model, k tea.KeyMsg) tea.Cmd {
	w.freshen()
	ask := w.scene().want
	name := k.String()
	switch {
	case name == "esc" && !m.escaped:
		m.escaped = true
		m.say("Esc, then a letter: H help, W why, L look round, S STOP WORK, C correct, N note, M more, T start time, P step beside, O pass over, D picture.")
		return nil
	case name == "enter" && ask.figure != "":
		m.say("This is a gate: look first. If it is so, press the figure %s; if it is not, put it right, or stop work with F4.", ask.figure)
		return nil
	case name == "enter", name == ask.figure && ask.figure != "":
		return w.answer(m, ask)
	case ask.figure != "" && len(name) == 1 && name >= "0" && name <= "9":
		m.say("Nothing was affirmed: the figure for this statement is %s.", ask.figure)
		return nil
	case ask.typed && name == "?" && len(w.input.text) == 0, !ask.typed && name == "?":
		return m.help()
	case ask.typed && w.input.press(k):
		return nil
	case len(ask.choices) > 0 && name == "backspace":
		w.choice = unmarked
		return nil
	case len(ask.choices) > 0 && m.marked(&w.choice, k, ask.choices):
		return nil
	}
	m.say("%s", whyNot(k, ask))
	return nil
}

// whyNot says why a key does nothing now.
func whyNot(k tea.KeyMsg, ask want) string {
	switch {
	case ask.figure != "":
		return "Nothing is typed here: look first, then press the figure " + ask.figure + " if it is so. F7 shows what else can be done."
	case len(ask.choices) > 0:
		return "Press the number of an answer, then Enter. F7 shows what else can be done."
	case ask.typed:
		return "Type the answer, then Enter. F7 shows what else can be done."
	case k.Type == tea.KeyRunes:
		return "Nothing is typed here: Enter is the key for what is asked. F7 shows what else can be done."
	}
	return "That key does nothing here. F1 shows the keys."
}

// answer does what Enter does.
func (w *work) answer(m *model, ask want) tea.Cmd {
	switch {
	case w.turn(m):
		return nil
	case ask.act == nil:
		m.say("%s", ask.enter)
		return nil
	case len(ask.choices) > 0 && (w.choice.at < 0 || w.choice.at >= len(ask.choices)):
		m.say("%s", w.choice.unanswered(ask.choices))
		return nil
	case ask.typed && w.input.String() == "":
		m.say("Nothing was typed yet. Type the answer, then Enter.")
		return nil
	}
	return ask.act(m, w.input.String(), w.choice.at)
}

// accepted clears what was typed once it was taken; what was refused stays to be mended, until another figure is begun.
func accepted(m *model, d runner.Decision) tea.Cmd {
	switch {
	case m.work == nil:
	case d.Refusal == nil:
		m.work.input, m.work.choice = line{}, unmarked
	default:
		m.work.input.refused = true
	}
	return nil
}

// ring rings the terminal's bell where a time is over.
func (w *work) ring(m *model) tea.Cmd {
	if !w.bell.Due(w.state, w.now) {
		return nil
	}
	return func() tea.Msg {
		fmt.Fprint(m.opt.Out, bell.Ring)
		return nil
	}
}

// remind says that a pinned step wants a look, as often as its procedure asks.
func (w *work) remind(m *model, now runner.Moment) {
	for _, p := range w.state.Pins(now) {
		every := p.Step.Pin.Remind
		if every <= 0 {
			continue
		}
		for _, before := range w.state.Pins(w.now) {
			if before.Step == p.Step && p.For/every > before.For/every {
				m.say("LOOK NOW: %s.", p.Step.Title)
			}
		}
	}
}

package ui

// The rule of this file: one append is under way at a time, and nothing is shown as done before it is on disk. While one
// is under way, a key that would send another command is told so. The clock's own tick counts as one, but is so short that
// a key pressed during it waits for its end instead.

import (
	"errors"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session"
)

type (
	// second is the passing of one.
	second struct{}
	// durable says that a command was decided and what follows from it is on disk.
	durable struct {
		decision runner.Decision
		err      error
		now      runner.Moment
		lines    []record.Line
		astray   []session.Astray
		then     func(*model, runner.Decision) tea.Cmd
	}
	// ticked is durable for the clock's own command.
	ticked struct {
		decision runner.Decision
		err      error
		now      runner.Moment
		lines    []record.Line
		astray   []session.Astray
	}
)

// doing is something that a session is asked to do.
type doing func(*session.Session) (runner.Decision, error)

// do sends one command.
func (m *model) do(c runner.Command, then func(*model, runner.Decision) tea.Cmd) tea.Cmd {
	return m.send(func(s *session.Session) (runner.Decision, error) { return s.Do(c) }, then)
}

// send has the session do something. Then is called once that is on disk and the new state is shown.
func (m *model) send(what doing, then func(*model, runner.Decision) tea.Cmd) tea.Cmd {
	w := m.work
	if w.saving {
		m.say("Saving. Wait a moment, then press it again.")
		return nil
	}
	w.saving = true
	s := w.session
	run := func() tea.Msg {
		d, err := what(s)
		return durable{d, err, s.Moment(), s.Lines(), s.Astray(), then}
	}
	if w.ticking {
		w.queued = run
		return nil
	}
	return run
}

// settle takes over what is on disk now.
func (m *model) settle(msg durable) tea.Cmd {
	if m.work == nil {
		return nil
	}
	m.work.saving = false
	m.work.astray = msg.astray
	m.work.take(msg.decision.State, msg.now, msg.lines)
	if msg.err != nil {
		m.failed(msg.err)
		return nil
	}
	if msg.decision.Refusal != nil {
		m.refused(*msg.decision.Refusal)
	}
	if msg.then == nil {
		return nil
	}
	return msg.then(m, msg.decision)
}

// failed shows an error: a locked job goes no further, anything else can be tried again.
func (m *model) failed(err error) {
	var locked *session.Locked
	if errors.As(err, &locked) {
		m.work.locked = locked
		m.toWork()
		return
	}
	m.say("Not done: %v", err)
}

// refused words why the core did not take a command, and what to do next.
func (m *model) refused(no runner.Refused) {
	what, next := m.work.job.Text(no.Reasons[0])
	m.say("NOT TAKEN: %s. Next: %s.", what, next)
	var more []string
	for _, r := range no.Reasons[1:] {
		w, _ := m.work.job.Text(r)
		more = append(more, w)
	}
	if len(more) > 0 {
		m.message += " Also: " + strings.Join(more, "; ") + "."
	}
}

// tick lets time pass in the job.
func (m *model) tick() tea.Cmd {
	w := m.work
	if w == nil || w.saving || w.ticking || w.locked != nil || w.finished != nil {
		return nil
	}
	w.ticking = true
	s := w.session
	return func() tea.Msg {
		d, err := s.Do(runner.Tick{})
		return ticked{d, err, s.Moment(), s.Lines(), s.Astray()}
	}
}

// afterTick takes over what time did. A command that waited is sent on only where nothing changed under it.
func (m *model) afterTick(msg ticked) tea.Cmd {
	w := m.work
	if w == nil {
		return nil
	}
	w.ticking = false
	w.remind(m, msg.now)
	changed := len(msg.decision.Events) > 0
	w.astray = msg.astray
	w.take(msg.decision.State, msg.now, msg.lines)
	bell := w.ring(m)
	if msg.err != nil {
		m.failed(msg.err)
	}
	queued := w.queued
	w.queued = nil
	if queued == nil {
		return bell
	}
	if changed || msg.err != nil {
		w.saving = false
		m.say("Something changed at that moment. Look again, then press it again.")
		return bell
	}
	return tea.Batch(bell, queued)
}

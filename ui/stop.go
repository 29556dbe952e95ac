package ui

// The rule of this file: stopping takes one key and no thought. What is asked afterwards is only what is no longer true.

import (
	tea "github.com/charmbracelet/bubbletea"

	"fenderside/runner"
)

// stopWork opens the stop-work page from everywhere in a job. Where a window is too small to choose in, everything is
// reported at once.
func (m *model) stopWork() tea.Cmd {
	w := m.work
	if w == nil || w.finished != nil {
		m.say("No job is open, so there is no work to stop.")
		return nil
	}
	if w.locked != nil {
		m.say("Stop the work. The job is locked and takes no entry.")
		return nil
	}
	if m.secret != nil {
		m.secret.giveUp(m)
	}
	m.toWork()
	if m.width < leastWidth || m.height < leastHeight {
		return m.stopNow(nil)
	}
	m.push(w.stopPicker())
	return nil
}

// stopPicker lists what stands; with nothing marked, all of it is reported.
func (w *work) stopPicker() *picker {
	p := &picker{title: "STOP WORK: what is no longer true?", many: map[int]bool{}, enter: "reports it", empty: "Nothing stands now. Enter writes the stop down.",
		intro: []string{"Mark with its number each line that is no longer true, then Enter. Enter with none marked reports everything."}}
	var ids []string
	for _, v := range w.state.Strip(w.now) {
		if v.State == runner.InPlace {
			ids = append(ids, v.Safeguard.ID)
			p.items = append(p.items, item{text: v.Safeguard.Title})
		}
	}
	p.done = func(m *model) tea.Cmd {
		var lost []string
		for i, id := range ids {
			if p.many[i] {
				lost = append(lost, id)
			}
		}
		return m.stopNow(lost)
	}
	return p
}

func (m *model) stopNow(lost []string) tea.Cmd {
	return m.do(runner.StopWork{Safeguards: lost}, func(m *model, d runner.Decision) tea.Cmd {
		if d.Refusal == nil {
			m.toWork()
			if !d.State.Stopped() {
				m.say("The stop is written down. No safeguard stood that it could fell.")
			}
		}
		return nil
	})
}

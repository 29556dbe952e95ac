package ui

// The rule of this file: what a job is opened with is chosen before it is opened. A demonstration vehicle makes a practice
// job and never a live one, and so does a program without a terminal.

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/session"
)

// prepare goes to the job sheet of a job, or to the choice of a vehicle where none was named.
func (m *model) prepare(s Start) tea.Cmd {
	if s.Card == nil {
		return m.chooseVehicle(s.Procedure, s.Practice, s.After)
	}
	return m.chooseMode(s.Procedure, s.Card, s.Practice, s.After)
}

// chooseVehicle lists the vehicle cards.
func (m *model) chooseVehicle(p *procedures.Procedure, practice bool, after string) tea.Cmd {
	pick := &picker{title: "Which vehicle? " + plaintext.Show(p.Title)}
	cards, problems := m.home.Cards()
	for _, c := range cards {
		more := c.Name
		if c.Demonstration {
			more += ", practice only: the vehicle and its figures are invented"
		}
		pick.items = append(pick.items, item{text: plaintext.Show(c.Title), more: more, act: func(m *model) tea.Cmd { return m.chooseMode(p, c, practice, after) }})
	}
	pick.items = append(pick.items, item{text: "No card: the figures are typed", more: "each with where it stands in the maker's papers",
		act: func(m *model) tea.Cmd { return m.chooseMode(p, nil, practice, after) }})
	toMode := func(m *model, c *procedures.Card) tea.Cmd {
		m.pop() // the list of vehicles does not have it yet
		return m.chooseMode(p, c, practice, after)
	}
	for _, u := range m.home.UnfinishedCards() {
		pick.items = append(pick.items, item{text: "Go on with the card " + plaintext.Show(u.Name), more: "left " + u.Last.Local().Format("2006-01-02 15:04"),
			act: func(m *model) tea.Cmd { return m.interview(u.Name, toMode) }})
	}
	pick.items = append(pick.items, item{text: "Write a card for this vehicle", more: "asked for figure by figure, for this job and every later one",
		act: func(m *model) tea.Cmd { return m.nameCard(toMode) }})
	for _, err := range problems {
		pick.intro = append(pick.intro, strings.Split(err.Error(), "\n")...)
	}
	m.push(pick)
	return nil
}

// chooseMode asks whether the work is real, where it can be.
func (m *model) chooseMode(p *procedures.Procedure, card *procedures.Card, practice bool, after string) tea.Cmd {
	to := func(mode runner.Mode) func(m *model) tea.Cmd {
		return func(m *model) tea.Cmd { m.push(newSheet(p, card, mode, after)); return nil }
	}
	demonstration := card != nil && card.Demonstration
	if practice || demonstration || !m.opt.Terminal {
		return to(runner.Practice)(m)
	}
	m.push(&picker{title: "Is this work on a real vehicle?", items: []item{
		{text: "Live work on a real vehicle", act: to(runner.Live)},
		{text: "Practice: nothing in it counts as work done", act: to(runner.Practice)},
	}})
	return nil
}

// begin opens the job that a sheet describes.
func (m *model) begin(s *sheet) tea.Cmd {
	if m.busy {
		m.say("Saving. Wait a moment.")
		return nil
	}
	m.busy = true
	h, st, who, opt, entries := m.home, m.store, m.who, m.opt, s.entries()
	return func() tea.Msg {
		o, err := h.Opening(s.p, s.card, entries, s.mode, opt.Terminal, who, s.after)
		if err != nil {
			return opened{err: fmt.Errorf("open the job: %w", err)}
		}
		job, err := session.Start(st, o, opt.Clock())
		return opened{job, err}
	}
}

package ui

// The rule of this file: a text longer than the screen is read page by page, and what follows its end waits until the end
// was shown.

import (
	"cmp"
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
)

// reader shows a text.
type reader struct {
	title string
	text  []string
	drawn func(width int) []string // in place of the text, rows that are not to be wrapped
	at    int                      // the first row shown
	last  string                   // what Enter does at the end; empty goes back
	enter func(m *model) tea.Cmd

	figure string // does it in place of Enter, which turns the pages: no hand that turns them signs by one turn too many
}

// page shows the rows from where the reader is.
func (r *reader) page(m *model, w, h int) page {
	rows, room := r.wrapped(w), h-2
	at := max(0, min(r.at, len(rows)-room))
	end := min(len(rows), at+room)
	out := []string{m.look.bold.Render(cut(fmt.Sprintf("%s  (%d to %d of %d)", r.title, at+1, end, len(rows)), w)), ""}
	out = append(out, rows[at:end]...)
	key, does := "Enter", "goes back"
	switch {
	case end < len(rows):
		does = "next page"
	case r.last != "":
		key, does = cmp.Or(r.figure, key), r.last
	}
	keys := []hint{{key, does}, {"Esc", "close"}}
	if len(rows) > room {
		keys = append(keys, hint{"Up/Down", "row"}, hint{"PgUp", "back"})
	}
	return page{rows: out, unread: max(0, len(rows)-room), keys: m.stoppable(keys)}
}

func (r *reader) wrapped(w int) []string {
	if r.drawn != nil {
		return r.drawn(w)
	}
	return paragraphs(r.text, w)
}

// paragraphs are lines of text, an empty one as an empty row.
func paragraphs(text []string, w int) []string {
	var rows []string
	for _, t := range text {
		if t == "" {
			rows = append(rows, "")
			continue
		}
		rows = append(rows, wrapped([]string{t}, "", w)...)
	}
	return rows
}

func (r *reader) press(m *model, k tea.KeyMsg) tea.Cmd {
	total, room := len(r.wrapped(m.width)), max(1, m.bodyHeight()-2)
	end := max(0, total-room)
	r.at = min(r.at, end)
	switch k.String() {
	case "esc":
		m.pop()
	case "up":
		r.at = max(0, r.at-1)
	case "down":
		r.at = min(end, r.at+1)
	case "pgup":
		r.at = max(0, r.at-room)
	case "pgdown", " ":
		r.at = min(end, r.at+max(1, room-2))
	case "home":
		r.at = 0
	case "end":
		r.at = end
	case "enter":
		if r.at >= end {
			return r.ends(m)
		}
		r.at = min(end, r.at+max(1, room-2))
	case r.figure:
		if r.at >= end {
			return r.enter(m)
		}
		m.say("Read it to its end first: Enter turns the page.")
	default:
		m.say("Enter turns the page, Esc goes back.")
	}
	return nil
}

// ends is what Enter does at the end.
func (r *reader) ends(m *model) tea.Cmd {
	switch {
	case r.figure != "":
		m.say("That was the last page. The figure %s %s; Esc closes it.", r.figure, r.last)
	case r.enter != nil:
		return r.enter(m)
	default:
		m.pop()
	}
	return nil
}

// bodyHeight is how many rows the body of the screen has now.
func (m *model) bodyHeight() int { return m.cast(m.width, m.height).height }

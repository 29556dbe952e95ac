package ui

// The rule of this file: everything in a list has a number, and a number marks it; Enter takes it.

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"
)

// item is one line of a list. A head is not chosen; it stands above others.
type item struct {
	head string // words above it, where a group begins
	text string
	more string // a second row
	act  func(m *model) tea.Cmd
}

// picker is a list to choose from.
type picker struct {
	title string
	intro []string
	items []item
	mark
	many  map[int]bool // where several are marked; nil where one is chosen
	enter string
	done  func(m *model) tea.Cmd // of a list where several are marked
	empty string                 // shown where there is nothing to choose
	stay  bool                   // Esc does not close it
}

func (p *picker) page(m *model, w, h int) page {
	rows := bolded(m.look, []string{p.title}, w)
	rows = append(rows, wrapped(p.intro, "", w)...)
	most, rest := max(2, h-4), ".."
	if m.work == nil { // in a job F2 has another meaning
		most, rest = max(2, h/2), ".. F2 reads the rest"
	}
	if len(rows) > most { // the list is what the screen is for
		rows = append(rows[:most-1:most-1], rest)
	}
	rows = append(rows, "")
	if len(p.items) == 0 {
		rows = append(rows, wrap(p.empty, w)...)
	}
	list, over := p.list(m.look, w, h-len(rows))
	rows = append(rows, list...)
	keys := []hint{{"Enter", p.enterDoes()}}
	if !p.stay {
		keys = append(keys, hint{"Esc", "back"})
	}
	if len(p.items) > 0 {
		keys = append(keys, hint{"1-9, Up/Down", "mark"})
	}
	return page{rows: rows, keys: append(m.stoppable(keys), hint{"F1", "help"}), unread: over}
}

func (p *picker) enterDoes() string {
	if p.enter == "" {
		return "take it"
	}
	return p.enter
}

// all are the rows of every item, and from where to where the marked one stands among them.
func (p *picker) all(look theme, w int) (rows []string, first, last int) {
	for i, it := range p.items {
		if it.head != "" {
			if i > 0 {
				rows = append(rows, "")
			}
			rows = append(rows, look.bold.Render(cut(it.head, w)))
		}
		if i == p.at {
			first = len(rows)
			if it.head != "" {
				first--
			}
		}
		rows = append(rows, p.row(look, i, w)...)
		if i == p.at {
			last = len(rows)
		}
	}
	return rows, first, last
}

// list shows the items around the marked one, in h rows, and says how much there is above and below. Over is how many rows
// there was no room for.
func (p *picker) list(look theme, w, h int) (out []string, over int) {
	rows, first, last := p.all(look, w)
	if len(rows) <= h {
		return rows, 0
	}
	start := max(0, min(first-h/3, len(rows)-h))
	if last > start+h {
		start = last - h
	}
	out = slices.Clone(rows[start:min(len(rows), start+h)])
	if start > 0 && first > start {
		out[0] = fmt.Sprintf("   .. %d rows more above", start+1)
	}
	if start+h < len(rows) && last < start+h {
		out[len(out)-1] = fmt.Sprintf("   .. %d rows more below", len(rows)-start-h+1)
	}
	return out, len(rows) - h
}

func (p *picker) row(look theme, i, w int) []string {
	it := p.items[i]
	mark := "  "
	if i == p.at {
		mark = "> "
	}
	box := ""
	if p.many != nil {
		box = "[ ] "
		if p.many[i] {
			box = "[x] "
		}
	}
	rows := hang(fmt.Sprintf("%s%s%2d  ", mark, box, i+1), it.text, w)
	if i == p.at {
		for k := range rows {
			rows[k] = look.bold.Render(rows[k])
		}
	}
	if it.more != "" {
		rows = append(rows, hang("        ", it.more, w)...)
	}
	return rows
}

func (p *picker) press(m *model, k tea.KeyMsg) (cmd tea.Cmd) {
	for _, one := range singly(k) {
		cmd = p.pressed(m, one)
	}
	return cmd
}

func (p *picker) pressed(m *model, k tea.KeyMsg) tea.Cmd {
	name := k.String()
	before := p.mark
	if p.mark.press(name, len(p.items)) {
		p.toggle(before, name)
		return nil
	}
	switch {
	case name == "esc" && !p.stay:
		m.pop()
	case name == "pgdown" || name == "pgup":
		p.leap(name)
	case name == "?":
		return m.help()
	case name == "f2" && len(p.intro) > 0:
		m.push(&reader{title: p.title, text: p.intro})
	case name == " " && p.many != nil:
		p.many[p.at] = !p.many[p.at]
	case name == "enter" && p.many != nil:
		return p.done(m)
	case name == "enter" && p.at < len(p.items):
		return p.items[p.at].act(m)
	case functionKeys()[m.named(k)] != nil:
		m.say("That key is for a job that is open. Here: press a number to mark a line, then Enter.")
	default:
		m.say("Press a number to mark a line, then Enter.")
	}
	return nil
}

// leap moves the mark by as many lines as have a single figure, for a list that no window holds.
func (p *picker) leap(name string) {
	by := 9
	if name == "pgup" {
		by = -by
	}
	p.mark = mark{at: max(0, min(len(p.items)-1, p.at+by))}
}

// toggle marks a line by its number, where several can be marked. A second digit takes back what the first one marked.
func (p *picker) toggle(before mark, name string) {
	if p.many == nil || len(name) != 1 {
		return
	}
	if before.typed != "" && p.at >= 9 {
		p.many[before.at] = !p.many[before.at]
	}
	p.many[p.at] = !p.many[p.at]
}

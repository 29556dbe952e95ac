package ui

// The rule of this file: what is asked in a few questions is asked one after the other, and nothing typed is lost when an
// answer is refused.

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
)

// question is one question of a form. With choices it is answered by a number.
type question struct {
	title    string
	hint     string
	choices  []string
	optional bool
	input    line
	mark     mark
}

// form is a few questions in a row.
type form struct {
	title string
	intro []string
	ask   []question
	now   int
	done  func(m *model, ask []question) tea.Cmd
	enter string // what Enter does at the last question
}

func newForm(title, enter string, intro []string, ask []question, done func(*model, []question) tea.Cmd) *form {
	for i := range ask {
		if ask[i].choices != nil && len(ask[i].choices) != 1 {
			ask[i].mark = unmarked
		}
	}
	return &form{title: title, intro: intro, ask: ask, done: done, enter: enter}
}

func (f *form) page(m *model, w, h int) page {
	q := &f.ask[f.now]
	blocks := []block{{rows: bolded(m.look, []string{f.title}, w)}, {rows: wrapped(f.intro, "", w), rank: 1, shorten: ".. a higher window shows the rest", folds: len(f.intro) > 0}, {rows: []string{""}, rank: 2}}
	for i := range f.now {
		blocks = append(blocks, block{rows: wrapped([]string{f.ask[i].answered()}, "", w), rank: 3, folds: true})
	}
	rows := bolded(m.look, []string{q.title}, w)
	rows = append(rows, wrapped([]string{q.hint}, "", w)...)
	if q.choices != nil {
		rows = append(rows, choices(m.look, q.choices, q.mark.at, w)...)
	} else {
		rows = append(rows, m.look.bold.Render("> "+q.input.show(w-2)))
	}
	blocks = append(blocks, block{rows: rows})
	does := f.enter
	if f.now < len(f.ask)-1 {
		does = "next"
	}
	shown, missing, folded := unfolded(blocks, h)
	return page{rows: shown, keys: append(m.stoppable([]hint{{"Enter", does}, {"Esc", "back"}}), hint{"F1", "help"}), missing: missing, folded: folded}
}

// answered is a question and what was answered to it.
func (q question) answered() string {
	between := ": "
	if strings.HasSuffix(q.title, "?") {
		between = " "
	}
	return q.title + between + q.given()
}

func (q question) given() string {
	if q.choices != nil {
		if q.mark.at >= 0 && q.mark.at < len(q.choices) {
			return q.choices[q.mark.at]
		}
		return ""
	}
	return plaintext.Show(q.input.String())
}

func (f *form) press(m *model, k tea.KeyMsg) tea.Cmd {
	q := &f.ask[f.now]
	name := k.String()
	switch {
	case name == "esc" && f.now > 0:
		f.now--
	case name == "esc":
		m.pop()
	case name == "enter":
		return f.next(m)
	case q.choices == nil && q.input.press(k):
	case q.choices != nil && name == "backspace":
		q.mark = unmarked
	case q.choices != nil:
		if !m.marked(&q.mark, k, q.choices) {
			m.say(pressNumber)
		}
	default:
		m.say("Type the answer, then Enter. Esc goes back.")
	}
	return nil
}

func (f *form) next(m *model) tea.Cmd {
	q := &f.ask[f.now]
	if q.choices != nil && q.mark.at < 0 {
		m.say("%s", q.mark.unanswered(q.choices))
		return nil
	}
	if q.choices == nil && !q.optional && q.input.String() == "" {
		m.say("Nothing was typed yet. Type the answer, then Enter; Esc goes back.")
		return nil
	}
	if f.now < len(f.ask)-1 {
		f.now++
		return nil
	}
	return f.done(m, f.ask)
}

// closed closes the form once its answer was taken; what was refused stays on the screen.
func closed(told string) func(*model, runner.Decision) tea.Cmd {
	return func(m *model, d runner.Decision) tea.Cmd {
		if d.Refusal == nil {
			m.toWork()
			if told != "" {
				m.say("%s", told)
			}
		}
		return nil
	}
}

// reason is a form with one line of words.
func (m *model) reason(title, asked, enter, told string, command func(text string) runner.Command, intro ...string) tea.Cmd {
	m.push(newForm(title, enter, intro, []question{{title: asked}}, func(m *model, ask []question) tea.Cmd {
		return m.do(command(ask[0].input.String()), closed(told))
	}))
	return nil
}

// dateHint is how a date is typed.
const dateHint = "Year-month-day, such as 2027-01-31."

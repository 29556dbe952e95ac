package ui

// The rule of this file: a vehicle card is asked for figure by figure, each with where it stands, by the same questions as in
// the line mode. Each answer is kept as it is given, so that leaving loses none; the card is written once it was read back.

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/newcard"
	"fenderside/procedures/plaintext"
	"fenderside/ui/picture"
	"fenderside/ui/reading"
)

// interview is a vehicle card being asked for.
type interview struct {
	draft *newcard.Draft
	then  func(m *model, c *procedures.Card) tea.Cmd // what is done with the card

	input line // the answer being typed
	mark  mark // or chosen
	no    string

	keeping, more bool // the answers are on their way to the disk; there are newer ones
	writing       bool
}

// What comes back from the disk.
type (
	answersKept struct{ err error }
	cardKept    struct {
		card *procedures.Card
		err  error
	}
)

// nameCard asks what a new card is called, until a name is free.
func (m *model) nameCard(then func(m *model, c *procedures.Card) tea.Cmd) tea.Cmd {
	m.push(newForm("A NEW VEHICLE CARD", "asks for its figures", []string{
		"A card holds the facts of one vehicle: its engine, its sensors, their torques. You are asked for each, and for where it stands in the service information of this very vehicle. Have that open beside you.",
	}, []question{{title: "What is the card to be called?", hint: "A short name in small letters, such as depot-bus-3."}},
		func(m *model, ask []question) tea.Cmd { return m.interview(ask[0].input.String(), then) }))
	return nil
}

// interview begins the questions of a card, or takes them up where they were left.
func (m *model) interview(name string, then func(m *model, c *procedures.Card) tea.Cmd) tea.Cmd {
	d, err := m.home.BeginCard(name)
	if err != nil {
		m.say("Not begun: %v.", err)
		return nil
	}
	if _, ok := m.top().(*form); ok {
		m.pop()
	}
	iv := &interview{draft: d, then: then}
	if n := len(d.Answered()); n > 0 {
		m.say("Taken up where it was left, after %s.", counted(n, "answer"))
	}
	iv.turn()
	m.push(iv)
	return nil
}

// turn begins the open question, with what was answered before where it was taken back.
func (iv *interview) turn() {
	q, _ := iv.draft.Next()
	before := iv.draft.Suggested()
	iv.no, iv.input, iv.mark = "", typedLine(before), mark{at: slices.Index(q.Choose, before)}
}

func (iv *interview) page(m *model, w, h int) page {
	q, open := iv.draft.Next()
	n := len(iv.draft.Answered())
	title := fmt.Sprintf("VEHICLE CARD %s: %s given, %d to come", plaintext.Show(iv.draft.Name()), counted(n, "answer"), iv.draft.ToCome())
	blocks := []block{{rows: bolded(m.look, []string{title}, w)}, {rows: []string{""}, rank: 1}}
	does := "next"
	if open {
		blocks = append(blocks, block{rows: iv.asked(m.look, q, w)})
	} else {
		does = "reads the card back"
		blocks = append(blocks, block{rows: wrapped([]string{"Everything was asked. Nothing is written yet."}, "", w)})
	}
	if iv.no != "" {
		blocks = append(blocks, block{rows: bolded(m.look, []string{"NOT TAKEN: " + iv.no}, w)})
	}
	blocks = append(blocks, block{rows: iv.soFar(w), rank: 2, shorten: ".. F7 reads the whole card so far"})
	rows, missing := fit(blocks, h)
	return page{rows: rows, keys: []hint{{"Enter", does}, {"Esc", "back one"}, {"F7", "more"}, {"F1", "help"}, {"Ctrl+C", "leave"}}, missing: missing}
}

// asked is the open question, with what it takes.
func (iv *interview) asked(look theme, q newcard.Question, w int) []string {
	rows := bolded(look, []string{plaintext.Show(q.Title)}, w)
	hint := plaintext.Show(q.Hint)
	if q.Source {
		given := iv.draft.Answered()
		hint = reading.Answered(given[len(given)-1])
	}
	rows = append(rows, wrapped([]string{hint}, "", w)...)
	switch {
	case len(q.Choose) > 0:
		rows = append(rows, choices(look, q.Choose, iv.mark.at, w)...)
	default:
		rows = append(rows, look.bold.Render("> "+iv.input.show(w-2)))
	}
	return append(rows, wrapped([]string{iv.empty(q)}, "", w)...)
}

// empty says what Enter does where nothing was typed or marked.
func (iv *interview) empty(q newcard.Question) string {
	switch {
	case q.Source:
		return "Enter alone: " + plaintext.Show(iv.draft.LastSource()) + "."
	case q.Needed:
		return "The card cannot do without it."
	case len(q.Choose) > 0:
		return "Enter with nothing marked (Backspace unmarks): not known. A guess is worse than a gap."
	}
	return "Enter alone: not known. A guess is worse than a gap."
}

// soFar lists the answers, the latest first.
func (iv *interview) soFar(w int) []string {
	var rows []string
	for _, a := range slices.Backward(iv.draft.Answered()) {
		rows = append(rows, hang("  ", reading.Answered(a), w)...)
	}
	if len(rows) > 0 {
		rows = append([]string{"", "SO FAR, the latest first:"}, rows...)
	}
	return rows
}

func (iv *interview) press(m *model, k tea.KeyMsg) tea.Cmd {
	q, open := iv.draft.Next()
	name := k.String()
	switch {
	case name == "f7", name == "alt+m":
		m.push(iv.leaving())
	case name == "esc":
		return iv.back(m)
	case name == "enter" && !open:
		iv.readBack(m)
	case name == "enter":
		return iv.answer(m, q)
	case !open:
		m.say("Enter reads the card back. Esc takes the last answer back.")
	case len(q.Choose) > 0 && (name == "backspace" || name == "delete"):
		iv.mark = unmarked
	case len(q.Choose) > 0:
		if !m.marked(&iv.mark, k, q.Choose) {
			m.say(pressNumber)
		}
	case !iv.input.press(k):
		m.say("Type the answer, then Enter. Esc takes the last answer back.")
	}
	return nil
}

// answer gives what was typed or marked to the card, and keeps it.
func (iv *interview) answer(m *model, q newcard.Question) tea.Cmd {
	text := iv.input.String()
	switch {
	case iv.mark.halfTyped():
		m.say("%s", iv.mark.left(q.Choose))
		return nil
	case len(q.Choose) > 0 && iv.mark.at >= 0:
		text = q.Choose[iv.mark.at]
	case len(q.Choose) > 0:
		text = ""
	case q.Source && text == "":
		text = iv.draft.LastSource()
	}
	if err := iv.draft.Answer(text); err != nil {
		iv.no = sentence(plaintext.Show(err.Error()))
		return nil
	}
	iv.turn()
	return iv.keep(m)
}

// back takes the last answer back, or leaves where there is none.
func (iv *interview) back(m *model) tea.Cmd {
	if !iv.draft.Back() {
		m.pop()
		return nil
	}
	iv.turn()
	return iv.keep(m)
}

// keep puts the answers on the disk. One write is under way at a time, for they have no order among each other.
func (iv *interview) keep(m *model) tea.Cmd {
	if iv.keeping {
		iv.more = true
		return nil
	}
	iv.keeping = true
	h, name, all := m.home, iv.draft.Name(), iv.draft.Given()
	return func() tea.Msg { return answersKept{h.KeepAnswers(name, all)} }
}

// kept goes on once the answers are on the disk.
func (m *model) kept(msg answersKept) tea.Cmd {
	if msg.err != nil {
		m.say("Not on the disk: %v", msg.err)
	}
	iv, ok := m.asking()
	if !ok {
		return nil
	}
	iv.keeping = false
	if iv.more {
		iv.more = false
		return iv.keep(m)
	}
	return nil
}

// asking is the interview that is open, under whatever stands above it.
func (m *model) asking() (*interview, bool) {
	for _, s := range m.stack {
		if iv, ok := s.(*interview); ok {
			return iv, true
		}
	}
	return nil, false
}

// leaving is what can be done beside answering.
func (iv *interview) leaving() *picker {
	return &picker{title: "THE CARD SO FAR", items: []item{
		{text: "Leave it for now", more: "what was answered is kept; the board offers to go on with it", act: func(m *model) tea.Cmd { return iv.left(m, false) }},
		{text: "Read the card so far", act: func(m *model) tea.Cmd {
			m.push(&reader{title: "THE CARD SO FAR", text: iv.lines()})
			return nil
		}},
		{text: "Throw the answers away", more: "no card is written, and nothing is kept", act: func(m *model) tea.Cmd { return iv.left(m, true) }},
	}}
}

func (iv *interview) lines() []string {
	var out []string
	for _, a := range iv.draft.Answered() {
		out = append(out, reading.Answered(a))
	}
	return out
}

// left goes back to where the card was asked for.
func (iv *interview) left(m *model, drop bool) tea.Cmd {
	if iv.keeping {
		m.say("Saving. Wait a moment, then press it again.")
		return nil
	}
	told := fmt.Sprintf("The answers for %s are kept. The board offers to go on with them.", plaintext.Show(iv.draft.Name()))
	if drop {
		told = "Thrown away. No card was written."
		if err := m.home.DropAnswers(iv.draft.Name()); err != nil {
			told = "Not done: " + err.Error()
		}
	}
	m.stack = m.stack[:1]
	m.say("%s", told)
	return m.readBoard()
}

// readBack shows the whole card, and its engine; Enter at the end writes it.
func (iv *interview) readBack(m *model) {
	card, err := procedures.ParseCard("the card", iv.draft.Text())
	if err != nil {
		iv.no = sentence(plaintext.Show(err.Error()))
		return
	}
	facts := picture.FactsOf(card)
	m.push(&reader{title: "THE CARD READS", last: "writes the card", drawn: func(width int) []string {
		p := picture.Engine(facts, nil, picture.Form{Width: width})
		rows := append(wrapped(reading.CardLines(card), "", width), "")
		return append(append(rows, p.Painted(m.look.title.Render)...), wrapped(append([]string{"IN WORDS"}, p.Words...), "", width)...)
	}, enter: iv.write})
}

// write has the card written into the person's own folder, and read back from there.
func (iv *interview) write(m *model) tea.Cmd {
	if iv.writing || iv.keeping {
		m.say("Saving. Wait a moment, then press it again.")
		return nil
	}
	iv.writing = true
	h, text := m.home, iv.draft.Text()
	return func() tea.Msg {
		card, err := h.KeepCard(text)
		return cardKept{card, err}
	}
}

// written goes on with a card that is on the disk.
func (m *model) written(msg cardKept) tea.Cmd {
	iv, ok := m.asking()
	if !ok {
		return nil
	}
	iv.writing = false
	if msg.err != nil {
		m.say("Not written: %v", msg.err)
		return nil
	}
	for _, open := m.asking(); open; _, open = m.asking() {
		m.pop()
	}
	m.say("Written and checked: %s", plaintext.Show(msg.card.File))
	return iv.then(m, msg.card)
}

package ui

// The rule of this file: a passphrase is never shown, and is wiped when it is given on or given up.

import (
	"errors"
	"sync"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// errGone is what whoever asks is told when the person gives up or leaves.
var errGone = errors.New("no passphrase was given")

// asker stands between the code that opens keys, which waits for its answer, and the screens, which never wait.
type asker struct {
	send func(tea.Msg)
	gone chan struct{}
	once sync.Once
}

// askFor asks for a passphrase; the answer goes to reply, nil when there is none.
type askFor struct {
	prompt string
	reply  chan []byte
}

func newAsker() *asker { return &asker{gone: make(chan struct{})} }

// ask is keys.Ask. It is called by commands alone, never by Update.
func (a *asker) ask(prompt string) ([]byte, error) {
	if a.send == nil {
		return nil, errGone
	}
	q := askFor{prompt, make(chan []byte, 1)}
	a.send(q)
	select {
	case answer := <-q.reply:
		if answer == nil {
			return nil, errGone
		}
		return answer, nil
	case <-a.gone:
		return nil, errGone
	}
}

// giveUp lets go whoever still waits.
func (a *asker) giveUp() { a.once.Do(func() { close(a.gone) }) }

// secret is a passphrase being typed.
type secret struct {
	ask  askFor
	text []byte
}

func newSecret(q askFor) *secret { return &secret{q, make([]byte, 0, 512)} }

func (s *secret) press(m *model, k tea.KeyMsg) {
	switch k.String() {
	case "enter":
		s.ask.reply <- append(make([]byte, 0, len(s.text)), s.text...)
		clear(s.text)
		m.secret = nil
	case "esc":
		s.giveUp(m)
	case "backspace":
		_, n := utf8.DecodeLastRune(s.text)
		clear(s.text[len(s.text)-n:])
		s.text = s.text[:len(s.text)-n]
	case "ctrl+u":
		clear(s.text)
		s.text = s.text[:0]
	default:
		for _, r := range k.Runes {
			if len(s.text)+utf8.UTFMax <= cap(s.text) {
				s.text = utf8.AppendRune(s.text, r)
			}
		}
	}
}

func (s *secret) giveUp(m *model) {
	clear(s.text)
	s.ask.reply <- nil
	m.secret = nil
}

func (s *secret) page(m *model, w, h int) page {
	rows := []string{""}
	for _, r := range wrap(s.ask.prompt, w) {
		rows = append(rows, m.look.bold.Render(r))
	}
	rows = append(rows, "", "> _", "")
	rows = append(rows, wrap("What you type is not shown. Enter gives it, Esc gives up.", w)...)
	return page{rows: rows, keys: m.stoppable([]hint{{"Enter", "give the passphrase"}, {"Esc", "give up"}})}
}

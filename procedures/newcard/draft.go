// Package newcard makes a vehicle card out of answers: what is asked, one question after the other, and the card as text with
// where each figure stands.
//
//	d, err := newcard.Begin("depot-bus-3", list)    // the procedures that are to work by it
//	for q, more := d.Next(); more; q, more = d.Next() {
//		err = d.Answer(text)          // "" is not known
//	}
//	text := d.Text()
//
// The rule kept here: the reader of cards alone judges an answer, and at once. The card so far is read with stand-ins for
// what was not asked yet; whatever fault that shows is the answer's. Stand-ins never reach the card itself.
package newcard

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Draft is a card while it is asked for.
type Draft struct {
	name    string
	taken   []procedures.Field // what procedures take from a card
	answers []given            // in the order in which they were asked
	before  []given            // those that were taken back, to be offered again
}

// given is one answer.
type given struct {
	id     string // of its question
	text   string // "" where it is not known
	source string // where it stands; "" where the question asks for none, or it was not said yet
}

// Question is what is asked next.
type Question struct {
	Title  string
	Hint   string
	Choose []string // empty where the answer is typed
	Needed bool     // the card wants an answer; otherwise "not known" is one too
	Source bool     // where the last answer stands is what is asked
}

// Begin begins a card of that name, which asks for the times to wait that the procedures take from a card. Its error says
// what a name may be.
func Begin(name string, list []*procedures.Procedure) (*Draft, error) {
	d := &Draft{name: name}
	for _, p := range list {
		d.taken = append(d.taken, slices.DeleteFunc(slices.Clone(p.Sheet), func(f procedures.Field) bool { return f.Card == "" })...)
	}
	if c, err := d.read(); err != nil || c.Name != name {
		return nil, fmt.Errorf("name the card %q: a name is lower-case letters and digits, with single - or _ between them, beginning with a letter", plaintext.Show(name))
	}
	return d, nil
}

// Next is the question that is open; false where everything was asked.
func (d *Draft) Next() (Question, bool) {
	if q, ok := d.unsourced(); ok {
		return Question{Title: "Where does that stand? Document and page, or what it was read off.", Hint: q.Title, Needed: true, Source: true}, true
	}
	for _, q := range d.plan() {
		if _, asked := d.given(q.id); !asked {
			return q.Question, true
		}
	}
	return Question{}, false
}

// unsourced is the question whose answer still lacks where it stands.
func (d *Draft) unsourced() (question, bool) {
	if len(d.answers) == 0 {
		return question{}, false
	}
	last := d.answers[len(d.answers)-1]
	for _, q := range d.plan() {
		if q.id == last.id {
			return q, q.sourced && last.text != "" && last.source == ""
		}
	}
	return question{}, false
}

func (d *Draft) given(id string) (given, bool) {
	i := slices.IndexFunc(d.answers, func(g given) bool { return g.id == id })
	if i < 0 {
		return given{}, false
	}
	return d.answers[i], true
}

// text is the answer to a question, "" where there is none.
func (d *Draft) text(id string) string {
	g, _ := d.given(id)
	return g.text
}

// LastSource is where the latest figure stands, to be said again.
func (d *Draft) LastSource() string {
	for _, g := range slices.Backward(d.answers) {
		if g.source != "" {
			return g.source
		}
	}
	return d.text("source")
}

// Answer takes the answer to the open question; "" stands for not known. The error says what the reader of cards has
// against it, and then nothing was taken.
func (d *Draft) Answer(text string) error {
	q, more := d.Next()
	switch {
	case !more:
		return errors.New("everything was asked")
	case text == "" && q.Needed:
		return errors.New("an answer is needed: the card cannot do without it")
	case len(q.Choose) > 0 && text != "" && !slices.Contains(q.Choose, text):
		return fmt.Errorf("%s is none of them: %s", procedures.Quote(text), procedures.DidYouMean(text, q.Choose))
	}
	before := slices.Clone(d.answers)
	if q.Source {
		d.answers[len(d.answers)-1].source = text
	} else {
		d.answers = append(d.answers, given{id: d.open(), text: text})
	}
	if _, err := d.read(); err != nil {
		d.answers = before
		return without(err)
	}
	return nil
}

// open is the id of the open question.
func (d *Draft) open() string {
	for _, q := range d.plan() {
		if _, asked := d.given(q.id); !asked {
			return q.id
		}
	}
	return ""
}

// Back takes the last answer back, with where it stands, and remembers it; false where there is none.
func (d *Draft) Back() bool {
	if len(d.answers) == 0 {
		return false
	}
	d.remember(d.answers[len(d.answers)-1])
	d.answers = d.answers[:len(d.answers)-1]
	return true
}

// read reads the card so far, with stand-ins for the rest, as the reader of cards does.
func (d *Draft) read() (*procedures.Card, error) {
	return procedures.ParseCard(d.name+".yaml", d.written(true))
}

// without is a reader's error without the places, which mean nothing to whoever answers.
func without(err error) error {
	var faults procedures.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var said []string
	for _, f := range faults {
		one := f.What
		if f.Hint != "" {
			one += " (" + f.Hint + ")"
		}
		if !slices.Contains(said, one) { // of both ends of a range
			said = append(said, one)
		}
	}
	return errors.New(strings.Join(said, "; "))
}

package plain

// The rule kept here: whoever writes a card is asked for each figure and for where it stands, is told at once what the
// reader of cards has against an answer, and nothing is written before the whole card was read back and agreed to.

import (
	"errors"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"fenderside/procedures"
	"fenderside/procedures/newcard"
	"fenderside/runner/home"
	"fenderside/ui/reading"
)

// NewCard asks for a vehicle card of that name in lines, and keeps it among the person's own. The error says why none was
// written.
func NewCard(h home.Home, name string, in io.Reader, out io.Writer) error {
	c := newConsole(in, out)
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(stop)
	c.interrupt = stop
	_, err := c.writeCard(h, name)
	if errors.Is(err, errLeft) {
		c.say("No card was written. What was answered is kept; go on with: fenderside cards new %s", name)
		err = errors.New("no card was written: start again, and answer what is asked to the end")
	}
	return errors.Join(err, c.failed)
}

// writeCard asks for a card and keeps it.
func (c *console) writeCard(h home.Home, name string) (*procedures.Card, error) {
	d, err := h.BeginCard(name)
	if err != nil {
		return nil, err
	}
	c.gap()
	c.say("A vehicle card %s, from the service information of this very vehicle. Have it open beside you.", name)
	c.say("For what the papers do not say, type: %s. A guess is worse than a gap.", reading.Unknown)
	c.say(".back takes the last answer back, .quit leaves; what was answered is kept for the next time.")
	if n := len(d.Answered()); n > 0 {
		c.say("Taken up where it was left. Answers so far: %d. The last: %s", n, reading.Answered(d.Answered()[n-1]))
	}
	for agreed := false; !agreed; {
		if err = c.askCard(h, d); err == nil {
			agreed, err = c.agreeCard(d)
		}
		if err != nil {
			return nil, err
		}
	}
	card, err := h.KeepCard(d.Text())
	if err == nil {
		c.say("Written: %s", card.File)
		c.say("Change it there, and then read it with: fenderside cards check %s", card.File)
	}
	return card, err
}

// askCard asks all that is open. Each answer is kept at once, so that whoever leaves loses none.
func (c *console) askCard(h home.Home, d *newcard.Draft) error {
	for q, more := d.Next(); more; q, more = d.Next() {
		c.gap()
		line, err := c.ask(cardPrompt(d, q)...)
		if err == nil {
			c.answerCard(d, q, line)
		} else if err = c.cardCommand(d, err); err != nil {
			return err
		}
		if all := d.Given(); len(all) > 0 {
			if err := h.KeepAnswers(d.Name(), all); err != nil {
				c.sayError(err)
			}
		}
	}
	return nil
}

// cardPrompt words a question.
func cardPrompt(d *newcard.Draft, q newcard.Question) []string {
	if q.Source {
		return []string{q.Title, "Press Enter for: " + d.LastSource()}
	}
	out := append([]string{q.Title}, listed(q.Choose)...)
	if q.Hint != "" {
		out = append(out, q.Hint)
	}
	if before := d.Suggested(); before != "" {
		out = append(out, "Before it was taken back: "+before)
	}
	if !q.Needed {
		out = append(out, "Where it is "+reading.Unknown+", press Enter.")
	}
	return out
}

// answerCard gives an answer to the card, and says what the reader has against it.
func (c *console) answerCard(d *newcard.Draft, q newcard.Question, line string) {
	line = chosen(q.Choose, line)
	switch {
	case q.Source && line == "":
		line = d.LastSource()
	case !q.Source && strings.EqualFold(line, reading.Unknown):
		line = ""
	}
	if err := d.Answer(line); err != nil {
		c.say("Not taken: %v.", err)
	}
}

// cardCommand does a command that was typed in place of an answer; any other error stays one.
func (c *console) cardCommand(d *newcard.Draft, typed error) error {
	var command *commandLine
	if !errors.As(typed, &command) {
		return typed
	}
	switch {
	case command.name == "quit":
		return errLeft
	case command.name == "back" && d.Back():
		c.say("Taken back.")
	case command.name == "back":
		c.say("Nothing was answered yet.")
	default:
		c.say("While a card is written there are .back, which takes the last answer back, and .quit, which leaves; what was answered is kept.")
	}
	return nil
}

// agreeCard reads the card back; false where an answer was taken back.
func (c *console) agreeCard(d *newcard.Draft) (agreed bool, err error) {
	c.gap()
	c.say("The card reads:")
	c.sayCard(d.Text())
	for {
		line, err := c.ask("To write the card, type: write", "To take the last answer back, type: .back")
		switch {
		case err != nil:
			if err := c.cardCommand(d, err); err != nil {
				return false, err
			}
			if _, open := d.Next(); open {
				return false, nil
			}
		case strings.EqualFold(line, "write"):
			return true, nil
		default:
			c.say("“%s” is not write.", line)
		}
	}
}

// sayCard reads every fact of a card, with where it stands.
func (c *console) sayCard(text []byte) {
	card, err := procedures.ParseCard("the card", text)
	if err != nil {
		c.sayError(err)
		return
	}
	for _, line := range reading.CardLines(card) {
		c.say("%s", line)
	}
}

package reading

// The rule of this file: a vehicle card is read back with every fact, and with where each stands.

import (
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/newcard"
	"fenderside/procedures/plaintext"
)

// Unknown is what stands for a figure that the papers do not give.
const Unknown = "not known"

// Answered is one answer to a card's question in a row of words, with where it stands.
func Answered(a newcard.Answered) string {
	title, text := plaintext.Show(a.Title), plaintext.Show(a.Text)
	if !strings.HasSuffix(title, "?") {
		title += ":"
	}
	switch {
	case text == "":
		return title + " " + Unknown
	case a.Source == "":
		return title + " " + text
	}
	return title + " " + text + " (" + plaintext.Show(a.Source) + ")"
}

// CardLines are the facts of a card by their paths. What the card is called and what it was made from stands for itself.
func CardLines(c *procedures.Card) []string {
	var out []string
	for _, path := range c.Paths() {
		fact, _ := c.Fact(path)
		line := plaintext.Show(path) + ": " + plaintext.Show(fact.Text)
		if path != "card" && path != "source" && fact.Source != "" {
			line += " (" + plaintext.Show(fact.Source) + ")"
		}
		out = append(out, line)
	}
	return out
}

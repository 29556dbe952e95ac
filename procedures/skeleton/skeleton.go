// Package skeleton writes the beginning of a new procedure or vehicle card: a small sound one, with each field of the format
// explained beside it.
//
// The rule kept here: what is written passes the loader and the writing rules as it stands, and names every field that the
// format has, so that an author can work by deleting and overwriting alone. A card's figures are invented, so it says that it
// is a demonstration until its author says otherwise.
package skeleton

import (
	_ "embed"
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

//go:embed skeleton.yaml
var text string

//go:embed card.yaml
var cardText string

const placeholder = "new-procedure"

// New returns the text of a new procedure of that name. Its error says what a name may be.
func New(name string) ([]byte, error) {
	written := []byte(strings.Replace(text, "procedure: "+placeholder, "procedure: "+name, 1))
	p, err := procedures.Parse(name+".yaml", written)
	if err != nil || p.Name != name {
		return nil, noName("procedure", name)
	}
	return written, nil
}

// Card returns the text of a new vehicle card of that name. Its error says what a name may be.
func Card(name string) ([]byte, error) {
	written := []byte(strings.Replace(cardText, "card: new-card ", "card: "+name+" ", 1))
	c, err := procedures.ParseCard(name+".yaml", written)
	if err != nil || c.Name != name {
		return nil, noName("card", name)
	}
	return written, nil
}

func noName(what, name string) error {
	return fmt.Errorf("name the %s %q: a name is lower-case letters and digits, with single - or _ between them, beginning with a letter", what, plaintext.Show(name))
}

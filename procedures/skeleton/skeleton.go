// Package skeleton writes the beginning of a new procedure: a small sound one, with each field of the format explained
// beside it.
//
// The rule kept here: what is written passes the loader and the writing rules as it stands, and names every field that the
// format has, so that an author can work by deleting and overwriting alone.
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

const placeholder = "new-procedure"

// New returns the text of a new procedure of that name. Its error says what a name may be.
func New(name string) ([]byte, error) {
	written := []byte(strings.Replace(text, "procedure: "+placeholder, "procedure: "+name, 1))
	p, err := procedures.Parse(name+".yaml", written)
	if err != nil || p.Name != name {
		return nil, fmt.Errorf("name the procedure %q: a name is lower-case letters and digits, with single - or _ between them, beginning with a letter", plaintext.Show(name))
	}
	return written, nil
}

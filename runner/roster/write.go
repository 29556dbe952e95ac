package roster

// The rule kept here: a line that is written here parses here, to the same
// entry.

import (
	"encoding/base64"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
)

// Line returns the roster line, without a line end, that gives the key of one
// person those roles (namespaces). Nil or no roles mean all three, which are
// then listed by name. It refuses what Parse would refuse.
func Line(principal string, key ssh.PublicKey, roles []string, comment string) (string, error) {
	if len(roles) == 0 {
		roles = seal.Namespaces()
	}
	return Entry{Principals: []string{principal}, Key: key, Namespaces: roles, Comment: comment}.Format()
}

// Format returns the entry as a roster line without a line end, its roles
// listed by name. It refuses what Parse would refuse.
func (e Entry) Format() (string, error) {
	opts := []string{`namespaces="` + strings.Join(e.Namespaces, ",") + `"`}
	if !e.ValidAfter.IsZero() {
		opts = append(opts, `valid-after="`+e.ValidAfter.UTC().Format(layouts[2])+`"`)
	}
	if !e.ValidBefore.IsZero() {
		opts = append(opts, `valid-before="`+e.ValidBefore.UTC().Format(layouts[2])+`"`)
	}
	text := strings.TrimSpace(strings.Join([]string{strings.Join(e.Principals, ","), strings.Join(opts, ","),
		e.Key.Type(), base64.StdEncoding.EncodeToString(e.Key.Marshal()), e.Comment}, " "))
	return text, e.reads(text)
}

// reads checks that text parses to this entry and to nothing else.
func (e Entry) reads(text string) error {
	r, err := ParseNamed("new roster line", []byte(text))
	if err != nil {
		return err
	}
	if len(r.entries) != 1 {
		return fmt.Errorf("write roster line for %q: the name cannot begin a line; use a plain name", e.Principals)
	}
	got := r.entries[0]
	if !slices.Equal(got.Principals, e.Principals) || !slices.Equal(got.Namespaces, e.Namespaces) || got.Comment != strings.TrimSpace(e.Comment) {
		return fmt.Errorf("write roster line for %q: the names or roles would read back as others; use plain ones without blanks", e.Principals)
	}
	return nil
}

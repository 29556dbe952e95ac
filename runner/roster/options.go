package roster

// The rule kept here: an option is one of three, written once, with its value
// in double quotes, and a time names its zone.

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"fenderside/runner/seal"
)

// options reads the comma-separated options into the entry.
func (l *line) options(e *Entry, found *Problems) {
	start, text := l.column(), l.word()
	seen := map[string]bool{}
	for _, one := range splitOptions(text) {
		column := start + one.offset
		name, value, ok := strings.Cut(one.text, "=")
		name = strings.ToLower(name)
		switch {
		case seen[name]:
			found.add(l.number, column, fmt.Sprintf("the option %q stands twice", name), "join the two")
		case name == "cert-authority":
			found.add(l.number, column, "the option \"cert-authority\" is not used here", "list each person's own key")
		case !slices.Contains([]string{"namespaces", "valid-after", "valid-before"}, name):
			found.add(l.number, column, fmt.Sprintf("%q is not an option", one.text), "the options are namespaces, valid-after and valid-before; a key begins like ssh-ed25519")
		case !ok || len(value) < 2 || value[0] != '"' || value[len(value)-1] != '"' || strings.ContainsAny(value[1:len(value)-1], `"\`):
			found.add(l.number, column, fmt.Sprintf("the option %q has no value in double quotes", name), "write it as "+name+`="..."`)
		default:
			l.option(e, name, value[1:len(value)-1], column+len(name)+2, found)
		}
		seen[name] = true
	}
	if !e.ValidAfter.IsZero() && !e.ValidBefore.IsZero() && !e.ValidAfter.Before(e.ValidBefore) {
		found.add(l.number, start, "valid-after is not before valid-before", "swap or correct the times")
	}
}

// option takes one well-formed option.
func (l *line) option(e *Entry, name, value string, column int, found *Problems) {
	switch name {
	case "namespaces":
		e.Namespaces = l.namespaces(value, column, found)
	case "valid-after":
		e.ValidAfter = l.time(value, column, found)
	case "valid-before":
		e.ValidBefore = l.time(value, column, found)
	}
}

// namespaces splits and checks the list of roles.
func (l *line) namespaces(value string, column int, found *Problems) []string {
	names := strings.Split(value, ",")
	known := strings.Join(seal.Namespaces(), ", ")
	for i, n := range names {
		ours := strings.HasSuffix(strings.ToLower(n), "@fenderside")
		switch {
		case n == "":
			found.add(l.number, column, "a role is missing", "the roles are "+known)
		case strings.ContainsAny(n, "*?! \t"):
			found.add(l.number, column, fmt.Sprintf("the role %q is a pattern or holds a blank", n), "list each role by its name: "+known)
		case ours && !slices.Contains(seal.Namespaces(), n):
			found.add(l.number, column, fmt.Sprintf("%q is not a role", n), "the roles are "+known)
		case slices.Contains(names[:i], n):
			found.add(l.number, column, fmt.Sprintf("the role %q stands twice", n), "delete one")
		}
		column += utf8.RuneCountInString(n) + 1
	}
	return names
}

// layouts are the forms of a time that OpenSSH reads, in UTC.
var layouts = []string{"20060102Z", "200601021504Z", "20060102150405Z"}

// time reads a time in UTC.
func (l *line) time(value string, column int, found *Problems) time.Time {
	const hint = "write it in UTC as YYYYMMDDZ, YYYYMMDDHHMMZ or YYYYMMDDHHMMSSZ"
	if !strings.HasSuffix(value, "Z") {
		found.add(l.number, column, fmt.Sprintf("the time %q does not end in Z, so its zone is not known", value), hint)
		return time.Time{}
	}
	for _, layout := range layouts {
		if t, err := time.Parse(layout, value); err == nil && len(value) == len(layout) && t.Unix() > 0 {
			return t
		}
	}
	found.add(l.number, column, fmt.Sprintf("%q is not a time", value), hint)
	return time.Time{}
}

// piece is one option and where it begins, counted in characters.
type piece struct {
	text   string
	offset int
}

// splitOptions splits at the commas outside double quotes.
func splitOptions(text string) []piece {
	out, quoted := []piece{{}}, false
	for i, r := range []rune(text) {
		last := &out[len(out)-1]
		switch {
		case r == ',' && !quoted:
			out = append(out, piece{offset: i + 1})
			continue
		case r == '"':
			quoted = !quoted
		}
		last.text += string(r)
	}
	return out
}

package roster

// The rule kept here: a line means one thing or is refused, and its grammar is
// principals [options] key-type key [comment].

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
)

// entry parses the line. It reports what is wrong and returns false, after
// looking at as much of the line as can be understood.
func (l *line) entry(found *Problems) (Entry, bool) {
	before := len(found.List)
	e := Entry{Line: l.number}
	column := l.column()
	e.Principals = principals(l.word(), l.number, column, found)
	if next := l.peek(); next != "" && !isKeyType(next) {
		l.options(&e, found)
	}
	if e.Namespaces == nil {
		e.Namespaces = seal.Namespaces()
	}
	if e.Key = l.key(found); e.Key != nil {
		e.Fingerprint = seal.Fingerprint(e.Key)
	}
	e.Comment = l.rest()
	return e, len(found.List) == before
}

// peek returns the next word without taking it.
func (l line) peek() string { return l.word() }

// principals splits and checks the first word of a line.
func principals(word string, number, column int, found *Problems) []string {
	names := strings.Split(word, ",")
	seen := map[string]bool{}
	for _, name := range names {
		switch {
		case name == "":
			found.add(number, column, "a name is missing beside a comma", "write names as asha@millbrook.example,bryn@millbrook.example")
		case strings.ContainsAny(name, `*?!"`):
			found.add(number, column, fmt.Sprintf("the name %q is a pattern or is quoted", name), "a name is one person: write it plainly, without * ? ! or quotes")
		case seen[name]:
			found.add(number, column, fmt.Sprintf("the name %q stands twice", name), "delete one")
		}
		seen[name] = true
		column += utf8.RuneCountInString(name) + 1
	}
	return names
}

// isKeyType reports that a word looks like the type of a key rather than like
// options.
func isKeyType(word string) bool {
	return !strings.ContainsAny(word, `="`) &&
		(strings.HasPrefix(word, "ssh-") || strings.HasPrefix(word, "sk-") || strings.HasPrefix(word, "ecdsa-"))
}

// key reads the type and the base64 of a key. It returns nil after reporting
// what is wrong.
func (l *line) key(found *Problems) ssh.PublicKey {
	l.keyColumn = l.column()
	kind, blobColumn := l.word(), l.column()
	if kind == "" {
		found.add(l.number, l.keyColumn, "the line ends where its key belongs", "add the text of the person's .pub file")
		return nil
	}
	if !isKeyType(kind) {
		found.add(l.number, l.keyColumn, fmt.Sprintf("%q is not a type of key", kind), "a key begins like ssh-ed25519; names and options hold no blanks")
		return nil
	}
	key, err := readKey(kind, l.word())
	if err != nil {
		found.add(l.number, blobColumn, err.Error(), "copy the whole .pub file again")
		return nil
	}
	return key
}

// readKey decodes one key in its one canonical form.
func readKey(kind, text string) (ssh.PublicKey, error) {
	blob, err := base64.StdEncoding.Strict().DecodeString(text)
	if err != nil || text == "" {
		return nil, fmt.Errorf("the text of the key is not whole base64")
	}
	key, err := ssh.ParsePublicKey(blob)
	if err != nil {
		return nil, fmt.Errorf("the key cannot be read: %v", err)
	}
	if key.Type() != kind {
		return nil, fmt.Errorf("the line says %q and the key is of type %q", kind, key.Type())
	}
	if !bytes.Equal(key.Marshal(), blob) {
		return nil, fmt.Errorf("the key is not written in the canonical form")
	}
	return key, seal.Supported(key)
}

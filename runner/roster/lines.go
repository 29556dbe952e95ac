package roster

// The rule kept here: no text reaches the parser with a character in it that
// a reader cannot see.

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MaxText is the longest roster or plain revocation list that is read, in bytes.
const MaxText = 1 << 20

// line is one line that holds something, and the place reached in it.
type line struct {
	number    int
	runes     []rune
	at        int // index of the next rune
	keyColumn int // where its key begins
}

// lines splits text and returns the lines to parse. Blank lines and comments
// are left out; a line with a hidden character is reported and left out.
func lines(text []byte, found *Problems) []line {
	if len(text) > MaxText {
		found.add(1, 1, fmt.Sprintf("the file is %d bytes long and %d is the limit", len(text), MaxText), "split it, or check that it is the right file")
		return nil
	}
	var out []line
	for i, raw := range bytes.Split(text, []byte("\n")) {
		l := line{number: i + 1, runes: []rune(string(raw))}
		if !l.visible(raw, found) {
			continue
		}
		l.skipBlank()
		if l.at < len(l.runes) && l.runes[l.at] != '#' {
			out = append(out, l)
		}
	}
	return out
}

// visible reports the first character of a line that cannot be seen.
func (l *line) visible(raw []byte, found *Problems) bool {
	column := 1
	for len(raw) > 0 {
		r, size := utf8.DecodeRune(raw)
		switch {
		case r == utf8.RuneError && size == 1:
			found.add(l.number, column, fmt.Sprintf("byte %#02x is not UTF-8", raw[0]), "save the file as UTF-8")
			return false
		case r == '\r':
			found.add(l.number, column, "the line holds a carriage return", "save the file with LF line ends")
			return false
		case r != '\t' && !unicode.IsPrint(r):
			found.add(l.number, column, fmt.Sprintf("the character U+%04X is not a visible one", r), "delete it and type the text again")
			return false
		}
		raw, column = raw[size:], column+1
	}
	return true
}

func (l *line) column() int { return l.at + 1 }

func (l *line) skipBlank() {
	for l.at < len(l.runes) && isBlank(l.runes[l.at]) {
		l.at++
	}
}

// word returns the text up to the next blank outside double quotes, and skips
// the blanks after it.
func (l *line) word() string {
	from, quoted := l.at, false
	for l.at < len(l.runes) && (quoted || !isBlank(l.runes[l.at])) {
		if l.runes[l.at] == '"' {
			quoted = !quoted
		}
		l.at++
	}
	w := string(l.runes[from:l.at])
	l.skipBlank()
	return w
}

// rest returns what is left of the line, without blanks around it.
func (l *line) rest() string {
	s := strings.TrimFunc(string(l.runes[l.at:]), isBlank)
	l.at = len(l.runes)
	return s
}

func isBlank(r rune) bool { return r == ' ' || r == '\t' }

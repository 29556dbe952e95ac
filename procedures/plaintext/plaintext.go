// Package plaintext keeps one rule: text from outside (procedures, cards, rosters, records, notes, file names) may
// hold no character that a reader cannot see, and is printed only through Show, which makes such characters visible.
//
// Refused are control characters (tab and line break too: a text is one line), characters that change the direction
// of text, characters of no width or no look of their own, private and permanently unassigned code points, and bytes
// that are not UTF-8. Such characters can hide a word, reorder a sentence on the screen, or drive the terminal.
package plaintext

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Error is the first forbidden character of a text.
type Error struct {
	Index int  // how many characters stand before it
	Rune  rune // utf8.RuneError with Byte set where the text is not UTF-8
	Byte  byte // the byte that is not UTF-8
}

// Error names the character by its code point, never by itself.
func (e *Error) Error() string {
	if e.Rune == utf8.RuneError {
		return fmt.Sprintf("byte 0x%02X is not UTF-8; save the text as UTF-8", e.Byte)
	}
	return fmt.Sprintf("%s U+%04X; take it out", Kind(e.Rune), e.Rune)
}

// Check returns nil, or an *Error for the first forbidden character of s.
func Check(s string) error {
	index := 0
	for i := 0; i < len(s); index++ {
		r, size := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && size == 1 {
			return &Error{Index: index, Rune: r, Byte: s[i]}
		}
		if Forbidden(r) {
			return &Error{Index: index, Rune: r}
		}
		i += size
	}
	return nil
}

// Forbidden says whether a text may not hold r.
func Forbidden(r rune) bool { return Kind(r) != "" }

// Kind says in words what is wrong with r, or "" where nothing is. The categories are those of the Unicode
// Character Database: Cc, Bidi_Control, Cf, Zl, Zp, Default_Ignorable_Code_Point, Co, Cs, noncharacters.
func Kind(r rune) string {
	switch {
	case ' ' <= r && r <= '~': // printable ASCII, which is nearly every text: no category below holds any of it
		return ""
	case unicode.Is(unicode.Cc, r):
		return "control character"
	case unicode.Is(unicode.Bidi_Control, r):
		return "bidirectional control character"
	case unicode.In(r, unicode.Cf, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector), r == brailleBlank:
		return "invisible character"
	case unicode.In(r, unicode.Zl, unicode.Zp):
		return "line separator"
	case unicode.In(r, unicode.Co, unicode.Cs), unicode.Is(unicode.Noncharacter_Code_Point, r):
		return "character without a meaning of its own"
	}
	return ""
}

// brailleBlank is a symbol by its category and an empty cell on every screen.
const brailleBlank = '\u2800'

// Show returns s with every forbidden character written out: \n, \t, \u{202E}, and \x{FF} for a byte that is not
// UTF-8. Everything else is kept as it is, so a text that Check accepts is shown unchanged.
func Show(s string) string {
	if Check(s) == nil {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		b.WriteString(show(r, s[i:i+size]))
		i += size
	}
	return b.String()
}

func show(r rune, bytes string) string {
	switch {
	case r == utf8.RuneError && len(bytes) == 1:
		return fmt.Sprintf(`\x{%02X}`, bytes[0])
	case r == '\n':
		return `\n`
	case r == '\t':
		return `\t`
	case r == '\r':
		return `\r`
	case Forbidden(r):
		return fmt.Sprintf(`\u{%04X}`, r)
	}
	return bytes
}

// The rule of this file: bytes are two hexadecimal digits each; an address is
// three digits, or eight that begin with 18DA or 18DB, and comes first.

package paste

import (
	"fmt"
	"strings"
)

// word is a run of hexadecimal digits, in capitals, and where it stood.
type word struct {
	digits string
	column int
}

// split cuts a part into words at blanks and commas and takes 0x off them.
func split(part string, line, column int) ([]word, error) {
	var words []word
	runes := []rune(strings.ToUpper(part))
	if len(runes) != len([]rune(part)) {
		return nil, &Error{line, column, fmt.Sprintf("%q holds what is no hexadecimal digit", part)}
	}
	for at := 0; at < len(runes); {
		if strings.ContainsRune(" \t,", runes[at]) {
			at++
			continue
		}
		end := at
		for end < len(runes) && !strings.ContainsRune(" \t,", runes[end]) {
			end++
		}
		w, err := check(word{string(runes[at:end]), column + at}, line)
		if err != nil {
			return nil, err
		}
		words = append(words, w)
		at = end
	}
	if len(words) == 0 {
		return nil, &Error{line, column, "nothing but commas; give bytes of two hexadecimal digits, such as 41 05 6E"}
	}
	return words, nil
}

// check takes the 0x off a word and refuses what is no digit.
func check(w word, line int) (word, error) {
	if rest, is := strings.CutPrefix(w.digits, "0X"); is {
		w.digits, w.column = rest, w.column+2
	}
	at := 0
	for _, c := range w.digits {
		if !strings.ContainsRune("0123456789ABCDEF", c) {
			return word{}, &Error{line, w.column + at, fmt.Sprintf("%q is no hexadecimal digit%s", string(c), slip(c))}
		}
		at++
	}
	if w.digits == "" {
		return word{}, &Error{line, w.column, "0x without digits; give two"}
	}
	return w, nil
}

// slip says what a character that is no digit probably is.
func slip(c rune) string {
	switch c {
	case 'O':
		return "; a zero is meant, not the letter O"
	case 'I', 'L':
		return "; a one is meant, not a letter"
	case '>':
		return "; leave the prompt out"
	case ':', '-', ';', '.':
		return "; put blanks between the bytes, and leave line numbers out"
	}
	return "; leave out all but the bytes, such as 41 05 6E"
}

// assemble makes an address and bytes out of words.
func assemble(words []word, line int) (message, error) {
	var m message
	first := words[0].digits
	switch {
	case len(first) == 3, len(first) == 8 && addressed(first):
		m.address, words = first, words[1:]
	case len(words) == 1 && len(first) > 3 && len(first)%2 == 1:
		m.address = first[:3]
		words = []word{{first[3:], words[0].column + 3}}
	}
	joined := ""
	for _, w := range words {
		if len(w.digits)%2 == 1 {
			return message{}, &Error{line, w.column, odd(w.digits)}
		}
		joined += w.digits
	}
	if m.address == "" && len(joined) > 8 && addressed(joined) {
		m.address, joined = joined[:8], joined[8:]
	}
	m.bytes = unhex(joined)
	return m, nil
}

// addressed reports digits that begin with an address of 29 bits. The first
// frame of a message of 2266 bytes could begin so too, but F1 and 33 are no
// reply's first byte, and F1 is no PID.
func addressed(digits string) bool {
	return strings.HasPrefix(digits, "18DA") && len(digits) >= 8 && (digits[4:6] == "F1" || digits[6:8] == "F1") ||
		strings.HasPrefix(digits, "18DB33F1")
}

func odd(digits string) string {
	if len(digits) == 1 {
		return fmt.Sprintf("%q is half a byte; write 0%s if that is meant", digits, digits)
	}
	return fmt.Sprintf("%q has %d digits; bytes have two each, so one is missing or too many", digits, len(digits))
}

func unhex(digits string) []byte {
	const order = "0123456789ABCDEF"
	all := make([]byte, len(digits)/2)
	for i := range all {
		all[i] = byte(strings.IndexByte(order, digits[2*i])<<4 | strings.IndexByte(order, digits[2*i+1]))
	}
	return all
}

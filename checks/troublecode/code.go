// Package troublecode reads and writes diagnostic trouble codes and knows those
// of the exhaust oxygen sensor trade: what each says, at which bank and sensor,
// and what to look at first.
//
// A code is two bytes on the wire. The top two bits are the system (P C B U),
// the next two the first digit, and the rest three hexadecimal digits:
//
//	01 35 -> P0135    41 23 -> C0123    80 03 -> B0003    02 CD -> P02CD
//
// Two zero bytes are padding, not a code (SAE J2012, ISO 15031-6).
package troublecode

// The rule of this file: a code's text and its two bytes are one thing, and
// what is not exactly a code is refused with what was probably meant.

import (
	"fmt"
	"strings"
)

// Code is a trouble code as its two bytes, the first byte the upper one. The
// zero Code is padding.
type Code uint16

const (
	systems = "PCBU"
	digits  = "0123456789ABCDEF"
)

// FromBytes is the code of two bytes of a reply, in the order received.
func FromBytes(first, second byte) Code { return Code(first)<<8 | Code(second) }

// Bytes gives the two bytes in the order sent.
func (c Code) Bytes() (first, second byte) { return byte(c >> 8), byte(c) }

// Padding reports the two zero bytes that fill a reply and mean no code.
func (c Code) Padding() bool { return c == 0 }

// String is the code as it is written: a letter, a digit of 0 to 3, and three
// hexadecimal digits.
func (c Code) String() string {
	return fmt.Sprintf("%c%d%03X", systems[c>>14], c>>12&3, uint16(c)&0xFFF)
}

// System names what the letter stands for.
func (c Code) System() string {
	return [...]string{"powertrain", "chassis", "body", "network"}[c>>14]
}

// Owner says who defined the code (SAE J2012, from memory): the standard, or
// the vehicle's maker, whose own information then is the only place to look.
func (c Code) Owner() string {
	digit := c >> 12 & 3
	switch {
	case digit == 0, c>>14 == 0 && digit == 2, c>>14 == 0 && c&0x3FFF >= 0x3400:
		return "standard"
	case c>>14 != 0 && digit == 3:
		return "reserved"
	}
	return "maker"
}

// FromReply reads pairs of bytes as codes and leaves padding out. An odd number
// of bytes is an error.
func FromReply(pairs []byte) ([]Code, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("codes in % X: %d bytes do not make whole pairs; copy the whole reply, without its checksum", pairs, len(pairs))
	}
	var codes []Code
	for i := 0; i < len(pairs); i += 2 {
		if c := FromBytes(pairs[i], pairs[i+1]); !c.Padding() {
			codes = append(codes, c)
		}
	}
	return codes, nil
}

// Parse reads one code, such as P0135; small letters do as well. Anything else
// is an error that quotes the text and says what was probably meant.
func Parse(text string) (Code, error) {
	given := strings.ToUpper(strings.TrimSpace(text))
	c, ok := exact(given)
	if !ok {
		return 0, fmt.Errorf("trouble code %q: %s", text, hint(given))
	}
	if c.Padding() {
		return 0, fmt.Errorf("trouble code %q: this is padding and means that no code is stored; leave it out", text)
	}
	return c, nil
}

// exact reads the five characters of a code.
func exact(text string) (Code, bool) {
	if len(text) != 5 {
		return 0, false
	}
	code := strings.IndexByte(systems, text[0])
	if code < 0 || text[1] < '0' || text[1] > '3' {
		return 0, false
	}
	code = code<<2 | int(text[1]-'0')
	for i := 2; i < 5; i++ {
		digit := strings.IndexByte(digits, text[i])
		if digit < 0 {
			return 0, false
		}
		code = code<<4 | digit
	}
	return Code(code), true
}

const shape = "a code is a letter P, C, B or U, a digit 0 to 3 and three of 0-9 A-F, such as P0135"

// hint says what is wrong with text that is not a code.
func hint(text string) string {
	if text == "" {
		return "nothing given; " + shape
	}
	if meant, ok := meant(text); ok {
		return fmt.Sprintf("did you mean %s? %s", meant, shape)
	}
	switch {
	case !strings.ContainsRune(systems, rune(text[0])):
		return fmt.Sprintf("it does not begin with P, C, B or U; %s", shape)
	case len(text) == 5 && text[1] >= '4' && text[1] <= '9':
		return fmt.Sprintf("the first digit cannot be %c, two bits hold it; %s", text[1], shape)
	case len(text) < 5:
		return fmt.Sprintf("%d characters where five are wanted; %s", len(text), shape)
	}
	return shape
}

// meant tries the slips that people make: the letter O for a zero, I or L for
// a one, a space or hyphen inside, a failure type after the code, no letter.
func meant(text string) (Code, bool) {
	plain := strings.NewReplacer("O", "0", "I", "1", "L", "1", " ", "", "-", "", ":", "").Replace(text)
	tries := []string{plain}
	if len(plain) == 7 {
		tries = append(tries, plain[:5])
	}
	if len(plain) == 4 {
		tries = append(tries, "P"+plain)
	}
	for _, try := range tries {
		if c, ok := exact(try); ok && !c.Padding() {
			return c, true
		}
	}
	return 0, false
}

// The rule of this file: text becomes a quantity only when it can mean one
// thing; otherwise the error quotes it and says what to write instead.

package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is the most bytes a quantity may take.
const longest = 80

// Parse reads one quantity. A bare number is of dimension Number. Errors quote
// the text and say what to write.
func Parse(text string) (Quantity, error) {
	q, err := parse(text, "")
	if err != nil {
		return Quantity{}, fmt.Errorf("read quantity %q: %w", clip(text), err)
	}
	return q, nil
}

// ParseAs reads one quantity of dimension d. A bare number where a unit
// belongs, a unit where a bare number belongs, and a unit of another dimension
// are errors that name the accepted units.
func ParseAs(text string, d Dimension) (Quantity, error) {
	if !d.Known() {
		return Quantity{}, fmt.Errorf("read %q as %q: no such dimension", clip(text), string(d))
	}
	q, err := parse(text, d)
	if err == nil {
		err = q.mustBe(d)
	}
	if err != nil {
		return Quantity{}, fmt.Errorf("read %s %q: %w", d, clip(text), err)
	}
	return q, nil
}

// MustParse is Parse for texts written in a program; it panics on an error.
func MustParse(text string) Quantity {
	q, err := Parse(text)
	if err != nil {
		panic(err)
	}
	return q
}

func (q Quantity) mustBe(d Dimension) error {
	switch have := q.Dimension(); {
	case have == d:
		return nil
	case have == Number:
		return fmt.Errorf("a bare number; give its unit: %s", accepted(d))
	case d == Number:
		return fmt.Errorf("%s is a unit of %s; write a bare number", q.Unit(), have)
	default:
		return fmt.Errorf("%s is a unit of %s; use %s", q.Unit(), have, accepted(d))
	}
}

func parse(text string, d Dimension) (Quantity, error) {
	if len(text) > longest {
		return Quantity{}, fmt.Errorf("longer than %d bytes; give one number and its unit", longest)
	}
	if !utf8.ValidString(text) {
		return Quantity{}, errors.New("not UTF-8 text; type it again")
	}
	s := strings.TrimSpace(strings.ReplaceAll(text, "−", "-"))
	if strings.ContainsFunc(s, unicode.IsControl) {
		return Quantity{}, errors.New("a control character in it; type it again on one line")
	}
	n := numberLength(s)
	if n == 0 {
		return Quantity{}, noNumber(s, d)
	}
	number, rest := s[:n], s[n:]
	if err := refuseTail(number, rest); err != nil {
		return Quantity{}, err
	}
	u := find(rest)
	if u == nil {
		return Quantity{}, unknownUnit(rest, d)
	}
	value, err := toFloat(number)
	if err != nil {
		return Quantity{}, err
	}
	return build(value, u, typedDecimals(number))
}

// numberLength is the length of the number at the start of s, 0 for none.
func numberLength(s string) int {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	whole := digits(s[i:])
	i += whole
	if i < len(s) && s[i] == '.' {
		if after := digits(s[i+1:]); after > 0 {
			return i + 1 + after + exponent(s[i+1+after:])
		}
	}
	if whole == 0 {
		return 0
	}
	return i + exponent(s[i:])
}

func digits(s string) int {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return i
}

// exponent is the length of "e±digits" at the start of s, 0 for none.
func exponent(s string) int {
	if s == "" || (s[0] != 'e' && s[0] != 'E') {
		return 0
	}
	i := 1
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	if n := digits(s[i:]); n > 0 {
		return i + n
	}
	return 0
}

func noNumber(s string, d Dimension) error {
	low := strings.ToLower(strings.TrimLeft(s, "+-"))
	switch {
	case s == "":
		return fmt.Errorf("nothing there; give %s", example(d))
	case strings.HasPrefix(low, "nan"), strings.HasPrefix(low, "inf"):
		return errors.New("not a finite number; give the value that was read")
	}
	return fmt.Errorf("no number at the start; give %s", example(d))
}

// example says what a quantity of d looks like.
func example(d Dimension) string {
	switch {
	case d == Number:
		return "a bare number"
	case d == "":
		return "a number and its unit, such as 45 N·m"
	}
	return "a number and its unit: " + accepted(d)
}

// refuseTail catches what follows a number and would make it mean two things.
func refuseTail(number, rest string) error {
	rest = strings.TrimSpace(rest)
	if rest == "" {
		return nil
	}
	next := rest[0]
	switch {
	case next == ',' || strings.HasPrefix(rest, "٫"):
		return errors.New("a comma; write the decimal point as a point and no thousands mark, such as 4.5")
	case next == '.':
		return fmt.Errorf("a point that no digit follows; write %s or %s.0", number, number)
	case next == '_' || next == '\'':
		return errors.New("a thousands mark; write the digits together")
	case next == '/':
		return errors.New("a fraction; write it as a decimal, 0.5 for 1/2")
	case next == '-' || next == '+' || strings.HasPrefix(rest, "–"):
		return errors.New("a sign after the number; give one value, not a range or a sum")
	case next >= '0' && next <= '9':
		return errors.New("two numbers; give one value and its unit")
	case number == "0" && (next == 'x' || next == 'X'):
		return errors.New("a hexadecimal number; write it in decimal")
	}
	return nil
}

func toFloat(number string) (float64, error) {
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.Abs(value) > Largest {
		return 0, errors.New("too large; check the number and its unit")
	}
	mantissa, _, _ := strings.Cut(strings.ToLower(number), "e")
	if value == 0 && strings.Trim(mantissa, "+-0.") != "" {
		return 0, errors.New("too small to hold; check the exponent")
	}
	return value, nil
}

// typedDecimals counts the digits after the point of a number written without
// an exponent.
func typedDecimals(number string) int {
	if strings.ContainsAny(number, "eE") {
		return 0
	}
	_, after, _ := strings.Cut(number, ".")
	return len(after)
}

// unknownUnit names what could be written instead of an unknown unit.
func unknownUnit(text string, d Dimension) error {
	if near := otherCase(text, d); near != "" {
		return fmt.Errorf("unknown unit %q; did you mean %s", clip(strings.TrimSpace(text)), near)
	}
	if d != "" {
		return fmt.Errorf("unknown unit %q; use %s", clip(strings.TrimSpace(text)), accepted(d))
	}
	return fmt.Errorf("unknown unit %q; units are written like N·m, lbf·ft, °C, °F, min, mm, V, Ω, %%", clip(strings.TrimSpace(text)))
}

// otherCase finds the unit that differs from the text only in letter case.
func otherCase(text string, d Dimension) string {
	for _, u := range table() {
		if d != "" && u.dim != d {
			continue
		}
		if u.name != "" && strings.EqualFold(u.name, strings.TrimSpace(text)) {
			return u.name
		}
	}
	return ""
}

// clip shortens a text for a message, at a character boundary.
func clip(text string) string {
	const most = 40
	if len(text) <= most {
		return text
	}
	end := most
	for end > 0 && !utf8.RuneStart(text[end]) {
		end--
	}
	return text[:end] + "…"
}

// The rule of this file: a value is never printed without its unit, and is
// rounded once, half away from zero, from its exact value.

package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// String prints the quantity as given with the printed spelling of its unit:
// "45 N·m", "40.0 °C", "90°". Parse reads the same quantity back. The zero
// Quantity prints as the empty text.
func (q Quantity) String() string {
	if !q.Valid() {
		return ""
	}
	return attach(q.digits(), q.unit)
}

func (q Quantity) digits() string {
	if m := math.Abs(q.value); m != 0 && m < 1e-6 {
		return strconv.FormatFloat(q.value, 'g', -1, 64)
	}
	s := strconv.FormatFloat(q.value, 'f', -1, 64)
	_, after, _ := strings.Cut(s, ".")
	if len(after) >= q.decimals {
		return s
	}
	if after == "" {
		s += "."
	}
	return s + strings.Repeat("0", q.decimals-len(after))
}

// attach puts the unit after the number, with the space that the unit takes:
// none before the degree of an angle (SI Brochure, 9th edition, 5.4.3).
func attach(number string, u *unit) string {
	switch u.name {
	case "":
		return number
	case "°":
		return number + u.name
	}
	return number + " " + u.name
}

// Show prints the quantity in a unit with that many digits after the point.
// A unit of another dimension is never guessed at: the quantity is then printed
// as String does, in its own unit.
func (q Quantity) Show(decimals int, unitText string) string {
	u, err := q.target(unitText)
	if err != nil {
		return q.String()
	}
	number, ok := q.quotientIn(u).fixed(decimals)
	if !ok {
		number = fixed(q.in(u), decimals)
	}
	return attach(number, u)
}

// fixed prints r with that many decimals and without a signed zero.
func fixed(r *big.Rat, decimals int) string {
	s := r.FloatString(max(decimals, 0))
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// Both prints a torque or a temperature in both customary units, always in
// this order: "45.0 N·m (33.2 lbf·ft)", "43.0 °C (109.4 °F)". Every other
// dimension prints as String does.
func (q Quantity) Both() string {
	switch q.Dimension() {
	case Torque:
		return q.Show(1, "N·m") + " (" + q.Show(1, "lbf·ft") + ")"
	case Temperature:
		return q.Show(1, "°C") + " (" + q.Show(1, "°F") + ")"
	}
	return q.String()
}

// MarshalText prints as String does.
func (q Quantity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads what MarshalText wrote; the empty text is the zero
// Quantity, anything else must parse.
func (q *Quantity) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*q = Quantity{}
		return nil
	}
	parsed, err := Parse(string(text))
	if err != nil {
		return err
	}
	*q = parsed
	return nil
}

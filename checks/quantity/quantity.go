// Package quantity parses, converts, compares and prints physical quantities.
//
// A quantity is a finite number and a unit: "45 N·m", "33.2 ft-lb", "43 degC".
// The grammar is
//
//	quantity = number [space] unit
//	number   = [sign] (digits ["." digits] | "." digits) [("e"|"E") [sign] digits]
//
// and a number with no unit has the dimension Number. The decimal point is a
// point; a comma is refused, because it means a thousand to one reader and a
// tenth to another.
//
// Conversions are done with exact fractions and rounded once, so two texts that
// mean the same value (118.4 °F and 48 °C) compare equal and convert to the
// same float64 on every processor.
package quantity

// The rule of this file: a Quantity that exists is finite and physical; the
// zero Quantity is invalid and every method says so rather than guess.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"time"
)

// Largest is the greatest magnitude accepted, in the unit as written. It keeps
// every value printable without an exponent and every conversion finite.
const Largest = 1e15

// Quantity is a number with its unit. The zero value is not a quantity: Valid
// reports false. Values are immutable and safe to copy.
type Quantity struct {
	value    float64
	unit     *unit
	decimals int // digits after the point as typed; kept because 40.0 says more than 40
}

var errInvalid = errors.New("no quantity here; parse one first")

// New makes a quantity from a number and any accepted spelling of a unit. The
// empty unit makes a Number. Errors: unknown unit, a value that is not finite
// or exceeds Largest, a temperature below absolute zero.
func New(value float64, unitText string) (Quantity, error) {
	u := find(unitText)
	if u == nil {
		return Quantity{}, fmt.Errorf("make a quantity in %q: %w", unitText, unknownUnit(unitText, ""))
	}
	return build(value, u, 0)
}

// FromBase makes a quantity from what Base reports: N·m, K, s, m, °, V, Ω, A,
// kg, a fraction for Ratio (printed in %), a bare number. Errors as New, and an
// unknown dimension.
func FromBase(value float64, d Dimension) (Quantity, error) {
	if d == Ratio {
		return New(value*100, "%")
	}
	if u := bases()[d]; u != nil {
		return build(value, u, 0)
	}
	return Quantity{}, fmt.Errorf("make a quantity of dimension %q: no such dimension", string(d))
}

func build(value float64, u *unit, decimals int) (Quantity, error) {
	if math.IsNaN(value) || math.Abs(value) > Largest {
		return Quantity{}, fmt.Errorf("make a quantity of %v %s: not a number this program can hold; give one between -1e15 and 1e15", value, u.name)
	}
	if value == 0 {
		value = 0 // a negative zero would print as "-0"
	}
	q := Quantity{value: value, unit: u, decimals: decimals}
	if u.dim == Temperature && q.Base() < 0 {
		return Quantity{}, fmt.Errorf("make a temperature of %q: below absolute zero (-273.15 °C); check the sign and the unit", q.String())
	}
	return q, nil
}

// exact is the value in the base unit, taking the value as the shortest
// decimal that reads back to it, which is what was typed.
func (q Quantity) exact() *big.Rat {
	r := asWritten(q.value)
	r.Mul(r, q.unit.factor)
	return r.Add(r, q.unit.offset)
}

// in is the exact value in another unit of the same dimension.
func (q Quantity) in(u *unit) *big.Rat {
	if u == q.unit {
		return asWritten(q.value)
	}
	r := q.exact()
	r.Sub(r, u.offset)
	return r.Quo(r, u.factor)
}

func asWritten(value float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(value, 'g', -1, 64))
	if !ok {
		panic("quantity: a finite number could not be read back")
	}
	return r
}

// Valid reports whether q holds a quantity; the zero Quantity does not.
func (q Quantity) Valid() bool { return q.unit != nil }

// IsZero reports whether q is the zero Quantity, that is, none at all. It is
// not a test for the value 0.
func (q Quantity) IsZero() bool { return q.unit == nil }

// In returns the value in another unit of the same dimension.
func (q Quantity) In(unitText string) (float64, error) {
	u, err := q.target(unitText)
	if err != nil {
		return 0, err
	}
	if f, ok := q.quotientIn(u).float(); ok {
		return f, nil
	}
	f, _ := q.in(u).Float64()
	return f, nil
}

func (q Quantity) target(unitText string) (*unit, error) {
	if !q.Valid() {
		return nil, errInvalid
	}
	u := find(unitText)
	if u == nil || u.dim != q.unit.dim {
		return nil, fmt.Errorf("convert %q to %q: not a unit of %s; use %s", q.String(), unitText, q.unit.dim, accepted(q.unit.dim))
	}
	return u, nil
}

// Base returns the value in the base unit of its dimension: N·m, K, s, m, °,
// V, Ω, A, kg; a fraction for Ratio. It is NaN for the zero Quantity, so that a
// comparison with it is never true.
func (q Quantity) Base() float64 {
	if !q.Valid() {
		return math.NaN()
	}
	if f, ok := q.quotient().float(); ok {
		return f
	}
	f, _ := q.exact().Float64()
	return f
}

// Dimension returns the dimension, empty for the zero Quantity.
func (q Quantity) Dimension() Dimension {
	if !q.Valid() {
		return ""
	}
	return q.unit.dim
}

// Unit returns the printed spelling of the unit as given, for example "N·m".
func (q Quantity) Unit() string {
	if !q.Valid() {
		return ""
	}
	return q.unit.name
}

// Compare returns -1, 0 or +1 as q is less than, equal to or greater than
// other, exactly and across units. Different dimensions are an error.
func (q Quantity) Compare(other Quantity) (int, error) {
	if !q.Valid() || !other.Valid() {
		return 0, errInvalid
	}
	if q.unit.dim != other.unit.dim {
		return 0, fmt.Errorf("compare %q with %q: %s and %s do not compare", q.String(), other.String(), q.unit.dim, other.unit.dim)
	}
	if q.unit == other.unit {
		return cmp.Compare(q.value, other.value), nil
	}
	if order, ok := q.quotient().compare(other.quotient()); ok {
		return order, nil
	}
	return q.exact().Cmp(other.exact()), nil
}

// Less reports whether q is less than other; different dimensions are an
// error, never a false.
func (q Quantity) Less(other Quantity) (bool, error) {
	c, err := q.Compare(other)
	return err == nil && c < 0, err
}

// Abs returns the magnitude. A temperature is counted from absolute zero and
// so is its own magnitude.
func (q Quantity) Abs() Quantity {
	if q.Valid() && q.unit.dim != Temperature {
		q.value = math.Abs(q.value)
	}
	return q
}

// Duration returns a time as a time.Duration, rounded to the nanosecond.
// Errors: another dimension, or more than about 292 years.
func (q Quantity) Duration() (time.Duration, error) {
	if q.Dimension() != Time {
		return 0, fmt.Errorf("take %q as a duration: not a time; use %s", q.String(), accepted(Time))
	}
	ns := q.exact()
	ns.Mul(ns, new(big.Rat).SetInt64(int64(time.Second)))
	n, ok := new(big.Int).SetString(ns.FloatString(0), 10)
	if !ok || !n.IsInt64() {
		return 0, fmt.Errorf("take %q as a duration: too long; give less than 292 years", q.String())
	}
	return time.Duration(n.Int64()), nil
}

// accepted lists the units of d for a message.
func accepted(d Dimension) string {
	switch names := Units(d); len(names) {
	case 0:
		return "no unit: " + strconv.Quote(string(d)) + " is no known dimension"
	case 1:
		if d == Number {
			return "a bare number"
		}
		return names[0]
	default:
		last := len(names) - 1
		return strings.Join(names[:last], ", ") + " or " + names[last]
	}
}

// The rule of this file: what whole numbers of a machine word hold exactly is
// reckoned in them, and gives what fractions of any size give; what they do not
// hold is left to those.

package quantity

import (
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// quotient is over/under; the zero quotient is none, for what whole numbers do
// not hold.
type quotient struct{ over, under int64 }

// widest is the most that a whole number may be here, and heldByFloat the most
// that a float64 holds without rounding.
const (
	widest      = 1 << 62
	heldByFloat = 1 << 53
)

// wholes multiplies and adds; lost says that a result was too wide.
type wholes struct{ lost bool }

func (w *wholes) times(a, b int64) int64 {
	high, low := bits.Mul64(magnitude(a), magnitude(b))
	if high != 0 || low > widest {
		w.lost = true
	}
	return a * b
}

func (w *wholes) plus(a, b int64) int64 {
	if magnitude(a) > widest/2 || magnitude(b) > widest/2 {
		w.lost = true
	}
	return a + b
}

func (w *wholes) quotient(over, under int64) quotient {
	if w.lost || under == 0 {
		return quotient{}
	}
	return quotient{over, under}
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return -uint64(a)
	}
	return uint64(a)
}

// written is the value as the shortest decimal that reads back to it. Of the
// decimals of up to 15 digits no two are the same float64, so one of them that
// gives the value is the shortest, or that with noughts behind it.
func written(value float64) quotient {
	for under := 1.0; under <= 1e15; under *= 10 {
		over := math.Round(value * under)
		if math.Abs(over) >= 1e15 {
			break
		}
		if over/under == value {
			return quotient{int64(over), int64(under)}
		}
	}
	return quotient{}
}

// quotient is what exact is.
func (q Quantity) quotient() quotient {
	v, u := written(q.value), q.unit
	var w wholes
	return w.quotient(w.plus(w.times(v.over, u.times), w.times(u.plus, v.under)), w.times(v.under, u.by))
}

// quotientIn is what in is.
func (q Quantity) quotientIn(u *unit) quotient {
	if u == q.unit {
		return written(q.value)
	}
	v := q.quotient()
	var w wholes
	return w.quotient(w.plus(w.times(v.over, u.by), -w.times(u.plus, v.under)), w.times(v.under, u.times))
}

// float is the nearest float64: a division of two numbers that are held
// exactly is rounded once.
func (x quotient) float() (float64, bool) {
	if x.under == 0 || magnitude(x.over) > heldByFloat || x.under > heldByFloat {
		return 0, false
	}
	return float64(x.over) / float64(x.under), true
}

func (x quotient) compare(y quotient) (int, bool) {
	var w wholes
	a, b := w.times(x.over, y.under), w.times(y.over, x.under)
	switch {
	case x.under == 0 || y.under == 0 || w.lost:
		return 0, false
	case a < b:
		return -1, true
	case a > b:
		return 1, true
	}
	return 0, true
}

// fixed prints x as the function fixed does.
func (x quotient) fixed(decimals int) (string, bool) {
	if x.under == 0 || decimals > 15 {
		return "", false
	}
	var w wholes
	scaled := w.times(x.over, int64(math.Pow10(max(decimals, 0))))
	whole, rest := magnitude(scaled)/uint64(x.under), magnitude(scaled)%uint64(x.under)
	if w.lost {
		return "", false
	}
	if 2*rest >= uint64(x.under) { // half goes away from zero
		whole++
	}
	digits := strconv.FormatUint(whole, 10)
	if decimals > 0 {
		digits = strings.Repeat("0", max(0, decimals+1-len(digits))) + digits
		digits = digits[:len(digits)-decimals] + "." + digits[len(digits)-decimals:]
	}
	if x.over < 0 && whole != 0 {
		digits = "-" + digits
	}
	return digits, true
}

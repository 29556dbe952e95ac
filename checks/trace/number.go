// The rule of this file: a cell is a number only if all of it is one, and it is
// read to the nearest float64.

package trace

import (
	"bytes"
	"math"
	"strconv"
)

// longestNumber is the most bytes a number may take.
const longestNumber = 64

// exactTens are powers of ten, each of which a float64 holds exactly.
var exactTens = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18}

// number reads a cell: [sign] digits [mark digits] [e [sign] digits], where the
// digits before the mark may be left out. The mark is a point or a comma; 0
// says that there was none. The value is divided by ten that many times over:
// 3 turns milli into one.
func number(cell []byte, tens int) (value float64, mark byte, ok bool) {
	rest, negative := unsign(cell)
	digits, whole := gather(0, rest)
	end, after := whole, 0
	if end < len(rest) && (rest[end] == '.' || rest[end] == ',') {
		mark = rest[end]
		digits, after = gather(digits, rest[end+1:])
		if after == 0 {
			return 0, 0, false
		}
		end += 1 + after
	}
	if whole+after == 0 {
		return 0, 0, false
	}
	if end < len(rest) || whole+after+tens >= len(exactTens) || digits >= 1<<53 {
		value, ok = slowly(cell, rest[end:])
		return value / exactTens[tens], mark, ok
	}
	value = float64(digits)
	if after+tens > 0 {
		value /= exactTens[after+tens] // both are exact, so this rounds once
	}
	if negative {
		value = -value
	}
	return value, mark, true
}

func unsign(text []byte) (rest []byte, negative bool) {
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		return text[1:], text[0] == '-'
	}
	return text, false
}

// gather appends the digits that the text begins with to n, and counts them;
// n is right for up to 19 in all.
func gather(n uint64, text []byte) (appended uint64, count int) {
	for i, c := range text {
		if c-'0' > 9 {
			return n, i
		}
		n = n*10 + uint64(c-'0')
	}
	return n, len(text)
}

// allDigits reports whether the text is digits and nothing else.
func allDigits(text []byte) bool {
	_, count := gather(0, text)
	return count > 0 && count == len(text)
}

// slowly reads a number of many digits, or one with an exponent, which is what
// is left behind its digits.
func slowly(cell, left []byte) (float64, bool) {
	if len(cell) > longestNumber {
		return 0, false
	}
	if len(left) > 0 {
		exponent, _ := unsign(left[1:])
		if left[0]|' ' != 'e' || !allDigits(exponent) {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(bytes.Replace(cell, []byte{','}, []byte{'.'}, 1)), 64)
	return v, err == nil && !math.IsInf(v, 0)
}

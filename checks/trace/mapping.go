// The rule of this file: a column is found by its name and has a unit that
// somebody wrote down; neither is guessed.

package trace

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"fenderside/checks/quantity"
)

// Mapping says which columns of a table hold what. A name is that of the
// header, with or without a unit behind it in brackets; case does not matter.
// Loop may be empty. A unit is needed here only where the table gives none;
// for times of day it is hh:mm:ss.
//
// The header is the first of the first 40 rows that holds every named column,
// so that lines above it do not matter. It may be followed by a row of units.
type Mapping struct {
	Time, Signal, Loop   string
	TimeUnit, SignalUnit string
	Separator            byte     // ',', ';' or tab; 0 takes the one under which the columns are found
	Closed               []string // words in the Loop column for closed loop; every other word is then not
}

// headerWithin is how many rows may stand above the header.
const headerWithin = 40

func (m Mapping) check() error {
	if strings.TrimSpace(m.Time) == "" || strings.TrimSpace(m.Signal) == "" {
		return fmt.Errorf("mapping: time column %q, signal column %q: both must be named", m.Time, m.Signal)
	}
	if m.Separator != 0 && !strings.ContainsRune(",;\t", rune(m.Separator)) {
		return fmt.Errorf("mapping: separator %q: give a comma, a semicolon or a tab", m.Separator)
	}
	return nil
}

// separators are tried in this order.
func (m Mapping) separators() []byte {
	if m.Separator != 0 {
		return []byte{m.Separator}
	}
	return []byte{'\t', ';', ','}
}

// column is where a cell stands and how to bring it to the base unit.
type column struct {
	index int
	unit  string
	times float64 // base = value × times ÷ 10^tens
	tens  int
	clock bool // times of day
}

// absent is the index of a column that is not mapped.
const absent = -1

// unitOf splits a header into its name and the unit in brackets behind it.
func unitOf(header string) (name, unit string) {
	header = strings.TrimSpace(header)
	for _, pair := range []string{"()", "[]"} {
		if body, ok := strings.CutSuffix(header, pair[1:]); ok {
			if i := strings.LastIndex(body, pair[:1]); i >= 0 {
				return strings.TrimSpace(body[:i]), strings.TrimSpace(body[i+1:])
			}
		}
	}
	return header, ""
}

// locate finds a named column among the cells of the header; absent where it
// is not there. Two of that name are an error.
func (r *rows) locate(wanted string) (column, error) {
	found := column{index: absent}
	wanted = strings.TrimSpace(wanted)
	for i := range r.cells {
		c := r.cell(i)
		whole := strings.TrimSpace(string(c.text))
		name, unit := unitOf(whole)
		if !strings.EqualFold(whole, wanted) && !strings.EqualFold(name, wanted) {
			continue
		}
		if found.index != absent {
			return found, r.fault(c.at, "a second column named %q; name the one you want in full, or rename one", clip(wanted))
		}
		found = column{index: i, unit: unit}
	}
	return found, nil
}

// scaled works out how the unit comes to the base unit of the dimension.
func (c column) scaled(d quantity.Dimension, unit string) (column, error) {
	c.unit, c.times, c.tens = unit, 1, 0
	if d == quantity.Time && isClock(unit) {
		c.clock = true
		return c, nil
	}
	if strings.EqualFold(unit, "us") || unit == "µs" || unit == "μs" {
		if d == quantity.Time {
			c.tens = 6
			return c, nil
		}
	}
	one, err := quantity.New(1, unit)
	if err != nil && d == quantity.Time { // SEC and MS mean nothing else
		unit = strings.ToLower(unit)
		one, err = quantity.New(1, unit)
	}
	if err != nil || one.Dimension() != d {
		return c, fmt.Errorf("%q is not a unit of %s; use %s", clip(unit), d, usable(d))
	}
	c.times = one.Base()
	if inverse := math.Round(1 / c.times); slices.Contains(exactTens[1:], inverse) {
		c.times, c.tens = 1, slices.Index(exactTens[:], inverse)
	}
	return c, nil
}

// usable lists the units of a column for a message.
func usable(d quantity.Dimension) string {
	switch d {
	case quantity.Number:
		return "none"
	case quantity.Time:
		return strings.Join(quantity.Units(d), ", ") + ", µs or " + clockUnit
	}
	return strings.Join(quantity.Units(d), ", ")
}

// dimension is that of the signal's unit.
func (s Signal) dimension() quantity.Dimension {
	switch s {
	case Lambda:
		return quantity.Number
	case PumpCurrent:
		return quantity.Current
	}
	return quantity.Voltage
}

// bare takes the names that people give to "no unit" off a λ column.
func (s Signal) bare(unit string) string {
	if s == Lambda && (unit == "λ" || unit == "-" || unit == "1" || strings.EqualFold(unit, "lambda")) {
		return ""
	}
	return unit
}

// clip shortens what is quoted in an error.
func clip[T ~string | ~[]byte](text T) string {
	const most = 40
	if len(text) <= most {
		return string(text)
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return string(text[:cut]) + "…"
}

// spaces takes the blanks off a cell.
func spaces(text []byte) []byte {
	if n := len(text); n == 0 || (text[0] > ' ' && text[n-1] > ' ') {
		return text
	}
	return bytes.Trim(text, " \t")
}

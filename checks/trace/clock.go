// The rule of this file: a time of day is hours, minutes and seconds with two
// colons; one that falls back by more than half a day has passed midnight.

package trace

import (
	"bytes"
	"strings"
)

// clockUnit is what stands in place of a unit where times are times of day.
const clockUnit = "hh:mm:ss"

const (
	halfDay = 43200.0 // s
	day     = 86400.0 // s
)

// isClock recognises the unit, with or without decimals behind it.
func isClock(unit string) bool {
	rest, ok := strings.CutPrefix(strings.ToLower(unit), clockUnit)
	return ok && strings.Trim(rest, ".,f0s") == ""
}

// clock reads a time of day in seconds.
func clock(text []byte) (seconds float64, mark byte, ok bool) {
	first, rest, _ := bytes.Cut(text, []byte{':'})
	second, rest, _ := bytes.Cut(rest, []byte{':'})
	hours, ok := wholeBelow(first, 24)
	if !ok {
		return 0, 0, false
	}
	minutes, ok := wholeBelow(second, 60)
	if !ok || len(rest) < 2 || !allDigits(rest[:2]) {
		return 0, 0, false
	}
	seconds, mark, ok = number(rest, 0)
	if !ok || seconds >= 61 { // a leap second is 60
		return 0, 0, false
	}
	return 3600*hours + 60*minutes + seconds, mark, true
}

// wholeBelow reads one or two digits that stand for less than most.
func wholeBelow(text []byte, most uint64) (float64, bool) {
	n, _ := gather(0, text)
	return float64(n), len(text) <= 2 && allDigits(text) && n < most
}

// midnight carries times of day on from one day to the next.
type midnight struct {
	last, days float64
	began      bool
}

// pass gives the time since the midnight before the first time. A time that is
// out of order across midnight is put back to its own day.
func (m *midnight) pass(seconds float64) float64 {
	at := m.days + seconds
	switch {
	case !m.began:
	case at < m.last-halfDay:
		m.days += day
		at += day
	case at > m.last+halfDay && m.days > 0:
		return at - day
	}
	m.last, m.began = at, true
	return at
}

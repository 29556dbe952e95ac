// The rule of this file: a tool is due at the date or at the count, whichever
// comes first, and a count nobody kept is said to be unknown.

package torque

import (
	"fmt"
	"time"
)

// The default interval of a hand torque tool: ISO 6789, read at second hand.
// The maker's or the owner's own interval stands before it.
var (
	CalibrationMonths = Limit{Value: 12, Source: "ISO 6789, default interval (read at second hand)"}
	CalibrationCycles = Limit{Value: 5000, Source: "ISO 6789, default interval (read at second hand)"}
)

// CyclesUnknown stands for a count that nobody kept.
const CyclesUnknown = -1

// Calibration is what is known of a tool. Only the dates of its times count,
// each in its own zone. The zero Limits mean the defaults.
type Calibration struct {
	Last    time.Time // of the certificate
	Today   time.Time
	Cycles  int  // uses since Last, or CyclesUnknown
	Misused bool // dropped, overloaded or repaired since Last
	Months  Limit
	Most    Limit // cycles
}

// CalibrationState is what follows from a Calibration.
type CalibrationState struct {
	Current    bool
	Due        time.Time // the last day on which the certificate counts, midnight UTC
	DaysLeft   int       // negative once past
	CyclesLeft int       // negative once past; 0 where the count is unknown
	Counted    bool      // the count is known
	Limits     []Limit   // months, cycles
	Workings   []string
	Because    string
}

// Judge decides whether the calibration is current. The day it falls due still
// counts, and so does the last permitted cycle. Errors: no date, a certificate
// from the future, a negative count, an interval that is none.
func (c Calibration) Judge() (CalibrationState, error) {
	c = c.defaults()
	if err := c.check(); err != nil {
		return CalibrationState{}, err
	}
	last, today := day(c.Last), day(c.Today)
	s := CalibrationState{Due: monthsOn(last, int(c.Months.Value)), Limits: []Limit{c.Months, c.Most}, Counted: c.Cycles != CyclesUnknown}
	s.DaysLeft = int(s.Due.Sub(today) / (24 * time.Hour))
	s.Workings = []string{fmt.Sprintf("%s + %.0f months = %s: %s", last.Format(time.DateOnly), c.Months.Value, s.Due.Format(time.DateOnly), left(s.DaysLeft, "days"))}
	if s.Counted {
		s.CyclesLeft = int(c.Most.Value) - c.Cycles
		s.Workings = append(s.Workings, fmt.Sprintf("%.0f - %d cycles: %s", c.Most.Value, c.Cycles, left(s.CyclesLeft, "cycles")))
	} else {
		s.Workings = append(s.Workings, fmt.Sprintf("cycles: not counted, so the limit of %.0f could not be looked at", c.Most.Value))
	}
	s.decide(c)
	return s, nil
}

func (s *CalibrationState) decide(c Calibration) {
	switch {
	case c.Misused:
		s.Because = "the tool was dropped, overloaded or repaired since its certificate: have it calibrated before it is used"
	case s.DaysLeft < 0:
		s.Because = "the calibration fell due on " + s.Due.Format(time.DateOnly) + ": use another tool or have this one calibrated"
	case s.CyclesLeft < 0:
		s.Because = fmt.Sprintf("%d cycles are more than the %.0f of the interval: use another tool or have this one calibrated", c.Cycles, c.Most.Value)
	case s.Counted:
		s.Current = true
		s.Because = fmt.Sprintf("current until %s or for %d more cycles, whichever comes first", s.Due.Format(time.DateOnly), s.CyclesLeft)
	default:
		s.Current = true
		s.Because = "current by date until " + s.Due.Format(time.DateOnly) + "; its cycles were not counted, so the date alone decides"
	}
}

func (c Calibration) defaults() Calibration {
	if c.Months == (Limit{}) {
		c.Months = CalibrationMonths
	}
	if c.Most == (Limit{}) {
		c.Most = CalibrationCycles
	}
	return c
}

func (c Calibration) check() error {
	if y := c.Last.Year(); y < 1900 || y > 9000 {
		return fmt.Errorf("date of the certificate %s: not given, or no date of this trade; read it off the certificate", c.Last.Format(time.DateOnly))
	}
	if y := c.Today.Year(); y < 1900 || y > 9000 {
		return fmt.Errorf("date of today %s: not given, or no date of this trade; look at a calendar", c.Today.Format(time.DateOnly))
	}
	if day(c.Last).After(day(c.Today)) {
		return fmt.Errorf("certificate of %s: later than today, %s; check both dates", c.Last.Format(time.DateOnly), c.Today.Format(time.DateOnly))
	}
	if c.Cycles < CyclesUnknown || c.Cycles > 1e9 {
		return fmt.Errorf("cycles %d: must be zero or more; leave the count out where nobody kept it", c.Cycles)
	}
	whole := func(v float64) bool { return v >= 1 && v <= 1e6 && v == float64(int(v)) }
	if !whole(c.Months.Value) || c.Months.Value > 1200 || !whole(c.Most.Value) {
		return fmt.Errorf("interval of %g months or %g cycles: must be whole and more than zero; read it in the tool's handbook", c.Months.Value, c.Most.Value)
	}
	return nil
}

// day is the civil date of t, at midnight UTC.
func day(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// monthsOn is the same day that many months on, or the last of its month where
// that month is shorter.
func monthsOn(t time.Time, months int) time.Time {
	first := time.Date(t.Year(), t.Month()+time.Month(months), 1, 0, 0, 0, 0, time.UTC)
	lastDay := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(t.Day(), lastDay)-1)
}

func left(n int, what string) string {
	if n < 0 {
		return fmt.Sprintf("%d %s past", -n, what)
	}
	return fmt.Sprintf("%d %s left", n, what)
}

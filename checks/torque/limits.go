// The rule of this file: a figure that decides is data with its source beside
// it, and a figure that nobody knows to one number is a range.

package torque

import "fmt"

// Limit is a figure that decides, and where it is from.
type Limit struct {
	Value  float64
	Source string
}

// Range is a figure known only between two ends, Low at most High. Its unit is
// that of what it describes.
type Range struct{ Low, High float64 }

// Has reports whether v lies in the range, ends included.
func (r Range) Has(v float64) bool { return v >= r.Low && v <= r.High }

// check reports a range of positive figures that is none.
func (r Range) check(what string) error {
	if !finite(r.Low, r.High) || r.Low <= 0 || r.Low > r.High {
		return fmt.Errorf("%s %g to %g: must run upward from more than zero; give the lower figure first", what, r.Low, r.High)
	}
	return nil
}

// text prints a range, one figure where the ends agree.
func (r Range) text(format string) string {
	low, high := fmt.Sprintf(format, r.Low), fmt.Sprintf(format, r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

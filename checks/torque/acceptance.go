// The rule of this file: what the tool cannot tell apart from out of tolerance
// is not accepted (ILAC-G8:09/2019, section 4, with a guard band w = U).

package torque

import (
	"fmt"
	"math"
)

// Window is the wanted torque at the fastener, limits included. Any one unit.
type Window struct{ Low, High float64 }

// Zone is where a torque lies in a guarded window.
type Zone string

// The zones, from the middle outward.
const (
	Accept            Zone = "accept"             // inside the window by the guard band or more
	ConditionalAccept Zone = "conditional accept" // inside, but within the guard band of a limit
	ConditionalReject Zone = "conditional reject" // outside, but within the guard band of a limit
	Reject            Zone = "reject"             // outside by more than the guard band
)

// Check reports a window that is no window.
func (w Window) Check() error {
	if !finite(w.Low, w.High) || w.Low <= 0 || w.Low >= w.High {
		return fmt.Errorf("torque window %g to %g: the low limit must be more than zero and less than the high one; copy both again", w.Low, w.High)
	}
	return nil
}

// Middle is half way between the limits.
func (w Window) Middle() float64 { return w.Low + (w.High-w.Low)/2 }

// Guarded is the window drawn in by the guard band at both ends. Low is above
// High when the band leaves nothing.
func (w Window) Guarded(band float64) Window {
	return Window{Low: w.Low + band, High: w.High - band}
}

// Zone places a torque. A torque exactly on a boundary belongs to the zone
// nearer the middle; the last few binary digits do not decide.
// What is not finite is rejected.
func (w Window) Zone(torque, band float64) Zone {
	inside := func(by float64) bool {
		fuzz := slack*math.Abs(w.High) + slack*math.Abs(torque) + slack*math.Abs(by)
		return torque >= w.Low+by-fuzz && torque <= w.High-by+fuzz
	}
	switch {
	case !finite(torque, band, w.Low, w.High) || band < 0:
		return Reject
	case inside(band):
		return Accept
	case inside(0):
		return ConditionalAccept
	case inside(-band):
		return ConditionalReject
	}
	return Reject
}

// Conformity is the probability that the true torque lies in the window, for a
// reading whose error is normal with standard uncertainty u (JCGM 106:2012,
// section 7). An infinite limit makes the window one-sided. NaN unless u > 0.
func (w Window) Conformity(reading, u float64) float64 {
	if math.IsNaN(reading) || math.IsNaN(u) || u <= 0 {
		return math.NaN()
	}
	below := func(limit float64) float64 {
		return 0.5 * math.Erfc(-(limit-reading)/(u*math.Sqrt2))
	}
	return math.Max(0, below(w.High)-below(w.Low))
}

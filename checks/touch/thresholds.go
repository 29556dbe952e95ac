// The rule of this file: a threshold is where burning begins, not a limit. The
// author of a procedure sets the limit, below it.

package touch

import (
	"slices"
	"time"
)

// ThresholdSource says where Thresholds are from.
const ThresholdSource = "ISO 13732-1, burn thresholds of bare smooth metal (from memory; 10 s and 8 h also in ECMA-287)"

// Threshold is the surface temperature of bare smooth metal at which skin is
// burnt after that time in contact, in °C. The two differ where the standard
// gives a range.
type Threshold struct {
	Contact                   time.Duration
	FromCelsius, UpperCelsius float64
}

var thresholds = []Threshold{
	{time.Second, 65, 70},
	{10 * time.Second, 55, 55},
	{time.Minute, 51, 51},
	{10 * time.Minute, 48, 48},
	{8 * time.Hour, 43, 43},
}

// Thresholds lists the burn thresholds, shortest contact first. The caller owns
// the list.
func Thresholds() []Threshold { return slices.Clone(thresholds) }

// Allows is the longest listed contact whose threshold the temperature
// (°C) does not pass; ok is false when it passes even the shortest.
func Allows(celsius float64) (safe Threshold, ok bool) {
	for _, t := range slices.Backward(thresholds) {
		if celsius <= t.FromCelsius {
			return t, true
		}
	}
	return Threshold{}, false
}

// TenMinutes is the threshold of a 10 min contact, which no limit may exceed.
func TenMinutes() Threshold { return thresholds[3] }

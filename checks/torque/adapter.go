// Package torque is the arithmetic of tightening with a torque wrench: an
// adapter's lever arm, the tool's accuracy and calibration, acceptance with a
// guard band, the short form of torque and preload, threads and sockets.
// Torques are in N·m unless a comment says that any one unit will do; lengths
// share any one unit; angles are in degrees.
package torque

// The rule of this file: an adapter changes the lever, and the two directions
// of the sum are one formula.

import (
	"fmt"
	"math"
)

// Adapter is the geometry of an offset adapter on a torque wrench. Lengths are
// in one unit, whichever it is. The zero Adapter is no adapter.
type Adapter struct {
	Wrench float64 // centre of the grip to centre of the drive, L
	Length float64 // centre of the drive to centre of the fastener, A
	Angle  float64 // degrees from straight ahead, 0 in line
}

// Factor is applied torque over set torque, (L + A·cosθ)/L. It is 1 when the
// adapter adds no length. Errors name the length at fault.
//
// Formula: US Army TM 9-254 and US Navy course 14315, fig. 3-45, extended by
// the cosine for an adapter that is not in line.
func (a Adapter) Factor() (float64, error) {
	if !finite(a.Wrench, a.Length, a.Angle) {
		return 0, fmt.Errorf("adapter geometry: not finite; measure the lengths and the angle again")
	}
	if a.Length < 0 {
		return 0, fmt.Errorf("adapter length %g: less than zero; turn the adapter by the angle instead", a.Length)
	}
	if a.Angle < -180 || a.Angle > 180 {
		return 0, fmt.Errorf("adapter angle %g°: outside -180° to 180°; measure it from straight ahead", a.Angle)
	}
	if a.Length == 0 {
		return 1, nil
	}
	if a.Wrench <= 0 {
		return 0, fmt.Errorf("wrench length %g: must be more than zero; measure from the centre of the grip to the drive", a.Wrench)
	}
	arm := a.Wrench + float64(a.Length*Cosine(a.Angle))
	if arm <= 0 {
		return 0, fmt.Errorf("the adapter reaches back past the grip: lever arm %g; use a shorter adapter or another angle", arm)
	}
	factor := arm / a.Wrench
	if !finite(factor) {
		return 0, fmt.Errorf("wrench length %g is too small beside adapter length %g; check both", a.Wrench, a.Length)
	}
	return factor, nil
}

// Applied is the torque at the fastener when the wrench is set to, or shows,
// set. Any unit of torque; the answer is in the same one.
func (a Adapter) Applied(set float64) (float64, error) {
	factor, err := a.Factor()
	if err != nil {
		return 0, err
	}
	return answer(set * factor)
}

// Setting is what the wrench must be set to for the wanted torque at the
// fastener, T·L/(L + A·cosθ). Any unit of torque; the answer is in the same one.
func (a Adapter) Setting(wanted float64) (float64, error) {
	factor, err := a.Factor()
	if err != nil {
		return 0, err
	}
	return answer(wanted / factor)
}

func answer(torque float64) (float64, error) {
	if !finite(torque) {
		return 0, fmt.Errorf("torque %g: not a finite number; check the reading", torque)
	}
	return torque, nil
}

// Cosine is the cosine of an angle in degrees, exact at every right angle.
func Cosine(degrees float64) float64 {
	d := math.Mod(math.Abs(degrees), 360)
	switch d {
	case 0:
		return 1
	case 90, 270:
		return 0
	case 180:
		return -1
	}
	return math.Cos(d * math.Pi / 180)
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// The rule of this file: a tool's error is a fraction of the true torque, not
// of the mark on its scale.

package torque

import "fmt"

// Permissible deviations of a hand torque tool as fractions of the reference
// torque: ISO 6789, type II class A (a click wrench), by the tool's largest
// torque. Read at second hand; the standard itself has more classes.
const (
	FineDeviation   = 0.04 // largest torque above 10 N·m
	CoarseDeviation = 0.06 // largest torque 10 N·m or less
	coarseUpTo      = 10.0 // N·m
)

// Permissible is the deviation that ISO 6789 permits a type II class A tool, as
// a fraction, given the largest torque on its scale in N·m.
func Permissible(largest float64) (float64, error) {
	if !finite(largest) || largest <= 0 {
		return 0, fmt.Errorf("largest torque of the tool %g N·m: must be more than zero; read it off the tool", largest)
	}
	if largest > coarseUpTo {
		return FineDeviation, nil
	}
	return CoarseDeviation, nil
}

// Deviation is the tool's error as a fraction of the reference torque,
// (indicated - reference)/reference (ISO 6789). Any one unit of torque.
func Deviation(indicated, reference float64) (float64, error) {
	if !finite(indicated, reference) || reference <= 0 {
		return 0, fmt.Errorf("deviation of %g from reference %g: the reference must be more than zero; read it off the tester", indicated, reference)
	}
	return answer((indicated - reference) / reference)
}

// InTolerance reports whether a tool of that largest torque (N·m) meets ISO
// 6789 at one test point.
func InTolerance(indicated, reference, largest float64) (bool, error) {
	permitted, err := Permissible(largest)
	if err != nil {
		return false, err
	}
	deviation, err := Deviation(indicated, reference)
	if err != nil {
		return false, err
	}
	return deviation >= -permitted-slack && deviation <= permitted+slack, nil
}

// slack keeps the last binary digit from deciding at an exact limit.
const slack = 1e-12

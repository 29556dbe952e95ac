// Package trace judges the signal of an oxygen sensor over time: its extremes,
// how often it switches, how fast it rises and falls, and what follows.
//
// A trace comes as timed samples (Analyse) or as CSV (AnalyseCSV), is read once
// from start to end, and costs the same memory however long it is. Time is in
// seconds from any fixed start; the signal is in volts, as λ, or in amperes.
//
//	report, err := trace.AnalyseCSV(file, "drive.csv",
//		trace.Mapping{Time: "time", Signal: "B1S1"}, trace.Setup{Limits: trace.NarrowBand()})
//
// The limits are data: NarrowBand gives the usual ones with their sources, and
// a caller may change, add or drop any of them. What the samples are too slow or
// too few to show is reported as not judged, never as passed or failed.
package trace

// The rule of this file: a sample enters only if it is a finite number that
// such a sensor can give.

import (
	"fmt"
	"math"
)

// Signal is what the trace holds.
type Signal string

// The signals. The empty Signal counts as NarrowBandVoltage. Rich mixture is
// above the switching level in a narrow-band voltage and below it in the others.
const (
	NarrowBandVoltage Signal = "narrow-band voltage" // V
	Lambda            Signal = "lambda"              // λ, a bare number
	PumpCurrent       Signal = "pump current"        // A, negative where rich
)

// Loop is the state of the fuel control at a sample.
type Loop uint8

// The states. LoopUnstated counts as closed: where nothing is said about the
// fuel control, all samples are taken.
const (
	LoopUnstated Loop = iota
	LoopClosed
	LoopOpen
)

// Sample is one reading: At in seconds from any fixed start, Value in the unit
// of its Signal.
type Sample struct {
	At, Value float64
	Loop      Loop
}

// The greatest magnitudes accepted. A wire short-circuited to the supply shows
// at most 30 V; a greater voltage is a wrong unit.
const (
	latest     = 1e12 // s
	highestV   = 30.0 // V
	highestAny = 1e6  // in the unit of any other signal
)

// usual reports whether the sample is good for every signal.
func (s Sample) usual() bool { return math.Abs(s.At) <= latest && math.Abs(s.Value) <= highestV }

// check refuses what no sensor gives.
func (s Sample) check(signal Signal) error {
	if err := s.checkTime(); err != nil {
		return err
	}
	return s.checkValue(signal)
}

func (s Sample) checkTime() error {
	if !(math.Abs(s.At) <= latest) {
		return fmt.Errorf("time %g s: not a time that can be used; check the time and its unit", s.At)
	}
	return nil
}

func (s Sample) checkValue(signal Signal) error {
	if math.Abs(s.Value) <= highestV {
		return nil
	}
	if signal == NarrowBandVoltage || !(math.Abs(s.Value) <= highestAny) {
		return fmt.Errorf("signal %s: no sensor gives that; check its unit", signal.show(s.Value))
	}
	return nil
}

// show prints a value of the signal with its unit.
func (s Signal) show(v float64) string {
	if s == Lambda {
		return fmt.Sprintf("λ %.3f", v)
	}
	if s == PumpCurrent {
		return fmt.Sprintf("%.3f mA", 1000*v)
	}
	return fmt.Sprintf("%.0f mV", 1000*v)
}

// richAbove says on which side of the switching level the mixture is rich.
func (s Signal) richAbove() bool { return s == NarrowBandVoltage }

// seconds prints a time in the unit that suits its size.
func seconds(s float64) string {
	switch {
	case math.Abs(s) < 1:
		return fmt.Sprintf("%.4g ms", 1000*s)
	case math.Abs(s) < 1000:
		return fmt.Sprintf("%.4g s", s)
	}
	return fmt.Sprintf("%.0f s", s)
}

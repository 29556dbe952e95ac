// The rule of this file: the nut factor is never one number, so neither is what
// follows from it.

package torque

import (
	"fmt"
	"slices"
)

// NutFactor is the K of one state of a steel thread, as a range.
type NutFactor struct {
	Surface string
	Range   Range
	Source  string
}

var nutFactors = []NutFactor{
	{"dry", Range{0.20, 0.25}, "trade tables (from memory): a range, never one number"},
	{"anti-seize", Range{0.12, 0.16}, "trade tables (from memory): a range, never one number"},
}

// NutFactors lists the states known. The caller owns the list.
func NutFactors() []NutFactor { return slices.Clone(nutFactors) }

// ShortForm is the short form of tightening, T = K·D·F: torque T in N·m, nut
// factor K without unit, nominal diameter D in m, preload F in N.
//
// Valid for a thread in good order that is turned smoothly below its yield. The
// scatter of K, not the arithmetic, decides how far the answer can be trusted.
// Source: the handbooks' short form, such as NASA RP-1228 (from memory).
type ShortForm struct {
	K        Range
	Diameter float64 // m
}

// Tightened is a torque (N·m) and a preload (N) that belong together, and how
// one came from the other.
type Tightened struct {
	Torque   Range
	Preload  Range
	Workings []string
	Because  string
}

// Torque is the range of torques that may be needed for one preload in N.
func (s ShortForm) Torque(preload float64) (Tightened, error) {
	if err := s.check("preload", preload, "N"); err != nil {
		return Tightened{}, err
	}
	t := Range{s.times(s.K.Low, preload), s.times(s.K.High, preload)}
	if !finite(t.High) || t.Low <= 0 {
		return Tightened{}, fmt.Errorf("torque for preload %g N: no number this program can hold; check diameter and preload", preload)
	}
	return Tightened{
		Torque: t, Preload: Range{preload, preload},
		Workings: []string{
			"T = K x D x F",
			fmt.Sprintf("least: %.4g x %.4g mm x %.4g kN = %.4g N·m", s.K.Low, s.Diameter*1e3, preload/1e3, t.Low),
			fmt.Sprintf("most: %.4g x %.4g mm x %.4g kN = %.4g N·m", s.K.High, s.Diameter*1e3, preload/1e3, t.High),
		},
		Because: "a preload of " + fmt.Sprintf("%.4g kN", preload/1e3) + " may take " + t.text("%.4g") + " N·m, because K is " + s.K.text("%.3g"),
	}, nil
}

// Preload is the range of preloads that one torque in N·m may give.
func (s ShortForm) Preload(torque float64) (Tightened, error) {
	if err := s.check("torque", torque, "N·m"); err != nil {
		return Tightened{}, err
	}
	f := Range{torque / s.times(s.K.High, 1), torque / s.times(s.K.Low, 1)}
	if !finite(f.High) || f.Low <= 0 {
		return Tightened{}, fmt.Errorf("preload from torque %g N·m: no number this program can hold; check diameter and torque", torque)
	}
	return Tightened{
		Torque: Range{torque, torque}, Preload: f,
		Workings: []string{
			"F = T / (K x D)",
			fmt.Sprintf("least: %.4g N·m / (%.4g x %.4g mm) = %.4g kN", torque, s.K.High, s.Diameter*1e3, f.Low/1e3),
			fmt.Sprintf("most: %.4g N·m / (%.4g x %.4g mm) = %.4g kN", torque, s.K.Low, s.Diameter*1e3, f.High/1e3),
		},
		Because: fmt.Sprintf("%.4g N·m may give %s kN, because K is %s", torque, Range{f.Low / 1e3, f.High / 1e3}.text("%.4g"), s.K.text("%.3g")),
	}, nil
}

func (s ShortForm) times(k, force float64) float64 { return float64(k*s.Diameter) * force }

func (s ShortForm) check(what string, v float64, unit string) error {
	if err := s.K.check("nut factor"); err != nil {
		return err
	}
	if s.K.High > 1 {
		return fmt.Errorf("nut factor %g: more than 1; it is a small fraction such as 0.2, without unit", s.K.High)
	}
	if !finite(s.Diameter) || s.Diameter <= 0 {
		return fmt.Errorf("thread diameter %g m: must be more than zero; give the nominal diameter of the thread", s.Diameter)
	}
	if !finite(v) || v <= 0 {
		return fmt.Errorf("%s %g %s: must be more than zero; give its magnitude", what, v, unit)
	}
	return nil
}

// PreloadAt is the preload in N at a fraction of the proof stress: fraction ×
// stress (MPa) × stress area (mm²). MPa times mm² is N.
func PreloadAt(fraction, stress, area float64) (float64, error) {
	if !finite(fraction) || fraction <= 0 || fraction > 1 {
		return 0, fmt.Errorf("fraction of the proof stress %g: must be more than 0 and at most 1; 0.7 is 70 %%", fraction)
	}
	if !finite(stress, area) || stress <= 0 || area <= 0 {
		return 0, fmt.Errorf("proof stress %g MPa on %g mm²: both must be more than zero; look the stress up for this fastener", stress, area)
	}
	return answer(float64(fraction*stress) * area)
}

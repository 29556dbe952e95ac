// The rule of this file: a thread is its diameter and its pitch, both stated;
// a pitch is never filled in, because sensors use fine ones.

package torque

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Thread is an ISO metric thread by nominal diameter and pitch in mm.
type Thread struct{ Diameter, Pitch float64 }

// Geometry is the basic profile of a thread in mm, the stress area in mm².
type Geometry struct {
	PitchDiameter float64 // pitch diameter d2, the same for D2 of the nut
	MinorBolt     float64 // minor diameter of the bolt at the root, d3
	MinorNut      float64 // minor diameter of the nut, D1
	StressArea    float64 // As
	Workings      []string
	Sources       []string
}

// Ends of what is accepted: ISO 261 lists M1 to M300 (from memory).
const (
	thinnest = 1.0   // mm
	thickest = 300.0 // mm
	finest   = 0.2   // mm, pitch
)

// Geometry works out the basic profile.
//
// Formula: d2 = d - 0.64952·P, d3 = d - 1.22687·P, D1 = d - 1.08253·P (ISO 724;
// the factors are 3/8, 17/24 and 5/8 of √3·P), and As = π/4·((d2 + d3)/2)² (ISO
// 898-1, from memory). Errors: a diameter outside M1 to M300, a pitch under 0.2
// mm or past a quarter of the diameter.
func (t Thread) Geometry() (Geometry, error) {
	if err := t.check(); err != nil {
		return Geometry{}, err
	}
	h := float64(math.Sqrt(3) * t.Pitch)
	g := Geometry{
		PitchDiameter: t.Diameter - float64(h*3/8), MinorBolt: t.Diameter - float64(h*17/24), MinorNut: t.Diameter - float64(h*5/8),
		Sources: []string{"ISO 724 (diameters)", "ISO 898-1 (stress area, from memory)"},
	}
	mean := (g.PitchDiameter + g.MinorBolt) / 2
	g.StressArea = math.Pi / 4 * float64(mean*mean)
	g.Workings = []string{
		fmt.Sprintf("d2 = d - 0.64952 x P = %g - 0.64952 x %g = %.3f mm", t.Diameter, t.Pitch, g.PitchDiameter),
		fmt.Sprintf("d3 = d - 1.22687 x P = %g - 1.22687 x %g = %.3f mm", t.Diameter, t.Pitch, g.MinorBolt),
		fmt.Sprintf("D1 = d - 1.08253 x P = %g - 1.08253 x %g = %.3f mm", t.Diameter, t.Pitch, g.MinorNut),
		fmt.Sprintf("As = pi/4 x ((%.3f + %.3f) / 2)² = %.1f mm²", g.PitchDiameter, g.MinorBolt, g.StressArea),
	}
	return g, nil
}

func (t Thread) check() error {
	if !finite(t.Diameter) || t.Diameter < thinnest || t.Diameter > thickest {
		return fmt.Errorf("thread diameter %g mm: outside M1 to M300; read it off the data sheet", t.Diameter)
	}
	if !finite(t.Pitch) || t.Pitch < finest || t.Pitch > t.Diameter/4 {
		return fmt.Errorf("thread pitch %g mm on M%g: outside 0.2 mm to a quarter of the diameter; measure it with a pitch gauge", t.Pitch, t.Diameter)
	}
	return nil
}

// String is the thread as written, such as M18×1.5.
func (t Thread) String() string {
	return "M" + strconv.FormatFloat(t.Diameter, 'f', -1, 64) + "×" + strconv.FormatFloat(t.Pitch, 'f', -1, 64)
}

// ParseThread reads a thread such as M18×1.5, M18x1.5 or m12 X 1.25. A thread
// without a pitch is an error: M18 alone would mean the coarse pitch 2.5, and
// no oxygen sensor has it.
func ParseThread(text string) (Thread, error) {
	rest, ok := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(text)), "M")
	if !ok || len(text) > 40 {
		return Thread{}, fmt.Errorf("thread %q: must begin with M; write it as M18x1.5", text)
	}
	across, pitch, ok := strings.Cut(strings.NewReplacer("×", "X", "*", "X").Replace(rest), "X")
	if !ok {
		return Thread{}, fmt.Errorf("thread %q: no pitch; write it as M18x1.5, with the pitch in mm", text)
	}
	t := Thread{}
	var err error
	if t.Diameter, err = plainNumber(across); err == nil {
		t.Pitch, err = plainNumber(pitch)
	}
	if err != nil {
		return Thread{}, fmt.Errorf("thread %q: %w; write it as M18x1.5", text, err)
	}
	if err := t.check(); err != nil {
		return Thread{}, fmt.Errorf("thread %q: %w", text, err)
	}
	return t, nil
}

// plainNumber reads digits with at most one point, nothing else.
func plainNumber(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if text == "" || strings.Trim(text, "0123456789.") != "" {
		return 0, fmt.Errorf("%q is no plain number", text)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !finite(v) {
		return 0, fmt.Errorf("%q is no plain number", text)
	}
	return v, nil
}

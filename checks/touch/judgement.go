// The rule of this file: the last reading decides, a surface that grows hotter
// is never safe, and an infrared reading of bright metal is no evidence.

package touch

import (
	"fmt"
	"time"
)

// Method is how a temperature was taken.
type Method string

// The methods.
const (
	ContactProbe Method = "contact probe"
	Infrared     Method = "infrared"
)

// Finish is what the surface looks like where it was measured.
type Finish string

// The finishes. The zero Finish was not stated.
const (
	BrightMetal Finish = "bright metal"
	Dull        Finish = "dull or oxidised"
	Painted     Finish = "painted or taped"
)

// RiseAllowed is how much later readings may exceed earlier ones before the
// surface counts as rising, in kelvin: the scatter of a hand-held thermometer
// (common practice).
const RiseAllowed = 1.0

// FewestReadings are needed to show a trend.
const FewestReadings = 2

// Reading is one temperature, in order.
type Reading struct {
	After  time.Duration
	Kelvin float64 // as the instrument indicated
}

// Measurement is what was measured, how, and the author's limit.
type Measurement struct {
	Readings   []Reading
	Limit      float64 // K
	Method     Method
	Finish     Finish
	Emissivity *float64      // infrared only
	Ambient    *float64      // infrared only, K
	Span       time.Duration // least time from first to last reading; 0 asks for none
}

// Outcome is the answer.
type Outcome string

// The outcomes; only Safe lets a hand near.
const (
	Safe         Outcome = "safe"
	TooHot       Outcome = "too hot"
	Rising       Outcome = "rising"
	TooFew       Outcome = "too few readings"
	TooSoon      Outcome = "readings too close together"
	Bright       Outcome = "bright metal by infrared"
	FinishNeeded Outcome = "finish not stated"
)

// Judgement is what follows from a Measurement. Surface holds the judged
// temperature of each reading in kelvin; it is empty when the method itself was
// refused. Rise is the greatest by which the last reading exceeds the first or
// the one before it, in kelvin, and is negative while the surface cools.
type Judgement struct {
	Outcome Outcome
	Surface []float64
	Rise    float64
}

// Last is the judged temperature of the last reading, in kelvin.
func (j Judgement) Last() (float64, bool) {
	if len(j.Surface) == 0 {
		return 0, false
	}
	return j.Surface[len(j.Surface)-1], true
}

// Judge decides. Errors name the input that cannot be: a temperature out of
// range, an emissivity or ambient that infrared needs and lacks, an unknown
// method.
func (m Measurement) Judge() (Judgement, error) {
	if err := m.check(); err != nil {
		return Judgement{}, err
	}
	if m.Method == Infrared && m.Finish == BrightMetal {
		return Judgement{Outcome: Bright}, nil
	}
	if m.Method == Infrared && m.Finish == "" {
		return Judgement{Outcome: FinishNeeded}, nil
	}
	surface, err := m.surface()
	if err != nil {
		return Judgement{}, err
	}
	j := Judgement{Surface: surface, Rise: rise(surface)}
	j.Outcome = m.outcome(j)
	return j, nil
}

func (m Measurement) outcome(j Judgement) Outcome {
	last, read := j.Last()
	switch {
	case read && last > m.Limit:
		return TooHot
	case len(j.Surface) < FewestReadings:
		return TooFew
	case j.Rise > RiseAllowed+hair:
		return Rising
	case m.Readings[len(m.Readings)-1].After-m.Readings[0].After < m.Span:
		return TooSoon
	}
	return Safe
}

func (m Measurement) check() error {
	if err := Plausible("limit", m.Limit); err != nil {
		return err
	}
	if most := TenMinutes(); m.Limit > most.FromCelsius+273.15+hair {
		return fmt.Errorf("limit %s: above %g °C, at which bare metal burns in 10 min (%s); give a limit of %g °C or less",
			celsius(m.Limit), most.FromCelsius, ThresholdSource, most.FromCelsius)
	}
	switch m.Method {
	case ContactProbe, Infrared:
	default:
		return fmt.Errorf("method %q: unknown; give %q or %q", m.Method, ContactProbe, Infrared)
	}
	switch m.Finish {
	case "", BrightMetal, Dull, Painted:
	default:
		return fmt.Errorf("finish %q: unknown; give %q, %q or %q", m.Finish, BrightMetal, Dull, Painted)
	}
	for i, r := range m.Readings {
		if err := Plausible(fmt.Sprintf("surface, reading %d:", i+1), r.Kelvin); err != nil {
			return err
		}
		if i > 0 && r.After < m.Readings[i-1].After {
			return fmt.Errorf("surface, reading %d: timed before reading %d; give them in the order they were taken", i+1, i)
		}
	}
	return nil
}

// surface gives each reading as it is judged. A correction can only raise it:
// surroundings said to be hot must not talk a surface cool.
func (m Measurement) surface() ([]float64, error) {
	var judged []float64
	for i, r := range m.Readings {
		if m.Method != Infrared {
			judged = append(judged, r.Kelvin)
			continue
		}
		if m.Emissivity == nil {
			return nil, fmt.Errorf("emissivity: missing; an infrared reading means nothing without that of the surface")
		}
		if m.Ambient == nil {
			return nil, fmt.Errorf("ambient: missing; an infrared reading holds a reflection of the surroundings")
		}
		t, err := Correct(r.Kelvin, *m.Emissivity, *m.Ambient)
		if err != nil {
			return nil, fmt.Errorf("surface, reading %d: %w", i+1, err)
		}
		judged = append(judged, max(t, r.Kelvin))
	}
	return judged, nil
}

// rise is the greater of last over first and last over the one before it.
func rise(t []float64) float64 {
	if len(t) < FewestReadings {
		return 0
	}
	last := t[len(t)-1]
	return max(last-t[0], last-t[len(t)-2])
}

// Package cooling fits Newton's law of cooling to timed temperatures and
// forecasts when a limit is reached, with an interval.
//
//	T(t) = Ta + D·exp(-k·t)
//
// Temperatures are in kelvin, times in seconds, k in 1/s. The surroundings'
// temperature Ta is given or estimated with the rest.
//
// Method: least squares; for each k the law is linear in D and Ta, so those two
// are solved for directly and k alone is searched for. The interval is by
// profile likelihood: every k, D and Ta whose sum of squares exceeds the least
// by no more than s²·q² is held possible, and the interval spans what they
// forecast. s² pools the residuals with the thermometer's stated scatter, which
// counts as eight readings' worth (a standard uncertainty itself known to 25 %:
// JCGM 100:2008, G.4.2), and q is the quantile of Student's distribution.
//
// Range of validity: still surroundings at one temperature, no heat coming
// back, differences where radiation does not rule. A glowing or very hot exhaust
// loses heat faster at first than the law says, so a forecast from hot readings
// comes out early. A forecast says when to measure again; it is never evidence
// that a surface may be touched.
package cooling

// The rule of this file: readings that cannot be are errors at the door, and
// readings that cannot tell are refused with the reason.

import (
	"fmt"
	"math"
	"time"

	"fenderside/checks/touch"
)

// Limit is a figure that decides, and where it is from.
type Limit struct {
	Value  float64
	Source string
}

// The figures used where a Measurement gives none.
var (
	DefaultScatter    = Limit{0.5, "common practice, no source: a contact thermometer held by hand, K"}
	DefaultConfidence = Limit{0.95, "common practice, no source: the usual level of a stated interval"}
	PriorFreedom      = Limit{8, "JCGM 100:2008, G.4.2 (from memory): an uncertainty known to 25 %"}
	WidestInterval    = Limit{1, "common practice, no source: an interval wider than the wait itself tells nothing"}
	FarBeyond         = Limit{3, "common practice, no source: spans of the readings past the last one"}
	MostReadings      = Limit{2000, "keeps the reckoning short; no hand takes more"}
)

// Reading is one temperature and when it was taken.
type Reading = touch.Reading

// Measurement is what was measured. The zero Limits mean the defaults.
type Measurement struct {
	Readings   []Reading // in the order taken
	Ambient    *float64  // K; nil estimates it, which takes a third reading
	Scatter    Limit     // standard uncertainty of one reading, K
	Confidence Limit     // of the intervals, 0.5 to 0.999
}

// Outcome says whether the readings tell, and if not, why.
type Outcome string

// The outcomes. Only Told carries figures to go by.
const (
	Told            Outcome = "told"
	TooFew          Outcome = "too few readings"
	Rising          Outcome = "rising"
	AtAmbient       Outcome = "at ambient"
	TooNoisy        Outcome = "too noisy"
	TargetAtAmbient Outcome = "target at or below ambient"
)

// Range is an interval, Low at most High.
type Range struct{ Low, High float64 }

// Has reports whether v lies in the range, ends included.
func (r Range) Has(v float64) bool { return v >= r.Low && v <= r.High }

func (m Measurement) withDefaults() Measurement {
	if m.Scatter == (Limit{}) {
		m.Scatter = DefaultScatter
	}
	if m.Confidence == (Limit{}) {
		m.Confidence = DefaultConfidence
	}
	return m
}

// check reports what cannot be.
func (m Measurement) check() error {
	if s := m.Scatter.Value; math.IsNaN(s) || s < 1e-4 || s > 100 {
		return fmt.Errorf("scatter %g K: outside 0.0001 to 100 K; give the standard uncertainty of one reading", s)
	}
	if c := m.Confidence.Value; math.IsNaN(c) || c < 0.5 || c > 0.999 {
		return fmt.Errorf("confidence %g: outside 0.5 to 0.999; 0.95 is usual", c)
	}
	if m.Ambient != nil {
		if err := touch.Plausible("ambient temperature", *m.Ambient); err != nil {
			return err
		}
	}
	if len(m.Readings) > int(MostReadings.Value) {
		return fmt.Errorf("%d readings: more than %.0f; leave some out evenly", len(m.Readings), MostReadings.Value)
	}
	for i, r := range m.Readings {
		if err := touch.Plausible(fmt.Sprintf("reading %d:", i+1), r.Kelvin); err != nil {
			return err
		}
		if r.After < 0 || r.After > 1000*time.Hour {
			return fmt.Errorf("reading %d after %s: outside 0 to 1000 h; give the time since the first one", i+1, r.After)
		}
		if i > 0 && r.After < m.Readings[i-1].After {
			return fmt.Errorf("reading %d: timed before reading %d; give them in the order they were taken", i+1, i)
		}
	}
	return nil
}

// refusal names what keeps the readings from telling, before any fit.
func (m Measurement) refusal() (Outcome, string) {
	least := 2
	if m.Ambient == nil {
		least = 3
	}
	if n := m.distinct(); n < least {
		return TooFew, fmt.Sprintf("readings at %d of at least %d different times%s: measure again after a while", n, least, m.orAmbient())
	}
	first, last := m.Readings[0].Kelvin, m.Readings[len(m.Readings)-1].Kelvin
	for i := 1; i < len(m.Readings); i++ {
		if rise := m.Readings[i].Kelvin - m.Readings[i-1].Kelvin; rise > m.riseAllowed() {
			return Rising, fmt.Sprintf("reading %d is %.1f °C above the one before: heat is coming back or the probe moved; find out which and begin again", i+1, rise)
		}
	}
	if last-first > m.riseAllowed() {
		return Rising, fmt.Sprintf("the last reading is %.1f °C above the first: heat is coming back or the probe moved; find out which and begin again", last-first)
	}
	if m.Ambient != nil {
		near := 2 * m.Scatter.Value
		switch {
		case last < *m.Ambient-near:
			return AtAmbient, fmt.Sprintf("the last reading is %.1f °C below the ambient given: measure the ambient again, in the shade", *m.Ambient-last)
		case first <= *m.Ambient+near:
			return AtAmbient, fmt.Sprintf("the first reading is within %.1f °C of ambient: there is no cooling left to fit", near)
		}
	}
	return Told, ""
}

// riseAllowed is the rise that scatter alone explains, in kelvin.
func (m Measurement) riseAllowed() float64 {
	return math.Max(touch.RiseAllowed, 2*m.Scatter.Value) + hair
}

// hair keeps the last binary digit from deciding at an exact limit.
const hair = 1e-9

func (m Measurement) distinct() int {
	n := 0
	for i, r := range m.Readings {
		if i == 0 || r.After > m.Readings[i-1].After {
			n++
		}
	}
	return n
}

func (m Measurement) orAmbient() string {
	if m.Ambient == nil {
		return " with the ambient unknown"
	}
	return ""
}

// The rule of this file: figures are what the samples show; a finding sets one
// of them against one limit; the verdict follows from the findings alone.

package trace

import "slices"

// Verdict is what a trace says about the sensor.
type Verdict string

// The verdicts.
const (
	Healthy    Verdict = "healthy"
	Suspect    Verdict = "suspect"
	CannotTell Verdict = "cannot tell"
)

// Flag names one thing that was found.
type Flag string

// The flags. TooSlow, TooShort and NotClosed are about the trace, the others
// about the signal.
const (
	Silent     Flag = "silent"
	StuckRich  Flag = "stuck rich"
	StuckLean  Flag = "stuck lean"
	Stuck      Flag = "stuck between rich and lean"
	BiasedRich Flag = "biased rich"
	BiasedLean Flag = "biased lean"
	Weak       Flag = "weak"
	Beyond     Flag = "beyond the range of a sensor"
	Lazy       Flag = "lazy"
	NotClosed  Flag = "not in closed loop"
	TooSlow    Flag = "too slowly sampled to judge"
	TooShort   Flag = "too short to judge"
)

// Outcome is what one limit says.
type Outcome string

// The outcomes.
const (
	Met       Outcome = "met"
	NotMet    Outcome = "not met"
	NotJudged Outcome = "not judged"
)

// Finding is one figure set against its limits. Flag is empty where the limit
// is met, and where it was not judged for no reason that has a flag.
type Finding struct {
	About   string
	Outcome Outcome
	Flag    Flag
	Said    string // one line: figure, limit, conclusion
	Limits  []Limit
}

// Report is what a trace shows. Levels are in the unit of the signal (V, λ,
// A), times in seconds. Extremes, mean, shares, crossings and edges are of the
// time in closed loop where the state of the fuel control was given.
type Report struct {
	Signal Signal
	Limits Limits

	Samples  int // readings taken
	Missing  int // rows without a reading
	Sorted   int // readings out of order, put right
	Repeated int // readings at the time of the one before; taken as their mean
	Open     int // readings out of closed loop, left out

	Span     float64 // from the first reading to the last
	Observed float64 // of it, what the figures rest on
	OpenTime float64 // of it, out of closed loop
	Gap      float64 // interval beyond which nothing is known between two readings
	Gaps     int     // intervals too long to join
	GapTime  float64 // of Span, in gaps

	Interval        float64 // median sampling interval
	LongestInterval float64

	Minimum, Maximum float64
	Mean             float64 // weighted by time
	Crossings        int     // of the switching level, beyond its hysteresis
	Rate             float64 // crossings a second of Observed
	RichShare        float64 // share of Observed on the rich side of the switching level
	Rise, Fall       Edges

	Findings []Finding
	Flags    []Flag
	Verdict  Verdict
	Because  string
	Workings []string
}

// Swing is the greatest value less the least.
func (r Report) Swing() float64 { return r.Maximum - r.Minimum }

// Flagged reports whether the flag is up.
func (r Report) Flagged(f Flag) bool { return slices.Contains(r.Flags, f) }

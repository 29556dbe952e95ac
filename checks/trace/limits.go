// The rule of this file: every figure that a verdict rests on is a Limit with
// its source, and a caller may replace any of them.

package trace

import (
	"fmt"
	"math"
)

// Limit is one figure and where it is from. A Limit without a source is not
// given, and what it would decide is not judged.
type Limit struct {
	Value  float64
	Source string
}

// Given reports whether the limit is to be used.
func (l Limit) Given() bool { return l.Source != "" }

// Limits is what a trace is held to. Levels are in the unit of the signal,
// times in seconds, rates in crossings a second. The zero Limits asks for
// nothing: the figures are then there to be compared before and after.
type Limits struct {
	Switch     Limit // the level that divides rich from lean
	Hysteresis Limit // how far beyond Switch the signal must go to have crossed it

	MinimumFrom, MinimumTo Limit // where the least value must lie
	MaximumFrom, MaximumTo Limit // where the greatest value must lie
	Meter                  Limit // what the meter may be wrong by, beyond MinimumFrom and MaximumTo

	EdgeLow, EdgeHigh Limit // between which a rise and a fall are timed
	Rise, Fall        Limit // longest median time
	Intervals         Limit // sampling intervals that must fit into the longest rise

	Rate      Limit // fewest crossings a second
	Fastest   Limit // most crossings a second to be expected: what sampling must be able to count
	Still     Limit // a signal that moves less than this is silent
	RichLeast Limit // least share of the time spent rich
	RichMost  Limit // greatest share of the time spent rich
	Duration  Limit // shortest observation from which what was not seen counts as missing
}

// The sources of NarrowBand.
const (
	CollegeSource  = "Victor Valley College, AUTO 85.5, healthy narrow-band sensor at operating temperature"
	SwitchSource   = "trade literature on narrow-band sensors, read at second hand"
	CommonPractice = "common practice, no source"
	OwnDefault     = "default of this program, no outside source"
)

// NarrowBand gives the usual limits of a narrow-band zirconia sensor at
// operating temperature under closed-loop control, in V and s. The maker's
// figures come first: replace these where the service information has them.
func NarrowBand() Limits {
	college := func(v float64) Limit { return Limit{v, CollegeSource} }
	own := func(v float64) Limit { return Limit{v, OwnDefault} }
	return Limits{
		Switch:      Limit{0.450, SwitchSource},
		Hysteresis:  own(0.050),
		MinimumFrom: college(0),
		MinimumTo:   college(0.175),
		MaximumFrom: college(0.800),
		MaximumTo:   college(1.000),
		Meter:       own(0.020),
		EdgeLow:     college(0.175),
		EdgeHigh:    college(0.800),
		Rise:        college(0.100),
		Intervals:   own(4),
		Rate:        Limit{1, CommonPractice},
		Fastest:     Limit{5, CommonPractice},
		Still:       own(0.010),
		RichLeast:   own(0.2),
		RichMost:    own(0.8),
		Duration:    own(10),
	}
}

// Rear gives what a narrow-band sensor behind the catalyst can be held to: a
// good catalyst keeps it from switching, so that only a dead or short-circuited
// one shows by itself. Crossings are counted for Catalyst and not judged.
func Rear() Limits {
	all := NarrowBand()
	return Limits{
		Switch: all.Switch, Hysteresis: all.Hysteresis, Meter: all.Meter, Still: all.Still, Duration: all.Duration,
		MinimumFrom: all.MinimumFrom, MaximumTo: all.MaximumTo, Fastest: all.Fastest,
	}
}

// responds reports whether the limits ask for anything that only a sensor which
// follows the mixture can show.
func (l Limits) responds() bool {
	return (l.MinimumTo.Given() && l.MaximumFrom.Given()) || l.Rise.Given() || l.Fall.Given()
}

// countable is the longest sampling interval that can count crossings: half the
// time between two of them at the fastest rate to be expected.
func (l Limits) countable() float64 {
	fastest := max(l.Fastest.Value, l.Rate.Value)
	if fastest <= 0 {
		return math.Inf(1)
	}
	return 1 / (2 * fastest)
}

// check refuses limits that contradict themselves.
func (l Limits) check() error {
	for _, each := range l.named() {
		if err := each.check(); err != nil {
			return err
		}
	}
	for _, pair := range []struct {
		what      string
		low, high Limit
	}{
		{"minimum", l.MinimumFrom, l.MinimumTo}, {"maximum", l.MaximumFrom, l.MaximumTo},
		{"edge", l.EdgeLow, l.EdgeHigh}, {"rich share", l.RichLeast, l.RichMost},
	} {
		if pair.low.Given() && pair.high.Given() && pair.low.Value >= pair.high.Value {
			return fmt.Errorf("limit %s %g to %g: the first must be less than the second", pair.what, pair.low.Value, pair.high.Value)
		}
	}
	return l.checkNeeds()
}

// checkNeeds refuses a limit that means nothing without another.
func (l Limits) checkNeeds() error {
	switch {
	case l.EdgeLow.Given() != l.EdgeHigh.Given():
		return fmt.Errorf("limit edge: one of its two levels is missing; give both or neither")
	case (l.Rise.Given() || l.Fall.Given()) && !l.EdgeLow.Given():
		return fmt.Errorf("limit rise or fall: needs the two levels between which it is timed")
	case (l.Rate.Given() || l.RichLeast.Given() || l.RichMost.Given()) && !l.Switch.Given():
		return fmt.Errorf("limit rate or rich share: needs the switching level")
	}
	return nil
}

// sign says which values of a limit make sense.
type sign int

const (
	anySign sign = iota
	notNegative
	positive
)

type namedLimit struct {
	name string
	Limit
	sign sign
}

func (n namedLimit) check() error {
	switch {
	case math.IsNaN(n.Value) || math.Abs(n.Value) > highestAny:
		return fmt.Errorf("limit %s %g: not a number that can be used; check its value and unit", n.name, n.Value)
	case !n.Given() && n.Value != 0:
		return fmt.Errorf("limit %s %g: has no source; say where it is from", n.name, n.Value)
	case n.Value < 0 && n.sign != anySign:
		return fmt.Errorf("limit %s %g: must not be negative", n.name, n.Value)
	case n.Given() && n.Value == 0 && n.sign == positive:
		return fmt.Errorf("limit %s %g: must be more than zero", n.name, n.Value)
	}
	return nil
}

func (l Limits) named() []namedLimit {
	return []namedLimit{
		{"switch", l.Switch, anySign}, {"hysteresis", l.Hysteresis, notNegative},
		{"minimum from", l.MinimumFrom, anySign}, {"minimum to", l.MinimumTo, anySign},
		{"maximum from", l.MaximumFrom, anySign}, {"maximum to", l.MaximumTo, anySign}, {"meter", l.Meter, notNegative},
		{"edge low", l.EdgeLow, anySign}, {"edge high", l.EdgeHigh, anySign},
		{"rise", l.Rise, positive}, {"fall", l.Fall, positive}, {"intervals", l.Intervals, positive},
		{"rate", l.Rate, notNegative}, {"fastest rate", l.Fastest, positive}, {"still", l.Still, notNegative},
		{"least rich share", l.RichLeast, notNegative}, {"greatest rich share", l.RichMost, notNegative},
		{"duration", l.Duration, notNegative},
	}
}

// resolve is the longest sampling interval that can show an edge: the longest
// rise allowed, divided by the intervals that must fit into it.
func (l Limits) resolve() float64 {
	longest := l.Rise
	if !longest.Given() {
		longest = l.Fall
	}
	if !longest.Given() {
		return math.Inf(1)
	}
	if !l.Intervals.Given() {
		return longest.Value
	}
	return longest.Value / l.Intervals.Value
}

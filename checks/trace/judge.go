// The rule of this file: what was seen counts however short the trace; what was
// not seen counts only when there was time to see it.

package trace

import (
	"fmt"
	"slices"
	"strings"
)

// judge makes the findings and what follows from them.
func (r *Report) judge() {
	r.find()
	for _, f := range r.Findings {
		if f.Flag != "" && !slices.Contains(r.Flags, f.Flag) {
			r.Flags = append(r.Flags, f.Flag)
		}
	}
	r.conclude()
	r.Workings = r.workings()
}

// find sets the figures against the limits. A signal that does not move, or
// that stays on one side, is not also measured for its extremes.
func (r *Report) find() {
	if r.Observed == 0 {
		r.unobserved()
		return
	}
	l := r.Limits
	r.observation()
	if l.Still.Given() && r.silent() {
		return
	}
	if l.Rate.Given() && r.stuck() {
		return
	}
	r.minimum()
	r.maximum()
	r.biased()
	r.rate()
	r.edge("rise", r.Rise, l.Rise)
	r.edge("fall", r.Fall, l.Fall)
}

func (r *Report) note(about string, o Outcome, flag Flag, said string, limits ...Limit) {
	used := slices.DeleteFunc(limits, func(l Limit) bool { return !l.Given() })
	r.Findings = append(r.Findings, Finding{About: about, Outcome: o, Flag: flag, Said: about + " " + said + ": " + string(o), Limits: used})
}

func (r *Report) unobserved() {
	flag, said := TooShort, "no two readings close enough in time to be joined"
	if r.Open > 0 {
		flag, said = NotClosed, fmt.Sprintf("none of %s was in closed loop", seconds(r.Span))
	}
	r.note("observation", NotJudged, flag, said)
}

// observation records whether there was time enough to see everything.
func (r *Report) observation() {
	if limit := r.Limits.Duration; limit.Given() {
		said := fmt.Sprintf("of %s (at least %s)", seconds(r.Observed), seconds(limit.Value))
		if r.long() {
			r.note("observation", Met, "", said, limit)
			return
		}
		r.note("observation", NotJudged, r.short(), said, limit)
	}
}

// long reports whether what was not seen in the trace counts as missing.
func (r *Report) long() bool { return r.Observed >= r.Limits.Duration.Value-moment }

// short says why the trace is not long.
func (r *Report) short() Flag {
	if r.Observed+r.OpenTime >= r.Limits.Duration.Value-moment && r.Open > 0 {
		return NotClosed
	}
	return TooShort
}

// missing records that something was not seen: against the sensor where there
// was time enough to see it, else not judged.
func (r *Report) missing(about string, flag Flag, said string, limits ...Limit) {
	if r.long() {
		r.note(about, NotMet, flag, said, limits...)
		return
	}
	r.note(about, NotJudged, r.short(), said+", and too short an observation to tell", limits...)
}

func (r *Report) silent() bool {
	still := r.Limits.Still
	if r.Swing() > still.Value {
		return false
	}
	r.missing("movement", Silent, fmt.Sprintf("%s at %s (silent up to %s)",
		r.Signal.show(r.Swing()), r.Signal.show(r.Mean), r.Signal.show(still.Value)), still)
	return true
}

// stuck answers whether the signal stayed on one side all the time.
func (r *Report) stuck() bool {
	l := r.Limits
	if r.Crossings > 0 {
		return false
	}
	flag := Stuck
	switch above := r.Minimum > l.Switch.Value; {
	case !above && r.Maximum >= l.Switch.Value:
	case above == r.Signal.richAbove():
		flag = StuckRich
	default:
		flag = StuckLean
	}
	r.missing("crossings", flag, fmt.Sprintf("0 of %s; from %s to %s", r.Signal.show(l.Switch.Value), r.Signal.show(r.Minimum), r.Signal.show(r.Maximum)),
		l.Switch, l.Hysteresis)
	return true
}

func (r *Report) minimum() {
	l := r.Limits
	said := fmt.Sprintf("%s (%s)", r.Signal.show(r.Minimum), r.window(l.MinimumFrom, l.MinimumTo))
	switch {
	case l.MinimumFrom.Given() && r.Minimum < l.MinimumFrom.Value-l.Meter.Value-hair:
		r.note("minimum", NotMet, Beyond, said, l.MinimumFrom, l.Meter)
	case l.MinimumTo.Given() && r.Minimum > l.MinimumTo.Value+hair:
		r.missing("minimum", r.towards(true), said, l.MinimumTo)
	case l.MinimumFrom.Given() || l.MinimumTo.Given():
		r.note("minimum", Met, "", said, l.MinimumFrom, l.MinimumTo)
	}
}

func (r *Report) maximum() {
	l := r.Limits
	said := fmt.Sprintf("%s (%s)", r.Signal.show(r.Maximum), r.window(l.MaximumFrom, l.MaximumTo))
	switch {
	case l.MaximumTo.Given() && r.Maximum > l.MaximumTo.Value+l.Meter.Value+hair:
		r.note("maximum", NotMet, Beyond, said, l.MaximumTo, l.Meter)
	case l.MaximumFrom.Given() && r.Maximum < l.MaximumFrom.Value-hair:
		r.missing("maximum", r.towards(false), said, l.MaximumFrom)
	case l.MaximumFrom.Given() || l.MaximumTo.Given():
		r.note("maximum", Met, "", said, l.MaximumFrom, l.MaximumTo)
	}
}

// hair keeps the last binary digit from deciding at an exact limit.
const hair = 1e-9

// towards is the flag of an extreme that is not reached: too high a minimum, or
// too low a maximum; weak where both are missed.
func (r *Report) towards(high bool) Flag {
	l := r.Limits
	lowMissed := l.MinimumTo.Given() && r.Minimum > l.MinimumTo.Value+hair
	highMissed := l.MaximumFrom.Given() && r.Maximum < l.MaximumFrom.Value-hair
	switch {
	case lowMissed && highMissed:
		return Weak
	case high == r.Signal.richAbove():
		return BiasedRich
	}
	return BiasedLean
}

// biased judges the share of the time spent rich.
func (r *Report) biased() {
	l := r.Limits
	if !l.RichLeast.Given() && !l.RichMost.Given() {
		return
	}
	said := fmt.Sprintf("%.0f %% (%s)", 100*r.RichShare, shares(l.RichLeast, l.RichMost))
	switch {
	case l.RichMost.Given() && r.RichShare > l.RichMost.Value+hair:
		r.missing("time rich", BiasedRich, said, l.RichMost)
	case l.RichLeast.Given() && r.RichShare < l.RichLeast.Value-hair:
		r.missing("time rich", BiasedLean, said, l.RichLeast)
	default:
		r.note("time rich", Met, "", said, l.RichLeast, l.RichMost)
	}
}

// rate judges how often the signal crosses. Coarse samples can miss crossings
// and never add any.
func (r *Report) rate() {
	limit := r.Limits.Rate
	if !limit.Given() {
		return
	}
	said := fmt.Sprintf("%.2f a second (at least %g)", r.Rate, limit.Value)
	switch {
	case r.Rate >= limit.Value-hair:
		r.note("crossings", Met, "", said, limit)
	case r.Interval > r.Limits.countable()+moment:
		r.note("crossings", NotJudged, TooSlow, said+fmt.Sprintf(", but a sample every %s can miss crossings", seconds(r.Interval)), limit, r.Limits.Fastest)
	default:
		r.missing("crossings", Lazy, said, limit)
	}
}

// edge judges the median time of one direction.
func (r *Report) edge(name string, e Edges, limit Limit) {
	if !limit.Given() {
		return
	}
	l := r.Limits
	levels := fmt.Sprintf("%s to %s", r.Signal.show(l.EdgeLow.Value), r.Signal.show(l.EdgeHigh.Value))
	switch {
	case e.Count > 0 && e.Median > limit.Value+moment:
		r.note(name, NotMet, Lazy, fmt.Sprintf("%s, %s, median of %d (at most %s)", levels, seconds(e.Median), e.Count, seconds(limit.Value)), limit, l.EdgeLow, l.EdgeHigh)
	case e.Count > 0:
		r.note(name, Met, "", fmt.Sprintf("%s, %s, median of %d (at most %s)", levels, seconds(e.Median), e.Count, seconds(limit.Value)), limit, l.EdgeLow, l.EdgeHigh)
	case e.Unresolved > 0 || r.Interval > l.resolve()+moment:
		r.note(name, NotJudged, TooSlow, fmt.Sprintf("time: a sample every %s cannot show %s; it takes one every %s or sooner",
			seconds(r.Interval), seconds(limit.Value), seconds(l.resolve())), limit, l.Intervals)
	default:
		r.note(name, NotJudged, "", "time: none seen from "+levels, limit, l.EdgeLow, l.EdgeHigh)
	}
}

// window says in words what range is asked for.
func (r *Report) window(from, to Limit) string {
	switch {
	case from.Given() && to.Given():
		return fmt.Sprintf("%s to %s", r.Signal.show(from.Value), r.Signal.show(to.Value))
	case from.Given():
		return "at least " + r.Signal.show(from.Value)
	}
	return "at most " + r.Signal.show(to.Value)
}

func shares(least, most Limit) string {
	var parts []string
	if least.Given() {
		parts = append(parts, fmt.Sprintf("at least %.0f %%", 100*least.Value))
	}
	if most.Given() {
		parts = append(parts, fmt.Sprintf("at most %.0f %%", 100*most.Value))
	}
	return strings.Join(parts, ", ")
}

// The rule of this file: before and after are set side by side only where they
// are of one signal; better or worse is said only of limits, never of a number
// that has none.

package trace

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Direction is what became of a sensor.
type Direction string

// The directions. Undecided means that the numbers are for a person to weigh.
const (
	Cured     Direction = "put right"
	Better    Direction = "better"
	Unchanged Direction = "unchanged"
	Worse     Direction = "worse"
	Undecided Direction = "undecided"
)

// Difference is one figure before and after, in the unit of Report.
type Difference struct {
	Figure        string
	Before, After float64
	Said          string
}

// Comparison sets two traces of one sensor position side by side.
type Comparison struct {
	Direction   Direction
	Gone, New   []Flag // about the signal; what the trace could not show is left out
	Differences []Difference
	Because     string
	Workings    []string
}

// Compare sets a trace from before the work beside one from after it. Errors:
// traces of different signals, or one without any observation.
//
// The direction follows from the verdicts and flags: put right where a suspect
// became healthy; better or worse where the faults after the work are a part of
// those before, or the other way round; undecided where there is no verdict.
func Compare(before, after Report) (Comparison, error) {
	if before.Signal != after.Signal {
		return Comparison{}, fmt.Errorf("compare %s with %s: different signals; measure both the same way", before.Signal, after.Signal)
	}
	if !(before.Observed > 0) || !(after.Observed > 0) {
		return Comparison{}, fmt.Errorf("compare: observed %s before and %s after the work; measure both", seconds(before.Observed), seconds(after.Observed))
	}
	c := Comparison{Differences: differences(before, after)}
	was, is := faults(before), faults(after)
	c.Gone, c.New = without(was, is), without(is, was)
	c.Direction = direction(before, after, c)
	c.Because = c.because(before, after)
	for _, d := range c.Differences {
		c.Workings = append(c.Workings, d.Said)
	}
	c.Workings = append(c.Workings, before.inShort("before"), after.inShort("after"),
		fmt.Sprintf("verdict before: %s; after: %s", before.Verdict, after.Verdict), "comparison: "+string(c.Direction))
	return c, nil
}

// inShort is a trace in one line: how long it is, what was counted in it, and why it got its verdict.
func (r Report) inShort(when string) string {
	line := fmt.Sprintf("%s: %d readings over %s, gaps %s", when, r.Samples, seconds(r.Span), seconds(r.GapTime))
	if l := r.Limits; l.Switch.Given() {
		line += fmt.Sprintf(", %d crossings of %s", r.Crossings, r.Signal.show(l.Switch.Value))
	}
	if r.Limits.EdgeLow.Given() {
		line += ", " + edgeLine("rises", r.Rise) + ", " + edgeLine("falls", r.Fall)
	}
	return line + ": " + r.Because
}

func direction(before, after Report, c Comparison) Direction {
	switch {
	case before.Verdict == Suspect && after.Verdict == Healthy:
		return Cured
	case before.Verdict == Healthy && after.Verdict == Suspect:
		return Worse
	case before.Verdict == CannotTell || after.Verdict == CannotTell:
		return Undecided
	case len(c.Gone) > 0 && len(c.New) == 0:
		return Better
	case len(c.New) > 0 && len(c.Gone) == 0:
		return Worse
	case len(c.New) == 0:
		return Unchanged
	}
	return Undecided
}

func (c Comparison) because(before, after Report) string {
	switch {
	case c.Direction == Undecided && len(after.Findings) == 0:
		return "no limits given: weigh the figures before and after"
	case len(c.Gone)+len(c.New) == 0:
		return fmt.Sprintf("%s before, %s after", before.Verdict, after.Verdict)
	}
	var parts []string
	if len(c.Gone) > 0 {
		parts = append(parts, "no longer "+list(c.Gone))
	}
	if len(c.New) > 0 {
		parts = append(parts, "now "+list(c.New))
	}
	return fmt.Sprintf("%s (%s before, %s after)", strings.Join(parts, "; "), before.Verdict, after.Verdict)
}

// faults are the flags about the signal.
func faults(r Report) []Flag {
	return slices.DeleteFunc(slices.Clone(r.Flags), func(f Flag) bool {
		return f == TooSlow || f == TooShort || f == NotClosed
	})
}

func without(all, others []Flag) []Flag {
	var rest []Flag
	for _, f := range all {
		if !slices.Contains(others, f) {
			rest = append(rest, f)
		}
	}
	return rest
}

func list(flags []Flag) string {
	var words []string
	for _, f := range flags {
		words = append(words, string(f))
	}
	return strings.Join(words, ", ")
}

// differences lists the figures that both traces have.
func differences(before, after Report) []Difference {
	var all []Difference
	add := func(name string, b, a float64, show func(float64) string) {
		said := fmt.Sprintf("%s: %s before, %s after", name, show(b), show(a))
		all = append(all, Difference{Figure: name, Before: b, After: a, Said: said})
	}
	level := before.Signal.show
	add("minimum", before.Minimum, after.Minimum, level)
	add("maximum", before.Maximum, after.Maximum, level)
	add("mean", before.Mean, after.Mean, level)
	if sameSwitch(before, after) {
		add("crossings a second", before.Rate, after.Rate, func(v float64) string { return fmt.Sprintf("%.2f", v) })
		add("time rich", before.RichShare, after.RichShare, func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) })
	}
	if sameEdges(before, after) && before.Rise.Count > 0 && after.Rise.Count > 0 {
		add("rise", before.Rise.Median, after.Rise.Median, seconds)
	}
	if sameEdges(before, after) && before.Fall.Count > 0 && after.Fall.Count > 0 {
		add("fall", before.Fall.Median, after.Fall.Median, seconds)
	}
	return all
}

// sameSwitch reports whether both traces counted crossings of one level.
func sameSwitch(a, b Report) bool {
	return a.Limits.Switch.Given() && b.Limits.Switch.Given() &&
		a.Limits.Switch.Value == b.Limits.Switch.Value && a.Limits.Hysteresis.Value == b.Limits.Hysteresis.Value
}

func sameEdges(a, b Report) bool {
	return a.Limits.EdgeLow.Given() && b.Limits.EdgeLow.Given() &&
		math.Abs(a.Limits.EdgeLow.Value-b.Limits.EdgeLow.Value) < hair && math.Abs(a.Limits.EdgeHigh.Value-b.Limits.EdgeHigh.Value) < hair
}

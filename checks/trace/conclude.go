// The rule of this file: suspect needs one limit that was missed, healthy needs
// every one met; anything else is not enough to tell.

package trace

import (
	"fmt"
	"strings"
)

// conclude sets the verdict and its one sentence.
func (r *Report) conclude() {
	missed, open := r.with(NotMet), r.with(NotJudged)
	switch {
	case len(missed) > 0:
		r.Verdict = Suspect
		r.Because = fmt.Sprintf("%s; %s", strings.Join(missed, "; "), r.next())
	case len(r.Findings) == 0:
		r.Verdict = CannotTell
		r.Because = "no limits given: compare before and after"
	case len(open) > 0:
		r.Verdict = CannotTell
		r.Because = strings.Join(open, "; ")
	case !r.Limits.responds():
		r.Verdict = CannotTell
		r.Because = "what was judged is in order, and none of it shows that the signal follows the mixture: compare before and after"
	default:
		r.Verdict = Healthy
		r.Because = fmt.Sprintf("every limit given is met over %s", seconds(r.Observed))
	}
}

// with lists what was said with that outcome.
func (r *Report) with(o Outcome) []string {
	var said []string
	for _, f := range r.Findings {
		if f.Outcome == o {
			said = append(said, f.Said)
		}
	}
	return said
}

// next says what to look at before the sensor is blamed.
func (r *Report) next() string {
	switch {
	case r.Flagged(Silent):
		return "check wiring, heater and reference before the sensor"
	case r.Flagged(Beyond):
		return "check for a short circuit to the heater or to the supply, and the sensor's ground"
	case r.Flagged(StuckRich), r.Flagged(StuckLean), r.Flagged(BiasedRich), r.Flagged(BiasedLean):
		return "a mixture that is really so looks the same: drive it rich and lean and see whether the signal follows"
	}
	return "make sure that the sensor was hot and the engine in closed loop before the sensor is blamed"
}

// workings are the figures, then the findings.
func (r *Report) workings() []string {
	lines := []string{
		fmt.Sprintf("%d readings over %s; one every %s (median), longest interval %s", r.Samples, seconds(r.Span), seconds(r.Interval), seconds(r.LongestInterval)),
		fmt.Sprintf("observed %s = span %s - gaps %s (%d) - out of closed loop %s", seconds(r.Observed), seconds(r.Span), seconds(r.GapTime), r.Gaps, seconds(r.OpenTime)),
	}
	if r.Missing+r.Sorted+r.Repeated+r.Open > 0 {
		lines = append(lines, fmt.Sprintf("%d rows without a reading, %d readings out of order put right, %d at a repeated time, %d out of closed loop",
			r.Missing, r.Sorted, r.Repeated, r.Open))
	}
	if r.Samples > r.Open {
		lines = append(lines, fmt.Sprintf("minimum %s, maximum %s, mean over time %s", r.Signal.show(r.Minimum), r.Signal.show(r.Maximum), r.Signal.show(r.Mean)))
	}
	if l := r.Limits; l.Switch.Given() && r.Observed > 0 {
		lines = append(lines, fmt.Sprintf("%d crossings of %s ± %s / %s = %.2f a second; rich %.0f %% of the time",
			r.Crossings, r.Signal.show(l.Switch.Value), r.Signal.show(l.Hysteresis.Value), seconds(r.Observed), r.Rate, 100*r.RichShare))
	}
	if r.Limits.EdgeLow.Given() {
		lines = append(lines, edgeLine("rises", r.Rise), edgeLine("falls", r.Fall))
	}
	for _, f := range r.Findings {
		lines = append(lines, f.Said+sources(f.Limits))
	}
	return append(lines, "verdict: "+string(r.Verdict))
}

func edgeLine(name string, e Edges) string {
	line := fmt.Sprintf("%d %s timed", e.Count, name)
	if e.Count > 0 {
		line += fmt.Sprintf(": median %s, slowest %s", seconds(e.Median), seconds(e.Slowest))
	}
	if e.Unresolved > 0 {
		line += fmt.Sprintf("; %d more sampled too coarsely to time", e.Unresolved)
	}
	return line
}

// sources names where the limits are from, each once.
func sources(limits []Limit) string {
	var named []string
	seen := map[string]bool{}
	for _, l := range limits {
		if !seen[l.Source] {
			seen[l.Source] = true
			named = append(named, l.Source)
		}
	}
	if len(named) == 0 {
		return ""
	}
	return " [" + strings.Join(named, "; ") + "]"
}

package picture

// The rule of this file: the verdict on a trace stands beside it in words, as the check gave it.

import (
	"fmt"
	"strings"

	"fenderside/checks/trace"
	"fenderside/procedures/wrap"
)

// level is a value of a signal in few characters.
func level(s trace.Signal, v float64) string {
	switch s {
	case trace.Lambda:
		return fmt.Sprintf("%.2f", v)
	case trace.PumpCurrent:
		return fmt.Sprintf("%.1f mA", 1000*v)
	}
	return fmt.Sprintf("%.0f mV", 1000*v)
}

// verdictBeside sets the verdict of a trace in words to the right of its plot, or below it where there is no room.
func verdictBeside(plot []string, r Recording, width int) []string {
	said := ascii(strings.ToUpper(string(r.Report.Verdict)) + ": " + r.Report.Because)
	if r.Said != "" {
		said = ascii(r.Said)
	}
	if width < besideWindow {
		return append(plot, wrap.Text(said, width)...)
	}
	lines := wrap.Text(said, besideRoom-2)
	widest := 0
	for _, row := range plot {
		widest = max(widest, len([]rune(row)))
	}
	for len(plot) < len(lines) {
		plot = append(plot, "")
	}
	for i, l := range lines {
		plot[i] += strings.Repeat(" ", widest+2-len([]rune(plot[i]))) + l
	}
	return plot
}

func traceLegend(r trace.Report) string {
	said := "Each column runs from the least to the greatest value of its time; blank where nothing is known"
	if r.Limits.Switch.Given() {
		said += "; - - threshold, / rises through it, \\ falls, X both"
	}
	return said + "."
}

func traceWords(what string, r trace.Report) []string {
	out := []string{fmt.Sprintf("%s: %s: %s.", what, r.Verdict, strings.TrimSuffix(r.Because, ".")),
		fmt.Sprintf("It runs for %.4g s, least %s, greatest %s, with %s.", r.Span, level(r.Signal, r.Minimum), level(r.Signal, r.Maximum), gaps(r))}
	if r.Limits.Switch.Given() {
		out = append(out, fmt.Sprintf("It crosses %s %d times, %.2f times a second.", level(r.Signal, r.Limits.Switch.Value), r.Crossings, r.Rate))
	}
	if r.Rise.Count > 0 {
		out = append(out, fmt.Sprintf("It rises in %.0f ms, the median of %d.", 1000*r.Rise.Median, r.Rise.Count))
	}
	if r.Fall.Count > 0 {
		out = append(out, fmt.Sprintf("It falls in %.0f ms, the median of %d.", 1000*r.Fall.Median, r.Fall.Count))
	}
	return out
}

func gaps(r trace.Report) string {
	if r.Gaps == 0 {
		return "no gap"
	}
	return fmt.Sprintf("gaps of %.4g s in all", r.GapTime)
}

func togetherWords(c trace.Comparison) string {
	return fmt.Sprintf("Together: %s: %s.", c.Direction, strings.TrimSuffix(c.Because, "."))
}

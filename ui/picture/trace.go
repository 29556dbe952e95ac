package picture

// The rule of this file: each column keeps the least and the greatest value of its time, so that a dip of one sample is
// drawn however long the trace is, and where nothing is known nothing is drawn.

import (
	"fmt"
	"iter"
	"math"
	"strings"

	"fenderside/checks/trace"
)

// Recording is a trace that was judged, with the samples that it was judged by.
type Recording struct {
	Report  trace.Report
	Samples iter.Seq2[trace.Sample, error]
	Said    string // beside it in place of its own verdict, where another was asked for
}

// column is what is known of the signal in one column of a plot.
type column struct {
	known        bool
	least, most  float64
	rises, falls bool // through the threshold
}

const (
	besideRoom   = 34  // columns of the verdict beside a plot
	besideWindow = 100 // from which it stands beside
)

// Trace draws a signal over time with its threshold, and its verdict beside it. The error is that of the samples.
func Trace(r Recording, f Form) (Picture, error) {
	p := Picture{Title: "THE SIGNAL OVER TIME", Words: traceWords("The signal", r.Report)}
	plots, err := plotted(f, r.Report.Span, r)
	if err != nil {
		return p, err
	}
	if plots == nil {
		return p.inWords(f), nil
	}
	p.Rows = append(plots[0], captions(f.Width, traceLegend(r.Report))...)
	return p, nil
}

// Traces draws a signal before the work over the same after it, on the same axes.
func Traces(before, after Recording, c trace.Comparison, f Form) (Picture, error) {
	p := Picture{Title: "THE SIGNAL BEFORE THE WORK, AND AFTER IT"}
	p.Words = append(traceWords("Before", before.Report), traceWords("After", after.Report)...)
	p.Words = append(p.Words, togetherWords(c))
	plots, err := plotted(f, math.Max(before.Report.Span, after.Report.Span), before, after)
	if err != nil {
		return p, err
	}
	if plots == nil {
		return p.inWords(f), nil
	}
	p.Rows = append(append([]string{"BEFORE"}, plots[0]...), append([]string{"AFTER"}, plots[1]...)...)
	p.Rows = append(p.Rows, captions(f.Width, traceLegend(before.Report), p.Words[len(p.Words)-1])...)
	return p, nil
}

// Catalyst draws the signal in front of a catalyst over the one behind it, on the same axes.
func Catalyst(front, rear Recording, c trace.CatalystReport, f Form) (Picture, error) {
	p := Picture{Title: "FRONT AND REAR SIGNAL"}
	front.Said, rear.Said = c.Workings[0], c.Workings[1]
	together := fmt.Sprintf("Together: %s: %s.", c.Verdict, strings.TrimSuffix(c.Because, "."))
	p.Words = []string{front.Said + ".", rear.Said + ".", together}
	plots, err := plotted(f, math.Max(front.Report.Span, rear.Report.Span), front, rear)
	if err != nil {
		return p, err
	}
	if plots == nil {
		return p.inWords(f), nil
	}
	p.Rows = append(append([]string{"FRONT"}, plots[0]...), append([]string{"REAR"}, plots[1]...)...)
	p.Rows = append(p.Rows, captions(f.Width, traceLegend(front.Report), together)...)
	return p, nil
}

// plotted draws recordings on the same axes, each with its verdict; none where there is no room or nothing to draw.
func plotted(f Form, span float64, all ...Recording) ([][]string, error) {
	room := min(f.Width, widestPlot+besideRoom)
	if f.Width >= besideWindow {
		room -= besideRoom
	}
	if room < labelRoom+leastPlot || span <= 0 {
		return nil, nil
	}
	rows := plotRows
	if f.Height > 0 {
		rows = max(f.Height, 5)
	}
	up := levels(all, rows)
	across := axis{0, span, min(room, widestPlot) - labelRoom - 1}
	var plots [][]string
	for _, r := range all {
		columns, err := columnsOf(r, across)
		if err != nil {
			return nil, err
		}
		plots = append(plots, verdictBeside(signalPlot(r.Report, columns, up, across, f.Lines), r, f.Width))
	}
	return plots, nil
}

// levels are the ends of the upright axis: those that a sound signal keeps to, and further where one goes beyond.
func levels(all []Recording, rows int) axis {
	a := axis{0, 1, rows}
	step := 0.1
	switch all[0].Report.Signal {
	case trace.Lambda:
		a.low, a.high = 0.7, 1.3
	case trace.PumpCurrent:
		a.low, a.high, step = -0.002, 0.002, 0.001
	}
	for _, r := range all {
		a.low, a.high = math.Min(a.low, floor(r.Report.Minimum, step)), math.Max(a.high, ceil(r.Report.Maximum, step))
	}
	return a
}

// columnsOf gathers the samples of a recording into columns. Two that no gap parts are joined by a straight line. Those out
// of closed loop were not judged and are left blank.
func columnsOf(r Recording, across axis) ([]column, error) {
	columns := make([]column, across.cells)
	first, before, begun := math.NaN(), trace.Sample{}, false
	for s, err := range r.Samples {
		if err != nil {
			return nil, err
		}
		if math.IsNaN(first) {
			first = s.At
		}
		s.At -= first
		if s.Loop == trace.LoopOpen {
			begun = false
			continue
		}
		if begun && s.At >= before.At && s.At-before.At <= r.Report.Gap {
			join(columns, across, before, s, r.Report.Limits.Switch)
		}
		columns[across.at(s.At)].take(s.Value)
		before, begun = s, true
	}
	return columns, nil
}

func (c *column) take(v float64) {
	if !c.known {
		c.known, c.least, c.most = true, v, v
	}
	c.least, c.most = math.Min(c.least, v), math.Max(c.most, v)
}

// join takes the straight line between two samples into the columns that it passes, and notes where it passes the threshold.
func join(columns []column, across axis, a, b trace.Sample, threshold trace.Limit) {
	at := func(t float64) float64 { return a.Value + (b.Value-a.Value)*(t-a.At)/(b.At-a.At) }
	from, to := across.at(a.At), across.at(b.At)
	for x := from + 1; x < to; x++ {
		columns[x].take(at(across.value(x)))
	}
	if !threshold.Given() || (a.Value < threshold.Value) == (b.Value < threshold.Value) {
		return
	}
	crossed := &columns[across.at(a.At+(b.At-a.At)*(threshold.Value-a.Value)/(b.Value-a.Value))]
	crossed.rises = crossed.rises || b.Value > a.Value
	crossed.falls = crossed.falls || b.Value < a.Value
}

// mark is the character of a column: what it does at the threshold, or how far it reaches.
func (c column) mark(oneRow bool) string {
	switch {
	case c.rises && c.falls:
		return "X"
	case c.rises:
		return "/"
	case c.falls:
		return "\\"
	case oneRow:
		return "*"
	}
	return ":"
}

func signalPlot(r trace.Report, columns []column, up, across axis, lines bool) []string {
	c := newCanvas(labelRoom+1+across.cells, up.cells+2)
	c.down(labelRoom, 0, up.cells)
	c.across(up.cells, labelRoom, labelRoom+across.cells)
	row := func(v float64) int { return up.cells - 1 - up.at(v) }
	label := func(v float64, text string) {
		c.put(0, row(v), fmt.Sprintf("%*s", labelRoom, text))
	}
	label(up.high, level(r.Signal, up.high))
	label(up.low, level(r.Signal, up.low))
	if r.Limits.Switch.Given() {
		label(r.Limits.Switch.Value, level(r.Signal, r.Limits.Switch.Value))
		for x := 0; x < across.cells; x += 2 {
			c.put(labelRoom+1+x, row(r.Limits.Switch.Value), "-")
		}
	}
	for x, col := range columns {
		for y := row(col.most); col.known && y <= row(col.least); y++ {
			c.put(labelRoom+1+x, y, col.mark(row(col.most) == row(col.least)))
		}
	}
	end := fmt.Sprintf("%.4g s", across.high)
	c.put(labelRoom+1, up.cells+1, "0 s")
	c.put(labelRoom+1+across.cells-len(end), up.cells+1, end)
	return c.shown(lines)
}

package picture

// The rule of this file: the fit is drawn beside the readings it was made from, and a forecast with its whole interval, so
// that nobody takes it for a measurement.

import (
	"fmt"
	"math"
	"strings"

	"fenderside/checks/cooling"
)

const (
	labelRoom  = 10 // columns before a plot
	plotRows   = 9  // rows of a plot, unless the form says otherwise
	widestPlot = 100
	leastPlot  = 30
	zeroC      = 273.15 // K
)

// curve is a cooling curve while it is drawn. Minutes count from the first reading, temperatures are in °C.
type curve struct {
	m        cooling.Measurement
	limit    float64
	f        cooling.Forecast
	told     bool
	first    float64 // s
	across   axis
	up       axis
	canvas   *canvas
	expected int // column of the plot
}

// Cooling draws timed readings, the law fitted to them, and when it reaches a limit, in K.
func Cooling(m cooling.Measurement, limit float64, f Form) Picture {
	p := Picture{Title: "COOLING, AND WHEN TO MEASURE AGAIN"}
	forecast, err := m.Forecast(limit)
	p.Words = coolingWords(m, limit, forecast, err)
	if err != nil || len(m.Readings) == 0 || f.Width < labelRoom+leastPlot {
		return p.inWords(f)
	}
	c := &curve{m: m, limit: limit - zeroC, f: forecast, told: forecast.Outcome == cooling.Told, first: m.Readings[0].After.Seconds()}
	c.axes(f)
	c.draw()
	p.Rows = c.canvas.shown(f.Lines)
	if c.told {
		row := c.row(c.limit)
		from, to := c.interval()
		p.Marks = []Mark{{row, labelRoom + 1 + from, labelRoom + 2 + to}}
	}
	p.Rows = append(p.Rows, captions(f.Width, c.legend(), p.Words[len(p.Words)-2])...)
	return p
}

// axes chooses the ends of both axes. The first reading is the hottest and the limit is given, so the upright one stays.
func (c *curve) axes(f Form) {
	high, low, last := c.limit, c.limit, 0.0
	for _, r := range c.m.Readings {
		high, low = math.Max(high, r.Kelvin-zeroC), math.Min(low, r.Kelvin-zeroC)
		last = math.Max(last, c.minute(r.After.Seconds()))
	}
	if c.m.Ambient != nil {
		low = math.Min(low, *c.m.Ambient-zeroC)
	}
	if c.told {
		last = math.Max(last, c.minute(c.f.Between.High))
	}
	rows := plotRows
	if f.Height > 0 {
		rows = max(f.Height, 5)
	}
	c.up = axis{floor(low, 10), ceil(high+1, 50), rows}
	c.across = axis{0, span(math.Max(last, 1)), min(f.Width, widestPlot) - labelRoom - 1}
}

func (c *curve) minute(seconds float64) float64 { return (seconds - c.first) / 60 }

// row is the row of a temperature, and column the column of the plot of a minute.
func (c *curve) row(celsius float64) int   { return c.up.cells - 1 - c.up.at(celsius) }
func (c *curve) column(minute float64) int { return c.across.at(minute) }
func (c *curve) put(x, y int, r string)    { c.canvas.put(labelRoom+1+x, y, r) }
func (c *curve) label(celsius float64, s string) {
	y := c.row(celsius)
	text := fmt.Sprintf("%.3g%s", celsius, s)
	c.canvas.put(0, y, strings.Repeat(" ", labelRoom))
	c.canvas.put(labelRoom-len(text), y, text)
}

func (c *curve) interval() (from, to int) {
	return c.column(c.minute(c.f.Between.Low)), c.column(c.minute(c.f.Between.High))
}

func (c *curve) draw() {
	rows := c.up.cells
	c.canvas = newCanvas(labelRoom+1+c.across.cells, rows+2)
	c.canvas.down(labelRoom, 0, rows)
	c.canvas.across(rows, labelRoom, labelRoom+c.across.cells)
	c.label(c.up.high, " C")
	c.label(c.up.low, " C")
	c.label(c.limit, " limit")
	end := fmt.Sprintf("%.0f min", c.across.high)
	c.canvas.put(labelRoom+1, rows+1, "0 min")
	c.put(c.across.cells-len(end), rows+1, end)
	y := c.row(c.limit)
	for x := 0; x < c.across.cells; x += 2 {
		c.put(x, y, "-")
	}
	if c.told {
		c.fitted()
		from, to := c.interval()
		c.put(from, y, strings.Repeat("=", to-from+1))
		c.put(from, y, "<")
		c.put(to, y, ">")
		c.expected = c.column(c.minute(c.f.After))
		c.put(c.expected, y, "X")
	}
	for _, r := range c.m.Readings {
		c.put(c.column(c.minute(r.After.Seconds())), c.row(r.Kelvin-zeroC), "o")
	}
}

// fitted draws the law without holes, however steep it is.
func (c *curve) fitted() {
	before := -1
	for x := 0; x < c.across.cells; x++ {
		y := c.row(c.f.Fit.At(c.first+60*c.across.value(x)) - zeroC)
		if before < 0 {
			before = y
		}
		for at := min(before+1, y); at <= y; at++ {
			c.put(x, at, ".")
		}
		before = y
	}
}

func (c *curve) legend() string {
	if !c.told {
		return "o reading, - - limit"
	}
	return "o reading, . fit, - - limit, <=X=> expected with its interval"
}

func coolingWords(m cooling.Measurement, limit float64, f cooling.Forecast, err error) []string {
	var readings []string
	for _, r := range m.Readings {
		readings = append(readings, fmt.Sprintf("%.1f °C at minute %.1f", r.Kelvin-zeroC, r.After.Seconds()/60))
	}
	out := []string{"Readings: " + strings.Join(readings, ", ") + "."}
	if len(readings) == 0 {
		out = []string{"There are no readings yet."}
	}
	if m.Ambient != nil {
		out = append(out, fmt.Sprintf("Ambient: %.1f °C.", *m.Ambient-zeroC))
	}
	out = append(out, fmt.Sprintf("Limit: %.1f °C.", limit-zeroC))
	switch {
	case err != nil:
		out = append(out, "No forecast: "+err.Error()+".")
	case f.Outcome != cooling.Told:
		out = append(out, fmt.Sprintf("No forecast (%s): %s.", f.Outcome, f.Because))
	default:
		out = append(out, f.Because+".")
	}
	return append(out, "Remember: "+cooling.Caution+".")
}

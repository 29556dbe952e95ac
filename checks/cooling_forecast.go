// The rule of this file: a forecast says when to measure again; it never says
// that a surface may be touched, and where the readings cannot tell it says so.

package checks

import (
	"fmt"
	"math"

	"fenderside/checks/cooling"
	"fenderside/checks/quantity"
)

func coolingForecast() Check {
	c := Check{
		Name:  "cooling-forecast",
		Title: "When a hot surface will be down to a limit",
		Doc: "Fits Newton's law of cooling to timed readings and forecasts, with an interval, when a limit is reached, so that a person knows when to measure again. " +
			"It is never evidence that a surface may be touched. Readings that rise, lie at ambient, are too few or too noisy give no forecast.",
		Reckons: true,
		Inputs: []Input{
			{Name: "surface", Kind: KindSeries, Dimension: quantity.Temperature, Doc: "true temperatures at one place with their times: two with ambient, three without"},
			needs("limit", quantity.Temperature, "temperature waited for"),
			takes("ambient", quantity.Temperature, "of the air around it; estimated from the readings when left out"),
			takes("scatter", quantity.Number, "standard uncertainty of one reading in K; 0.5 when left out"),
			takes("confidence", quantity.Ratio, "of the interval; 95 % when left out"),
		},
		Outputs: []Output{
			{Name: "minute", Dimension: quantity.Time, Decimals: 1, Unit: "min", Maybe: true, Doc: "when the limit is expected, from the first reading"},
			{Name: "earliest", Dimension: quantity.Time, Decimals: 1, Unit: "min", Maybe: true, Doc: "early end of the interval"},
			{Name: "latest", Dimension: quantity.Time, Decimals: 1, Unit: "min", Maybe: true, Doc: "late end of the interval"},
			{Name: "wait", Dimension: quantity.Time, Decimals: 1, Unit: "min", Maybe: true, Doc: "from the last reading to the late end"},
			{Name: "ambient", Dimension: quantity.Temperature, Decimals: 1, Unit: "°C", Maybe: true, Doc: "as given or estimated"},
			{Name: "rate", Decimals: 5, Unit: "1/min", Maybe: true, Doc: "k of the law"},
		},
		Sources: []string{
			"Newton's law T(t) = Ta + D·exp(-k·t), least squares, interval by profile likelihood",
			"scatter: " + cooling.DefaultScatter.Source, "confidence: " + cooling.DefaultConfidence.Source, cooling.PriorFreedom.Source,
		},
		Example: Arguments{"surface": timed("200 °C", 0, "152 °C", 5, "117.5 °C", 10), "limit": one("48 °C"), "ambient": one("25 °C")},
	}
	c.Run = c.runCoolingForecast
	return c
}

func (c Check) runCoolingForecast(args Arguments) (Result, error) {
	m, limit := CoolingOf(args)
	f, err := m.Forecast(limit)
	if err != nil {
		return Result{}, err
	}
	if f.Outcome != cooling.Told {
		return c.result(More, fmt.Sprintf("no forecast (%s): %s", f.Outcome, f.Because), append(f.Workings, cooling.Caution))
	}
	start := 0.0
	if len(m.Readings) > 0 {
		start = m.Readings[0].After.Seconds()
	}
	figures := []named{amount("minute", f.After-start)}
	if !math.IsInf(f.Between.Low, 0) && !math.IsInf(f.Between.High, 0) {
		figures = append(figures, amount("earliest", f.Between.Low-start), amount("latest", f.Between.High-start), amount("wait", f.Wait))
	}
	figures = append(figures, amount("ambient", f.Fit.Ambient), amount("rate", f.Fit.Rate*60))
	return c.result(None, f.Because, f.Workings, figures...)
}

// CoolingOf takes the arguments of cooling-forecast: what was measured, and the limit waited for in K.
func CoolingOf(args Arguments) (cooling.Measurement, float64) {
	m := cooling.Measurement{Ambient: optional(args, "ambient")}
	for _, s := range args["surface"].Series {
		m.Readings = append(m.Readings, cooling.Reading{After: s.After, Kelvin: s.Value.Base()})
	}
	if args.has("scatter") {
		m.Scatter = cooling.Limit{Value: args.base("scatter", 0), Source: "given"}
	}
	if args.has("confidence") {
		m.Confidence = cooling.Limit{Value: args.base("confidence", 0), Source: "given"}
	}
	return m, args.base("limit", 0)
}

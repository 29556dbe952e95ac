// The rule of this file: touch-safe passes a surface only on readings that are
// under the author's limit, not rising, and taken in a way that can be trusted.

package checks

import (
	"fmt"
	"time"

	"fenderside/checks/quantity"
	"fenderside/checks/touch"
)

func touchSafe() Check {
	c := Check{
		Name:  "touch-safe",
		Title: "Surface cool enough to touch",
		Doc: "Judges readings of a surface that was hot: the last one against the limit, and the trend, for heat may still be coming " +
			"through from inside. An infrared reading is corrected for emissivity and never accepted from bright metal. " +
			"It speaks for the places that were measured and no others.",
		Inputs:  touchInputs(),
		Outputs: touchOutputs(),
		Sources: []string{
			"thresholds: " + touch.ThresholdSource + "; the limit is the procedure author's",
			"infrared: Tm⁴ = ε·T⁴ + (1 - ε)·Ta⁴, principle of ASTM E1933 (from memory)",
			"no infrared on bright metal, and a rise of 1 K or less as scatter: common practice",
		},
		Example: Arguments{
			"surface": {Series: []Sample{
				{Value: quantity.MustParse("52 °C")},
				{After: 5 * time.Minute, Value: quantity.MustParse("43 °C")},
			}},
			"limit":  one("48 °C"),
			"method": {Choice: string(touch.ContactProbe)},
		},
	}
	c.Run = c.runTouchSafe
	return c
}

func touchInputs() []Input {
	return []Input{
		{Name: "surface", Kind: KindSeries, Dimension: quantity.Temperature, Doc: "temperatures as the instrument showed them, all at one place, at least two"},
		{Name: "limit", Kind: KindQuantity, Dimension: quantity.Temperature, Doc: "the procedure author's limit, at most 48 °C; at it is still accepted"},
		{Name: "method", Kind: KindChoice, Options: []string{string(touch.ContactProbe), string(touch.Infrared)}, Doc: "how the temperatures were taken"},
		{Name: "emissivity", Kind: KindQuantity, Dimension: quantity.Number, Optional: true,
			Doc: "of the surface, more than 0 and at most 1; needed with infrared, the instrument itself set to 1"},
		{Name: "ambient", Kind: KindQuantity, Dimension: quantity.Temperature, Optional: true,
			Doc: "of the surroundings that the surface reflects; needed with infrared"},
		{Name: "finish", Kind: KindChoice, Optional: true,
			Options: []string{string(touch.BrightMetal), string(touch.Dull), string(touch.Painted)},
			Doc:     "of the surface where it was measured; infrared is refused without it"},
		{Name: "span", Kind: KindQuantity, Dimension: quantity.Time, Optional: true,
			Doc: "least time from the first reading to the last; none is asked for when left out"},
	}
}

func touchOutputs() []Output {
	return []Output{
		{Name: "surface", Dimension: quantity.Temperature, Decimals: 1, Unit: "°C", Doc: "the last reading, corrected when infrared; absent when no reading could be judged"},
		{Name: "limit", Dimension: quantity.Temperature, Decimals: 1, Unit: "°C", Doc: "the limit"},
		{Name: "margin", Dimension: quantity.Temperature, Decimals: 1, Unit: "K", Doc: "limit less surface, a difference; negative above the limit"},
	}
}

func (c Check) runTouchSafe(args Arguments) (Result, error) {
	m, err := measurement(args)
	if err != nil {
		return Result{}, err
	}
	j, err := m.Judge()
	if err != nil {
		return Result{}, err
	}
	figures, err := c.touchFigures(m, j)
	if err != nil {
		return Result{}, err
	}
	return Result{Verdict: touchVerdict(j.Outcome), Because: touchBecause(m, j), Figures: figures, Workings: touchWorkings(m, j)}, nil
}

// measurement takes the arguments into kelvin.
func measurement(args Arguments) (touch.Measurement, error) {
	m := touch.Measurement{
		Limit:      args["limit"].Quantity.Base(),
		Method:     touch.Method(args["method"].Choice),
		Finish:     touch.Finish(args["finish"].Choice),
		Emissivity: optional(args, "emissivity"),
		Ambient:    optional(args, "ambient"),
	}
	for _, s := range args["surface"].Series {
		m.Readings = append(m.Readings, touch.Reading{After: s.After, Kelvin: s.Value.Base()})
	}
	if arg, given := args["span"]; given {
		span, err := arg.Quantity.Duration()
		if err != nil || span < 0 {
			return touch.Measurement{}, fmt.Errorf("span %q: must be a time of zero or more", arg.Quantity)
		}
		m.Span = span
	}
	return m, nil
}

// optional is the base value of an input, nil when it was left out.
func optional(args Arguments, name string) *float64 {
	arg, given := args[name]
	if !given {
		return nil
	}
	v := arg.Quantity.Base()
	return &v
}

func (c Check) touchFigures(m touch.Measurement, j touch.Judgement) ([]Figure, error) {
	last, read := j.Last()
	if !read {
		return c.figures(amount("limit", m.Limit))
	}
	figures, err := c.figures(amount("surface", last), amount("limit", m.Limit))
	if err != nil {
		return nil, err
	}
	return append(figures, Figure{Name: "margin", Text: kelvins(m.Limit - last)}), nil
}

// kelvins prints a difference of temperatures. A difference is no Quantity of
// dimension Temperature: it may be negative.
func kelvins(difference float64) string { return plain(difference, 1) + " K" }

// apart is a difference as a thermometer shows it, for whoever stands at the exhaust.
func apart(difference float64) string { return plain(difference, 1) + " °C" }

func touchVerdict(o touch.Outcome) Verdict {
	switch o {
	case touch.Safe:
		return Pass
	case touch.TooFew, touch.TooSoon:
		return More
	}
	return Fail
}

func touchBecause(m touch.Measurement, j touch.Judgement) string {
	last, _ := j.Last()
	switch j.Outcome {
	case touch.Safe:
		return fmt.Sprintf("the last reading, %s, is not above the limit %s, and the surface is not rising", bothTemperature(last), bothTemperature(m.Limit))
	case touch.TooHot:
		return fmt.Sprintf("the last reading, %s, is %s above the limit %s; let it cool and read again at the same place",
			bothTemperature(last), atLeastSome(apart(last-m.Limit)), bothTemperature(m.Limit))
	case touch.Rising:
		return fmt.Sprintf("the last reading is %s above an earlier one (%s is allowed as scatter): heat is still coming through; wait and read again at the same place",
			apart(j.Rise), apart(touch.RiseAllowed))
	case touch.TooFew:
		return fmt.Sprintf("%d of at least %d readings: one reading cannot show that the surface is not rising; read again at the same place after a few minutes",
			len(j.Surface), touch.FewestReadings)
	case touch.TooSoon:
		return fmt.Sprintf("the readings span less than the %s asked for; wait and read again at the same place", plain(m.Span.Minutes(), 1)+" min")
	case touch.Bright:
		return "bright metal reads far too low by infrared, and no correction mends it; use a contact probe, " +
			"or read a patch of high-emissivity tape or paint, put on only at a temperature safe for you and for it"
	}
	return "the finish was not stated, and infrared cannot be trusted on bright metal; state the finish, or use a contact probe"
}

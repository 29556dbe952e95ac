// The rule of this file: a figure is text at its declared rounding, and the
// noise of binary arithmetic never reaches the rounding.

package checks

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fenderside/checks/quantity"
)

// output finds a declared output; a name that is not declared is a mistake in
// this package and shows in the figure's text.
func (c Check) output(name string) (Output, bool) {
	for _, o := range c.Outputs {
		if o.Name == name {
			return o, true
		}
	}
	return Output{}, false
}

// named is one figure on its way out: a value in the base unit of its
// output's dimension, or in the output's own unit where it has none; or words.
type named struct {
	name  string
	base  float64
	words string
}

// amount is a figure that is a number.
func amount(name string, base float64) named { return named{name: name, base: base} }

// stated is a figure in words.
func stated(name, words string) named { return named{name: name, words: words} }

// figure prints a figure as the output of its name declares.
func (c Check) figure(v named) (Figure, error) {
	o, ok := c.Output(Figure{Name: v.name})
	if !ok {
		return Figure{}, fmt.Errorf("figure %q: not among the outputs", v.name)
	}
	text, err := v.words, error(nil)
	switch {
	case o.Words || o.Many:
	case o.Dimension == "":
		text, err = show(v.base, quantity.Number, o.Decimals, "")
		text = strings.TrimSpace(text + " " + o.Unit)
	default:
		text, err = show(v.base, o.Dimension, o.Decimals, o.Unit)
	}
	if err != nil {
		return Figure{}, fmt.Errorf("figure %q: %w", v.name, err)
	}
	return Figure{Name: v.name, Text: text}, nil
}

func (c Check) figures(values ...named) ([]Figure, error) {
	var all []Figure
	for _, v := range values {
		f, err := c.figure(v)
		if err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return all, nil
}

// result puts an answer together.
func (c Check) result(verdict Verdict, because string, workings []string, values ...named) (Result, error) {
	figures, err := c.figures(values...)
	if err != nil {
		return Result{}, err
	}
	return Result{Verdict: verdict, Because: because, Figures: figures, Workings: workings}, nil
}

// Output is the declaration that a figure was made by.
func (c Check) Output(f Figure) (Output, bool) {
	name, _, _ := strings.Cut(f.Name, ": ")
	return c.output(name)
}

// Number reads a figure's value and unit; ok is false for words.
func (c Check) Number(f Figure) (value float64, unit string, ok bool) {
	o, _ := c.Output(f)
	if o.Words {
		return 0, "", false
	}
	number, unit, _ := strings.Cut(f.Text, " ")
	if o.Unit == "°" {
		number = strings.TrimSuffix(number, "°")
		unit = "°"
	}
	value, err := strconv.ParseFloat(number, 64)
	return value, unit, err == nil && !math.IsNaN(value) && !math.IsInf(value, 0)
}

// show prints a value, given in the base unit of its dimension, in a unit.
func show(base float64, d quantity.Dimension, decimals int, unit string) (string, error) {
	q, err := quantity.FromBase(settle(base), d)
	if err != nil {
		return "", err
	}
	return q.Show(decimals, unit), nil
}

// settle drops the digits beyond the twelfth, where processors may differ and
// where 41.8 may be 41.7999999999999972.
func settle(v float64) float64 {
	s, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return s
}

// plain prints a number with that many decimals, settled.
func plain(v float64, decimals int) string {
	s, err := show(v, quantity.Number, decimals, "")
	if err != nil {
		return "out of range"
	}
	return s
}

// short prints a number with no more digits than it needs, six at most.
func short(v float64) string { return strconv.FormatFloat(settle(v), 'g', 6, 64) }

// newtons prints a torque for the workings.
func newtons(torque float64) string { return plain(torque, 2) + " N·m" }

// bothTorque prints a torque in both customary units.
func bothTorque(torque float64) string {
	q, err := quantity.FromBase(settle(torque), quantity.Torque)
	if err != nil {
		return "out of range"
	}
	return q.Both()
}

// bothTemperature prints a temperature, in kelvin, in both customary units.
func bothTemperature(kelvin float64) string {
	q, err := quantity.FromBase(settle(kelvin), quantity.Temperature)
	if err != nil {
		return "out of range"
	}
	return q.Both()
}

// atLeastSome words a difference that rounds to nothing but is not nothing.
func atLeastSome(text string) string {
	if strings.Trim(text[:strings.IndexByte(text, ' ')], "0.") == "" {
		return "less than the last digit shown"
	}
	return text
}

// degrees prints a temperature, given in kelvin, in °C with one decimal.
func degrees(kelvin float64) string {
	s, err := show(kelvin, quantity.Temperature, 1, "°C")
	if err != nil {
		return "out of range"
	}
	return s
}

// Both prints a figure of a torque or of a temperature in both customary
// units; every other figure, and a difference of temperatures, as it stands.
func (c Check) Both(f Figure) string {
	o, ok := c.Output(f)
	q, err := quantity.Parse(f.Text)
	if !ok || err != nil || o.Words || o.Unit == "K" && o.Dimension == quantity.Temperature {
		return f.Text
	}
	switch q.Dimension() {
	case quantity.Torque:
		return f.Text + " (" + q.Show(1, other(q.Unit(), "N·m", "lbf·ft")) + ")"
	case quantity.Temperature:
		return f.Text + " (" + q.Show(1, other(q.Unit(), "°C", "°F")) + ")"
	}
	return f.Text
}

// other is the customary unit that a value is not in.
func other(unit, first, second string) string {
	if unit == first {
		return second
	}
	return first
}

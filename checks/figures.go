// The rule of this file: a figure is text at its declared rounding, and the
// noise of binary arithmetic never reaches the rounding.

package checks

import (
	"fmt"
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

// figure prints a value, given in the base unit, as the named output declares.
func (c Check) figure(name string, base float64) (Figure, error) {
	o, ok := c.output(name)
	if !ok {
		return Figure{}, fmt.Errorf("figure %q: not among the outputs", name)
	}
	text, err := show(base, o.Dimension, o.Decimals, o.Unit)
	if err != nil {
		return Figure{}, fmt.Errorf("figure %q: %w", name, err)
	}
	return Figure{Name: name, Text: text}, nil
}

// named is a value, in the base unit, on its way to a figure.
type named struct {
	name string
	base float64
}

func (c Check) figures(values ...named) ([]Figure, error) {
	var all []Figure
	for _, v := range values {
		f, err := c.figure(v.name, v.base)
		if err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return all, nil
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

// one is an argument of one quantity written in this package.
func one(text string) Argument { return Argument{Quantity: quantity.MustParse(text)} }

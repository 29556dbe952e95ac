// The rule of this file: convert gives the same quantity in every unit of its
// dimension, from its exact value, rounded once.

package checks

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"fenderside/checks/quantity"
)

func convert() Check {
	c := Check{
		Name:    "convert",
		Title:   "One quantity in other units",
		Doc:     "Converts a torque, temperature, time, length, angle, voltage, resistance, current, mass or ratio to every other unit it is written in.",
		Reckons: true,
		Inputs: []Input{
			{Name: "value", Kind: KindQuantity, Doc: "the quantity with its unit, such as 45 N·m, 33.2 ft-lb or 109 °F"},
			{Name: "to", Kind: KindText, Optional: true, Doc: "one unit; every other unit of the same dimension where it is left out"},
		},
		Outputs: []Output{{Name: "in", Many: true, Doc: "the quantity in that unit, to seven digits"}},
		Sources: []string{"factors: NIST SP 811, appendix B, exact; 1 lbf = 4.4482216152605 N, 1 ft = 0.3048 m, 1 kgf = 9.80665 N"},
		Example: Arguments{"value": one("45 N·m")},
	}
	c.Run = c.runConvert
	return c
}

func (c Check) runConvert(args Arguments) (Result, error) {
	q := args["value"].Quantity
	units, err := targets(q, args)
	if err != nil {
		return Result{}, err
	}
	var figures []named
	var workings []string
	for _, u := range units {
		v, err := q.In(u)
		if err != nil {
			return Result{}, err
		}
		text := q.Show(sevenDigits(q, v, u), u)
		figures = append(figures, stated("in: "+u, text))
		workings = append(workings, workingOf(q, u, text))
	}
	return c.result(None, q.String()+" is "+figures[0].words, workings, figures...)
}

// targets lists the units to convert to.
func targets(q quantity.Quantity, args Arguments) ([]string, error) {
	if to := strings.TrimSpace(args["to"].Text); to != "" {
		_, err := q.In(to)
		return []string{to}, err
	}
	var others []string
	for _, u := range quantity.Units(q.Dimension()) {
		if u != q.Unit() {
			others = append(others, u)
		}
	}
	if len(others) == 0 {
		return nil, fmt.Errorf("value %q: %s has no other unit; give a quantity with its unit", q, q.Dimension())
	}
	return others, nil
}

// sevenDigits is how many decimals show at most seven digits of a value, and no
// more zeros at its end than it needs.
func sevenDigits(q quantity.Quantity, v float64, unit string) int {
	if v == 0 {
		return 0
	}
	decimals := min(max(6-int(math.Floor(math.Log10(math.Abs(v)))), 0), 12)
	for decimals > 0 {
		number, _, _ := strings.Cut(q.Show(decimals, unit), " ")
		if !strings.HasSuffix(strings.TrimSuffix(number, "°"), "0") {
			break
		}
		decimals--
	}
	return decimals
}

// temperatures are the scales against °C, as a person works them.
var temperatures = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"°C>°F": "T x 9 / 5 + 32", "°C>K": "T + 273.15",
		"°F>°C": "(T - 32) x 5 / 9", "°F>K": "(T - 32) x 5 / 9 + 273.15",
		"K>°C": "T - 273.15", "K>°F": "(T - 273.15) x 9 / 5 + 32",
	}
})

// workingOf shows the factor, or for a temperature the scale.
func workingOf(q quantity.Quantity, unit, text string) string {
	if way, ok := temperatures()[q.Unit()+">"+unit]; ok {
		return fmt.Sprintf("T = %s: %s = %s", q, way, text)
	}
	single, err := quantity.New(1, q.Unit())
	if err != nil {
		return q.String() + " = " + text
	}
	factor, err := single.In(unit)
	if err != nil {
		return q.String() + " = " + text
	}
	return fmt.Sprintf("%s x %s = %s", q, strconv.FormatFloat(factor, 'g', 12, 64), text)
}

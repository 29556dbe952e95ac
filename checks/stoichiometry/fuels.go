// The rule of this file: a fuel on the market is a mixture, so its figures are
// data with a source, and no fuel's are filled in from another's.

package stoichiometry

import (
	"fmt"
	"slices"
	"strings"
)

// Fuel is a fuel by formula. Density is in kg/L near 15 to 20 °C, 0 for one that
// is no liquid there.
type Fuel struct {
	Name    string
	Formula Formula
	Density float64
	Source  string
}

var fuels = []Fuel{
	{"methane", Formula{1, 4, 0}, 0, "formula; " + heywood},
	{"propane", Formula{3, 8, 0}, 0, "formula; " + heywood},
	{"butane", Formula{4, 10, 0}, 0, "formula; " + heywood},
	{"iso-octane", Formula{8, 18, 0}, 0.692, "formula; density from memory"},
	{"methanol", Formula{1, 4, 1}, 0.792, "formula; density from memory"},
	{"ethanol", Formula{2, 6, 1}, 0.789, "formula; density from memory"},
	{"petrol", Formula{1, 1.85, 0}, 0.745, "mean composition CH1.85: " + heywood + "; density from memory, 0.72 to 0.775 on the market"},
	{"diesel", Formula{1, 1.8, 0}, 0.835, "mean composition CH1.8: " + heywood + "; density from memory, 0.82 to 0.845 on the market"},
	{"hydrogen", Formula{0, 2, 0}, 0, "formula"},
}

// Fuels lists the fuels known. The caller owns the list.
func Fuels() []Fuel { return slices.Clone(fuels) }

// Find returns the fuel of that name. The error lists those known.
func Find(name string) (Fuel, error) {
	var known []string
	for _, f := range fuels {
		if strings.EqualFold(f.Name, strings.TrimSpace(name)) {
			return f, nil
		}
		known = append(known, f.Name)
	}
	return Fuel{}, fmt.Errorf("fuel %q: not known; give its formula, or one of %s", name, strings.Join(known, ", "))
}

// TradeRatio is the figure the trade quotes for petrol.
var TradeRatio = Constant{14.7, tradeSource}

const tradeSource = "common practice; printed by the DOE's AFDC"

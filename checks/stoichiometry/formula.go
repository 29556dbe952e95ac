// Package stoichiometry works out the air a fuel needs: from its formula, for
// blends, and between lambda and air-fuel ratio. Ratios are by mass; lambda is
// the air given over the air needed.
package stoichiometry

// The rule of this file: a fuel burns by its atoms, and one that needs no air
// is no fuel.

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Constant is a figure of the formula, and where it is from.
type Constant struct {
	Value  float64
	Source string
}

const heywood = "Heywood, Internal Combustion Engine Fundamentals, chapter 3 (from memory)"

// The constants of the formula.
var (
	AirPerOxygen = Constant{138.24, heywood + ": grams of dry air that hold one mole of O2"}
	CarbonMass   = Constant{12.011, heywood + ", g/mol"}
	HydrogenMass = Constant{1.008, heywood + ", g/mol"}
	OxygenMass   = Constant{15.999, heywood + ", g/mol"}
)

// Formula counts the atoms of a fuel; whole numbers for a pure one, any for a
// mean one such as CH1.85.
type Formula struct{ Carbon, Hydrogen, Oxygen float64 }

// Need is the air a fuel needs.
type Need struct {
	Ratio    float64 // mass of air per mass of fuel for complete burning
	Workings []string
}

// Stoichiometric is the air-fuel ratio by mass for complete burning:
//
//	AFR = 138.24·(c + h/4 - o/2) / (12.011·c + 1.008·h + 15.999·o)
//
// for c, h, o atoms of carbon, hydrogen and oxygen, which with one carbon is
// 34.56·(4 + y)/(12.011 + 1.008·y) for a pure hydrocarbon. Source: Heywood,
// chapter 3 (from memory). Errors: a count that is negative, not finite or past
// 1000, a formula without fuel, and one that needs no air.
func (f Formula) Stoichiometric() (Need, error) {
	if err := f.check(); err != nil {
		return Need{}, err
	}
	oxygen := f.oxygenNeeded()
	mass := float64(CarbonMass.Value*f.Carbon) + float64(HydrogenMass.Value*f.Hydrogen) + float64(OxygenMass.Value*f.Oxygen)
	ratio := AirPerOxygen.Value * oxygen / mass
	return Need{Ratio: ratio, Workings: []string{
		fmt.Sprintf("oxygen needed: %.4g + %.4g/4 - %.4g/2 = %.5g mol", f.Carbon, f.Hydrogen, f.Oxygen, oxygen),
		fmt.Sprintf("fuel: 12.011 x %.4g + 1.008 x %.4g + 15.999 x %.4g = %.5g g", f.Carbon, f.Hydrogen, f.Oxygen, mass),
		fmt.Sprintf("AFR = 138.24 x %.5g / %.5g = %.3f", oxygen, mass, ratio),
	}}, nil
}

func (f Formula) oxygenNeeded() float64 { return f.Carbon + f.Hydrogen/4 - f.Oxygen/2 }

func (f Formula) check() error {
	for _, e := range []struct {
		what string
		n    float64
	}{{"carbon", f.Carbon}, {"hydrogen", f.Hydrogen}, {"oxygen", f.Oxygen}} {
		if math.IsNaN(e.n) || e.n < 0 || e.n > 1000 {
			return fmt.Errorf("atoms of %s %g: outside 0 to 1000; look at the formula again", e.what, e.n)
		}
	}
	if f.Carbon+f.Hydrogen < 1e-6 {
		return fmt.Errorf("formula %s: holds neither carbon nor hydrogen; it is no fuel", f)
	}
	if f.oxygenNeeded() < 1e-6 {
		return fmt.Errorf("formula %s: holds all the oxygen it needs; it burns without air", f)
	}
	return nil
}

// String is the formula as written, such as C8H18 or CH1.85.
func (f Formula) String() string {
	var text strings.Builder
	for _, e := range []struct {
		name string
		n    float64
	}{{"C", f.Carbon}, {"H", f.Hydrogen}, {"O", f.Oxygen}} {
		if e.n == 0 {
			continue
		}
		text.WriteString(e.name)
		if e.n != 1 {
			text.WriteString(strconv.FormatFloat(e.n, 'f', -1, 64))
		}
	}
	return text.String()
}

// ParseFormula reads a formula of carbon, hydrogen and oxygen, such as C8H18,
// C2H5OH or CH1.85. An element named twice is added up. Other elements, signs,
// brackets and exponents are errors.
func ParseFormula(text string) (Formula, error) {
	given := strings.TrimSpace(text)
	if given == "" || len(given) > 60 {
		return Formula{}, fmt.Errorf("formula %q: write it as C8H18, C2H5OH or CH1.85", text)
	}
	f := Formula{}
	for rest := given; rest != ""; {
		atoms := map[byte]*float64{'C': &f.Carbon, 'H': &f.Hydrogen, 'O': &f.Oxygen}[rest[0]]
		if atoms == nil {
			return Formula{}, fmt.Errorf("formula %q: %q is not C, H or O; write it as C8H18, capital letters, no brackets", text, rest)
		}
		number := rest[1:]
		rest = strings.TrimLeft(number, "0123456789.")
		n, err := count(number[:len(number)-len(rest)])
		if err != nil {
			return Formula{}, fmt.Errorf("formula %q: %w", text, err)
		}
		*atoms += n
	}
	if err := f.check(); err != nil {
		return Formula{}, err
	}
	return f, nil
}

// count reads the number of atoms; none written is one.
func count(text string) (float64, error) {
	if text == "" {
		return 1, nil
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || n <= 0 || n > 1000 {
		return 0, fmt.Errorf("%q atoms: must be a number up to 1000; leave it out for one", text)
	}
	return n, nil
}

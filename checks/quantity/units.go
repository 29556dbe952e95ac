// The rule of this file: every unit has one row here, and its factor is exact.
// Factors are kept as fractions of decimal texts, so that no conversion starts
// from a rounded constant (the degree in radians excepted: pi has no end).

package quantity

import (
	"math/big"
	"slices"
	"strings"
	"sync"
)

// Dimension names what kind of physical quantity a value is.
type Dimension string

// The dimensions known here. The unit in which Base reports each one stands
// beside it.
const (
	Torque      Dimension = "torque"      // N·m
	Temperature Dimension = "temperature" // K, thermodynamic (never a difference)
	Time        Dimension = "time"        // s
	Length      Dimension = "length"      // m
	Angle       Dimension = "angle"       // °, not rad: the degree is what people write
	Voltage     Dimension = "voltage"     // V
	Resistance  Dimension = "resistance"  // Ω
	Current     Dimension = "current"     // A
	Mass        Dimension = "mass"        // kg
	Ratio       Dimension = "ratio"       // a fraction: 4 % is 0.04
	Number      Dimension = "number"      // itself, without a unit
)

// unit is one row: base = value × factor + offset.
type unit struct {
	name    string // the spelling that is printed
	dim     Dimension
	factor  *big.Rat
	offset  *big.Rat
	aliases []string // other spellings accepted, separators written "·"

	times, plus, by int64 // the same in whole numbers, base = (value × times + plus) / by; by is 0 where they do not hold it
}

// row makes a unit whose factor is the fraction over/under.
func row(dim Dimension, name, over, under string, aliases ...string) *unit {
	return &unit{name: name, dim: dim, factor: fraction(over, under), offset: new(big.Rat), aliases: aliases}
}

// fraction is over/under, both decimal texts written in this file.
func fraction(over, under string) *big.Rat {
	return new(big.Rat).Quo(decimal(over), decimal(under))
}

// decimal is the exact value of a decimal text written in this file.
func decimal(text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("quantity: the unit table holds " + text)
	}
	return r
}

// scale makes a temperature unit: kelvin = value × over/under + offset.
func scale(name, over, under string, offset *big.Rat, aliases ...string) *unit {
	u := row(Temperature, name, over, under, aliases...)
	u.offset = offset
	return u
}

// Pound-force, foot and inch are exact by the 1959 agreement on the yard and
// pound and by standard gravity (NIST SP 811, appendix B): 1 lbf =
// 4.4482216152605 N, 1 ft = 0.3048 m, 1 kgf = 9.80665 N.
const (
	footPound = "1.3558179483314004" // 4.4482216152605 × 0.3048, all its digits
	degPerRad = "57.295779513082320876798154814105"
)

// table holds every unit; within a dimension the customary ones come first. It is made when a quantity is first asked for.
var table = sync.OnceValue(func() []*unit {
	all := slices.Concat(mechanical(), electrical(), plain())
	for _, u := range all {
		u.inWholes()
	}
	return all
})

// inWholes brings factor and offset over one denominator.
func (u *unit) inWholes() {
	by := new(big.Rat).SetInt(new(big.Int).Mul(u.factor.Denom(), u.offset.Denom()))
	times, plus := new(big.Rat).Mul(u.factor, by), new(big.Rat).Mul(u.offset, by)
	if by.Num().IsInt64() && times.Num().IsInt64() && plus.Num().IsInt64() {
		u.times, u.plus, u.by = times.Num().Int64(), plus.Num().Int64(), by.Num().Int64()
	}
}

func mechanical() []*unit {
	return []*unit{
		row(Torque, "N·m", "1", "1", "Nm", "nm", "NM", "n·m", "m·N", "newton·metre", "newton·metres", "newton·meter", "newton·meters"),
		row(Torque, "lbf·ft", footPound, "1", "ft·lbf", "lb·ft", "ft·lb", "ft·lbs", "lbs·ft", "ftlb", "ftlbs", "lbft", "ftlbf", "lbfft",
			"FT·LB", "FT·LBS", "LB·FT", "foot·pound", "foot·pounds"),
		row(Torque, "lbf·in", footPound, "12", "in·lbf", "lb·in", "in·lb", "in·lbs", "lbs·in", "inlb", "inlbs", "lbin", "inlbf", "lbfin",
			"IN·LB", "IN·LBS", "LB·IN", "inch·pound", "inch·pounds"),
		row(Torque, "kgf·m", "9.80665", "1", "m·kgf", "kg·m", "m·kg", "kgfm", "kgm"),
		row(Torque, "kgf·cm", "9.80665", "100", "cm·kgf", "kg·cm", "kgfcm", "kgcm"),
		row(Torque, "N·cm", "1", "100", "Ncm"),
		row(Torque, "daN·m", "10", "1", "daNm"),

		scale("°C", "1", "1", decimal("273.15"), "C", "c", "degC", "degc", "deg·C", "deg·c", "degree·C", "degrees·C", "degrees·c", "degrees·celsius", "degrees·Celsius", "°·C", "℃", "celsius", "Celsius"),
		scale("°F", "5", "9", fraction("2298.35", "9"), "F", "f", "degF", "degf", "deg·F", "deg·f", "degree·F", "degrees·F", "degrees·f", "degrees·fahrenheit", "degrees·Fahrenheit", "°·F", "℉", "fahrenheit", "Fahrenheit"),
		scale("K", "1", "1", new(big.Rat), "k", "kelvin", "Kelvin"),

		row(Time, "min", "60", "1", "mins", "minute", "minutes"),
		row(Time, "s", "1", "1", "sec", "secs", "second", "seconds"),
		row(Time, "h", "3600", "1", "hr", "hrs", "hour", "hours"),
		row(Time, "ms", "1", "1000"),
		row(Time, "d", "86400", "1", "day", "days"),

		row(Length, "mm", "1", "1000", "millimetre", "millimetres", "millimeter", "millimeters"),
		row(Length, "in", "0.0254", "1", "inch", "inches", "″"),
		row(Length, "cm", "1", "100"),
		row(Length, "m", "1", "1", "metre", "metres", "meter", "meters"),
		row(Length, "ft", "0.3048", "1", "foot", "feet"),
		row(Length, "km", "1000", "1"),

		row(Angle, "°", "1", "1", "deg", "degs", "degree", "degrees"),
		row(Angle, "rad", degPerRad, "1", "radian", "radians"),
	}
}

func electrical() []*unit {
	return []*unit{
		row(Voltage, "V", "1", "1", "v", "volt", "volts"),
		row(Voltage, "mV", "1", "1000", "mv", "millivolt", "millivolts"),
		row(Voltage, "kV", "1000", "1"),

		row(Resistance, "Ω", "1", "1", "ohm", "ohms", "Ohm", "Ohms", "OHM"),
		row(Resistance, "kΩ", "1000", "1", "kohm", "kohms", "kOhm", "kOhms"),
		row(Resistance, "MΩ", "1000000", "1", "Mohm", "Mohms", "MOhm", "MOhms"),
		row(Resistance, "mΩ", "1", "1000", "mohm", "mohms", "mOhm", "mOhms"),

		row(Current, "A", "1", "1", "amp", "amps", "ampere", "amperes"),
		row(Current, "mA", "1", "1000"),
		row(Current, "µA", "1", "1000000", "uA"),
	}
}

func plain() []*unit {
	return []*unit{
		row(Mass, "kg", "1", "1"),
		row(Mass, "g", "1", "1000"),
		row(Mass, "lb", "0.45359237", "1", "lbs"),

		row(Ratio, "%", "1", "100", "percent", "pct"),
		row(Ratio, "ppm", "1", "1000000"),

		row(Number, "", "1", "1"),
	}
}

// spellings finds a unit by any accepted spelling.
var spellings = sync.OnceValue(index)

func index() map[string]*unit {
	m := make(map[string]*unit)
	for _, u := range table() {
		for _, s := range append([]string{u.name}, u.aliases...) {
			if _, twice := m[s]; twice {
				panic("quantity: two units are spelled " + s)
			}
			m[s] = u
		}
	}
	return m
}

// lookalikes maps characters that look like, or are typed for, the one kept.
var lookalikes = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer(
		"º", "°", "˚", "°", // ordinal mark and ring above
		"\u2126", "Ω", // the ohm sign
		"\u03bc", "µ", // Greek mu
		"\"", "″",
		"⋅", "·", "•", "·", "∙", "·", "×", "·", "*", "·", ".", "·", "-", "·", "\u2011", "·", "\u00a0", "·", " ", "·",
	)
})

// find returns the unit a person spelled, or nil. No spelling has a lookalike
// in it.
func find(text string) *unit {
	s := strings.TrimSpace(text)
	if u := spellings()[s]; u != nil {
		return u
	}
	s = lookalikes().Replace(s)
	for strings.Contains(s, "··") {
		s = strings.ReplaceAll(s, "··", "·")
	}
	return spellings()[s]
}

// Dimensions lists every dimension, in the order of the table.
func Dimensions() []Dimension { return slices.Clone(dimensions()) }

var dimensions = sync.OnceValue(func() []Dimension {
	var all []Dimension
	for _, u := range table() {
		if !slices.Contains(all, u.dim) {
			all = append(all, u.dim)
		}
	}
	return all
})

// bases are the units in which Base reports; Ratio has none, for it reports a
// fraction.
var bases = sync.OnceValue(func() map[Dimension]*unit {
	of := map[Dimension]*unit{}
	for _, u := range table() {
		if of[u.dim] == nil && u.plus == 0 && u.times == u.by {
			of[u.dim] = u
		}
	}
	return of
})

// Known reports whether d is one of the dimensions of this package.
func (d Dimension) Known() bool { return slices.Contains(dimensions(), d) }

// Units lists the printed spelling of the units of d, customary ones first.
// The one unit of Number is the empty text. An unknown dimension has none.
func Units(d Dimension) []string {
	var names []string
	for _, u := range table() {
		if u.dim == d {
			names = append(names, u.name)
		}
	}
	return names
}

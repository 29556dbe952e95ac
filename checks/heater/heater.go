// Package heater judges the heater of an oxygen sensor: its resistance at a
// temperature, its current and power, and whether its circuit is open or
// short-circuited.
//
//	R(T) = R0 · (1 + α·(T - T0))    Ω, K, 1/K
//	I = U / R                       A
//	P = U² / R                      W
//
// The first is a straight line through a curve: good to a few parts in a
// hundred between about -40 °C and 150 °C, and an estimate beyond. The maker's
// window of cold resistance comes first; without it there is common practice
// only.
package heater

// The rule of this file: resistance, temperature and coefficient are tied by
// one straight line, and every conversion between two temperatures goes along
// it.

import (
	"fmt"
	"math"
)

// Limit is one figure and where it is from. A Limit without a source is not
// given.
type Limit struct {
	Value  float64
	Source string
}

// Given reports whether the limit is to be used.
func (l Limit) Given() bool { return l.Source != "" }

// The sources of what this package brings along.
const (
	CommonPractice = "common practice, no source"
	OwnDefault     = "default of this program, no outside source"
)

// Material is how the resistance of a heater follows its temperature: Alpha in
// 1/K, of the resistance at the temperature At in kelvin.
type Material struct {
	Alpha Limit
	At    float64
}

// Platinum is the default where the maker gives no coefficient: heaters of
// planar sensors are mostly printed in platinum.
func Platinum() Material {
	return Material{Alpha: Limit{0.003851, "IEC 60751, platinum between 0 °C and 100 °C (from memory); assumed where the maker gives none"}, At: 273.15}
}

// The temperatures accepted, in kelvin, and the largest resistance, in Ω.
const (
	Coldest  = 213.15  // -60 °C
	Hottest  = 1473.15 // 1200 °C
	greatest = 1e9
	freezing = 273.15 // 0 °C
)

// factor is R(T)/R(At).
func (m Material) factor(kelvin float64) (float64, error) {
	f := 1 + float64(m.Alpha.Value*(kelvin-m.At))
	if !(f > 0) {
		return 0, fmt.Errorf("coefficient %g/K at %s: would make the resistance zero or less; check the coefficient", m.Alpha.Value, celsius(kelvin))
	}
	return f, nil
}

func (m Material) check() error {
	if !m.Alpha.Given() {
		return fmt.Errorf("coefficient %g/K: has no source; say where it is from, or take that of platinum", m.Alpha.Value)
	}
	if !(math.Abs(m.Alpha.Value) <= 0.1) {
		return fmt.Errorf("coefficient %g/K: must lie within ±0.1; platinum has 0.0039", m.Alpha.Value)
	}
	return plausible("temperature of the coefficient", m.At)
}

// Resistance brings a resistance from one temperature to another, both in
// kelvin: R(to) = R(from) · (1 + α(to - T0)) / (1 + α(from - T0)).
func (m Material) Resistance(ohms, from, to float64) (float64, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if !(ohms > 0 && ohms <= greatest) {
		return 0, fmt.Errorf("resistance %g Ω: must be more than zero and at most 1e9; measure it with the plug apart", ohms)
	}
	for _, kelvin := range []float64{from, to} {
		if err := plausible("temperature", kelvin); err != nil {
			return 0, err
		}
	}
	before, err := m.factor(from)
	if err != nil {
		return 0, err
	}
	after, err := m.factor(to)
	return ohms * after / before, err
}

// Temperature is where a heater of resistance cold at the temperature at has
// the resistance hot, in kelvin: T = T0 + (hot/cold·(1 + α(at - T0)) - 1)/α.
func (m Material) Temperature(hot, cold, at float64) (float64, error) {
	base, err := m.Resistance(cold, at, m.At)
	if err != nil {
		return 0, err
	}
	if !(hot > 0 && hot <= greatest) {
		return 0, fmt.Errorf("hot resistance %g Ω: must be more than zero and at most 1e9", hot)
	}
	if m.Alpha.Value == 0 {
		return 0, fmt.Errorf("coefficient 0/K: the resistance says nothing about the temperature; give the maker's coefficient")
	}
	kelvin := m.At + (hot/base-1)/m.Alpha.Value
	if err := plausible("temperature reckoned from the resistance", kelvin); err != nil {
		return 0, err
	}
	return kelvin, nil
}

// Supplied is the current in ampere and the power in watt of a resistance in Ω
// under a voltage in volts.
func Supplied(volts, ohms float64) (amperes, watts float64, err error) {
	if !(volts >= 0 && volts <= 60) {
		return 0, 0, fmt.Errorf("supply %g V: must lie between 0 V and 60 V; measure it at the plug", volts)
	}
	if !(ohms >= 0.001 && ohms <= greatest) {
		return 0, 0, fmt.Errorf("resistance %g Ω: must lie between 0.001 Ω and 1e9 Ω", ohms)
	}
	amperes = volts / ohms
	return amperes, volts * amperes, nil
}

func plausible(what string, kelvin float64) error {
	if !(kelvin >= Coldest && kelvin <= Hottest) {
		return fmt.Errorf("%s %s: outside -60 °C to 1200 °C; check the value and its unit", what, celsius(kelvin))
	}
	return nil
}

func celsius(kelvin float64) string { return fmt.Sprintf("%.1f °C", kelvin-freezing) }

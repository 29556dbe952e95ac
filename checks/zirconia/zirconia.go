// Package zirconia gives the voltage of a zirconia cell between two oxygen
// partial pressures, and the pressure that a voltage stands for, by Nernst's
// equation:
//
//	E = (R·T / 4F) · ln(pref / p)
//
// E in volts, T in kelvin, pref the oxygen partial pressure of the reference
// (air) and p that of the gas, both in any one unit. Four electrons pass for
// each molecule of oxygen. A real cell follows it while it is hot enough to
// conduct ions and the gas at its surface is in equilibrium; near λ = 1 it is
// that equilibrium, not the exhaust's own oxygen, which the cell sees.
package zirconia

// The rule of this file: the equation is one function, and its inverse is
// solved from it, with the same constants.

import (
	"fmt"
	"math"
)

// The constants, exact since the SI of 2019 fixed k, NA and e (CODATA 2018).
const (
	Boltzmann = 1.380649e-23              // J/K
	Avogadro  = 6.02214076e23             // 1/mol
	Electron  = 1.602176634e-19           // C
	Gas       = Boltzmann * Avogadro      // R, 8.31446261815324 J/(mol·K)
	Faraday   = Electron * Avogadro       // F, 96485.33212331 C/mol
	electrons = 4                         // for each O2
	perKelvin = Gas / electrons / Faraday // R/4F, V/K
)

// Limit is one figure and where it is from. A Limit without a source is not
// given.
type Limit struct {
	Value  float64
	Source string
}

// Conducting is the usual temperature, in kelvin, from which a zirconia sensor
// conducts well enough to be measured (about 350 °C).
func Conducting() Limit {
	return Limit{623.15, "trade literature on zirconia sensors, read at second hand: about 350 °C"}
}

// DryAir is the share of oxygen in dry air. Moist air holds less, as its water
// takes up room.
func DryAir() Limit {
	return Limit{0.2095, "composition of dry air, US Standard Atmosphere 1976, rounded (from memory)"}
}

// Hottest is the greatest temperature accepted, in kelvin: beyond it no
// sensor's ceramic is used.
const Hottest = 2000.0

// Cell is a zirconia cell. Reference and Measured are oxygen partial pressures
// in any one unit. Conducts may be left out.
type Cell struct {
	Kelvin              float64
	Reference, Measured float64
	Conducts            Limit // temperature from which the cell conducts, K
}

// Reading is what a cell gives. Usable says that it is hot enough to conduct;
// it is true where no such temperature was given. Because says why.
type Reading struct {
	Volts    float64
	Slope    float64 // V for each factor of ten in pressure
	Measured float64 // partial pressure of the gas, in the unit of the reference
	Usable   bool
	Because  string
	Limits   []Limit
	Workings []string
}

// EMF is the voltage of the cell. Errors name the input that cannot be.
func (c Cell) EMF() (Reading, error) {
	if err := c.check(); err != nil {
		return Reading{}, err
	}
	if err := positive("measured partial pressure", c.Measured); err != nil {
		return Reading{}, err
	}
	r := c.reading()
	r.Measured = c.Measured
	r.Volts = float64(perKelvin*c.Kelvin) * c.logRatio()
	r.Workings = append(r.Workings,
		fmt.Sprintf("pref/p = %g/%g = %.6g; its natural logarithm is %.6g", c.Reference, c.Measured, c.Reference/c.Measured, c.logRatio()),
		fmt.Sprintf("E = RT/4F × ln(pref/p) = %.6g mV × %.6g = %.3f mV", 1000*perKelvin*c.Kelvin, c.logRatio(), 1000*r.Volts))
	return r, nil
}

// logRatio is ln(pref/p), as a difference, so that no ratio overflows.
func (c Cell) logRatio() float64 {
	if ratio := c.Reference / c.Measured; ratio > 0.5 && ratio < 2 {
		return math.Log1p((c.Reference - c.Measured) / c.Measured) // keeps its digits where the two are nearly equal
	}
	return math.Log(c.Reference) - math.Log(c.Measured)
}

// Pressure is the oxygen partial pressure that the voltage stands for, in the
// unit of the reference: p = pref · exp(-4FE/RT). Measured is not used. Errors
// as EMF, and a pressure too small or too great to be held.
func (c Cell) Pressure(volts float64) (Reading, error) {
	if err := c.check(); err != nil {
		return Reading{}, err
	}
	if math.IsNaN(volts) || math.IsInf(volts, 0) {
		return Reading{}, fmt.Errorf("voltage %g V: not a number that can be used; measure it again", volts)
	}
	r := c.reading()
	r.Volts = volts
	exponent := -volts / float64(perKelvin*c.Kelvin)
	r.Measured = c.Reference * math.Exp(exponent)
	if r.Measured == 0 || math.IsInf(r.Measured, 0) {
		return Reading{}, fmt.Errorf("voltage %g V at %.2f K: stands for a pressure beyond any number; check its unit, V or mV, and its sign", volts, c.Kelvin)
	}
	r.Workings = append(r.Workings,
		fmt.Sprintf("-E/(RT/4F) = %.6g mV / %.6g mV = %.6g", -1000*volts, 1000*perKelvin*c.Kelvin, exponent),
		fmt.Sprintf("p = pref × e^%.6g = %g × %.6g = %.6g", exponent, c.Reference, math.Exp(exponent), r.Measured))
	return r, nil
}

// Slope is the voltage for each factor of ten in pressure, RT·ln 10/4F, in
// volts: 0.0496054 mV for each kelvin.
func Slope(kelvin float64) (float64, error) {
	if err := temperature(kelvin); err != nil {
		return 0, err
	}
	return float64(perKelvin*math.Ln10) * kelvin, nil
}

// reading is what does not depend on the pressure of the gas.
func (c Cell) reading() Reading {
	slope := float64(perKelvin*math.Ln10) * c.Kelvin
	r := Reading{Slope: slope, Usable: true, Because: "no temperature was given from which the cell conducts; taken as hot enough",
		Workings: []string{
			fmt.Sprintf("T = %.2f K (%.2f °C)", c.Kelvin, c.Kelvin-273.15),
			fmt.Sprintf("RT/4F = %.9g × %.2f / (4 × %.9g) = %.6g mV; × ln 10 = %.6g mV for each factor of ten", Gas, c.Kelvin, Faraday, 1000*perKelvin*c.Kelvin, 1000*slope),
		}}
	if c.Conducts.Source == "" {
		return r
	}
	r.Limits = []Limit{c.Conducts}
	r.Usable = c.Kelvin >= c.Conducts.Value
	word := "hot enough to conduct"
	if !r.Usable {
		word = "too cold to conduct: no meter will see this voltage; warm the sensor up"
	}
	r.Because = fmt.Sprintf("at %.0f °C the cell is %s (from about %.0f °C)", c.Kelvin-273.15, word, c.Conducts.Value-273.15)
	r.Workings = append(r.Workings, r.Because+" ["+c.Conducts.Source+"]")
	return r
}

func (c Cell) check() error {
	if err := temperature(c.Kelvin); err != nil {
		return err
	}
	if c.Conducts.Source == "" && c.Conducts.Value != 0 {
		return fmt.Errorf("conducting temperature %g K: has no source; say where it is from", c.Conducts.Value)
	}
	if c.Conducts.Source != "" {
		if err := temperature(c.Conducts.Value); err != nil {
			return fmt.Errorf("conducting %w", err)
		}
	}
	return positive("reference partial pressure", c.Reference)
}

func temperature(kelvin float64) error {
	if !(kelvin > 0 && kelvin <= Hottest) {
		return fmt.Errorf("temperature %g K: must be more than 0 K and at most %g K; give kelvin", kelvin, Hottest)
	}
	return nil
}

func positive(what string, pressure float64) error {
	if !(pressure > 0) || math.IsInf(pressure, 0) {
		return fmt.Errorf("%s %g: must be more than zero; with no oxygen at all the equation has no answer, so give the small pressure there is", what, pressure)
	}
	return nil
}

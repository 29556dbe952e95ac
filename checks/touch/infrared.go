// Package touch judges whether a surface that was hot may be touched: the
// limit, the trend, and what an infrared thermometer really saw. Temperatures
// are in kelvin unless a name says Celsius.
package touch

// The rule of this file: an infrared instrument sees the surface's own glow
// plus the reflection of its surroundings, and only the first tells its
// temperature.

import (
	"fmt"
	"math"
)

// Temperatures outside these are taken for a slip of the pen or a broken
// instrument (common practice: beyond any work on a vehicle's exhaust).
const (
	Coldest = 213.15  // K, -60 °C
	Hottest = 1773.15 // K, 1500 °C
)

// Correct is the true temperature of a surface of that emissivity, from what a
// full-band infrared thermometer set to an emissivity of 1 indicated, with
// surroundings at ambient: Tm⁴ = ε·T⁴ + (1 - ε)·Ta⁴ (the principle of ASTM
// E1933, from memory). All in kelvin. Errors: emissivity outside (0, 1], a
// temperature outside Coldest to Hottest, and an indication lower than the
// reflection alone.
func Correct(indicated, emissivity, ambient float64) (float64, error) {
	if math.IsNaN(emissivity) || emissivity <= 0 || emissivity > 1 {
		return 0, fmt.Errorf("emissivity %g: must be more than 0 and at most 1; look it up for this surface", emissivity)
	}
	if err := Plausible("indicated temperature", indicated); err != nil {
		return 0, err
	}
	if err := Plausible("ambient temperature", ambient); err != nil {
		return 0, err
	}
	own := fourth(indicated) - float64((1-emissivity)*fourth(ambient))
	if own <= 0 {
		return 0, fmt.Errorf("indicated %s with surroundings at %s: colder than the reflection alone at emissivity %g; measure all three again",
			celsius(indicated), celsius(ambient), emissivity)
	}
	surface := math.Sqrt(math.Sqrt(own / emissivity))
	if err := Plausible("corrected temperature", surface); err != nil {
		return 0, err
	}
	return surface, nil
}

// Plausible reports a temperature outside Coldest to Hottest, or not a number.
func Plausible(what string, kelvin float64) error {
	if math.IsNaN(kelvin) || kelvin < Coldest-hair || kelvin > Hottest+hair {
		return fmt.Errorf("%s %s: outside -60 °C to 1500 °C; check the value and its unit", what, celsius(kelvin))
	}
	return nil
}

// hair keeps the last binary digit from deciding at an exact limit.
const hair = 1e-9

func fourth(t float64) float64 { return float64(t*t) * float64(t*t) }

func celsius(kelvin float64) string { return fmt.Sprintf("%.1f °C", kelvin-273.15) }

// The rule of this file: a burn threshold is a time in contact, and none of them
// is a limit; the procedure's author sets that.

package checks

import (
	"fmt"

	"fenderside/checks/quantity"
	"fenderside/checks/touch"
)

func touchTimes() Check {
	c := Check{
		Name:    "touch-times",
		Title:   "How long hot metal may be touched",
		Doc:     "Sets a temperature of bare smooth metal beside the contact times that burn skin. Thresholds are no limits: a procedure's limit is lower, and a glove is still worn.",
		Reckons: true,
		Inputs:  []Input{needs("surface", quantity.Temperature, "true temperature of the bare metal")},
		Outputs: []Output{
			{Name: "contact", Words: true, Doc: "longest listed contact whose threshold is not passed"},
			{Name: "threshold", Many: true, Doc: "temperature that burns in that time"},
		},
		Sources: []string{touch.ThresholdSource},
		Example: Arguments{"surface": one("48 °C")},
	}
	c.Run = c.runTouchTimes
	return c
}

func (c Check) runTouchTimes(args Arguments) (Result, error) {
	kelvin := args.base("surface", 0)
	if err := touch.Plausible("surface", kelvin); err != nil {
		return Result{}, err
	}
	celsius := settle(kelvin - 273.15)
	contact, said := "none", fmt.Sprintf("%s burns skin within a second: do not touch it", bothTemperature(kelvin))
	if t, ok := touch.Allows(celsius); ok {
		contact = spoken(t.Contact)
		said = fmt.Sprintf("%s is not above the temperature that burns skin in %s of contact", bothTemperature(kelvin), contact)
	}
	figures := []named{stated("contact", contact)}
	var lines []string
	for _, t := range touch.Thresholds() {
		from := short(t.FromCelsius) + " °C"
		if t.UpperCelsius > t.FromCelsius {
			from = short(t.FromCelsius) + " °C to " + short(t.UpperCelsius) + " °C"
		}
		figures = append(figures, stated("threshold: "+spoken(t.Contact), from))
		lines = append(lines, fmt.Sprintf("contact of %s burns from %s: %s is %s", spoken(t.Contact), from, degrees(kelvin), sideOf(celsius, t.FromCelsius)))
	}
	return c.result(None, said, lines, figures...)
}

func sideOf(value, limit float64) string {
	if value > limit {
		return "above"
	}
	return "not above"
}

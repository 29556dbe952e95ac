package picture

// The rule of this file: a picture is drawn from the very values that its check was given, by the readers of the check
// itself.

import (
	"fenderside/checks"
	"fenderside/checks/location"
	"fenderside/procedures"
)

// Source is what a picture of a check is drawn from. Given is nil where the check has not all that it needs.
type Source struct {
	Check   string
	Given   checks.Arguments
	Figures []checks.Figure // what it found
	Card    *procedures.Card
}

// OfCheck draws what a check is about; ok is false where there is no picture of it, or not yet.
func OfCheck(s Source, f Form) (p Picture, ok bool) {
	switch {
	case s.Check == "sensor-position":
		return s.engine(f)
	case s.Given == nil:
		return Picture{}, false
	case s.Check == "cooling-forecast":
		m, limit := checks.CoolingOf(s.Given)
		return Cooling(m, limit, f), true
	case s.Check == "torque-applied":
		t, err := checks.Tightening(s.Given)
		return Torque(t, f), err == nil
	}
	return Picture{}, false
}

// engine draws the engine of the card before the check has run, and marks the sensor once it has found one: what somebody
// is to find and read back is not told beforehand.
func (s Source) engine(f Form) (Picture, bool) {
	var facts location.Facts
	if s.Given != nil {
		given, _, err := checks.VehicleFacts(s.Given)
		if err != nil {
			return Picture{}, false
		}
		facts = given
		if s.Card != nil {
			facts = completed(facts, FactsOf(s.Card))
		}
	} else if s.Card != nil {
		facts = FactsOf(s.Card)
	} else {
		return Picture{}, false
	}
	return Engine(facts, s.found(), f), true
}

func (s Source) found() *location.Position {
	for _, figure := range s.Figures {
		if p, err := location.ParsePosition(figure.Text); figure.Name == "sensor" && err == nil {
			return &p
		}
	}
	return nil
}

// completed takes from the card what the facts do not say, as long as the card says nothing else of the engine.
func completed(facts, card location.Facts) location.Facts {
	if facts.Arrangement != card.Arrangement || facts.Mounting != card.Mounting || sideOf(facts, 1) != sideOf(card, 1) {
		return facts
	}
	for i, b := range facts.Banks {
		for _, c := range card.Banks {
			if c.Number != b.Number {
				continue
			}
			if b.Side == "" {
				facts.Banks[i].Side = c.Side
			}
			if len(b.Cylinders) == 0 {
				facts.Banks[i].Cylinders = c.Cylinders
			}
		}
	}
	if facts.CylinderOne == "" {
		facts.CylinderOne = card.CylinderOne
	}
	return facts
}

func sideOf(f location.Facts, bank int) string {
	for _, b := range f.Rows() {
		if b.Number == bank {
			return b.Side
		}
	}
	return ""
}

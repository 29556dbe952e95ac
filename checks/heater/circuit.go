// The rule of this file: what was measured is named before what follows from
// it, and a circuit is called sound only when its resistance was held to the
// maker's window.

package heater

import (
	"fmt"
	"math"
)

// Ohms is a reading of a resistance meter. Over says that the meter showed
// more than it can measure; the value is then not used.
type Ohms struct {
	Value float64
	Over  bool
}

// Window is the cold resistance asked for, at the temperature At in kelvin.
type Window struct {
	Low, High Limit
	At        float64
}

// CommonWindow is what most heaters show when cold: about 2 to 14 Ω. It is
// common practice without a source: enough to doubt a heater, not to pass or
// fail one.
func CommonWindow() Window {
	return Window{Low: Limit{2, CommonPractice}, High: Limit{14, CommonPractice}, At: freezing + 20}
}

// maker reports whether the window has a better source than common practice.
func (w Window) maker() bool {
	return w.Low.Source != CommonPractice && w.High.Source != CommonPractice
}

// Limits is what the rest of the circuit is held to.
type Limits struct {
	Shorted  Limit // Ω: a heater of less is short-circuited in itself
	Isolated Limit // Ω: least resistance from a heater pin to the body or to a signal pin
	Grounded Limit // Ω: a control wire with less to ground is short-circuited to it
	Drop     Limit // V: how far a voltage may lie from the battery's and still be taken for it
}

// Usual gives limits to use where the maker names none.
func Usual() Limits {
	return Limits{
		Shorted: Limit{0.5, OwnDefault}, Isolated: Limit{100e3, OwnDefault},
		Grounded: Limit{5, OwnDefault}, Drop: Limit{1, CommonPractice},
	}
}

// Circuit is what was measured of a heater that is fed from the supply on one
// pin and switched to ground by the control unit on the other, with the plug
// apart. What is nil was not measured.
type Circuit struct {
	Element  *Ohms   // between the two heater pins of the sensor
	At       float64 // temperature of the element at that time, K
	Leads    float64 // Ω of the meter's leads held together, taken off Element
	ToBody   *Ohms   // from a heater pin to the sensor's body, or to a signal pin: the lower
	ToGround *Ohms   // from the control pin of the harness to ground, ignition off
	Battery  float64 // V, wherever a voltage below is given, and for current and power
	Supply   *float64
	Control  *float64 // V at the two heater pins of the harness, ignition on, to ground

	Window   Window
	Material Material
	Limits   Limits
}

// plausibility bounds of a battery voltage.
const mostVolts = 60.0

func (c Circuit) check() error {
	if c.Element == nil && c.ToBody == nil && c.ToGround == nil && c.Supply == nil && c.Control == nil {
		return fmt.Errorf("heater circuit: nothing was measured; begin with the resistance between the two heater pins")
	}
	for _, each := range []struct {
		what string
		ohms *Ohms
	}{{"resistance of the element", c.Element}, {"resistance to the body", c.ToBody}, {"resistance of the control wire to ground", c.ToGround}} {
		if each.ohms != nil && !each.ohms.Over && !(each.ohms.Value >= 0 && each.ohms.Value <= greatest) {
			return fmt.Errorf("%s %g Ω: must lie between 0 Ω and 1e9 Ω; if the meter shows over-range, say so", each.what, each.ohms.Value)
		}
	}
	if !(c.Leads >= 0 && c.Leads <= 10) {
		return fmt.Errorf("leads %g Ω: must lie between 0 Ω and 10 Ω; hold the leads together and read the meter", c.Leads)
	}
	if err := c.checkVolts(); err != nil {
		return err
	}
	if err := c.Limits.check(); err != nil {
		return err
	}
	return c.checkElement()
}

func (c Circuit) checkVolts() error {
	if !(c.Battery >= 0 && c.Battery <= mostVolts) {
		return fmt.Errorf("battery %g V: must lie between 0 V and 60 V; measure it at the posts", c.Battery)
	}
	for _, each := range []struct {
		what  string
		volts *float64
	}{{"supply", c.Supply}, {"control", c.Control}} {
		if each.volts == nil {
			continue
		}
		if !(math.Abs(*each.volts) <= mostVolts) {
			return fmt.Errorf("%s pin %g V: must lie between -60 V and 60 V; measure it to ground", each.what, *each.volts)
		}
		if c.Battery == 0 {
			return fmt.Errorf("battery: missing; a voltage at the %s pin means nothing without that of the battery", each.what)
		}
	}
	return nil
}

// checkElement refuses a temperature, window or coefficient that cannot be.
func (c Circuit) checkElement() error {
	if c.Element == nil {
		return nil
	}
	if err := plausible("temperature of the element", c.At); err != nil {
		return err
	}
	if !c.Element.Over && c.Element.Value < c.Leads {
		return fmt.Errorf("resistance of the element %g Ω: less than that of the leads, %g Ω; measure both again", c.Element.Value, c.Leads)
	}
	if err := c.Material.check(); err != nil {
		return err
	}
	w := c.Window
	if !w.Low.Given() || !w.High.Given() || !(w.Low.Value > 0 && w.Low.Value < w.High.Value && w.High.Value <= greatest) {
		return fmt.Errorf("window %g to %g Ω: needs two limits, the lower first, each with its source", w.Low.Value, w.High.Value)
	}
	return plausible("temperature of the window", w.At)
}

func (l Limits) check() error {
	for _, each := range []struct {
		name string
		Limit
	}{{"shorted", l.Shorted}, {"isolated", l.Isolated}, {"grounded", l.Grounded}, {"drop", l.Drop}} {
		if !each.Given() {
			return fmt.Errorf("limit %s: has no source; give one, or take the usual ones", each.name)
		}
		if !(each.Value >= 0 && each.Value <= greatest) {
			return fmt.Errorf("limit %s %g: must lie between 0 and 1e9", each.name, each.Value)
		}
	}
	return nil
}

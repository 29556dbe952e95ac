// The rule of this file: the worst that was measured decides; a fault of the
// wiring is named before one of the sensor, because a new sensor would not cure
// it.

package heater

import (
	"fmt"
	"strings"
)

// Fault names what is wrong.
type Fault string

// The faults. The first four are of the wiring, the others of the sensor.
const (
	NoSupply       Fault = "no supply"
	ControlSupply  Fault = "control wire short-circuited to the supply"
	ControlGround  Fault = "control wire short-circuited to ground"
	ElementOpen    Fault = "element open"
	ElementShorted Fault = "element short-circuited"
	ElementBody    Fault = "element short-circuited to the body or a signal pin"
	TooLow         Fault = "resistance below the window"
	TooHigh        Fault = "resistance above the window"
)

// wiring reports whether the fault lies in the vehicle and not in the sensor.
func (f Fault) wiring() bool { return f == NoSupply || f == ControlSupply || f == ControlGround }

// Verdict is what the measurements say.
type Verdict string

// The verdicts.
const (
	Sound      Verdict = "sound"
	Faulty     Verdict = "faulty"
	CannotTell Verdict = "cannot tell"
)

// Judgement is what follows from a Circuit. Resistance, Current and Power are 0
// where they were not reckoned: of an element that is open or shorted, or
// without a battery voltage. Current and Power are those of the cold element
// under the battery's voltage, the greatest that it draws if its coefficient is
// positive.
type Judgement struct {
	Verdict    Verdict
	Faults     []Fault
	Resistance float64 // of the element at the window's temperature, Ω
	Current    float64 // A
	Power      float64 // W
	Because    string
	Limits     []Limit
	Workings   []string

	said []string
}

// Judge decides. Errors name the input that cannot be.
func (c Circuit) Judge() (Judgement, error) {
	if err := c.check(); err != nil {
		return Judgement{}, err
	}
	var j Judgement
	c.judgeHarness(&j)
	inside := false
	if c.Element != nil {
		var err error
		if inside, err = c.judgeElement(&j); err != nil {
			return Judgement{}, err
		}
	}
	if c.ToBody != nil {
		c.judgeBody(&j)
	}
	c.conclude(&j, inside)
	j.Workings = append(j.Workings, "verdict: "+string(j.Verdict))
	return j, nil
}

func (j *Judgement) fault(f Fault, why string) {
	j.Faults = append(j.Faults, f)
	j.said = append(j.said, fmt.Sprintf("%s: %s", f, why))
}

func (j *Judgement) note(limit Limit, format string, args ...any) {
	j.Workings = append(j.Workings, fmt.Sprintf(format, args...)+" ["+limit.Source+"]")
	j.Limits = append(j.Limits, limit)
}

// judgeHarness judges the vehicle's side of the plug.
func (c Circuit) judgeHarness(j *Judgement) {
	near := c.Battery - c.Limits.Drop.Value
	if c.Supply != nil {
		j.note(c.Limits.Drop, "supply pin %.2f V; battery %.2f V - %.2f V = %.2f V at least", *c.Supply, c.Battery, c.Limits.Drop.Value, near)
		if *c.Supply < near-hair {
			j.fault(NoSupply, fmt.Sprintf("%.2f V at the supply pin with a battery of %.2f V; look for a blown fuse, an open wire or a poor joint", *c.Supply, c.Battery))
		}
	}
	if c.Control != nil {
		j.note(c.Limits.Drop, "control pin %.2f V with the plug apart; from %.2f V it is taken for the battery's", *c.Control, near)
		if *c.Control >= near-hair {
			j.fault(ControlSupply, fmt.Sprintf("%.2f V at the control pin with the plug apart, where nothing should feed it", *c.Control))
		}
	}
	if c.ToGround == nil {
		return
	}
	j.note(c.Limits.Grounded, "control wire to ground %s; short-circuited at %g Ω or less", c.ToGround, c.Limits.Grounded.Value)
	if !c.ToGround.Over && c.ToGround.Value <= c.Limits.Grounded.Value {
		j.fault(ControlGround, fmt.Sprintf("%s from the control wire to ground with the ignition off; the heater would never be switched off", c.ToGround))
	}
}

// judgeElement answers whether the resistance lies in its window.
func (c Circuit) judgeElement(j *Judgement) (inside bool, err error) {
	if c.Element.Over {
		j.Workings = append(j.Workings, "element: the meter shows over-range")
		j.fault(ElementOpen, "no current can pass between the heater pins of the sensor")
		return false, nil
	}
	net := c.Element.Value - c.Leads
	j.note(c.Limits.Shorted, "element %.2f Ω - leads %.2f Ω = %.2f Ω; short-circuited at %g Ω or less", c.Element.Value, c.Leads, net, c.Limits.Shorted.Value)
	if net <= c.Limits.Shorted.Value || net == 0 {
		j.fault(ElementShorted, fmt.Sprintf("%.2f Ω between the heater pins of the sensor", net))
		return false, nil
	}
	if j.Resistance, err = c.Material.Resistance(net, c.At, c.Window.At); err != nil {
		return false, err
	}
	j.note(c.Material.Alpha, "at %s: %.2f Ω × (1 + %g × (%.2f - %.2f)) / (1 + %g × (%.2f - %.2f)) = %.2f Ω", celsius(c.Window.At), net,
		c.Material.Alpha.Value, c.Window.At, c.Material.At, c.Material.Alpha.Value, c.At, c.Material.At, j.Resistance)
	if err := c.supplied(j, net); err != nil {
		return false, err
	}
	return c.inWindow(j), nil
}

// supplied adds current and power of the element as it was measured.
func (c Circuit) supplied(j *Judgement, net float64) (err error) {
	if c.Battery == 0 {
		return nil
	}
	if j.Current, j.Power, err = Supplied(c.Battery, net); err != nil {
		return err
	}
	j.Workings = append(j.Workings,
		fmt.Sprintf("current when cold = U/R = %.2f V / %.2f Ω = %.2f A", c.Battery, net, j.Current),
		fmt.Sprintf("power when cold = U²/R = %.2f² / %.2f = %.1f W", c.Battery, net, j.Power))
	return nil
}

// inWindow judges the resistance. Outside a window of common practice alone
// nothing is proved.
func (c Circuit) inWindow(j *Judgement) bool {
	w := c.Window
	j.note(w.Low, "window at %s: %g Ω to %g Ω", celsius(w.At), w.Low.Value, w.High.Value)
	j.Limits = append(j.Limits, w.High)
	fault, inside := TooLow, j.Resistance >= w.Low.Value-hair && j.Resistance <= w.High.Value+hair
	if j.Resistance > w.High.Value {
		fault = TooHigh
	}
	if !inside && w.maker() {
		j.fault(fault, fmt.Sprintf("%.2f Ω at %s; %g Ω to %g Ω is asked for", j.Resistance, celsius(w.At), w.Low.Value, w.High.Value))
	}
	return inside
}

func (c Circuit) judgeBody(j *Judgement) {
	j.note(c.Limits.Isolated, "heater pin to body or signal pin %s; at least %g Ω", c.ToBody, c.Limits.Isolated.Value)
	if !c.ToBody.Over && c.ToBody.Value < c.Limits.Isolated.Value-hair {
		j.fault(ElementBody, fmt.Sprintf("%s from a heater pin to the sensor's body or a signal pin", c.ToBody))
	}
}

// conclude sets the verdict and its one sentence.
func (c Circuit) conclude(j *Judgement, inside bool) {
	w := c.Window
	switch {
	case len(j.Faults) > 0:
		j.Verdict = Faulty
		j.Because = strings.Join(j.said, "; ")
		if j.Faults[0].wiring() {
			j.Because += "; put the wiring right first: a new sensor does not cure it"
		}
	case c.Element == nil:
		j.Verdict = CannotTell
		j.Because = "nothing wrong in what was measured, and the element itself was not: measure between the two heater pins of the sensor"
	case !w.maker() && inside:
		j.Verdict = CannotTell
		j.Because = fmt.Sprintf("%.2f Ω is usual for a cold heater (%s); only the maker's window can pass it", j.Resistance, CommonPractice)
	case !w.maker():
		j.Verdict = CannotTell
		j.Because = fmt.Sprintf("%.2f Ω is unusual for a cold heater (about %g Ω to %g Ω, %s); look up the maker's window", j.Resistance, w.Low.Value, w.High.Value, CommonPractice)
	default:
		j.Verdict = Sound
		j.Because = fmt.Sprintf("%.2f Ω at %s lies in the window of %g Ω to %g Ω, and nothing else that was measured is wrong",
			j.Resistance, celsius(w.At), w.Low.Value, w.High.Value)
	}
}

// hair keeps the last binary digit from deciding at an exact limit.
const hair = 1e-9

// String is the reading as it is spoken of.
func (o Ohms) String() string {
	if o.Over {
		return "over-range"
	}
	return fmt.Sprintf("%g Ω", o.Value)
}

// The rule of this file: a published torque stands as published unless whoever
// published it says otherwise.

package torque

import "fmt"

// Coated says what the published torque of a sensor already reckons with.
type Coated string

// The states of a sensor's thread as its torque was published.
const (
	PreCoated Coated = "pre-coated" // the sensor comes coated, and the torque reckons with it
	Bare      Coated = "bare"       // published for a dry thread
	Unstated  Coated = "not stated" // the sheet does not say
)

// AntiSeize asks what a coat on the thread does to a published torque.
type AntiSeize struct {
	Published Window // N·m or any one unit
	Thread    Coated
	Told      bool  // the vehicle's or sensor's maker says to reduce the torque for the coat
	Dry, Wet  Range // nut factors without and with the coat
}

// Coat is what a coat on the thread does.
type Coat struct {
	Use         Window // the published torque: a ratio known only as a range sets no wrench
	SamePreload Range  // torque for the same preload, as a fraction of the published one
	SameTorque  Range  // preload at the published torque, as a multiple of the dry one
	Reduced     Range  // torque for the preload of the middle of Use; zero unless a maker says to reduce
	Warning     string
	Workings    []string
	Because     string
}

// NeverReduce is the warning that goes with every answer about a coat.
const NeverReduce = "never reduce a published torque for a pre-coated sensor unless its maker or the vehicle's maker tells you to: the figure already includes the coat"

// Judge works out the effect of the coat. A reduced torque is worked out, as a
// range to hold the maker's figure against, only where a maker says to reduce
// and the published figure is for a bare thread. Errors name the input at fault.
//
// Formula: T = K·D·F with the same F, so T'/T = K'/K; the ends of both ranges
// count, K' low over K high to K' high over K low.
func (a AntiSeize) Judge() (Coat, error) {
	if err := a.check(); err != nil {
		return Coat{}, err
	}
	same := Range{a.Wet.Low / a.Dry.High, a.Wet.High / a.Dry.Low}
	c := Coat{
		Use: a.Published, Warning: NeverReduce, SamePreload: same, Because: a.because(),
		SameTorque: Range{a.Dry.Low / a.Wet.High, a.Dry.High / a.Wet.Low},
	}
	c.Workings = []string{
		fmt.Sprintf("on a dry thread, same preload: T'/T = K'/K, from %.3g/%.3g = %.3f to %.3g/%.3g = %.3f",
			a.Wet.Low, a.Dry.High, same.Low, a.Wet.High, a.Dry.Low, same.High),
		fmt.Sprintf("on a dry thread, same torque: F'/F = K/K', from %.3g/%.3g = %.3f to %.3g/%.3g = %.3f",
			a.Dry.Low, a.Wet.High, c.SameTorque.Low, a.Dry.High, a.Wet.Low, c.SameTorque.High),
	}
	if a.Told && a.Thread == Bare {
		middle := a.Published.Middle()
		c.Reduced = Range{float64(middle * same.Low), float64(middle * same.High)}
		c.Workings = append(c.Workings, fmt.Sprintf("middle %.4g x %.3f = %.4g to %.4g x %.3f = %.4g",
			middle, same.Low, c.Reduced.Low, middle, same.High, c.Reduced.High))
	}
	return c, nil
}

func (a AntiSeize) because() string {
	switch {
	case a.Thread == PreCoated && a.Told:
		return "the published torque is for the coated thread: whoever tells you to reduce it must give the reduced figure; use that figure, not a ratio"
	case a.Thread == PreCoated:
		return "the published torque is for the coated thread and stands as it is"
	case a.Thread == Unstated:
		return "the sheet does not say whether its torque is for a coated thread: it stands as published until the maker's information says"
	case a.Told:
		return "the maker says to reduce the torque for the coat: set the figure the maker gives; the ratio is only a range to hold it against"
	}
	return "nobody told you to reduce it: the published torque stands, and a coat the maker did not ask for does not belong on the thread"
}

func (a AntiSeize) check() error {
	if err := a.Published.Check(); err != nil {
		return err
	}
	switch a.Thread {
	case PreCoated, Bare, Unstated:
	default:
		return fmt.Errorf("thread %q: unknown; give %q, %q or %q", a.Thread, PreCoated, Bare, Unstated)
	}
	if err := a.Dry.check("nut factor dry"); err != nil {
		return err
	}
	if err := a.Wet.check("nut factor with the coat"); err != nil {
		return err
	}
	if a.Dry.High > 1 || a.Wet.High > 1 || a.Dry.Low < 0.01 || a.Wet.Low < 0.01 {
		return fmt.Errorf("nut factors %g to %g and %g to %g: must lie in 0.01 to 1; they are small fractions such as 0.2", a.Dry.Low, a.Dry.High, a.Wet.Low, a.Wet.High)
	}
	return nil
}

// The rule of this file: a wrench reading is judged as the torque that reached
// the fastener, less what the wrench may be wrong by.

package torque

import "fmt"

// Tightening is what was done and what was wanted. Torques in any one unit.
type Tightening struct {
	Reading  float64 // what the wrench was set to or showed
	Window   Window  // wanted at the fastener
	Accuracy float64 // the wrench's ± as a fraction, 0.04 for ±4 %
	Adapter  Adapter
}

// Judgement is what follows from a Tightening, in its unit of torque.
type Judgement struct {
	Factor      float64 // applied over set
	Applied     float64 // at the fastener
	Uncertainty float64 // U = accuracy × applied, the guard band
	Guarded     Window  // the accept zone
	Zone        Zone
	TooNarrow   bool    // the tool cannot show conformity anywhere in the window
	Band        float64 // U at the middle of the window, by which TooNarrow is judged
	Aim         float64 // wrench setting that puts the middle on the fastener
}

// Judge works out the torque at the fastener and its zone. Errors name the
// input that makes it impossible.
//
// The uncertainty is taken as the tool's permitted deviation times the applied
// torque. The window is too narrow when twice that, at the middle, is not less
// than its width: exactly then no torque at all lies inside the accept zone by
// more than nothing.
func (t Tightening) Judge() (Judgement, error) {
	if err := t.check(); err != nil {
		return Judgement{}, err
	}
	factor, err := t.Adapter.Factor()
	if err != nil {
		return Judgement{}, err
	}
	j := Judgement{Factor: factor}
	if j.Applied, err = t.Adapter.Applied(t.Reading); err != nil {
		return Judgement{}, err
	}
	if j.Aim, err = t.Adapter.Setting(t.Window.Middle()); err != nil {
		return Judgement{}, err
	}
	j.Uncertainty = float64(t.Accuracy * j.Applied)
	j.Guarded = t.Window.Guarded(j.Uncertainty)
	j.Band = float64(t.Accuracy * t.Window.Middle())
	width := t.Window.High - t.Window.Low
	j.TooNarrow = 2*j.Band >= width*(1-slack)
	j.Zone = t.Window.Zone(j.Applied, j.Uncertainty)
	return j, nil
}

// Accepted reports whether the tightening conforms, beyond what the tool may
// be wrong by.
func (j Judgement) Accepted() bool { return j.Zone == Accept && !j.TooNarrow }

func (t Tightening) check() error {
	if !finite(t.Reading) || t.Reading < 0 {
		return fmt.Errorf("reading %g: must be zero or more; give the magnitude of the torque", t.Reading)
	}
	if err := t.Window.Check(); err != nil {
		return err
	}
	if !finite(t.Accuracy) || t.Accuracy <= 0 || t.Accuracy >= 1 {
		return fmt.Errorf("accuracy %g %%: must be more than 0 %% and less than 100 %%; read it off the certificate", t.Accuracy*100)
	}
	return nil
}

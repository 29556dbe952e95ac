// The rule of this file: torque-applied says what reached the fastener, and
// passes it only where the wrench's own error cannot put it out of tolerance.

package checks

import (
	"fmt"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func torqueApplied() Check {
	c := Check{
		Name:  "torque-applied",
		Title: "Torque that reached the fastener",
		Doc: "Works out the torque at the fastener from the wrench's setting or reading and the adapter on it, and accepts it only " +
			"inside the window drawn in by the wrench's uncertainty at both ends. The window is the vehicle maker's figure: follow it first.",
		Inputs:  torqueInputs(),
		Outputs: torqueOutputs(),
		Sources: []string{
			"adapter: US Army TM 9-254; US Navy course 14315, fig. 3-45",
			"decision: ILAC-G8:09/2019, section 4, guard band w = U",
			"accuracy: ISO 6789, deviation relative to the reference value",
		},
		Example: Arguments{
			"reading": one("40.9 N·m"), "low": one("40 N·m"), "high": one("50 N·m"), "accuracy": one("4 %"),
			"wrench": one("300 mm"), "adapter": one("30 mm"), "angle": one("0°"),
		},
	}
	c.Run = c.runTorqueApplied
	return c
}

func torqueInputs() []Input {
	return []Input{
		{Name: "reading", Kind: KindQuantity, Dimension: quantity.Torque, Doc: "what the wrench was set to, or showed"},
		{Name: "low", Kind: KindQuantity, Dimension: quantity.Torque, Doc: "least torque wanted at the fastener"},
		{Name: "high", Kind: KindQuantity, Dimension: quantity.Torque, Doc: "greatest torque wanted at the fastener"},
		{Name: "accuracy", Kind: KindQuantity, Dimension: quantity.Ratio, Doc: "the wrench's plus-or-minus, from its certificate"},
		{Name: "wrench", Kind: KindQuantity, Dimension: quantity.Length, Optional: true,
			Doc: "centre of the grip to centre of the drive; needed with an adapter"},
		{Name: "adapter", Kind: KindQuantity, Dimension: quantity.Length, Optional: true,
			Doc: "centre of the drive to centre of the fastener; 0 without an adapter"},
		{Name: "angle", Kind: KindQuantity, Dimension: quantity.Angle, Optional: true,
			Doc: "adapter's angle from straight ahead: 0° in line, 90° square to the wrench (then it changes nothing); 0° when left out"},
		{Name: "pull", Kind: KindChoice, Options: []string{beforePull, afterPull}, Optional: true,
			Doc: "whether the reading is a setting before the pull, or what was pulled; after when left out"},
	}
}

// When a torque is judged: a setting can still be changed, a pull cannot.
const (
	beforePull = "before"
	afterPull  = "after"
)

func torqueOutputs() []Output {
	out := func(name, doc string) Output {
		return Output{Name: name, Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: doc}
	}
	return []Output{
		out("applied", "torque at the fastener"),
		out("accept-low", "lower end of the accept zone"),
		out("accept-high", "upper end of the accept zone; below accept-low when the window is too narrow for the wrench"),
		out("uncertainty", "what the wrench may be wrong by at this torque"),
		out("aim", "wrench setting that puts the middle of the window on the fastener"),
	}
}

func (c Check) runTorqueApplied(args Arguments) (Result, error) {
	t, err := Tightening(args)
	if err != nil {
		return Result{}, err
	}
	j, err := t.Judge()
	if err != nil {
		return Result{}, err
	}
	figures, err := c.figures(
		amount("applied", j.Applied), amount("accept-low", j.Guarded.Low), amount("accept-high", j.Guarded.High),
		amount("uncertainty", j.Uncertainty), amount("aim", j.Aim))
	if err != nil {
		return Result{}, err
	}
	result := Result{Verdict: Fail, Because: torqueBecause(args, t, j), Figures: figures, Workings: torqueWorkings(args, t, j)}
	if j.Accepted() {
		result.Verdict = Pass
	}
	return result, nil
}

// Tightening takes the arguments of torque-applied into N·m, m and degrees.
func Tightening(args Arguments) (torque.Tightening, error) {
	value := func(name string) float64 {
		if arg, given := args[name]; given {
			return arg.Quantity.Base()
		}
		return 0
	}
	if _, given := args["wrench"]; !given && value("adapter") != 0 {
		return torque.Tightening{}, fmt.Errorf("input %q is missing; an adapter of %s needs the wrench's length, grip centre to drive",
			"wrench", args["adapter"].Quantity)
	}
	return torque.Tightening{
		Reading:  value("reading"),
		Window:   torque.Window{Low: value("low"), High: value("high")},
		Accuracy: value("accuracy"),
		Adapter:  torque.Adapter{Wrench: value("wrench"), Length: value("adapter"), Angle: value("angle")},
	}, nil
}

func torqueBecause(args Arguments, t torque.Tightening, j torque.Judgement) string {
	w := t.Window
	if j.TooNarrow {
		return fmt.Sprintf("the window %s to %s is too narrow for a wrench of ±%s %%: twice its uncertainty (2 x %s) is not less than the width %s; use a more accurate wrench",
			newtons(w.Low), newtons(w.High), short(t.Accuracy*100), newtons(j.Band), newtons(w.High-w.Low))
	}
	if j.Accepted() {
		return fmt.Sprintf("%s at the fastener lies in the accept zone %s to %s", bothTorque(j.Applied), newtons(j.Guarded.Low), newtons(j.Guarded.High))
	}
	if args["pull"].Choice == beforePull {
		return fmt.Sprintf("do not pull yet: this setting would put %s on the fastener, %s; set the wrench to %s, which aims at the middle",
			bothTorque(j.Applied), howFar(j), bothTorque(j.Aim))
	}
	return fmt.Sprintf("%s at the fastener is %s (%s); %s; a wrench setting of %s aims at the middle",
		bothTorque(j.Applied), howFar(j), zoneMeaning(j.Zone), afterMiss(t, j), bothTorque(j.Aim))
}

// howFar says by how much the torque misses the accept zone, and which way.
func howFar(j torque.Judgement) string {
	if j.Applied > j.Guarded.High {
		return atLeastSome(newtons(j.Applied-j.Guarded.High)) + " above the accept zone, which ends at " + newtons(j.Guarded.High)
	}
	return atLeastSome(newtons(j.Guarded.Low-j.Applied)) + " below the accept zone, which starts at " + newtons(j.Guarded.Low)
}

func zoneMeaning(z torque.Zone) string {
	switch z {
	case torque.ConditionalAccept:
		return "conditional accept: inside the window, but nearer to its limit than the wrench's uncertainty"
	case torque.ConditionalReject:
		return "conditional reject: outside the window, by no more than the wrench's uncertainty"
	}
	return "reject: outside the window by more than the wrench's uncertainty"
}

// afterMiss says what to do about the fastener; torque taken too far is not
// undone by setting the wrench lower.
func afterMiss(t torque.Tightening, j torque.Judgement) string {
	if j.Applied > t.Window.High {
		return "the fastener may be overstressed: take it out, inspect it and its thread, and follow the vehicle maker's service information before fitting again"
	}
	if j.Applied > j.Guarded.High {
		return "loosen and tighten again as the vehicle maker's service information allows"
	}
	return "tighten again to the setting"
}

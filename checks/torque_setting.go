// The rule of this file: an adapter changes what the wrench must be set to, and
// the setting says so beside the torque that was wanted.

package checks

import (
	"fmt"
	"math"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func torqueSetting() Check {
	c := Check{
		Name:  "torque-setting",
		Title: "Wrench setting for a wanted torque",
		Doc: "Works out what to set a torque wrench to, so that the wanted torque, or the middle of a window, reaches the fastener " +
			"through an adapter in line, at an angle or turned back.",
		Reckons: true,
		Inputs: []Input{
			takes("wanted", quantity.Torque, "torque wanted at the fastener, the vehicle maker's figure; this, or low and high"),
			takes("low", quantity.Torque, "least torque wanted at the fastener; with high, the middle is aimed at"),
			takes("high", quantity.Torque, "greatest torque wanted at the fastener"),
			takes("accuracy", quantity.Ratio, "the wrench's plus-or-minus, from its certificate; with low and high, says which settings are accepted"),
			takes("wrench", quantity.Length, "centre of the grip to centre of the drive; needed with an adapter"),
			takes("adapter", quantity.Length, "centre of the drive to centre of the fastener; 0 without an adapter"),
			takes("angle", quantity.Angle, "adapter's angle from straight ahead: 0° in line, 90° square to the wrench, 180° turned back; 0° when left out"),
		},
		Outputs: []Output{
			{Name: "set", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "what the wrench is set to"},
			{Name: "set-low", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Maybe: true, Doc: "least setting that is accepted"},
			{Name: "set-high", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Maybe: true, Doc: "greatest setting that is accepted"},
			{Name: "factor", Decimals: 5, Unit: "", Doc: "torque at the fastener over the setting"},
		},
		Sources: []string{"US Army TM 9-254; US Navy course 14315, fig. 3-45; the cosine for an adapter that is not in line",
			"accepted settings: ILAC-G8:09/2019, section 4, guard band w = U"},
		Example: Arguments{"wanted": one("45 N·m"), "wrench": one("300 mm"), "adapter": one("30 mm"), "angle": one("0°")},
	}
	c.Run = c.runTorqueSetting
	return c
}

func (c Check) runTorqueSetting(args Arguments) (Result, error) {
	wanted, err := wantedTorque(args)
	if err != nil {
		return Result{}, err
	}
	a := torque.Adapter{Wrench: args.base("wrench", 0), Length: args.base("adapter", 0), Angle: args.base("angle", 0)}
	if a.Length != 0 && !args.has("wrench") {
		return Result{}, fmt.Errorf("wrench: missing; an adapter needs the wrench's length, grip centre to drive")
	}
	if wanted <= 0 {
		return Result{}, fmt.Errorf("wanted %q: must be more than zero; give its magnitude", args["wanted"].Quantity)
	}
	set, err := a.Setting(wanted)
	if err != nil {
		return Result{}, err
	}
	factor, err := a.Factor()
	if err != nil {
		return Result{}, err
	}
	said, lines := fmt.Sprintf("%s on the wrench gives %s at the fastener", bothTorque(set), bothTorque(wanted)), settingLines(wanted, set, factor, a)
	figures := []named{amount("set", set), amount("factor", factor)}
	if args.has("accuracy") {
		least, most, err := acceptedSettings(args, factor)
		if err != nil {
			return Result{}, err
		}
		said = fmt.Sprintf("set the wrench to %s: it aims at %s, the middle of %s to %s; settings from %s to %s are accepted", bothTorque(set),
			newtons(wanted), newtons(args.base("low", 0)), newtons(args.base("high", 0)), newtons(least), newtons(most))
		figures = append(figures, amount("set-low", least), amount("set-high", most))
		lines = append(lines, acceptedLines(args, factor, least, most)...)
	}
	return c.result(None, said, lines, figures...)
}

// wantedTorque is the torque that was given, or the middle of the window, in N·m.
func wantedTorque(args Arguments) (float64, error) {
	if args.has("low") != args.has("high") || args.has("wanted") == args.has("low") {
		return 0, fmt.Errorf("wanted, low, high: give wanted, or both low and high")
	}
	if args.has("wanted") {
		if args.has("accuracy") {
			return 0, fmt.Errorf("accuracy: means something with low and high only; leave it out, or give both")
		}
		return args.base("wanted", 0), nil
	}
	w := torque.Window{Low: args.base("low", 0), High: args.base("high", 0)}
	return w.Middle(), w.Check()
}

// acceptedSettings are the ends of what torque-applied accepts on the wrench, rounded inward to 0.01 N·m: a torque T is
// accepted where T - a·T is not below the window and T + a·T is not above it.
func acceptedSettings(args Arguments, factor float64) (least, most float64, err error) {
	low, high, a := args.base("low", 0), args.base("high", 0), args.base("accuracy", 0)
	j, err := torque.Tightening{Reading: (low + high) / 2, Window: torque.Window{Low: low, High: high}, Accuracy: a}.Judge()
	if err != nil {
		return 0, 0, err
	}
	least, most = math.Ceil(settle(low/(1-a)/factor*100))/100, math.Floor(settle(high/(1+a)/factor*100))/100
	if j.TooNarrow || least > most {
		return 0, 0, fmt.Errorf("accuracy %q: too coarse for the window %s to %s; use a more accurate wrench", args["accuracy"].Quantity, newtons(low), newtons(high))
	}
	return least, most, nil
}

func acceptedLines(args Arguments, factor, least, most float64) []string {
	a := args.base("accuracy", 0)
	return []string{
		fmt.Sprintf("least setting = low / (1 - accuracy) / factor = %s / %s / %s, rounded up = %s", newtons(args.base("low", 0)), short(1-a), plain(factor, 5), newtons(least)),
		fmt.Sprintf("greatest setting = high / (1 + accuracy) / factor = %s / %s / %s, rounded down = %s", newtons(args.base("high", 0)), short(1+a), plain(factor, 5), newtons(most)),
	}
}

func settingLines(wanted, set, factor float64, a torque.Adapter) []string {
	if a.Length == 0 {
		return []string{"no adapter: set = wanted = " + newtons(wanted)}
	}
	return []string{
		fmt.Sprintf("lever: L = %s mm, A = %s mm, cos %s° = %s", millimetres(a.Wrench), millimetres(a.Length), short(a.Angle), plain(torque.Cosine(a.Angle), 4)),
		fmt.Sprintf("(L + A x cos) / L = %s / %s = %s", millimetres(a.Wrench*factor), millimetres(a.Wrench), plain(factor, 5)),
		fmt.Sprintf("set = wanted / %s = %s / %s = %s", plain(factor, 5), newtons(wanted), plain(factor, 5), newtons(set)),
	}
}

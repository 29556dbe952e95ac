// The rule of this file: an adapter changes what the wrench must be set to, and
// the setting says so beside the torque that was wanted.

package checks

import (
	"fmt"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func torqueSetting() Check {
	c := Check{
		Name:    "torque-setting",
		Title:   "Wrench setting for a wanted torque",
		Doc:     "Works out what to set a torque wrench to, so that the wanted torque reaches the fastener through an adapter in line, at an angle or turned back.",
		Reckons: true,
		Inputs: []Input{
			needs("wanted", quantity.Torque, "torque wanted at the fastener, the vehicle maker's figure"),
			takes("wrench", quantity.Length, "centre of the grip to centre of the drive; needed with an adapter"),
			takes("adapter", quantity.Length, "centre of the drive to centre of the fastener; 0 without an adapter"),
			takes("angle", quantity.Angle, "adapter's angle from straight ahead: 0° in line, 90° square to the wrench, 180° turned back; 0° when left out"),
		},
		Outputs: []Output{
			{Name: "set", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "what the wrench is set to"},
			{Name: "factor", Decimals: 5, Unit: "", Doc: "torque at the fastener over the setting"},
		},
		Sources: []string{"US Army TM 9-254; US Navy course 14315, fig. 3-45; the cosine for an adapter that is not in line"},
		Example: Arguments{"wanted": one("45 N·m"), "wrench": one("300 mm"), "adapter": one("30 mm"), "angle": one("0°")},
	}
	c.Run = c.runTorqueSetting
	return c
}

func (c Check) runTorqueSetting(args Arguments) (Result, error) {
	wanted, a := args.base("wanted", 0), torque.Adapter{Wrench: args.base("wrench", 0), Length: args.base("adapter", 0), Angle: args.base("angle", 0)}
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
	return c.result(None, fmt.Sprintf("%s on the wrench gives %s at the fastener", bothTorque(set), bothTorque(wanted)),
		settingLines(wanted, set, factor, a), amount("set", set), amount("factor", factor))
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

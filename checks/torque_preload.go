// The rule of this file: preload and torque belong together only through a range
// of nut factors, so both answers are ranges.

package checks

import (
	"fmt"
	"strconv"
	"strings"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func preload() Check {
	c := Check{
		Name:  "preload",
		Title: "Preload from torque, or torque for a preload",
		Doc: "Works the short form T = K·D·F with K as a range, because K is never one number. It shows how little a torque says of the preload; " +
			"it sets no wrench: the vehicle maker's torque does.",
		Reckons: true,
		Inputs: []Input{
			takes("torque", quantity.Torque, "at the fastener; this or force"),
			{Name: "force", Kind: KindText, Optional: true, Doc: "wanted preload in N, kN or lbf, such as 34.2 kN; this or torque"},
			needs("diameter", quantity.Length, "nominal diameter of the thread, such as 18 mm"),
			{Name: "surface", Kind: KindChoice, Options: surfaces(), Optional: true, Doc: "state of the threads, for the usual range of K; this, or k-low and k-high"},
			takes("k-low", quantity.Number, "least nut factor"),
			takes("k-high", quantity.Number, "greatest nut factor"),
		},
		Outputs: []Output{
			{Name: "torque-least", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "at the least K"},
			{Name: "torque-most", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "at the greatest K"},
			{Name: "preload-least", Decimals: 2, Unit: "kN", Doc: "least preload to be expected"},
			{Name: "preload-most", Decimals: 2, Unit: "kN", Doc: "greatest preload to be expected"},
		},
		Sources: []string{"short form T = K·D·F: NASA RP-1228 (from memory)", "K dry 0.20 to 0.25, with anti-seize 0.12 to 0.16: trade tables (from memory)"},
		Example: Arguments{"torque": one("50 N·m"), "diameter": one("18 mm"), "surface": pick("anti-seize")},
	}
	c.Run = c.runPreload
	return c
}

func surfaces() []string {
	var names []string
	for _, f := range torque.NutFactors() {
		names = append(names, f.Surface)
	}
	return names
}

func (c Check) runPreload(args Arguments) (Result, error) {
	k, err := nutFactor(args)
	if err != nil {
		return Result{}, err
	}
	s := torque.ShortForm{K: k, Diameter: args.base("diameter", 0)}
	if args.has("torque") == args.has("force") {
		return Result{}, fmt.Errorf("torque, force: give one of the two")
	}
	var t torque.Tightened
	if args.has("torque") {
		t, err = s.Preload(args.base("torque", 0))
	} else {
		var force float64
		if force, err = parseForce(args["force"].Text); err == nil {
			t, err = s.Torque(force)
		}
	}
	if err != nil {
		return Result{}, err
	}
	return c.result(None, t.Because, t.Workings,
		amount("torque-least", t.Torque.Low), amount("torque-most", t.Torque.High),
		amount("preload-least", t.Preload.Low/1000), amount("preload-most", t.Preload.High/1000))
}

// nutFactor is the range of K that was given, or that of the surface.
func nutFactor(args Arguments) (torque.Range, error) {
	named := args.has("surface")
	if named == (args.has("k-low") || args.has("k-high")) || args.has("k-low") != args.has("k-high") {
		return torque.Range{}, fmt.Errorf("surface, k-low, k-high: give the surface, or both ends of K")
	}
	if !named {
		return torque.Range{Low: args.base("k-low", 0), High: args.base("k-high", 0)}, nil
	}
	for _, f := range torque.NutFactors() {
		if f.Surface == args["surface"].Choice {
			return f.Range, nil
		}
	}
	return torque.Range{}, fmt.Errorf("surface %q: no nut factor is known for it; give k-low and k-high", args["surface"].Choice)
}

// newtonsPer is what one of each unit of force is in N (NIST SP 811, exact).
var newtonsPer = []struct {
	unit string
	size float64
}{{"lbf", 4.4482216152605}, {"kN", 1000}, {"N", 1}}

// parseForce reads a force such as 34.2 kN, 4940 lbf or 9000 N, in N.
func parseForce(text string) (float64, error) {
	for _, u := range newtonsPer {
		number, has := strings.CutSuffix(strings.TrimSpace(text), u.unit)
		if !has {
			continue
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err == nil && v > 0 && v*u.size <= quantity.Largest {
			return v * u.size, nil
		}
		break
	}
	return 0, fmt.Errorf("force %q: no force above zero; write it in N, kN or lbf, such as 34.2 kN", clip(text))
}

func antiSeize() Check {
	c := Check{
		Name:    "anti-seize",
		Title:   "What a coat on the thread does to a published torque",
		Doc:     "Says which torque to use with anti-seize or a maker's coat on the thread, and what the coat does to the preload. A published torque for a pre-coated sensor is used as it stands.",
		Reckons: true,
		Inputs: []Input{
			needs("low", quantity.Torque, "least published torque"),
			needs("high", quantity.Torque, "greatest published torque"),
			{Name: "coating", Kind: KindChoice, Options: []string{string(torque.PreCoated), string(torque.Bare), string(torque.Unstated)}, Doc: "what the published torque reckons with"},
			{Name: "told", Kind: KindChoice, Options: []string{"yes", "no"}, Optional: true, Doc: "whether the vehicle's or the sensor's maker says to reduce the torque for the coat; no when left out"},
		},
		Outputs: []Output{
			{Name: "use-low", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "least torque to use"},
			{Name: "use-high", Dimension: quantity.Torque, Decimals: 2, Unit: "N·m", Doc: "greatest torque to use"},
			{Name: "preload-least", Decimals: 2, Doc: "preload at the published torque, as a multiple of the dry one"},
			{Name: "preload-most", Decimals: 2, Doc: "the same at the other end of both ranges of K"},
		},
		Sources: []string{"T = K·D·F with the same F: T'/T = K'/K", "K dry 0.20 to 0.25, with anti-seize 0.12 to 0.16: trade tables (from memory)"},
		Example: Arguments{"low": one("40 N·m"), "high": one("60 N·m"), "coating": pick("pre-coated")},
	}
	c.Run = c.runAntiSeize
	return c
}

func (c Check) runAntiSeize(args Arguments) (Result, error) {
	factors := torque.NutFactors()
	coat, err := torque.AntiSeize{
		Published: torque.Window{Low: args.base("low", 0), High: args.base("high", 0)},
		Thread:    torque.Coated(args["coating"].Choice), Told: args["told"].Choice == "yes",
		Dry: factors[0].Range, Wet: factors[1].Range,
	}.Judge()
	if err != nil {
		return Result{}, err
	}
	return c.result(None, coat.Because, append(coat.Workings, coat.Warning),
		amount("use-low", coat.Use.Low), amount("use-high", coat.Use.High),
		amount("preload-least", coat.SameTorque.Low), amount("preload-most", coat.SameTorque.High))
}

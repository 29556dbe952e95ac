// The rule of this file: a thread is named with its pitch and a hexagon with its
// unit; what does not fit fails with the play that says why.

package checks

import (
	"fmt"

	"fenderside/checks/quantity"
	"fenderside/checks/torque"
)

func thread() Check {
	c := Check{
		Name:    "thread",
		Title:   "Geometry of a metric thread",
		Doc:     "Works out the pitch, root and minor diameters and the stress area of an ISO metric thread, to choose a chaser or judge a worn boss.",
		Reckons: true,
		Inputs:  []Input{{Name: "thread", Kind: KindText, Doc: "diameter and pitch in mm, such as M18×1.5"}},
		Outputs: []Output{
			{Name: "pitch-diameter", Decimals: 3, Unit: "mm", Doc: "d2"},
			{Name: "root-diameter", Decimals: 3, Unit: "mm", Doc: "d3, of the bolt"},
			{Name: "minor-diameter", Decimals: 3, Unit: "mm", Doc: "D1, of the nut or boss"},
			{Name: "stress-area", Decimals: 2, Unit: "mm²", Doc: "As"},
		},
		Sources: []string{"ISO 724: d2 = d - 0.64952 P, d3 = d - 1.22687 P, D1 = d - 1.08253 P", "stress area: ISO 898-1 (from memory)"},
		Example: Arguments{"thread": text("M18×1.5")},
	}
	c.Run = c.runThread
	return c
}

func (c Check) runThread(args Arguments) (Result, error) {
	t, err := torque.ParseThread(args["thread"].Text)
	if err != nil {
		return Result{}, err
	}
	g, err := t.Geometry()
	if err != nil {
		return Result{}, err
	}
	return c.result(None, fmt.Sprintf("%s has a pitch diameter of %s mm and, in the boss, a minor diameter of %s mm", t, plain(g.PitchDiameter, 3), plain(g.MinorNut, 3)),
		g.Workings, amount("pitch-diameter", g.PitchDiameter), amount("root-diameter", g.MinorBolt),
		amount("minor-diameter", g.MinorNut), amount("stress-area", g.StressArea))
}

func socketFit() Check {
	c := Check{
		Name:  "socket-fit",
		Title: "Socket on a hexagon",
		Doc:   "Says whether a socket of one nominal size is the tool for a hexagon of another, such as 7/8 in on 22 mm, with the play and the turn before it bears.",
		Inputs: []Input{
			{Name: "hex", Kind: KindText, Doc: "width across the flats of the hexagon with its unit, such as 22 mm"},
			{Name: "socket", Kind: KindText, Doc: "size of the socket with its unit, such as 22 mm or 7/8 in"},
		},
		Outputs: []Output{
			{Name: "play", Decimals: 3, Unit: "mm", Doc: "socket less hexagon; negative where the socket is too small"},
			{Name: "turn", Dimension: quantity.Angle, Decimals: 2, Unit: "°", Maybe: true, Doc: "how far the socket turns from centred until a corner bears"},
			{Name: "bite", Decimals: 2, Maybe: true, Doc: "share of the height from flat to corner that is left to bear on"},
			{Name: "fit", Words: true, Doc: "right size, too large, turns free or too small"},
		},
		Sources: []string{"geometry: φ = 30° - arccos((S/s)·cos 30°)", "which sizes count as one: " + torque.SameSize.Source, "which pass with a caution: " + torque.NearSize.Source},
		Example: Arguments{"hex": text("22 mm"), "socket": text("22 mm")},
	}
	c.Run = c.runSocketFit
	return c
}

func (c Check) runSocketFit(args Arguments) (Result, error) {
	hex, err := torque.ParseAcross(args["hex"].Text)
	if err != nil {
		return Result{}, fmt.Errorf("hex: %w", err)
	}
	socket, err := torque.ParseAcross(args["socket"].Text)
	if err != nil {
		return Result{}, fmt.Errorf("socket: %w", err)
	}
	f, err := torque.Socket(hex, socket)
	if err != nil {
		return Result{}, err
	}
	verdict := Fail
	because := f.Because
	switch {
	case f.Fit == torque.Right:
		verdict = Pass
	case f.Fit == torque.Loose && f.Play <= torque.NearSize.Value:
		verdict, because = Pass, "caution: "+because
	}
	figures := []named{amount("play", f.Play)}
	if f.Fit == torque.Right || f.Fit == torque.Loose {
		figures = append(figures, amount("turn", f.Turn), amount("bite", f.Bite))
	}
	return c.result(verdict, because, f.Workings, append(figures, stated("fit", string(f.Fit)))...)
}

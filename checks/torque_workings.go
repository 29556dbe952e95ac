// The rule of this file: each line of workings can be followed with a pencil
// from the lines above it and the inputs.

package checks

import (
	"fmt"

	"fenderside/checks/torque"
)

func torqueWorkings(args Arguments, t torque.Tightening, j torque.Judgement) []string {
	lines := inNewtonMetres(args)
	lines = append(lines, adapterLines(t, j)...)
	w := t.Window
	lines = append(lines,
		fmt.Sprintf("uncertainty U = %s %% x %s = %s, taken as the guard band", short(t.Accuracy*100), newtons(j.Applied), newtons(j.Uncertainty)),
		fmt.Sprintf("accept from %s + %s = %s", newtons(w.Low), newtons(j.Uncertainty), newtons(j.Guarded.Low)),
		fmt.Sprintf("accept to %s - %s = %s", newtons(w.High), newtons(j.Uncertainty), newtons(j.Guarded.High)),
		fmt.Sprintf("%s: %s", newtons(j.Applied), j.Zone),
		fmt.Sprintf("can the wrench judge this window? at the middle 2 x U = 2 x %s = %s, width %s - %s = %s: %s",
			newtons(j.Band), newtons(2*j.Band), newtons(w.High), newtons(w.Low), newtons(w.High-w.Low), yesNo(!j.TooNarrow)),
	)
	lines = append(lines, aimLines(t, j)...)
	if j.Uncertainty > 0 {
		lines = append(lines, fmt.Sprintf("with U taken as two standard uncertainties, the torque lies in the window with probability %s (JCGM 106)",
			probability(w.Conformity(j.Applied, j.Uncertainty/2))))
	}
	if t.Accuracy < torque.FineDeviation*(1-1e-9) {
		lines = append(lines, fmt.Sprintf("note: ±%s %% is finer than the ±4 %% that ISO 6789 permits a click wrench; it stands only on this wrench's own certificate",
			short(t.Accuracy*100)))
	}
	return lines
}

// inNewtonMetres states each torque that was given in another unit.
func inNewtonMetres(args Arguments) []string {
	var lines []string
	for _, name := range []string{"reading", "low", "high"} {
		if q := args[name].Quantity; q.Unit() != "N·m" {
			lines = append(lines, fmt.Sprintf("%s: %s = %s", name, q, newtons(q.Base())))
		}
	}
	return lines
}

func adapterLines(t torque.Tightening, j torque.Judgement) []string {
	if t.Adapter.Length == 0 {
		return []string{fmt.Sprintf("no adapter: applied = reading = %s", newtons(j.Applied))}
	}
	return []string{
		fmt.Sprintf("lever: L = %s mm, A = %s mm, cos %s° = %s", millimetres(t.Adapter.Wrench), millimetres(t.Adapter.Length),
			short(t.Adapter.Angle), plain(torque.Cosine(t.Adapter.Angle), 4)),
		fmt.Sprintf("(L + A x cos) / L = %s / %s = %s", millimetres(t.Adapter.Wrench*j.Factor), millimetres(t.Adapter.Wrench), plain(j.Factor, 5)),
		fmt.Sprintf("applied = reading x %s = %s x %s = %s", plain(j.Factor, 5), newtons(t.Reading), plain(j.Factor, 5), newtons(j.Applied)),
	}
}

func aimLines(t torque.Tightening, j torque.Judgement) []string {
	middle := fmt.Sprintf("middle = (%s + %s) / 2 = %s", newtons(t.Window.Low), newtons(t.Window.High), newtons(t.Window.Middle()))
	if t.Adapter.Length == 0 {
		return []string{middle, fmt.Sprintf("aim: set the wrench to %s", newtons(j.Aim))}
	}
	return []string{middle, fmt.Sprintf("aim: set the wrench to %s / %s = %s", newtons(t.Window.Middle()), plain(j.Factor, 5), newtons(j.Aim))}
}

func millimetres(metres float64) string { return plain(metres*1000, 1) }

// probability prints a probability in %, and never as a certainty.
func probability(p float64) string {
	switch {
	case p > 0.9985:
		return "over 99.8 %"
	case p < 0.0015:
		return "under 0.2 %"
	}
	return plain(100*p, 1) + " %"
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

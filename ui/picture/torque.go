package picture

// The rule of this file: each column of the bar shows the zone that the check itself gives to the torque there, and the
// pointer stands on the zone of the reading.

import (
	"fmt"
	"math"

	"fenderside/checks/torque"
)

// zones are the characters of the zones.
var zones = map[torque.Zone]string{torque.Accept: "=", torque.ConditionalAccept: "/", torque.ConditionalReject: ":", torque.Reject: "."}

const (
	leastBar  = 40
	widestBar = 90
)

// Torque draws the window for a torque in N·m with its guard bands, and where the torque at the fastener fell. The bar runs
// half a window beyond each limit, whatever the reading is.
func Torque(t torque.Tightening, f Form) Picture {
	p := Picture{Title: "TORQUE AT THE FASTENER, N m"}
	j, err := t.Judge()
	if err != nil {
		p.Words = []string{"It cannot be judged: " + err.Error() + "."}
		return p.inWords(f)
	}
	p.Words = torqueWords(t, j)
	if f.Width < leastBar {
		return p.inWords(f)
	}
	half := (t.Window.High - t.Window.Low) / 2
	b := bar{t, j, axis{math.Max(0, t.Window.Low-half), t.Window.High + half, min(f.Width, widestBar)}, newCanvas(min(f.Width, widestBar), 5)}
	p.Marks = []Mark{b.draw()}
	p.Rows = append(b.canvas.shown(f.Lines), captions(f.Width, torqueLegend, zoneSentence(j))...)
	return p
}

// bar is the window while it is drawn.
type bar struct {
	t      torque.Tightening
	j      torque.Judgement
	across axis
	canvas *canvas
}

// draw gives where the verdict stands.
func (b bar) draw() Mark {
	const limits, ticks, strip, pointer, verdict = 0, 1, 2, 3, 4
	for _, limit := range []float64{b.t.Window.Low, b.t.Window.High} {
		b.canvas.centred(b.across.at(limit), limits, newtons(limit))
		b.canvas.down(b.across.at(limit), ticks, strip)
	}
	for x := range b.across.cells {
		b.canvas.put(x, strip, b.zone(b.across.value(x)))
	}
	at, mark, said := b.across.at(b.j.Applied), "^", fmt.Sprintf("%s: %s", newtons(b.j.Applied), b.verdict())
	if b.j.Applied < b.across.low {
		mark, said = "<", said+", off the bar"
	} else if b.j.Applied > b.across.high {
		mark, said = ">", said+", off the bar"
	}
	b.canvas.put(at, strip, b.zone(b.j.Applied))
	b.canvas.put(at, pointer, mark)
	from := max(0, min(at, b.across.cells-len(said)))
	b.canvas.put(from, verdict, said)
	return Mark{verdict, from, from + len(said)}
}

// zone is the character of a torque. In a window that is too narrow for its wrench nothing is accepted.
func (b bar) zone(newtonMetres float64) string {
	z := b.t.Window.Zone(newtonMetres, b.j.Uncertainty)
	if z == torque.Accept && b.j.TooNarrow {
		z = torque.ConditionalAccept
	}
	return zones[z]
}

func (b bar) verdict() string {
	if b.j.TooNarrow {
		return "window too narrow"
	}
	return string(b.j.Zone)
}

const torqueLegend = "= accept, / inside but nearer to a limit than the wrench can tell, : outside by no more than that, . outside"

func newtons(v float64) string { return fmt.Sprintf("%.1f", math.Round(v*10)/10) }

func zoneSentence(j torque.Judgement) string {
	if j.TooNarrow {
		return "The window is too narrow for this wrench."
	}
	return fmt.Sprintf("The accept zone runs from %s to %s N·m.", newtons(j.Guarded.Low), newtons(j.Guarded.High))
}

func torqueWords(t torque.Tightening, j torque.Judgement) []string {
	return []string{
		fmt.Sprintf("The window runs from %s to %s N·m.", newtons(t.Window.Low), newtons(t.Window.High)),
		fmt.Sprintf("The wrench may be wrong by %.2f N·m here, which is the guard band at each limit.", j.Uncertainty),
		zoneSentence(j),
		fmt.Sprintf("The torque at the fastener is %.2f N·m: %s.", j.Applied, bar{t: t, j: j}.verdict()),
	}
}

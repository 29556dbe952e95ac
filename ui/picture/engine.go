package picture

// The rule of this file: the front of the vehicle is at the top and its left is at the left. A bank, its cylinders and its
// first sensor are drawn on the side where the facts have them; the run of the pipes behind that is simplified.

import (
	"slices"

	"fenderside/checks/location"
)

const (
	laneWidth  = 17 // the room of one exhaust, wide enough for the marked sensor
	blockWidth = 17 // of an engine that lies lengthwise
	leastWidth = 50 // of the drawing, so that its first row has room
)

// plan is an engine with a place for everything in it.
type plan struct {
	facts location.Facts
	lit   *location.Position
	rows  []row
	lanes []lane
	pitch int // columns from one cylinder of a crosswise row to the next

	x0, y0, x1, y1 int // the frame of the block
	base           int // the row of the first sensors behind the block
	width, height  int
	canvas         *canvas
	marks          []Mark
}

// row is a row of cylinders, in the order in which they are drawn: from the front, or from the left.
type row struct {
	banks     []location.Bank // more than one only in an in-line engine with a split exhaust
	cylinders []int           // empty where they are not known, or where the end of cylinder 1 is not
}

// lane is the exhaust of one bank.
type lane struct {
	bank  location.Bank
	row   int // of the plan
	x     int // its middle
	first int // the row of the screen in which it gathers, where it does not run beside the block
}

// Engine draws an engine as seen from above, with every fitted sensor and the one that is meant, if any.
func Engine(facts location.Facts, lit *location.Position, f Form) Picture {
	p := Picture{Title: "THE ENGINE FROM ABOVE", Words: engineWords(facts, lit)}
	if why := undrawn(facts); why != "" {
		p.Words = append(p.Words, why)
		return p.inWords(f)
	}
	pl := arranged(facts, lit, 5)
	if pl.width > f.Width {
		pl = arranged(facts, lit, 3)
	}
	if pl.width > f.Width {
		return p.inWords(f)
	}
	pl.draw()
	p.Rows, p.Marks = pl.canvas.shown(f.Lines), pl.marks
	if lit != nil {
		p.Rows = append(p.Rows, captions(f.Width, meant(facts, *lit))...)
	}
	p.Rows = append(p.Rows, captions(f.Width, simplified)...)
	return p
}

// undrawn says why an engine cannot be drawn.
func undrawn(f location.Facts) string {
	if err := f.Check(); err != nil {
		return "It cannot be drawn: " + err.Error() + "."
	}
	banks := f.Rows()
	sided := func(b location.Bank) bool { return b.Side != "" }
	switch {
	case f.Arrangement == "" || f.Mounting == "":
		return "It cannot be drawn: how the engine lies is not known."
	case len(banks) > 2:
		return "It cannot be drawn: it has more than two banks."
	case len(banks) == 2 && !(sided(banks[0]) && sided(banks[1])):
		return "It cannot be drawn: the sides of its banks are not known."
	case len(banks) == 1 && f.Arrangement != "in-line":
		return "It cannot be drawn: only one of its banks is known."
	}
	return ""
}

// arranged is an engine with everything in its place.
func arranged(facts location.Facts, lit *location.Position, pitch int) *plan {
	pl := &plan{facts: facts, lit: lit, pitch: pitch, rows: rowsOf(facts)}
	for i, r := range pl.rows {
		for _, b := range r.banks {
			pl.lanes = append(pl.lanes, lane{bank: b, row: i})
		}
	}
	if pl.lengthwise() {
		pl.arrangeLengthwise()
	} else {
		pl.arrangeCrosswise()
	}
	last := pl.y1
	for i := range pl.lanes {
		last = max(last, pl.end(&pl.lanes[i]))
	}
	pl.height = last + 2
	pl.shift(max(0, leastWidth-pl.width) / 2)
	pl.width = max(pl.width, leastWidth)
	return pl
}

func (pl *plan) lengthwise() bool { return pl.facts.Mounting == "lengthwise" }

// shift moves all of it to the right.
func (pl *plan) shift(by int) {
	pl.x0, pl.x1 = pl.x0+by, pl.x1+by
	for i := range pl.lanes {
		pl.lanes[i].x += by
	}
}

// rowsOf sorts the cylinders into rows: left before right, front before rear. The cylinders of an in-line engine are
// numbered along it (common practice, no source); those of a bank stand as its facts list them. Both begin at the end of
// cylinder 1.
func rowsOf(f location.Facts) []row {
	banks := f.Rows()
	if f.Arrangement != "in-line" {
		if banks[0].Side == "right" || banks[0].Side == "rear" {
			banks = []location.Bank{banks[1], banks[0]}
		}
		return []row{
			fromItsEnd(f, row{banks[:1], slices.Clone(banks[0].Cylinders)}),
			fromItsEnd(f, row{banks[1:], slices.Clone(banks[1].Cylinders)}),
		}
	}
	one := row{banks: banks}
	for _, b := range banks {
		if len(b.Cylinders) == 0 {
			return []row{{banks: banks}}
		}
		one.cylinders = append(one.cylinders, b.Cylinders...)
	}
	slices.Sort(one.cylinders)
	return []row{fromItsEnd(f, one)}
}

// fromItsEnd turns a row whose cylinder 1 stands at the rear or on the right.
func fromItsEnd(f location.Facts, r row) row {
	switch f.CylinderOne {
	case "":
		r.cylinders = nil
	case "rear", "right":
		slices.Reverse(r.cylinders)
	}
	return r
}

// placed is a thing along an exhaust and its row on the screen.
type placed struct {
	location.Stop
	y int
}

// stops are the things along an exhaust. The same place along the exhaust stands in the same row for every bank, but for the
// first sensor of a bank that faces forward.
func (pl *plan) stops(l *lane) []placed {
	var out []placed
	for _, s := range pl.facts.Along(l.bank.Number) {
		y := pl.base + 2*s.Catalyst - 1
		if s.Sensor > 0 {
			y = pl.base + 2*(s.Sensor-1)
		}
		if s.Sensor == 1 && l.bank.Side == "front" {
			y = l.first
		}
		out = append(out, placed{s, y})
	}
	return out
}

// end is the row in which an exhaust is let go.
func (pl *plan) end(l *lane) int {
	end := pl.base
	for _, s := range pl.stops(l) {
		end = max(end, s.y)
	}
	return end + 1
}

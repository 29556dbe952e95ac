package picture

// The rule of this file: a sensor is <B1S1>, the one that is meant >>>B1S1 THIS<<<, a cylinder (1), a catalyst [catalyst].
// The shapes tell them apart without colour.

import (
	"fmt"
	"slices"
	"strconv"

	"fenderside/checks/location"
)

func (pl *plan) draw() {
	pl.canvas = newCanvas(pl.width, pl.height)
	pl.heading()
	pl.canvas.box(pl.x0, pl.y0, pl.x1, pl.y1)
	for i := range pl.lanes {
		pl.pipe(&pl.lanes[i])
	}
	pl.cylinders()
	if pl.lengthwise() {
		pl.canvas.centred((pl.x0+pl.x1)/2, pl.y0, " "+pl.kind()+" ")
	} else {
		pl.canvas.put(pl.x0+2, pl.y0, " "+pl.kind()+" ")
	}
	for i := range pl.lanes {
		pl.things(&pl.lanes[i])
	}
}

// heading says which way the vehicle stands and on which side its driver sits.
func (pl *plan) heading() {
	side := map[string]string{"left": "LEFT", "right": "RIGHT"}
	if s := pl.facts.Steering; s != "" {
		side[s] += ", DRIVER"
	}
	pl.canvas.put(0, 0, side["left"])
	pl.canvas.put(pl.width-len(side["right"]), 0, side["right"])
	pl.canvas.centred(pl.width/2, 0, "FRONT OF VEHICLE")
	pl.canvas.centred(pl.width/2, pl.height-1, "REAR OF VEHICLE")
}

// kind names the engine, such as V6.
func (pl *plan) kind() string { return kind(pl.facts) }

func kind(f location.Facts) string {
	n := 0
	for _, b := range f.Rows() {
		if len(b.Cylinders) == 0 {
			return f.Arrangement
		}
		n += len(b.Cylinders)
	}
	if f.Arrangement == "V" {
		return "V" + strconv.Itoa(n)
	}
	return f.Arrangement + " " + strconv.Itoa(n)
}

// spot is the middle of a cylinder on the screen.
func (pl *plan) spot(row, slot int) (x, y int) {
	switch {
	case !pl.lengthwise():
		return pl.x0 + titleRoom + pl.pitch*slot + pl.pitch/2, pl.y0 + 1 + row
	case len(pl.rows) == 1:
		return (pl.x0 + pl.x1) / 2, pl.y0 + 1 + slot
	case row == 0:
		return pl.x0 + 4, pl.y0 + 1 + slot
	}
	return pl.x1 - 4, pl.y0 + 1 + slot
}

// cylinders draws the cylinders with their numbers, or a question mark for those that are not known.
func (pl *plan) cylinders() {
	for i, r := range pl.rows {
		x, y := pl.spot(i, 0)
		if !pl.lengthwise() {
			pl.canvas.put(pl.x0+1, y, title(r.banks, len(pl.rows) > 1))
		}
		if len(r.cylinders) == 0 {
			pl.canvas.centred(x, y, "(?)")
		}
		for slot, c := range r.cylinders {
			text := fmt.Sprintf("(%d)", c)
			if pl.pitch == 3 && !pl.lengthwise() {
				text = strconv.Itoa(c)
			}
			x, y = pl.spot(i, slot)
			pl.canvas.centred(x, y, text)
			if pl.lengthwise() {
				pl.canvas.put(x+3, y, splitBank(r, c))
			}
		}
	}
}

// splitBank is the bank of a cylinder in a row that has two.
func splitBank(r row, cylinder int) string {
	for _, b := range r.banks {
		if len(r.banks) > 1 && slices.Contains(b.Cylinders, cylinder) {
			return fmt.Sprintf("B%d", b.Number)
		}
	}
	return ""
}

// title names a bank, with its side where it lies apart from the other.
func title(banks []location.Bank, apart bool) string {
	switch {
	case len(banks) > 1:
		return "BANKS 1, 2"
	case apart:
		return fmt.Sprintf("BANK %d, %s", banks[0].Number, banks[0].Side)
	}
	return fmt.Sprintf("BANK %d", banks[0].Number)
}

// pipe draws an exhaust from its cylinders to its end.
func (pl *plan) pipe(l *lane) {
	c, end := pl.canvas, pl.end(l)
	switch l.bank.Side {
	case "left", "right":
		edge := map[string]int{"left": pl.x0, "right": pl.x1}[l.bank.Side]
		slots := pl.slots(l)
		_, top := pl.spot(l.row, slots[0])
		c.down(l.x, top, end)
		for _, slot := range slots {
			_, y := pl.spot(l.row, slot)
			c.across(y, l.x, edge)
		}
		c.centred(l.x, pl.y0, title([]location.Bank{l.bank}, true))
	case "front":
		pl.gather(l, pl.y0)
		c.down(l.x, l.first, end)
	case "rear":
		pl.gather(l, pl.y1)
		c.down(l.x, l.first, end)
	default:
		if !pl.lengthwise() {
			c.across(l.first, l.x, pl.x0)
		}
		c.down(l.x, l.first, end)
	}
}

// gather draws the pipes from the edge of the block to the row in which they meet.
func (pl *plan) gather(l *lane, edge int) {
	from, to := l.x, l.x
	for _, slot := range pl.slots(l) {
		x, _ := pl.spot(l.row, slot)
		from, to = min(from, x), max(to, x)
	}
	pl.canvas.across(l.first, from, to)
	for _, slot := range pl.slots(l) {
		x, _ := pl.spot(l.row, slot)
		pl.canvas.down(x, l.first, edge)
	}
}

// things draws the sensors and catalysts of an exhaust.
func (pl *plan) things(l *lane) {
	for _, s := range pl.stops(l) {
		at := location.Position{Bank: l.bank.Number, Sensor: s.Sensor}
		switch {
		case s.Catalyst > 0:
			pl.canvas.centred(l.x, s.y, "[catalyst]")
		case pl.lit != nil && *pl.lit == at:
			text := ">>>" + at.String() + " THIS<<<"
			from := pl.canvas.centred(l.x, s.y, text)
			pl.marks = append(pl.marks, Mark{s.y, from, from + len(text)})
		default:
			pl.canvas.centred(l.x, s.y, "<"+at.String()+">")
		}
	}
}

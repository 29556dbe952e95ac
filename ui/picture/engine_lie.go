package picture

// The rule of this file: exhausts leave their engine side by side, ordered so that pipes cross where the cylinders of two
// banks alternate and nowhere else.

import (
	"slices"

	"fenderside/checks/location"
)

// titleRoom is the room before the cylinders of a crosswise row for the name of its bank.
const titleRoom = 15

// most is the greatest number of places in one row of the block.
func (pl *plan) most() int {
	most := 1
	for _, r := range pl.rows {
		most = max(most, len(r.cylinders), len(r.banks))
	}
	return most
}

// arrangeLengthwise has the cylinders in columns, the exhausts beside the block and behind it.
func (pl *plan) arrangeLengthwise() {
	lefts, rights := pl.on("left"), pl.on("right")
	pl.x0 = laneWidth * len(lefts)
	pl.x1 = pl.x0 + blockWidth - 1
	pl.y0 = 1
	pl.y1 = pl.y0 + pl.most() + 1
	pl.base = pl.y1 + 1
	for i, l := range lefts {
		l.x = laneWidth*i + laneWidth/2
	}
	for i, l := range rights {
		l.x = pl.x1 + 1 + laneWidth*(len(rights)-1-i) + laneWidth/2
	}
	for _, l := range pl.on("") {
		l.x, l.first = pl.x0+blockWidth/2, pl.y1
	}
	pl.width = pl.x1 + 1 + laneWidth*len(rights)
}

// arrangeCrosswise has the cylinders in rows, the exhausts before the block and behind it; one that leaves to the front, or
// by an unknown side, goes back past the left end.
func (pl *plan) arrangeCrosswise() {
	fronts, rears, unknown := pl.on("front"), pl.on("rear"), pl.on("")
	pl.x0 = laneWidth * (len(fronts) + len(unknown))
	pl.x1 = pl.x0 + titleRoom + pl.pitch*pl.most()
	pl.y0 = 1 + len(fronts)
	pl.y1 = pl.y0 + len(pl.rows) + 1
	pl.base = pl.y1 + 1 + len(rears)
	slices.Reverse(fronts) // the one that reaches furthest runs outside
	for i, l := range fronts {
		l.x, l.first = laneWidth*i+laneWidth/2, 1+i
	}
	for _, l := range unknown {
		l.x, l.first = laneWidth/2, pl.y0+1
	}
	for i, l := range rears {
		l.x, l.first = pl.x0+laneWidth*i+laneWidth/2, pl.y1+1+i
	}
	pl.width = max(pl.x1+1, pl.x0+laneWidth*len(rears))
}

// on lists the exhausts that leave by a side, that of the foremost or leftmost cylinder first.
func (pl *plan) on(side string) []*lane {
	var all []*lane
	for i := range pl.lanes {
		if pl.lanes[i].bank.Side == side {
			all = append(all, &pl.lanes[i])
		}
	}
	slices.SortStableFunc(all, func(a, b *lane) int { return pl.slots(a)[0] - pl.slots(b)[0] })
	return all
}

// slots are the places in its row from which an exhaust takes its gas. Where the cylinders are not known, each bank of the
// row has one.
func (pl *plan) slots(l *lane) []int {
	r := pl.rows[l.row]
	var all []int
	for i, c := range r.cylinders {
		if slices.Contains(l.bank.Cylinders, c) {
			all = append(all, i)
		}
	}
	if len(all) > 0 {
		return all
	}
	return []int{slices.IndexFunc(r.banks, func(b location.Bank) bool { return b.Number == l.bank.Number })}
}

package ui

// The rule of this file: a screen is made of pieces. What must be shown comes whole or is missed aloud; of the rest, the
// lesser gives way to the greater, and what was folded says where it can be read.

import (
	"slices"
	"strings"
)

// block is a piece of a screen. What must be shown comes whole; of the rest, the pieces of lowest rank come first, and one
// that may be shortened ends with a row that says where the rest is.
type block struct {
	rows    []string
	rank    int    // 0: must be shown
	shorten string // the row that stands for what does not fit
	alone   string // the row that stands for all of it, or leftOut; without it, shorten does
	place   int    // the piece takes the place of another with fewer rows, by this number; 0 is none
	spare   bool   // left out, it keeps no other out: a key shows it
	gap     bool   // an empty row, given up where that lets a folded piece unfold
	folds   bool   // what of it does not fit is to be said; only whole lines of it are shown
}

// leftOut in place of the row that stands for a piece leaves the piece out where none of it fits.
const leftOut = "\x00"

// fit chooses the pieces that fit into h rows and sets them in order. Missing is how many rows what must be shown needs more.
func fit(blocks []block, h int) (rows []string, missing int) {
	shown, missing := chosen(blocks, h)
	return slices.Concat(shown...), missing
}

// unfolded is fit that gives up empty rows where more of a piece that folds then fits. Folded is how many of its rows are
// still left out.
func unfolded(blocks []block, h int) (rows []string, missing, folded int) {
	shown, missing := chosen(blocks, h)
	folded = left(blocks, shown)
	if missing > 0 || folded == 0 {
		return slices.Concat(shown...), missing, folded
	}
	dense := slices.DeleteFunc(slices.Clone(blocks), func(b block) bool { return b.gap })
	for i, b := range dense {
		if b.folds && b.rows[0] == "" {
			dense[i].rows = b.rows[1:]
		}
	}
	again, _ := chosen(dense, h)
	if n := left(dense, again); n < folded {
		return slices.Concat(again...), 0, n
	}
	return slices.Concat(shown...), 0, folded
}

// left is how many rows of the pieces that fold are not shown.
func left(blocks []block, shown [][]string) int {
	n := 0
	for i, b := range blocks {
		if !b.folds || shown == nil {
			continue
		}
		n += len(b.rows)
		if got := shown[i]; len(got) > 0 && got[len(got)-1] == b.shorten {
			n -= len(got) - 1
		} else {
			n -= len(got)
		}
	}
	return max(0, n)
}

// chosen are the rows of each piece that fits. Once a piece had to be left out, none of a higher rank comes in its stead.
func chosen(blocks []block, h int) (shown [][]string, missing int) {
	need, top := 0, 0
	for _, b := range blocks {
		if b.rank == 0 {
			need += len(b.rows)
		}
		top = max(top, b.rank)
	}
	if need > h {
		return nil, need - h
	}
	room, short := h-need, false
	shown = make([][]string, len(blocks))
	for rank := 0; rank <= top && !short; rank++ {
		for i, b := range blocks {
			if b.rank != rank {
				continue
			}
			if rank == 0 {
				shown[i] = b.rows
				continue
			}
			back := replaced(blocks, shown, b.place)
			take := b.take(room + back)
			if len(take) == 0 {
				short = short || back == 0 && len(b.rows) > 0 && !b.spare
				continue
			}
			drop(blocks, shown, b.place)
			shown[i], room = take, room+back-len(take)
		}
	}
	return shown, 0
}

func (b block) take(room int) []string {
	switch {
	case len(b.rows) <= room || len(b.rows) == 0:
		return b.rows
	case b.shorten != "" && room >= 1:
		rows := b.rows
		if rows[0] == "" && room < 4 {
			rows = rows[1:]
		}
		kept := append([]string(nil), rows[:room-1]...)
		for b.folds && len(kept) > 0 && strings.HasPrefix(rows[len(kept)], "  ") { // the rest of a line whose beginning says something else
			kept = kept[:len(kept)-1]
		}
		for len(kept) > 0 && strings.HasSuffix(kept[len(kept)-1], ":") { // a heading over nothing
			kept = kept[:len(kept)-1]
		}
		switch {
		case len(kept) == 0 && b.alone == leftOut:
			return nil
		case len(kept) == 0 && b.alone != "":
			return []string{b.alone}
		}
		return append(kept, b.shorten)
	}
	return nil
}

// replaced is how many rows the pieces that share a place take now.
func replaced(blocks []block, shown [][]string, place int) int {
	n := 0
	for i, b := range blocks {
		if place != 0 && b.place == place {
			n += len(shown[i])
		}
	}
	return n
}

func drop(blocks []block, shown [][]string, place int) {
	for i, b := range blocks {
		if place != 0 && b.place == place {
			shown[i] = nil
		}
	}
}

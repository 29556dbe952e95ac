package picture

// The rule of this file: a line knows which ways it leaves each cell, so that the same drawing comes out in ASCII and in
// drawn lines. Where two lines cross without meeting, the upright one is drawn through.

import "strings"

// The ways a line leaves a cell.
const (
	up = 1 << iota
	down
	left
	right
)

// cell is one column of one row: a character, or lines.
type cell struct {
	text  rune
	lines int
}

// canvas is a field of cells; what lies outside it is not drawn.
type canvas struct{ rows [][]cell }

func newCanvas(w, h int) *canvas {
	c := &canvas{rows: make([][]cell, h)}
	for y := range c.rows {
		c.rows[y] = make([]cell, w)
	}
	return c
}

func (c *canvas) at(x, y int) *cell {
	if y < 0 || y >= len(c.rows) || x < 0 || x >= len(c.rows[y]) {
		return &cell{}
	}
	return &c.rows[y][x]
}

// put writes ASCII text over whatever is there.
func (c *canvas) put(x, y int, text string) {
	for i, r := range text {
		c.at(x+i, y).text = r
	}
}

// centred writes text with its middle at x and gives where it begins.
func (c *canvas) centred(x, y int, text string) (from int) {
	from = x - len(text)/2
	c.put(from, y, text)
	return from
}

// join adds lines to a cell. A straight line over a straight one crosses it.
func (c *canvas) join(x, y, ways int) {
	const upright, level = up | down, left | right
	p := c.at(x, y)
	switch {
	case p.lines == upright && ways == level:
	case p.lines == level && ways == upright:
		p.lines = upright
	default:
		p.lines |= ways
	}
}

// across draws a level line, ends included.
func (c *canvas) across(y, from, to int) {
	stretch(from, to, right, left, func(x, ways int) { c.join(x, y, ways) })
}

// down draws an upright line, ends included.
func (c *canvas) down(x, from, to int) {
	stretch(from, to, down, up, func(y, ways int) { c.join(x, y, ways) })
}

// stretch visits a line from its lower end to its upper one; each end is joined only to what lies on the line.
func stretch(from, to int, onward, back int, join func(at, ways int)) {
	from, to = min(from, to), max(from, to)
	for at := from; at <= to && from < to; at++ {
		switch at {
		case from:
			join(at, onward)
		case to:
			join(at, back)
		default:
			join(at, onward|back)
		}
	}
}

// box draws a frame.
func (c *canvas) box(x0, y0, x1, y1 int) {
	c.across(y0, x0, x1)
	c.across(y1, x0, x1)
	c.down(x0, y0, y1)
	c.down(x1, y0, y1)
}

// drawn are the characters of lines, by the ways they leave their cell.
var drawn = [...]rune{
	up: '│', down: '│', up | down: '│', left: '─', right: '─', left | right: '─',
	down | right: '┌', down | left: '┐', up | right: '└', up | left: '┘',
	up | down | right: '├', up | down | left: '┤', left | right | down: '┬', left | right | up: '┴', up | down | left | right: '┼',
}

func (p cell) shown(lines bool) rune {
	switch {
	case p.text != 0:
		return p.text
	case p.lines == 0:
		return ' '
	case lines:
		return drawn[p.lines]
	case p.lines&(left|right) == 0:
		return '|'
	case p.lines&(up|down) == 0:
		return '-'
	}
	return '+'
}

// shown is the canvas in rows, without blanks at their ends.
func (c *canvas) shown(lines bool) []string {
	rows := make([]string, len(c.rows))
	for y, row := range c.rows {
		var b strings.Builder
		for _, p := range row {
			b.WriteRune(p.shown(lines))
		}
		rows[y] = strings.TrimRight(b.String(), " ")
	}
	return rows
}

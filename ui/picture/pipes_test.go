package picture_test

// The pipes of a drawing are followed line by line, as an eye follows them.

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/checks/location"
	"fenderside/ui/picture"
)

// The pipes are followed from each first sensor, line by line, to where they meet the block: only cylinders of the bank may
// stand there.
func TestEveryPipeComesFromTheCylindersOfItsBank(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		rows := picture.Engine(f, nil, picture.Form{Width: 200, Lines: true}).Rows
		s := look(t, ungird(rows))
		for _, p := range f.Sensors {
			if p.Sensor != 1 {
				continue
			}
			b := f.Banks[p.Bank-1]
			met := follow(rows, s.sensors[p.String()], s.cylinders)
			assert.ElementsMatch(t, b.Cylinders, met, "%s in\n%s", p, strings.Join(rows, "\n"))
		}
	})
}

// ungird gives each drawn line one byte, so that columns are bytes.
func ungird(rows []string) []string {
	out := make([]string, len(rows))
	for i, r := range rows {
		out[i] = strings.Map(func(c rune) rune {
			if c > '~' {
				return '|'
			}
			return c
		}, r)
	}
	return out
}

// ways are the ways that a drawn line leaves its cell: up, right, down, left.
var ways = map[rune]string{'│': "ud", '─': "lr", '┌': "rd", '┐': "ld", '└': "ru", '┘': "lu", '├': "udr", '┤': "udl", '┬': "lrd", '┴': "lru", '┼': "udlr"}

var back = map[rune]rune{'u': 'd', 'd': 'u', 'l': 'r', 'r': 'l'}

var steps = map[rune][2]int{'u': {0, -1}, 'd': {0, 1}, 'l': {-1, 0}, 'r': {1, 0}}

// grid is a drawing by column and row.
type grid [][]rune

func gridOf(rows []string) grid {
	var g grid
	for _, r := range rows {
		g = append(g, []rune(r))
	}
	return g
}

func (g grid) at(x, y int) rune {
	if y < 0 || y >= len(g) || x < 0 || x >= len(g[y]) {
		return ' '
	}
	return g[y][x]
}

func (g grid) goes(x, y int, way rune) bool { return strings.ContainsRune(ways[g.at(x, y)], way) }

// frame is the block: the corners in the row above its cylinders, and its last row.
type frame struct{ left, right, top, bottom int }

func frameOf(g grid, cylinders map[int]spot) frame {
	f := frame{left: -1, top: 1 << 20}
	for _, c := range cylinders {
		f.top, f.bottom = min(f.top, c.y-1), max(f.bottom, c.y+1)
	}
	for x := range g[f.bottom] {
		if g.goes(x, f.bottom, 'u') && g.goes(x, f.bottom-1, 'd') && g.goes(x, f.top, 'd') {
			if f.left < 0 {
				f.left = x
			}
			f.right = x
		}
	}
	return f
}

// beside is the cylinder next to a place on the frame, or 0.
func (f frame) beside(x, y int, cylinders map[int]spot) int {
	best, least := 0, 1<<20
	for n, c := range cylinders {
		far := abs(c.y - y)
		if far == 0 {
			far = abs((c.from+c.to)/2 - x)
		} else if x < c.from || x > c.to {
			continue
		}
		if far < least {
			best, least = n, far
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }

// follow walks the lines that touch a sensor and lists the cylinders beside which they reach the block.
func follow(rows []string, from spot, cylinders map[int]spot) []int {
	g := gridOf(rows)
	f := frameOf(g, cylinders)
	var met []int
	been := map[[2]int]bool{}
	var walk func(x, y int, came rune)
	walk = func(x, y int, came rune) {
		if x >= f.left && x <= f.right && y >= f.top && y <= f.bottom {
			met = append(met, f.beside(x, y, cylinders))
			return
		}
		if !g.goes(x, y, back[came]) { // an upright line is drawn through where this one crosses it
			walk(x+steps[came][0], y+steps[came][1], came)
			return
		}
		if been[[2]int{x, y}] {
			return
		}
		been[[2]int{x, y}] = true
		for _, w := range ways[g.at(x, y)] {
			if w != back[came] {
				walk(x+steps[w][0], y+steps[w][1], w)
			}
		}
	}
	for x := from.from; x <= from.to; x++ {
		if g.goes(x, from.y-1, 'd') {
			walk(x, from.y-1, 'u')
		}
	}
	if g.goes(from.to+1, from.y, 'l') {
		walk(from.to+1, from.y, 'r')
	}
	return met
}

func TestPipesCrossOnlyWhereTheCylindersOfTwoBanksAlternate(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		rows := picture.Engine(f, nil, picture.Form{Width: 200, Lines: true}).Rows
		g, crossed := gridOf(rows), 0
		for y := range g {
			for x := range g[y] {
				if g[y][x] == '│' && g.goes(x-1, y, 'r') && g.goes(x+1, y, 'l') {
					crossed++
				}
			}
		}
		one, two := slices.Sorted(slices.Values(f.Banks[0].Cylinders)), slices.Sorted(slices.Values(f.Banks[1].Cylinders))
		if f.Arrangement != "in-line" || one[len(one)-1] < two[0] {
			assert.Zero(t, crossed, strings.Join(rows, "\n"))
		}
	})
}

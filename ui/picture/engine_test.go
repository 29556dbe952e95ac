package picture_test

// An engine's drawing is read back as a person reads it, by looking for the marks, and held to where each thing must be by
// the facts alone.

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/location"
	"fenderside/procedures/library"
	"fenderside/ui/picture"
)

// spot is where something stands in a drawing: its row, and its first and last column.
type spot struct{ y, from, to int }

var (
	cylinderMark = regexp.MustCompile(`\((\d+)\)`)
	sensorMark   = regexp.MustCompile(`<(?:>>)?(B\dS\d)(?: THIS<<)?>|>>>(B\dS\d) THIS<<<`)
	catalystMark = regexp.MustCompile(`\[catalyst\]`)
)

// seen is everything found in a drawing.
type seen struct {
	cylinders map[int]spot
	sensors   map[string]spot
	catalysts []spot
	lit       []string
}

// look reads a drawing, down to its last row of the vehicle.
func look(t *testing.T, rows []string) seen {
	t.Helper()
	s := seen{cylinders: map[int]spot{}, sensors: map[string]spot{}}
	for y, row := range rows {
		if strings.Contains(row, "REAR OF VEHICLE") {
			return s
		}
		for _, m := range cylinderMark.FindAllStringSubmatchIndex(row, -1) {
			n, _ := strconv.Atoi(row[m[2]:m[3]])
			require.NotContains(t, s.cylinders, n, "cylinder %d is drawn twice", n)
			s.cylinders[n] = spot{y, m[0], m[1] - 1}
		}
		for _, m := range sensorMark.FindAllStringSubmatchIndex(row, -1) {
			name := ""
			if m[2] >= 0 {
				name = row[m[2]:m[3]]
			} else {
				name = row[m[4]:m[5]]
				s.lit = append(s.lit, name)
			}
			require.NotContains(t, s.sensors, name)
			s.sensors[name] = spot{y, m[0], m[1] - 1}
		}
		for _, m := range catalystMark.FindAllStringIndex(row, -1) {
			s.catalysts = append(s.catalysts, spot{y, m[0], m[1] - 1})
		}
	}
	require.Fail(t, "the drawing has no rear")
	return s
}

// beyond says whether a lies wholly on that side of b.
func beyond(side string, a, b spot) bool {
	switch side {
	case "left":
		return a.to < b.from
	case "right":
		return a.from > b.to
	case "front":
		return a.y < b.y
	}
	return a.y > b.y
}

// numberings are the cylinders of two banks, or of one engine in line, as vehicles have them.
var numberings = map[string][2][]int{
	"alternating":    {{1, 3, 5}, {2, 4, 6}},
	"bank by bank":   {{1, 2, 3}, {4, 5, 6}},
	"against itself": {{1, 4, 5, 8}, {2, 3, 6, 7}},
	"two":            {{1}, {2}},
	"twelve":         {{1, 2, 3, 4, 5, 6}, {7, 8, 9, 10, 11, 12}},
	"running back":   {{1, 6, 2}, {5, 3, 4}},
}

// fitted are sensors, by how far their places run on each bank.
var fitted = map[string][]string{
	"one each":        {"B1S1", "B2S1"},
	"two each":        {"B1S1", "B1S2", "B2S1", "B2S2"},
	"three each":      {"B1S1", "B1S2", "B1S3", "B2S1", "B2S2", "B2S3"},
	"uneven":          {"B1S1", "B1S2", "B1S3", "B2S1"},
	"without a first": {"B1S2", "B2S1", "B2S2"},
	"four":            {"B1S1", "B1S4", "B2S2", "B2S3"},
}

func positions(t *testing.T, names []string) []location.Position {
	var all []location.Position
	for _, n := range names {
		p, err := location.ParsePosition(n)
		require.NoError(t, err)
		all = append(all, p)
	}
	return all
}

var ends = map[string][2][]string{
	"lengthwise": {{"front", "rear"}, {"left", "right"}}, // ends of the crankshaft, sides of the banks
	"crosswise":  {{"left", "right"}, {"front", "rear"}},
}

// everyEngine calls for each arrangement, mounting, side of bank 1, end of cylinder 1, numbering and set of sensors.
func everyEngine(t *testing.T, try func(t *testing.T, f location.Facts)) {
	for mounting, e := range ends {
		for _, arrangement := range []string{"V", "flat", "in-line split"} {
			for i, side := range e[1] {
				for _, one := range e[0] {
					for numbered, cylinders := range numberings {
						for sensors, names := range fitted {
							kind, _, _ := strings.Cut(arrangement, " ")
							f := location.Facts{Arrangement: kind, Mounting: mounting, CylinderOne: one, Steering: "left", Sensors: positions(t, names),
								Banks: []location.Bank{{Number: 1, Side: side, Cylinders: cylinders[0]}, {Number: 2, Side: e[1][1-i], Cylinders: cylinders[1]}}}
							t.Run(fmt.Sprint(mounting, arrangement, side, one, numbered, sensors), func(t *testing.T) { try(t, f) })
							if kind == "in-line" {
								f.Banks = []location.Bank{{Number: 1, Side: side, Cylinders: cylinders[0]}, {Number: 2, Side: side, Cylinders: cylinders[1]}}
								t.Run(fmt.Sprint(mounting, "split, one side", side, one, numbered, sensors), func(t *testing.T) { try(t, f) })
							}
						}
					}
				}
			}
		}
	}
}

func TestEveryCylinderStandsInItsBankOnItsSideInItsOrder(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		s := look(t, picture.Engine(f, nil, picture.Form{Width: 200}).Rows)
		total := 0
		for _, b := range f.Banks {
			total += len(b.Cylinders)
			other := f.Banks[2-b.Number]
			for i, c := range b.Cylinders {
				at, drawn := s.cylinders[c]
				require.True(t, drawn, "cylinder %d", c)
				for _, o := range other.Cylinders {
					assert.True(t, f.Arrangement == "in-line" || beyond(b.Side, at, s.cylinders[o]), "cylinder %d lies on the %s of %d", c, b.Side, o)
				}
				if f.Arrangement == "in-line" || i == 0 {
					continue
				}
				assert.True(t, beyond(f.CylinderOne, s.cylinders[b.Cylinders[i-1]], at), "cylinder %d lies nearer the %s than %d", b.Cylinders[i-1], f.CylinderOne, c)
			}
		}
		assert.Len(t, s.cylinders, total)
		for n := 2; f.Arrangement == "in-line" && n <= total; n++ {
			assert.True(t, beyond(f.CylinderOne, s.cylinders[n-1], s.cylinders[n]), "cylinders of an in-line engine are numbered along it")
		}
	})
}

func TestEverySensorStandsOnItsSideBehindTheOneBeforeIt(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		s := look(t, picture.Engine(f, nil, picture.Form{Width: 200}).Rows)
		require.Len(t, s.sensors, len(f.Sensors))
		assert.Empty(t, s.lit)
		for i, p := range f.Sensors {
			at := s.sensors[p.String()]
			side := f.Banks[p.Bank-1].Side
			for n, c := range s.cylinders {
				assert.True(t, p.Sensor > 1 && side == "front" || beyond(side, at, c), "%s lies on the %s of cylinder %d", p, side, n)
				assert.True(t, p.Sensor == 1 || beyond("rear", at, c), "%s lies behind the engine", p)
			}
			if i > 0 && f.Sensors[i-1].Bank == p.Bank {
				before := s.sensors[f.Sensors[i-1].String()]
				assert.Less(t, before.y, at.y, "%s comes before %s", f.Sensors[i-1], p)
				assert.True(t, overlap(before, at), "on one pipe")
				assert.Equal(t, catalystsBetween(f.Sensors[i-1].Sensor, p.Sensor), between(s, before, at), "catalysts between %s and %s", f.Sensors[i-1], p)
			}
		}
	})
}

// catalystsBetween counts them: sensor 1 is before the catalyst, sensor 2 behind the first, sensor 3 behind the second.
func catalystsBetween(a, b int) int {
	before := []int{0, 0, 1, 2, 2}
	return before[b] - before[a]
}

func overlap(a, b spot) bool { return a.from <= b.to && b.from <= a.to }

func between(s seen, a, b spot) int {
	n := 0
	for _, c := range s.catalysts {
		if c.y > a.y && c.y < b.y && overlap(a, c) {
			n++
		}
	}
	return n
}

func TestTheOneSensorIsMarkedByShapeAndWord(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		plain := look(t, picture.Engine(f, nil, picture.Form{Width: 200}).Rows)
		for _, p := range f.Sensors {
			drawn := picture.Engine(f, &p, picture.Form{Width: 200})
			s := look(t, drawn.Rows)
			require.Equal(t, []string{p.String()}, s.lit, "one alone")
			require.Len(t, drawn.Marks, 1)
			m := drawn.Marks[0]
			require.Equal(t, ">>>"+p.String()+" THIS<<<", drawn.Rows[m.Row][m.From:m.To])
			for name, at := range plain.sensors {
				assert.True(t, s.sensors[name].y == at.y && overlap(s.sensors[name], at), "marking one moves none")
			}
			assert.Contains(t, drawn.Words[len(drawn.Words)-1], "THIS ONE: "+p.String())
		}
	})
}

func TestAnInLineEngineOfOneBankHasItsExhaustOnItsSideOrOnNone(t *testing.T) {
	for mounting, e := range ends {
		for _, side := range append([]string{""}, e[1]...) {
			f := location.Facts{Arrangement: "in-line", Mounting: mounting, CylinderOne: e[0][0], Sensors: positions(t, []string{"B1S1", "B1S2"}),
				Banks: []location.Bank{{Number: 1, Side: side, Cylinders: []int{1, 2, 3, 4, 5}}}}
			p := picture.Engine(f, nil, picture.Form{Width: 60})
			s := look(t, p.Rows)
			first := s.sensors["B1S1"]
			for _, c := range s.cylinders {
				if side != "" {
					assert.True(t, beyond(side, first, c))
					continue
				}
				assert.True(t, beyond(map[string]string{"lengthwise": "rear", "crosswise": "left"}[mounting], first, c), "past an end of the block")
			}
			assert.Equal(t, side == "", strings.Contains(strings.Join(p.Words, " "), "by a side that is not known"))
		}
	}
}

func TestTheDriversSideAndTheFrontAreMarked(t *testing.T) {
	c, ok := library.Card("millbrook-six")
	require.True(t, ok)
	f := picture.FactsOf(c)
	for steering, want := range map[string][2]string{"left": {"LEFT, DRIVER", "RIGHT"}, "right": {"LEFT", "RIGHT, DRIVER"}, "": {"LEFT", "RIGHT"}} {
		f.Steering = steering
		head := strings.Fields(picture.Engine(f, nil, picture.Form{Width: 60}).Rows[0])
		assert.Equal(t, strings.Fields(want[0]+" FRONT OF VEHICLE "+want[1]), head)
	}
}

func TestWhatIsNotKnownOfAnEngineIsSaidAndNotDrawn(t *testing.T) {
	two := positions(t, []string{"B1S1", "B2S1"})
	for want, f := range map[string]location.Facts{
		"how the engine lies is not known":     {Arrangement: "V", Sensors: two},
		"the sides of its banks are not known": {Arrangement: "V", Mounting: "lengthwise", Sensors: two},
		"more than two banks":                  {Arrangement: "V", Mounting: "lengthwise", Sensors: positions(t, []string{"B1S1", "B2S1", "B3S1"})},
		"only one of its banks is known":       {Arrangement: "V", Mounting: "lengthwise", Sensors: two[:1]},
		"It cannot be drawn: fitted sensors":   {Arrangement: "V", Mounting: "lengthwise"},
	} {
		p := picture.Engine(f, nil, picture.Form{Width: 60})
		assert.Contains(t, strings.Join(p.Rows, " "), want)
		assert.NotContains(t, strings.Join(p.Rows, " "), "REAR OF VEHICLE")
	}
	f := location.Facts{Arrangement: "V", Mounting: "lengthwise", Sensors: two, Banks: []location.Bank{{Number: 1, Side: "left"}, {Number: 2, Side: "right"}}}
	rows := strings.Join(picture.Engine(f, nil, picture.Form{Width: 60}).Rows, "\n")
	assert.Equal(t, 2, strings.Count(rows, "(?)"), "cylinders whose numbers are not known")
}

func TestNoRowOfAnEngineIsWiderThanItsWidth(t *testing.T) {
	everyEngine(t, func(t *testing.T, f location.Facts) {
		for _, w := range []int{20, 50, 60, 80} {
			for _, row := range picture.Engine(f, &f.Sensors[0], picture.Form{Width: w}).Rows {
				require.LessOrEqual(t, len(row), w, row)
			}
		}
	})
}

package picture

// The rule of this file: an axis runs between round figures that are chosen from what does not change as readings come in,
// and a value beyond its ends is drawn at the end.

import "math"

// axis lays a range of values over so many cells, the low end in the first.
type axis struct {
	low, high float64
	cells     int
}

// at is the cell of a value.
func (a axis) at(v float64) int {
	share := (v - a.low) / (a.high - a.low)
	return int(math.Round(math.Min(1, math.Max(0, share)) * float64(a.cells-1)))
}

// value is what the middle of a cell stands for.
func (a axis) value(cell int) float64 {
	return a.low + (a.high-a.low)*float64(cell)/float64(a.cells-1)
}

// floor and ceil round to a multiple of a step.
func floor(v, step float64) float64 { return math.Floor(v/step) * step }
func ceil(v, step float64) float64  { return math.Ceil(v/step) * step }

// span is the least of 1, 2, 5, 10, 20, 50 and so on that is no less than v.
func span(v float64) float64 {
	step := 1.0
	for i := 0; step < v && i < 60; i++ {
		step *= []float64{2, 2.5, 2}[i%3]
	}
	return step
}

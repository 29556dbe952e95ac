// The rule of this file: whatever the readings cannot exclude is inside the
// interval, and an interval without an end is a refusal.

package cooling

import (
	"math"
)

// region is every κ, D and Ta whose sum of squares is at most bound.
type region struct {
	data      data
	best      float64 // κ of the least sum
	bound     float64 // K²
	low, high float64 // of κ
	cells     []cell  // from low to high, even in ln κ
}

// cell is one κ of a grid, and the solution there.
type cell struct {
	x, kappa float64 // x is ln κ
	linear
}

const cells = 200

func (r *region) at(x float64) cell {
	kappa := math.Exp(x)
	return cell{x, kappa, r.data.at(kappa)}
}

// grid is made once for every extreme that is looked for.
func (r *region) grid() []cell {
	if r.cells == nil {
		from, to := math.Log(r.low), math.Log(r.high)
		r.cells = make([]cell, 0, cells+1)
		for i := 0; i <= cells; i++ {
			r.cells = append(r.cells, r.at(from+(to-from)*float64(i)/cells))
		}
	}
	return r.cells
}

// open finds the ends of κ, or says which is missing.
func (r *region) open() (Outcome, string) {
	bottom, top := r.data.lowest(), steepest
	if r.data.at(bottom).rss <= r.bound {
		if r.data.ambient == nil {
			return TooNoisy, "within the scatter of the thermometer the readings lie on a straight line: they do not show where the cooling ends; measure the ambient, or wait longer"
		}
		return TooNoisy, "the fall is within the scatter of the thermometer: wait longer between readings, or take more"
	}
	if r.data.at(top).rss <= r.bound {
		return AtAmbient, "within the scatter of the thermometer all readings but the first are at ambient: the rate of cooling is lost; read sooner next time"
	}
	r.low, r.high = r.edge(bottom), r.edge(top)
	return Told, ""
}

// edge is where the sum of squares passes bound between the best κ and outside.
func (r *region) edge(outside float64) float64 {
	in, _ := halve(math.Log(r.best), math.Log(outside), func(x float64) bool { return r.data.at(math.Exp(x)).rss <= r.bound })
	return math.Exp(in)
}

// halve narrows the way from a place where something holds to one where it does
// not. Once nothing changes any more no number lies between them.
func halve(holds, fails float64, at func(float64) bool) (float64, float64) {
	const most = 100
	for range most {
		before, mid := [2]float64{holds, fails}, holds+(fails-holds)/2
		if at(mid) {
			holds = mid
		} else {
			fails = mid
		}
		if before == [2]float64{holds, fails} {
			break
		}
	}
	return holds, fails
}

// ambients is the interval of Ta.
func (r *region) ambients() Range {
	if r.data.ambient != nil {
		return Range{*r.data.ambient, *r.data.ambient}
	}
	half := func(l linear) float64 { return math.Sqrt(math.Max(0, r.bound-l.rss) * l.vA) }
	low, _ := r.extreme(func(c cell) (float64, bool) { return -(c.ambient - half(c.linear)), true })
	high, _ := r.extreme(func(c cell) (float64, bool) { return c.ambient + half(c.linear), true })
	return Range{-low, high}
}

// times is the interval of the time, in spans, at which the law passes a
// temperature. It is false when some possible law never does.
//
// At one κ the possible (D, Ta) fill an ellipse, and the ratio D/(T - Ta) over
// it lies between the roots of Fieller's quadratic; the time is its logarithm
// over κ.
func (r *region) times(kelvin float64) (Range, bool) {
	at := func(sign float64) func(cell) (float64, bool) {
		return func(c cell) (float64, bool) {
			ratio, ok := c.fieller(kelvin, math.Max(0, r.bound-c.rss), sign)
			return sign * math.Log(ratio) / c.kappa, ok
		}
	}
	early, ok := r.extreme(at(-1))
	if !ok {
		return Range{}, false
	}
	late, ok := r.extreme(at(+1))
	return Range{-early, late}, ok
}

// fieller is one end of D/(T - Ta) over the ellipse of that squared radius.
func (l linear) fieller(kelvin, radius, sign float64) (float64, bool) {
	a := kelvin - l.ambient
	square := float64(a*a) - float64(radius*l.vA)
	half := float64(a*l.excess) + float64(radius*l.cov)
	rest := float64(l.excess*l.excess) - float64(radius*l.vD)
	if a <= 0 || l.excess <= 0 || square <= 0 || rest <= 0 {
		return 0, false
	}
	root := math.Sqrt(math.Max(0, float64(half*half)-float64(square*rest)))
	ratio := (half + float64(sign*root)) / square
	return ratio, ratio > 0
}

// extreme is the greatest value over the possible κ: the best of a grid, then a
// search beside it. It is false when any κ gives none.
func (r *region) extreme(value func(cell) (float64, bool)) (float64, bool) {
	from, to := math.Log(r.low), math.Log(r.high)
	best, where := math.Inf(-1), from
	for _, c := range r.grid() {
		v, ok := value(c)
		if !ok {
			return 0, false
		}
		if v > best {
			best, where = v, c.x
		}
	}
	wide := (to - from) / cells
	low, high := math.Max(from, where-wide), math.Min(to, where+wide)
	for range 60 {
		a, b := low+(high-low)/3, high-(high-low)/3
		va, okA := value(r.at(a))
		vb, okB := value(r.at(b))
		if !okA || !okB {
			return 0, false
		}
		best = math.Max(best, math.Max(va, vb))
		if va < vb {
			low = a
		} else {
			high = b
		}
	}
	return best, true
}

// student is the two-sided quantile of Student's distribution at a confidence,
// by bisection of its closed form for whole degrees of freedom (Abramowitz and
// Stegun, 26.7.3 and 26.7.4, from memory).
func student(confidence float64, freedom int) float64 {
	low, high := 0.0, math.Pi/2
	for range 100 {
		mid := (low + high) / 2
		if withinAngle(mid, freedom) < confidence {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(float64(freedom)) * math.Tan(low)
}

// withinAngle is the probability that |t| stays below √ν·tan θ.
func withinAngle(theta float64, freedom int) float64 {
	sin, cos := math.Sincos(theta)
	term, sum, first := 1.0, 1.0, 1
	if freedom%2 == 1 {
		term, sum, first = cos, cos, 2
	}
	for i := first; i <= freedom-3; i += 2 {
		term *= float64(i) / float64(i+1) * cos * cos
		sum += term
	}
	if freedom%2 == 0 {
		return sin * sum
	}
	if freedom == 1 {
		return theta * 2 / math.Pi
	}
	return 2 / math.Pi * (theta + sin*sum)
}

// The rule of this file: the fit is the least sum of squares over k, D and Ta,
// and k that no reading bounds is no fit.

package cooling

import (
	"fmt"
	"math"
	"sync"
)

// Fit is Newton's law through the readings. Figures count only where Outcome is
// Told; each interval is at the confidence asked for.
type Fit struct {
	Outcome  Outcome
	Because  string
	Rate     float64 // k, 1/s
	Rates    Range
	Ambient  float64 // K, given or estimated
	Ambients Range   // both ends Ambient where it was given
	Start    float64 // K, the law at the first reading
	Residual float64 // K, root of the mean square
	Spread   float64 // K, s of one reading as pooled
	Quantile float64 // q
	Freedom  int     // degrees of freedom of q
	Limits   []Limit // scatter, confidence, prior freedom
	Workings []string

	region region
	first  float64 // s, time of the first reading
	span   float64 // s
}

// At is the law's temperature in K, that many seconds on the clock of the
// readings.
func (f Fit) At(seconds float64) float64 {
	return f.Ambient + float64((f.Start-f.Ambient)*math.Exp(-f.Rate*(seconds-f.first)))
}

// Fit fits the law. Errors name an input that cannot be; readings that cannot
// tell give an Outcome other than Told and no error.
func (m Measurement) Fit() (Fit, error) {
	m = m.withDefaults()
	if err := m.check(); err != nil {
		return Fit{}, err
	}
	f := Fit{Limits: []Limit{m.Scatter, m.Confidence, PriorFreedom}}
	if f.Outcome, f.Because = m.refusal(); f.Outcome != Told {
		return f, nil
	}
	d := m.data()
	f.first, f.span = m.Readings[0].After.Seconds(), d.span
	kappa, outcome, because := d.search()
	if outcome != Told {
		f.Outcome, f.Because = outcome, because
		return f, nil
	}
	f.settle(m, d, kappa)
	return f, nil
}

// data is the readings with time scaled to 0..1 over their span, so that the
// rate searched for, κ = k·span, is a plain number.
type data struct {
	u, y    []float64
	span    float64  // s
	ambient *float64 // K
}

func (m Measurement) data() data {
	d := data{ambient: m.Ambient}
	first := m.Readings[0].After
	d.span = (m.Readings[len(m.Readings)-1].After - first).Seconds()
	for _, r := range m.Readings {
		d.u = append(d.u, (r.After-first).Seconds()/d.span)
		d.y = append(d.y, r.Kelvin)
	}
	return d
}

// linear is the least-squares solution in D and Ta at one κ.
type linear struct {
	excess, ambient float64 // D, Ta
	rss             float64 // K²
	slope           float64 // of rss against κ
	vD, cov, vA     float64 // inverse of the normal matrix
}

// usual is for how many readings there is room without asking for any: at is
// what a fit does most.
const usual = 16

// at solves for D and, where it is not given, Ta.
func (d data) at(kappa float64) linear {
	var room [usual]float64
	e := room[:0]
	n, se, see := float64(len(d.u)), 0.0, 0.0
	for _, u := range d.u {
		x := math.Exp(-kappa * u)
		e = append(e, x)
		se += x
		see += float64(x * x)
	}
	l := linear{}
	if d.ambient != nil {
		l.ambient, l.vD = *d.ambient, 1/see
		for i, y := range d.y {
			l.excess += float64(e[i]*(y-l.ambient)) / see
		}
	} else {
		l = d.regress(e, n, se/n)
	}
	for i, y := range d.y {
		r := y - l.ambient - float64(l.excess*e[i])
		l.rss += float64(r * r)
		l.slope += 2 * float64(r*l.excess) * float64(d.u[i]*e[i])
	}
	return l
}

// regress is the straight line of y against e.
func (d data) regress(e []float64, n, mean float64) linear {
	y0, sxx, sxy := 0.0, 0.0, 0.0
	for _, y := range d.y {
		y0 += y / n
	}
	for i, y := range d.y {
		sxx += float64((e[i] - mean) * (e[i] - mean))
		sxy += float64((e[i] - mean) * (y - y0))
	}
	l := linear{excess: sxy / sxx, vD: 1 / sxx, cov: -mean / sxx, vA: 1/n + float64(mean*mean)/sxx}
	l.ambient = y0 - float64(l.excess*mean)
	return l
}

// The ends and fineness of the search for κ. Below the low end the curve is a
// straight line (or level) to any thermometer; past the high end it has reached
// ambient before its first sixtieth.
const (
	steps    = 600
	straight = 1e-3
	level    = 1e-7
	steepest = 60.0
)

func (d data) lowest() float64 {
	if d.ambient == nil {
		return straight
	}
	return level
}

// grid is where the search looks first.
func (d data) grid() *[steps + 1]float64 {
	if d.ambient == nil {
		return fromStraight()
	}
	return fromLevel()
}

var (
	fromStraight = sync.OnceValue(func() *[steps + 1]float64 { return gridFrom(straight) })
	fromLevel    = sync.OnceValue(func() *[steps + 1]float64 { return gridFrom(level) })
)

func gridFrom(lowest float64) *[steps + 1]float64 {
	var all [steps + 1]float64
	for i := range all {
		all[i] = lowest * math.Pow(steepest/lowest, float64(i)/steps)
	}
	return &all
}

// search finds the κ of the least sum of squares: the best of a grid, then the
// zero of the slope beside it.
func (d data) search() (float64, Outcome, string) {
	grid, best, least := d.grid(), 0, math.Inf(1)
	for i, kappa := range grid {
		if rss := d.at(kappa).rss; rss < least {
			best, least = i, rss
		}
	}
	switch {
	case best == 0 && d.ambient == nil:
		return 0, TooNoisy, "the readings lie on a straight line or bend the wrong way: they do not show where the cooling ends; measure the ambient, or wait longer"
	case best == 0:
		return 0, TooNoisy, "the readings do not fall: there is no rate of cooling to be seen; wait longer"
	case best == steps:
		return 0, AtAmbient, "the surface had reached ambient by the second time: the rate of cooling is lost; there is nothing left to forecast"
	}
	low, high := halve(grid[best-1], grid[best+1], func(kappa float64) bool { return d.at(kappa).slope < 0 })
	return low + (high-low)/2, Told, ""
}

// settle fills in the fit at its κ and the intervals.
func (f *Fit) settle(m Measurement, d data, kappa float64) {
	best := d.at(kappa)
	parameters := 2
	if m.Ambient == nil {
		parameters = 3
	}
	freedom := max(0, len(m.Readings)-parameters)
	prior := PriorFreedom.Value
	pooled := (float64(prior*m.Scatter.Value*m.Scatter.Value) + best.rss) / (prior + float64(freedom))
	f.Freedom = int(prior) + freedom
	f.Spread = math.Sqrt(pooled)
	f.Quantile = student(m.Confidence.Value, f.Freedom)
	f.Rate, f.Ambient, f.Start = kappa/d.span, best.ambient, best.ambient+best.excess
	f.Residual = math.Sqrt(best.rss / float64(len(m.Readings)))
	f.region = region{data: d, best: kappa, bound: best.rss + float64(pooled*f.Quantile*f.Quantile)}
	if best.excess <= 0 {
		f.Outcome, f.Because = Rising, "the best curve rises: heat is coming back or the probe moved; find out which and begin again"
		return
	}
	if f.Outcome, f.Because = f.region.open(); f.Outcome != Told {
		return
	}
	f.Rates = Range{f.region.low / d.span, f.region.high / d.span}
	f.Ambients = f.region.ambients()
	f.Because = fmt.Sprintf("cools towards %s with k = %.5g per minute (%.5g to %.5g at %.4g %%)",
		celsius(f.Ambient), f.Rate*60, f.Rates.Low*60, f.Rates.High*60, m.Confidence.Value*100)
	f.Workings = f.lines(m)
}

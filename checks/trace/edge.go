// The rule of this file: an edge is timed between two levels, each crossed by a
// straight line between samples, and only where the samples stand close enough
// together to show it.

package trace

// point is the signal at one time.
type point struct{ t, v float64 }

// crossing is the time at which the straight line from a to b meets the level,
// which lies between them: t = ta + (level - va)/(vb - va)·(tb - ta).
func crossing(a, b point, level float64) float64 {
	return a.t + float64((level-a.v)/(b.v-a.v)*(b.t-a.t))
}

// edge times rises from one level to a higher one. One that turns back below
// the first level begins again when it next passes it.
type edge struct {
	from, to, resolve float64
	begun             bool
	start, widest     float64
	times             spread
	unresolved        int
}

// idle reports whether a step between these levels is no part of a rise.
func (e *edge) idle(a, b float64) bool { return !e.begun && (a > e.from || b <= e.from) }

func (e *edge) segment(a, b point) {
	if a.v <= e.from && b.v > e.from {
		e.begun, e.start, e.widest = true, crossing(a, b, e.from), 0
	}
	if !e.begun {
		return
	}
	e.widest = max(e.widest, b.t-a.t)
	if b.v >= e.to {
		e.finish(crossing(a, b, e.to))
	}
}

// finish counts the rise. One that spans a sampling interval too wide to show
// it is only counted: its time would be that of the sampling, not of the
// sensor, even where it is long.
func (e *edge) finish(end float64) {
	e.begun = false
	if e.widest > e.resolve+moment {
		e.unresolved++
		return
	}
	e.times.add(end - e.start)
}

// moment is the slack, in seconds, of every comparison of times: the rounding
// of a clock that counts from 1970.
const moment = 1e-6

// Edges is what was timed of one direction. Times in seconds.
type Edges struct {
	Count           int // timed
	Unresolved      int // seen, and too coarsely sampled to time
	Median, Slowest float64
}

func (e *edge) edges() Edges {
	return Edges{Count: e.times.count, Unresolved: e.unresolved, Median: e.times.median(), Slowest: e.times.greatest}
}

// switching counts crossings of a level, each only once the signal has gone
// beyond it by the hysteresis.
type switching struct {
	low, high float64
	side      int8 // -1 below, +1 above, 0 not known yet
	count     int
}

func (s *switching) at(v float64) {
	side := s.side
	switch {
	case v >= s.high:
		side = 1
	case v <= s.low:
		side = -1
	}
	if s.side != 0 && side != s.side {
		s.count++
	}
	s.side = side
}

// above is the part of the segment's time spent at or above the level.
func above(a, b point, level float64) float64 {
	switch {
	case a.v >= level && b.v >= level:
		return b.t - a.t
	case a.v < level && b.v < level:
		return 0
	}
	return partlyAbove(a, b, level)
}

// partlyAbove is above for a segment that meets the level on its way.
func partlyAbove(a, b point, level float64) float64 {
	if b.v >= level {
		return b.t - crossing(a, b, level)
	}
	return crossing(a, b, level) - a.t
}

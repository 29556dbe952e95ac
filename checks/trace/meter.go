// The rule of this file: one pass. A sample is put in order, joined with the
// one before it, counted, and forgotten.

package trace

import (
	"errors"
	"fmt"
	"iter"
	"math"
)

// gapFactor is how many times the usual interval makes a gap, where Setup
// gives none.
const gapFactor = 5

// Setup is how a trace is to be read. Gap is the interval, in seconds, beyond
// which nothing is known between two samples; 0 takes five times the median of
// the first intervals.
type Setup struct {
	Signal Signal
	Limits Limits
	Gap    float64
}

func (s Setup) check() error {
	switch s.Signal {
	case NarrowBandVoltage, Lambda, PumpCurrent:
	default:
		return fmt.Errorf("signal %q: unknown; give %q, %q or %q", s.Signal, NarrowBandVoltage, Lambda, PumpCurrent)
	}
	if !(s.Gap >= 0) || s.Gap > latest {
		return fmt.Errorf("gap %g s: must be a time of more than zero, or zero to have it taken from the samples", s.Gap)
	}
	return s.Limits.check()
}

// Analyse reads samples from start to end and judges them. An error of the
// sequence ends it and is returned as it is; the other errors name the sample
// by its number, from 1.
func Analyse(samples iter.Seq2[Sample, error], setup Setup) (Report, error) {
	m, err := newMeter(setup)
	if err != nil {
		return Report{}, err
	}
	number := 0
	for s, err := range samples {
		if err != nil {
			return Report{}, err
		}
		number++
		if err := m.add(s); err != nil {
			return Report{}, fmt.Errorf("sample %d: %w", number, err)
		}
	}
	return m.report()
}

// meter holds the running figures.
type meter struct {
	setup Setup
	queue queue
	gap   float64

	samples, repeated, open int
	lowest, highest         float64

	pending Sample // mean of the samples at its time
	merged  int    // how many they are

	points    int // readings of different times
	first     float64
	before    point
	wasOpen   bool
	intervals spread

	observed, openTime, gapTime float64 // s
	gaps                        int
	integral, above             float64 // signal·s, s
	rise, fall                  edge
	cross                       switching
}

func newMeter(setup Setup) (*meter, error) {
	if setup.Signal == "" {
		setup.Signal = NarrowBandVoltage
	}
	if err := setup.check(); err != nil {
		return nil, err
	}
	l, resolve := setup.Limits, setup.Limits.resolve()
	return &meter{
		setup: setup, gap: setup.Gap, lowest: math.Inf(1), highest: math.Inf(-1),
		rise:  edge{from: l.EdgeLow.Value, to: l.EdgeHigh.Value, resolve: resolve},
		fall:  edge{from: -l.EdgeHigh.Value, to: -l.EdgeLow.Value, resolve: resolve},
		cross: switching{low: l.Switch.Value - l.Hysteresis.Value, high: l.Switch.Value + l.Hysteresis.Value},
	}, nil
}

// add takes the next sample as it comes.
func (m *meter) add(s Sample) error {
	if !s.usual() {
		if err := s.check(m.setup.Signal); err != nil {
			return err
		}
	}
	if err := m.queue.push(s); err != nil {
		return err
	}
	if m.queue.full() {
		m.settleGap()
		s, _ := m.queue.pop()
		m.take(s)
	}
	return nil
}

// settleGap fixes what counts as a gap, before the first sample is taken.
func (m *meter) settleGap() {
	if m.gap > 0 {
		return
	}
	m.gap = gapFactor * m.queue.typical()
	if m.gap == 0 {
		m.gap = math.Inf(1)
	}
}

// take counts a sample that is in order; those of one time become their mean.
func (m *meter) take(s Sample) {
	m.samples++
	if s.Loop == LoopOpen {
		m.open++
	} else {
		m.lowest, m.highest = min(m.lowest, s.Value), max(m.highest, s.Value)
	}
	if m.merged > 0 && s.At == m.pending.At {
		m.repeated++
		m.merged++
		m.pending.Value += (s.Value - m.pending.Value) / float64(m.merged)
		m.pending.Loop = max(m.pending.Loop, s.Loop)
		return
	}
	m.flush()
	m.pending, m.merged = s, 1
}

// flush joins the pending reading with the one before it.
func (m *meter) flush() {
	if m.merged == 0 {
		return
	}
	now := point{m.pending.At, m.pending.Value}
	open := m.pending.Loop == LoopOpen
	if m.points == 0 {
		m.first = now.t
	} else {
		m.interval(now, open || m.wasOpen)
	}
	if !open {
		m.switchAt(now.v)
	}
	m.before, m.wasOpen = now, open
	m.points++
}

// interval counts the time since the reading before: as observed, as a gap, or
// as time out of closed loop. The last two break every edge.
func (m *meter) interval(now point, open bool) {
	dt := now.t - m.before.t
	m.intervals.add(dt)
	if !open && dt <= m.gap+moment {
		m.join(now, dt)
		return
	}
	m.rise.begun, m.fall.begun, m.cross.side = false, false, 0
	if open {
		m.openTime += dt
		return
	}
	m.gaps++
	m.gapTime += dt
}

// join takes the signal as a straight line from the reading before to this one.
func (m *meter) join(now point, dt float64) {
	m.observed += dt
	m.integral += float64((m.before.v + now.v) / 2 * dt)
	if m.setup.Limits.Switch.Given() {
		m.above += above(m.before, now, m.setup.Limits.Switch.Value)
	}
	if m.setup.Limits.EdgeLow.Given() {
		m.edges(m.before, now)
	}
}

// edges looks for a rise in the signal and, turned upside down, for a fall.
func (m *meter) edges(a, b point) {
	if !m.rise.idle(a.v, b.v) {
		m.rise.segment(a, b)
	}
	if !m.fall.idle(-a.v, -b.v) {
		m.fall.segment(point{a.t, -a.v}, point{b.t, -b.v})
	}
}

func (m *meter) switchAt(v float64) {
	if m.setup.Limits.Switch.Given() {
		m.cross.at(v)
	}
}

// report ends the trace: what is still held is taken, and all of it is judged.
func (m *meter) report() (Report, error) {
	m.settleGap()
	for s, ok := m.queue.pop(); ok; s, ok = m.queue.pop() {
		m.take(s)
	}
	m.flush()
	if m.samples == 0 {
		return Report{}, errors.New("no readings of the signal; check that the right column is named and that the log was running")
	}
	if m.points < 2 {
		return Report{}, fmt.Errorf("too short: every reading (%d) is at one time; a trace needs at least two times", m.samples)
	}
	r := m.figures()
	r.judge()
	return r, nil
}

// figures fills in what was measured, without any verdict.
func (m *meter) figures() Report {
	r := Report{
		Signal: m.setup.Signal, Limits: m.setup.Limits,
		Samples: m.samples, Sorted: m.queue.sorted, Repeated: m.repeated, Open: m.open,
		Span: m.before.t - m.first, Observed: m.observed, OpenTime: m.openTime, Gap: m.gap, Gaps: m.gaps, GapTime: m.gapTime,
		Interval: m.intervals.median(), LongestInterval: m.intervals.greatest,
		Rise: m.rise.edges(), Fall: m.fall.edges(), Crossings: m.cross.count,
	}
	if m.samples > m.open {
		r.Minimum, r.Maximum = m.lowest, m.highest
	}
	if m.observed > 0 {
		r.Mean = m.integral / m.observed
		r.Rate = float64(m.cross.count) / m.observed
		r.RichShare = m.above / m.observed
		if !m.setup.Signal.richAbove() {
			r.RichShare = 1 - r.RichShare
		}
	}
	return r
}

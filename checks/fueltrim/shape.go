// The rule of this file: the shape of a bank's trims is their sign and where
// they are worst, and where one end was not measured the shape is not known.

package fueltrim

import (
	"fmt"
	"math"
	"slices"
)

// Figure is the mean total trim of one bank in one condition.
type Figure struct {
	Bank      int
	Condition Condition
	Count     int
	Total     float64 // fraction
}

// Direction says which way a bank is off.
type Direction string

// The directions. Lean means that the controller adds fuel.
const (
	Level  Direction = "within limits"
	Lean   Direction = "lean"
	Rich   Direction = "rich"
	Tilted Direction = "rich at idle and lean under load"
	Mixed  Direction = "lean at idle and rich under load"
)

// Where says at which end a bank is worst.
type Where string

// The places. Unknown means that idle, or anything above it, was not measured.
const (
	AtIdle  Where = "worst at idle"
	AtLoad  Where = "grows with speed or load"
	Even    Where = "much the same throughout"
	Unknown Where = "measured at one end only"
)

// Shape is how one bank's trims lie.
type Shape struct {
	Bank      int
	Direction Direction
	Where     Where
	Worst     float64 // the total furthest from zero of any condition; fraction
}

// figures takes the mean in each condition, bank by bank.
func (l Limits) figures(readings []Reading) []Figure {
	var all []Figure
	for bank := 1; bank <= 4; bank++ {
		for _, c := range []Condition{Idle, Raised, Loaded, Between} {
			f := Figure{Bank: bank, Condition: c}
			for _, r := range readings {
				if r.Bank == bank && !r.OpenLoop && l.condition(r) == c {
					f.Count++
					f.Total += (r.Total() - f.Total) / float64(f.Count)
				}
			}
			if f.Count > 0 {
				all = append(all, f)
			}
		}
	}
	return all
}

// shape sorts one bank. The high end is under load where that was measured, and
// else raised speed.
func (l Limits) shape(bank int, figures []Figure) Shape {
	s := Shape{Bank: bank, Direction: Level, Where: Unknown}
	ends := map[Condition]float64{}
	for _, f := range figures {
		if f.Bank != bank || f.Condition == Between {
			continue
		}
		ends[f.Condition] = f.Total
		if math.Abs(f.Total) > math.Abs(s.Worst) {
			s.Worst = f.Total
		}
	}
	if l.beyond(s.Worst) > 0 {
		s.Direction = Lean
	} else if l.beyond(s.Worst) < 0 {
		s.Direction = Rich
	}
	idle, hasIdle := ends[Idle]
	high, hasHigh := ends[Loaded]
	if !hasHigh {
		high, hasHigh = ends[Raised]
	}
	if hasIdle && hasHigh {
		s.compare(l, idle, high)
	}
	return s
}

func (s *Shape) compare(l Limits, idle, high float64) {
	change := high - idle
	if s.Direction == Rich {
		change = -change
	}
	switch {
	case l.beyond(idle)*l.beyond(high) < 0 && idle < 0:
		s.Direction, s.Where = Tilted, AtLoad
	case l.beyond(idle)*l.beyond(high) < 0:
		s.Direction, s.Where = Mixed, AtLoad
	case change <= -l.Step.Value+hair:
		s.Where = AtIdle
	case change >= l.Step.Value-hair:
		s.Where = AtLoad
	default:
		s.Where = Even
	}
}

// beyond is +1 past the lean limit, -1 past the rich one, else 0.
func (l Limits) beyond(total float64) int {
	switch {
	case total > l.Trim.Value+hair:
		return 1
	case total < -l.Trim.Value-hair:
		return -1
	}
	return 0
}

// Within says whether a total trim lies within the limit; the limit itself does.
func (l Limits) Within(total float64) bool { return l.beyond(total) == 0 }

// hair keeps the last binary digits from deciding at an exact limit.
const hair = 1e-9

func banksOf(figures []Figure) []int {
	var banks []int
	for _, f := range figures {
		banks = append(banks, f.Bank)
	}
	return slices.Compact(banks)
}

func percent(fraction float64) string { return fmt.Sprintf("%+.1f %%", fraction*100) }

func plusMinus(fraction float64) string { return fmt.Sprintf("±%.4g %%", fraction*100) }

// Package fueltrim reads what the fuel trims of one or two banks point to. A
// trim is the fraction of fuel the controller adds (plus: it saw too lean) or
// takes away (minus: too rich); short and long trim are added up.
//
// A pattern of trims points, it does not prove: each finding names what would
// tell its suspects apart, and the vehicle maker's test procedure stands before
// it. All limits are common practice and can be replaced.
package fueltrim

// The rule of this file: a reading is kept with the conditions it was taken in,
// for a trim without speed and load says little.

import (
	"fmt"
	"math"
)

// Limit is a figure that decides, and where it is from.
type Limit struct {
	Value  float64
	Source string
}

// Limits are the figures that sort and judge trims.
type Limits struct {
	Trim        Limit // total trim beyond which, either way, something is wrong; fraction
	Step        Limit // change from idle to load that counts as a change; fraction
	IdleSpeed   Limit // up to this speed it is idle, 1/min
	RaisedSpeed Limit // from this speed it is raised, 1/min
	LoadedFrom  Limit // from this calculated load it is loaded; fraction
	Stop        Limit // long trim at which many controllers stop; fraction
}

// DefaultLimits are the trade's.
func DefaultLimits() Limits {
	const practice = "common practice, no source"
	return Limits{
		Trim: Limit{0.10, practice}, Step: Limit{0.05, practice}, IdleSpeed: Limit{1100, practice},
		RaisedSpeed: Limit{2000, practice}, LoadedFrom: Limit{0.60, practice}, Stop: Limit{0.25, practice},
	}
}

// The ends of what a vehicle can report (SAE J1979, services 01 PID 04 to 09):
// (A - 128)/128 for a trim, A/255 for a load.
const (
	leastTrim = -1.0
	mostTrim  = 127.0 / 128
)

// Reading is one look at the trims of one bank with the engine warm.
type Reading struct {
	Bank     int     // from 1
	Speed    float64 // 1/min
	Load     float64 // calculated load, fraction
	Short    float64 // fraction
	Long     float64 // fraction
	OpenLoop bool    // the controller was not in closed loop: left out
}

// Total is short plus long trim (common practice; their product differs by less
// than a hundredth while both are within ±10 %).
func (r Reading) Total() float64 { return r.Short + r.Long }

// Condition is how the engine ran.
type Condition string

// The conditions. A reading between them belongs to none and is only listed.
const (
	Idle    Condition = "idle"
	Raised  Condition = "raised speed"
	Loaded  Condition = "under load"
	Between Condition = "between conditions"
)

func (l Limits) condition(r Reading) Condition {
	switch {
	case r.Load >= l.LoadedFrom.Value:
		return Loaded
	case r.Speed <= l.IdleSpeed.Value:
		return Idle
	case r.Speed >= l.RaisedSpeed.Value:
		return Raised
	}
	return Between
}

func (r Reading) check(i int) error {
	for _, x := range []struct {
		what, unit         string
		value, least, most float64
	}{
		{"speed", " 1/min", r.Speed, 300, 15000}, {"load", "", r.Load, 0, 1},
		{"short trim", "", r.Short, leastTrim, mostTrim}, {"long trim", "", r.Long, leastTrim, mostTrim},
	} {
		if math.IsNaN(x.value) || x.value < x.least || x.value > x.most {
			return fmt.Errorf("reading %d: %s %g%s: outside %g to %g%s; give it as the vehicle reports it, 10 %% as 0.10", i+1, x.what, x.value, x.unit, x.least, x.most, x.unit)
		}
	}
	if r.Bank < 1 || r.Bank > 4 {
		return fmt.Errorf("reading %d: bank %d: banks are numbered from 1 to 4; look at which trim was read", i+1, r.Bank)
	}
	return nil
}

func (l Limits) check() error {
	for _, x := range []struct {
		what        string
		limit       Limit
		least, most float64
	}{
		{"trim", l.Trim, 0.01, 0.5}, {"step", l.Step, 0.005, 0.5}, {"idle speed", l.IdleSpeed, 300, 3000},
		{"raised speed", l.RaisedSpeed, 500, 8000}, {"load", l.LoadedFrom, 0.1, 1}, {"stop", l.Stop, 0.05, 1},
	} {
		if math.IsNaN(x.limit.Value) || x.limit.Value < x.least || x.limit.Value > x.most {
			return fmt.Errorf("limit of %s %g: outside %g to %g; use the default or the maker's figure", x.what, x.limit.Value, x.least, x.most)
		}
	}
	if l.RaisedSpeed.Value <= l.IdleSpeed.Value {
		return fmt.Errorf("limit of raised speed %g: not above that of idle, %g; give a higher one", l.RaisedSpeed.Value, l.IdleSpeed.Value)
	}
	return nil
}

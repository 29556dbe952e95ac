// The rule of this file: a meaning chooses only by a stated fact; where the
// fact is missing or does not apply it chooses nothing and says so.

package location

import (
	"fmt"
	"slices"
	"strings"
)

// effect is what one meaning does among the fitted sensors of one vehicle.
type effect struct {
	fits func(Position) bool
	line string // what it means here, by which fact
	asks string // the question whose answer would let it choose
}

// any fits every sensor.
func any(Position) bool { return true }

func (f Facts) effect(m meaning) effect {
	switch m.sort {
	case byPosition:
		want := Position{m.number, m.sensor}
		return effect{fits: func(p Position) bool { return p == want }, line: fmt.Sprintf("bank %d, sensor %d", m.number, m.sensor)}
	case byBank:
		return effect{fits: func(p Position) bool { return p.Bank == m.number }, line: f.bankLine(m.number)}
	case bySensor:
		return effect{fits: func(p Position) bool { return p.Sensor == m.number }, line: sensorLine(m.number)}
	case behind:
		return effect{fits: func(p Position) bool { return p.Sensor > 1 }, line: "behind the catalyst: sensor 2, or a later one where fitted"}
	case last:
		return effect{fits: f.isLast, line: "the sensor of its bank furthest from the engine"}
	case byCylinder:
		return f.cylinderEffect(m.number)
	case bySide, byEnd:
		return f.sideEffect(m.side, "")
	case byDriver:
		return f.driverEffect(m.side)
	case byKerb:
		return f.kerbEffect(m.side)
	case byLandmark:
		return f.landmarkEffect(m.side)
	}
	return effect{fits: any}
}

func (f Facts) bankLine(n int) string {
	for _, b := range f.banks() {
		if b.Number == n && b.Side != "" {
			return fmt.Sprintf("bank %d, which lies on the %s of this engine", n, b.Side)
		}
	}
	return fmt.Sprintf("bank %d", n)
}

func sensorLine(n int) string {
	if n == 1 {
		return "sensor 1: nearest the engine, before the catalyst"
	}
	return fmt.Sprintf("sensor %d, counted from the engine", n)
}

func (f Facts) isLast(p Position) bool {
	return !slices.ContainsFunc(f.Sensors, func(o Position) bool { return o.Bank == p.Bank && o.Sensor > p.Sensor })
}

func (f Facts) cylinderEffect(n int) effect {
	for _, b := range f.banks() {
		if slices.Contains(b.Cylinders, n) {
			return effect{fits: func(p Position) bool { return p.Bank == b.Number }, line: fmt.Sprintf("cylinder %d stands in bank %d", n, b.Number)}
		}
	}
	if n == 1 {
		return effect{fits: func(p Position) bool { return p.Bank == 1 }, line: "bank 1 is the bank with cylinder 1"}
	}
	return effect{fits: any, line: fmt.Sprintf("no bank is stated to hold cylinder %d: it chooses none", n), asks: fmt.Sprintf("which bank holds cylinder %d", n)}
}

// sideEffect chooses by the side of the banks; how says whence the side.
func (f Facts) sideEffect(side, how string) effect {
	banks, known := f.onSide(side)
	switch {
	case !slices.Contains(f.ends(false), side):
		return effect{fits: any, line: fmt.Sprintf("%sthe banks of an engine mounted %s lie %s, so %q chooses none", how, f.Mounting, strings.Join(f.ends(false), " and "), side)}
	case len(f.banks()) == 1 && len(banks) == 0:
		return effect{fits: any, line: fmt.Sprintf("%sthis engine has one bank, so %q does not choose a bank", how, side)}
	case known:
		return effect{fits: func(p Position) bool { return slices.Contains(banks, p.Bank) }, line: how + f.whichBank(side, banks)}
	case f.sidesKnown():
		return effect{fits: any, line: fmt.Sprintf("%sthe banks of this engine lie %s, so %q chooses none", how, f.sides(), side)}
	}
	return effect{fits: any, line: fmt.Sprintf("%swhich bank lies on the %s is not known", how, side), asks: fmt.Sprintf("which bank lies on the %s: bank 1 is the one with cylinder 1", side)}
}

func (f Facts) whichBank(side string, banks []int) string {
	if len(banks) == 0 {
		return "no bank lies on the " + side
	}
	return fmt.Sprintf("the bank on the %s is bank %s", side, strings.Trim(fmt.Sprint(banks), "[]"))
}

func (f Facts) sidesKnown() bool {
	return slices.ContainsFunc(f.banks(), func(b Bank) bool { return b.Side != "" })
}

func (f Facts) sides() string {
	var all []string
	for _, b := range f.banks() {
		if b.Side != "" {
			all = append(all, b.Side)
		}
	}
	slices.Sort(all)
	return strings.Join(slices.Compact(all), " and ")
}

func (f Facts) driverEffect(who string) effect {
	if f.Steering == "" {
		return f.lacking("the driver's side is not known", "on which side does the driver sit")
	}
	side := f.Steering
	if who == "passenger" {
		side = opposite(side)
	}
	return f.sideEffect(side, fmt.Sprintf("the driver sits on the %s, so the %s's side is the %s; ", f.Steering, who, side))
}

func (f Facts) kerbEffect(which string) effect {
	if f.Traffic == "" {
		return f.lacking("the side of the road is not known", "on which side of the road does it drive")
	}
	side := f.Traffic
	if which == "off" {
		side = opposite(side)
	}
	return f.sideEffect(side, fmt.Sprintf("traffic keeps %s, so the kerb is on the %s and the %s side is the %s; ", f.Traffic, f.Traffic, which, side))
}

// landmarkEffect chooses by what lies behind or before the engine. An engine is
// taken to stand in the front of the vehicle where the facts do not say, and the
// line says so.
func (f Facts) landmarkEffect(landmark string) effect {
	if f.EngineAt != "" && f.EngineAt != "front" {
		if landmark == "radiator" {
			return effect{fits: any, line: "the radiator says nothing of an engine in the rear of the vehicle: it chooses none"}
		}
		return f.sideEffect("front", "the firewall lies before an engine in the rear of the vehicle; ")
	}
	supposed := "the engine is in the front, so "
	if f.EngineAt == "" {
		supposed = "supposing the engine in the front of the vehicle, "
	}
	if landmark == "radiator" {
		return f.sideEffect("front", supposed+"the radiator lies before it; ")
	}
	return f.sideEffect("rear", supposed+"the firewall lies behind it; ")
}

// lacking is the effect of a word whose fact is missing. It asks only where the
// answer could matter.
func (f Facts) lacking(line, asks string) effect {
	if len(f.banks()) == 1 {
		return effect{fits: any, line: line + ", and does not matter: this engine has one bank"}
	}
	if _, known := f.onSide("left"); f.sidesKnown() && !known {
		return effect{fits: any, line: fmt.Sprintf("%s, and does not help: the banks of this engine lie %s", line, f.sides())}
	}
	return effect{fits: any, line: line, asks: asks}
}

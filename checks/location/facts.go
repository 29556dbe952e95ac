// Package location finds the one exhaust oxygen sensor that free words mean on
// one vehicle: "upstream bank 2", "post-cat near side", "B2S1", "front left".
//
// What it goes by:
//   - bank 1 is the bank with cylinder 1, whichever side that is; an in-line
//     engine has one bank, or two where its maker splits the manifold (SAE J2012,
//     from memory, and several makers' pages);
//   - sensor 1 is the one nearest the engine, before the catalyst (the same);
//   - left and right are as seated facing forward;
//   - the near side is the kerb side: left where traffic keeps left, right where
//     it keeps right; the off side is the other.
//
// No rule of left or right, odd or even gives the bank: only the vehicle's own
// facts do, and the vehicle maker's service information stands before them.
package location

// The rule of this file: a fact is stated or it is not known; none is filled in.

import (
	"fmt"
	"slices"
	"strconv"
)

// Position is a sensor by bank and place along the exhaust, both from 1.
type Position struct{ Bank, Sensor int }

// String is the position as written, such as B1S2.
func (p Position) String() string { return fmt.Sprintf("B%dS%d", p.Bank, p.Sensor) }

// ParsePosition reads a position such as B1S2.
func ParsePosition(text string) (Position, error) {
	if len(text) == 4 && (text[0]|32) == 'b' && (text[2]|32) == 's' {
		p := Position{int(text[1] - '0'), int(text[3] - '0')}
		if p.Bank >= 1 && p.Bank <= 4 && p.Sensor >= 1 && p.Sensor <= 4 {
			return p, nil
		}
	}
	return Position{}, fmt.Errorf("sensor position %q: write bank and sensor, such as B1S2", text)
}

// Facts is what is known of the vehicle. An empty text is a fact not known;
// Sensors must be given.
type Facts struct {
	Arrangement string     // in-line, V or flat
	Mounting    string     // lengthwise or crosswise: how the crankshaft lies
	CylinderOne string     // the end where cylinder 1 stands: front or rear, crosswise left or right
	EngineAt    string     // where the engine stands in the vehicle: front or rear; front is supposed, and said, where not known
	Banks       []Bank     // where empty, those of the sensors
	Steering    string     // the side the driver sits on: left or right
	Traffic     string     // the side of the road it keeps to: left or right
	Sensors     []Position // fitted
}

// Bank is a row of cylinders that share an exhaust.
type Bank struct {
	Number    int
	Side      string // left or right; front or rear in a crosswise engine; empty where not known
	Cylinders []int
}

// check reports facts that cannot be.
func (f Facts) check() error {
	for _, w := range []struct {
		what, given string
		known       []string
	}{
		{"arrangement", f.Arrangement, []string{"in-line", "V", "flat"}}, {"mounting", f.Mounting, []string{"lengthwise", "crosswise"}},
		{"end of cylinder 1", f.CylinderOne, f.ends(true)}, {"place of the engine", f.EngineAt, longitudinal},
		{"steering side", f.Steering, lateral}, {"side of the road", f.Traffic, lateral},
	} {
		if w.given != "" && !slices.Contains(w.known, w.given) {
			return fmt.Errorf("%s %q: not known; give one of %q, or leave it out", w.what, w.given, w.known)
		}
	}
	if len(f.Sensors) == 0 || len(f.Sensors) > 16 {
		return fmt.Errorf("fitted sensors: %d given; list those of this vehicle, from its card or as the vehicle reports them", len(f.Sensors))
	}
	for _, s := range f.Sensors {
		if s.Bank < 1 || s.Bank > 4 || s.Sensor < 1 || s.Sensor > 4 {
			return fmt.Errorf("fitted sensor %s: bank and sensor run from 1 to 4; check the list", s)
		}
		if len(f.Banks) > 0 && !slices.ContainsFunc(f.Banks, func(b Bank) bool { return b.Number == s.Bank }) {
			return fmt.Errorf("fitted sensor %s: the engine has no bank %d; check banks and sensors", s, s.Bank)
		}
	}
	return f.checkBanks()
}

func (f Facts) checkBanks() error {
	seen, sides := map[int]bool{}, map[string]int{}
	for _, b := range f.Banks {
		if b.Number < 1 || b.Number > 4 || seen[b.Number] {
			return fmt.Errorf("bank %d: banks are numbered from 1 to 4, each once; check the list", b.Number)
		}
		seen[b.Number] = true
		if b.Side != "" && !slices.Contains(f.ends(false), b.Side) {
			return fmt.Errorf("side %q of bank %d: give one of %q, or leave it out", b.Side, b.Number, f.ends(false))
		}
		if other, taken := sides[b.Side]; taken && b.Side != "" && f.Arrangement != "in-line" {
			return fmt.Errorf("banks %d and %d both lie on the %s: check the sides", other, b.Number, b.Side)
		}
		sides[b.Side] = b.Number
		if slices.Contains(b.Cylinders, 1) && b.Number != 1 {
			return fmt.Errorf("cylinder 1 in bank %d: the bank with cylinder 1 is bank 1; check the cylinders", b.Number)
		}
	}
	if len(f.Banks) == 1 && (f.Arrangement == "V" || f.Arrangement == "flat") {
		return fmt.Errorf("one bank in a %s engine: it has two; give both", f.Arrangement)
	}
	return nil
}

var (
	lateral      = []string{"left", "right"}
	longitudinal = []string{"front", "rear"}
)

// ends lists the names for the ends of the crankshaft, or the sides of the
// banks, which lie across it.
func (f Facts) ends(ofCrankshaft bool) []string {
	switch {
	case f.Mounting == "":
		return append(slices.Clone(lateral), longitudinal...)
	case (f.Mounting == "crosswise") == ofCrankshaft:
		return lateral
	}
	return longitudinal
}

// banks lists the banks, from the sensors where none are stated.
func (f Facts) banks() []Bank {
	all := slices.Clone(f.Banks)
	if len(all) == 0 {
		for _, s := range f.Sensors {
			if !slices.ContainsFunc(all, func(b Bank) bool { return b.Number == s.Bank }) {
				all = append(all, Bank{Number: s.Bank})
			}
		}
	}
	slices.SortFunc(all, func(a, b Bank) int { return a.Number - b.Number })
	return f.otherSide(all)
}

// otherSide gives the second of two banks facing each other the side left over.
func (f Facts) otherSide(banks []Bank) []Bank {
	if len(banks) != 2 || (f.Arrangement != "V" && f.Arrangement != "flat") {
		return banks
	}
	for i := range banks {
		if banks[i].Side == "" {
			banks[i].Side = opposite(banks[1-i].Side)
		}
	}
	return banks
}

func opposite(side string) string {
	switch side {
	case "left":
		return "right"
	case "right":
		return "left"
	case "front":
		return "rear"
	case "rear":
		return "front"
	}
	return ""
}

// onSide lists the banks of that side; known is false when no bank is said to
// lie on either it or its opposite.
func (f Facts) onSide(side string) (banks []int, known bool) {
	for _, b := range f.banks() {
		if b.Side == side {
			banks = append(banks, b.Number)
		}
		known = known || b.Side == side || b.Side == opposite(side)
	}
	return banks, known
}

// describe is a position in words.
func (f Facts) describe(p Position) string {
	text := "bank " + strconv.Itoa(p.Bank)
	for _, b := range f.banks() {
		if b.Number == p.Bank && b.Side != "" {
			text += " (" + b.Side + ")"
		}
	}
	if p.Sensor == 1 {
		return text + ", before the catalyst, nearest the engine"
	}
	if p.Sensor == 2 {
		return text + ", behind the catalyst"
	}
	return fmt.Sprintf("%s, place %d along the exhaust", text, p.Sensor)
}

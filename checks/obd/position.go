// The rule of this file: which sensor a PID is about is told by PID 13 or by
// PID 1D of the same controller, and by nothing else. Without one of them the
// place is not known.

package obd

import "fmt"

// Position is a place in the exhaust; bank 1 is the bank with cylinder 1,
// sensor 1 the one nearest the engine. The zero Position is not known.
type Position struct{ Bank, Sensor int }

// Known reports a place that is known.
func (p Position) Known() bool { return p.Bank > 0 }

// String is the place as written, such as B1S2.
func (p Position) String() string {
	if !p.Known() {
		return "place not known"
	}
	return fmt.Sprintf("B%dS%d", p.Bank, p.Sensor)
}

// The PIDs that say which sensors are fitted; a vehicle has one of the two.
const (
	twoBanks  = 0x13 // bits 0 to 7 are B1S1 to B1S4, B2S1 to B2S4
	fourBanks = 0x1D // bits 0 to 7 are B1S1 B1S2 B2S1 B2S2 ... B4S2
)

// Fitted is which oxygen sensors a controller says are there. The zero Fitted
// is not known.
type Fitted struct {
	PID  byte // 13 or 1D, whichever was answered
	Bits byte // its data byte, bit 0 for the first sensor
}

// Known reports that PID 13 or 1D was answered.
func (f Fitted) Known() bool { return f.PID == twoBanks || f.PID == fourBanks }

// Place is the sensor of the nth PID, 0 to 7, of a group of eight: 14 to 1B, 24
// to 2B, or 34 to 3B.
func (f Fitted) Place(n int) Position {
	switch {
	case n < 0 || n > 7:
		return Position{}
	case f.PID == twoBanks:
		return Position{1 + n/4, 1 + n%4}
	case f.PID == fourBanks:
		return Position{1 + n/2, 1 + n%2}
	}
	return Position{}
}

// Has reports whether the nth sensor of a group is fitted.
func (f Fitted) Has(n int) bool { return f.Known() && n >= 0 && n < 8 && f.Bits>>n&1 == 1 }

// Sensors lists the places that are fitted, in order of their bits.
func (f Fitted) Sensors() []Position {
	var all []Position
	for n := range 8 {
		if f.Has(n) {
			all = append(all, f.Place(n))
		}
	}
	return all
}

// thirdBank reports sensors of banks 3 or 4, which lengthen the trim PIDs.
func (f Fitted) thirdBank() bool { return f.PID == fourBanks && f.Bits&0xF0 != 0 }

const askFitted = "place not known: PID 13 or PID 1D says which sensors are fitted and in which order; read both and give the one that answers"

// group gives the number of a PID within its group of eight oxygen sensors.
func group(pid byte) (n int, is bool) {
	for _, first := range []byte{0x14, 0x24, 0x34} {
		if pid >= first && pid < first+8 {
			return int(pid - first), true
		}
	}
	return 0, false
}

// place gives a reading its sensor, or says why it has none.
func (r *Reading) place(fitted Fitted) {
	if n, is := group(r.PID); is {
		r.Position = fitted.Place(n)
		switch {
		case !fitted.Known():
			r.Note = askFitted
		case !fitted.Has(n):
			r.Note = fmt.Sprintf("PID %02X = %02X says that no sensor is fitted at %s; read both again", fitted.PID, fitted.Bits, r.Position)
		}
	}
	if fixed := catalysts[r.PID]; fixed.Known() {
		r.Position = fixed
	}
}

// The order of the catalyst temperatures goes across the banks first.
var catalysts = [256]Position{0x3C: {1, 1}, 0x3D: {2, 1}, 0x3E: {1, 2}, 0x3F: {2, 2}}

package location

// The rule of this file: whoever draws or tells the exhaust asks here, so that what is known of it is worked out once.

import "slices"

// Check reports facts that cannot be.
func (f Facts) Check() error { return f.check() }

// Rows lists the banks in order, from the sensors where none are stated, each with its side where that is known.
func (f Facts) Rows() []Bank { return f.banks() }

// Describe is a position in words.
func (f Facts) Describe(p Position) string { return f.describe(p) }

// Stop is one thing along the exhaust of a bank: a fitted sensor, or a catalyst by its number from the engine.
type Stop struct {
	Sensor   int // 0 where it is a catalyst
	Catalyst int // 0 where it is a sensor
}

// Along lists what stands along the exhaust of a bank, from the engine: sensor 1 before the first catalyst, sensor 2 behind
// it, sensor 3 behind the second. Beyond that no catalyst is supposed.
func (f Facts) Along(bank int) []Stop {
	last := 0
	for _, p := range f.Sensors {
		if p.Bank == bank {
			last = max(last, p.Sensor)
		}
	}
	var stops []Stop
	for place := 1; place <= max(last, 2); place++ {
		if place == 2 || place == 3 {
			stops = append(stops, Stop{Catalyst: place - 1})
		}
		if slices.Contains(f.Sensors, Position{bank, place}) {
			stops = append(stops, Stop{Sensor: place})
		}
	}
	return stops
}

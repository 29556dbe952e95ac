// The rule of this file: each PID is a row, with its length, its formula and
// where that is from. A PID that is not here has no known length, so nothing
// after it in a reply can be read either.

package obd

import (
	"fmt"
	"sync"
)

// Field is one number of a PID: X, the unsigned number of its Bytes, high byte
// first, gives X·Times/Over + Plus.
type Field struct {
	Name              string
	Bytes             int
	Times, Over, Plus float64
	Unit              string
	Decimals          int
	Formula           string // of X
	unused            int    // X that means "no value"; 0 for none
}

// Spec is one PID.
type Spec struct {
	PID    byte
	Name   string
	Bytes  int
	Fields []Field
	Source string
	states func(*Reading, []byte) // for PIDs that hold more than numbers
}

const remembered = "SAE J1979 / ISO 15031-5 (from memory)"

func linear(name string, bytes int, times, over, plus float64, unit string, decimals int, formula string) Field {
	return Field{Name: name, Bytes: bytes, Times: times, Over: over, Plus: plus, Unit: unit, Decimals: decimals, Formula: formula}
}

func plain(name string, bytes int, unit string) Field {
	return linear(name, bytes, 1, 1, 0, unit, 0, "X")
}

func percent(name string) Field {
	return linear(name, 1, 100, 255, 0, "%", 2, "X·100/255")
}

func trim(name string) Field {
	return linear(name, 1, 100, 128, -100, "%", 2, "(X - 128)·100/128")
}

func celsius(name string) Field {
	return linear(name, 1, 1, 1, -40, "°C", 0, "X - 40")
}

func lambda() Field {
	return linear("lambda", 2, 2, 65536, 0, "", 4, "X·2/65536")
}

// specs is the table; pids finds rows in it by PID.
var specs = sync.OnceValue(build)

var pids = sync.OnceValue(func() map[byte]Spec { return index(specs()) })

// PIDs lists the PIDs that can be read, in order, support maps left out.
func PIDs() []Spec {
	all := make([]Spec, len(specs()))
	for i, s := range specs() {
		s.Fields = append([]Field(nil), s.Fields...)
		all[i] = s
	}
	return all
}

// FindPID returns the row of a PID.
func FindPID(pid byte) (Spec, bool) {
	s, known := pids()[pid]
	s.Fields = append([]Field(nil), s.Fields...)
	return s, known
}

func index(all []Spec) map[byte]Spec {
	found := map[byte]Spec{}
	for _, s := range all {
		found[s.PID] = s
	}
	return found
}

func row(pid byte, name, source string, fields ...Field) Spec {
	s := Spec{PID: pid, Name: name, Fields: fields, Source: source}
	for _, f := range fields {
		s.Bytes += f.Bytes
	}
	return s
}

func coded(pid byte, name string, bytes int, source string, states func(*Reading, []byte)) Spec {
	return Spec{PID: pid, Name: name, Bytes: bytes, Source: source, states: states}
}

func build() []Spec {
	all := []Spec{
		coded(0x01, "monitors since the codes were cleared", 4, Source, readStatus),
		coded(0x02, "code that stored the freeze frame", 2, remembered, readCause),
		coded(0x03, "fuel system", 2, Source, readFuelSystem),
		row(0x04, "load", Source, percent("load")),
		row(0x05, "coolant temperature", Source, celsius("temperature")),
		row(0x06, "short fuel trim, bank 1", Source, trim("trim")),
		row(0x07, "long fuel trim, bank 1", Source, trim("trim")),
		row(0x08, "short fuel trim, bank 2", Source, trim("trim")),
		row(0x09, "long fuel trim, bank 2", Source, trim("trim")),
		row(0x0B, "intake pressure", remembered, plain("pressure", 1, "kPa")),
		row(0x0C, "engine speed", Source, linear("speed", 2, 1, 4, 0, "rpm", 2, "X/4")),
		row(0x0D, "vehicle speed", remembered, plain("speed", 1, "km/h")),
		row(0x0E, "ignition advance", remembered, linear("advance", 1, 1, 2, -64, "°", 1, "X/2 - 64")),
		row(0x0F, "intake air temperature", remembered, celsius("temperature")),
		row(0x10, "air flow", Source, linear("flow", 2, 1, 100, 0, "g/s", 2, "X/100")),
		row(0x11, "throttle", remembered, percent("opening")),
		coded(0x13, "oxygen sensors fitted", 1, Source, readFitted),
		row(0x1C, "rules the vehicle was built to", remembered, plain("number", 1, "")),
		coded(0x1D, "oxygen sensors fitted", 1, Source, readFitted),
		row(0x1F, "time since the engine was started", remembered, plain("time", 2, "s")),
		row(0x21, "distance with the lamp on", Source, plain("distance", 2, "km")),
		row(0x2F, "fuel level", remembered, percent("level")),
		row(0x30, "warm-ups since the codes were cleared", Source, plain("count", 1, "")),
		row(0x31, "distance since the codes were cleared", Source, plain("distance", 2, "km")),
		row(0x33, "air pressure outside", remembered, plain("pressure", 1, "kPa")),
		coded(0x41, "monitors of this drive", 4, remembered, readStatus),
		row(0x42, "supply voltage of the controller", remembered, linear("voltage", 2, 1, 1000, 0, "V", 3, "X/1000")),
		row(0x43, "load, absolute", remembered, linear("load", 2, 100, 255, 0, "%", 2, "X·100/255")),
		row(0x44, "mixture commanded", Source, lambda()),
		row(0x46, "air temperature outside", remembered, celsius("temperature")),
		row(0x4D, "time with the lamp on", Source, plain("time", 2, "min")),
		row(0x4E, "time since the codes were cleared", Source, plain("time", 2, "min")),
	}
	return append(all, sensorSpecs()...)
}

// sensorSpecs are the three groups of eight oxygen sensors and the catalysts.
func sensorSpecs() []Spec {
	local := trim("trim")
	local.unused = 0xFF
	narrow := linear("voltage", 1, 1, 200, 0, "V", 3, "X/200")
	wide := linear("voltage", 2, 8, 65536, 0, "V", 4, "X·8/65536")
	current := linear("current", 2, 1, 256, -128, "mA", 4, "X/256 - 128")
	var all []Spec
	for n := range byte(8) {
		all = append(all,
			row(0x14+n, fmt.Sprintf("oxygen sensor %d of 8, voltage", n+1), Source, narrow, local),
			row(0x24+n, fmt.Sprintf("oxygen sensor %d of 8, mixture and voltage", n+1), Source, lambda(), wide),
			row(0x34+n, fmt.Sprintf("oxygen sensor %d of 8, mixture and current", n+1), Source, lambda(), current))
	}
	for n := range byte(4) {
		all = append(all, row(0x3C+n, "catalyst temperature", Source, linear("temperature", 2, 1, 10, -40, "°C", 1, "X/10 - 40")))
	}
	return all
}

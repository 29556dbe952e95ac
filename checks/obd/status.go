// The rule of this file: a monitor counts against a vehicle only when it is
// supported, not complete, and not one that runs all the time.

package obd

import (
	"fmt"
	"strings"
)

// Ignition is the kind of engine, which decides what the monitors are.
type Ignition string

// The kinds of engine.
const (
	Spark       Ignition = "spark"
	Compression Ignition = "compression"
)

// Monitor is one self-test of the vehicle.
type Monitor struct {
	Name       string
	Continuous bool // runs all the time; is not counted for readiness
	Supported  bool
	Complete   bool
}

// String says the monitor's state in words.
func (m Monitor) String() string {
	switch {
	case !m.Supported:
		return "not supported"
	case m.Complete:
		return "complete"
	}
	return "not complete"
}

// Status is what PID 01 says of the time since codes were cleared, or PID 41 of
// this drive (without lamp and count).
type Status struct {
	Lamp      bool // the malfunction lamp is commanded on
	Stored    int  // codes stored
	Ignition  Ignition
	ThisDrive bool
	Monitors  []Monitor // continuous ones first
	Note      string    // on reserved bits
}

var continuous = []string{"misfire", "fuel system", "components"}

// The other monitors by their bit. The spark ones are read, those of
// compression engines are from memory; an empty name is a reserved bit.
var (
	sparkOthers = [8]string{"catalyst", "heated catalyst", "fuel vapour", "secondary air",
		"air conditioning or particulate filter", "oxygen sensor", "oxygen sensor heater", "exhaust recirculation or valve timing"}
	compressionOthers = [8]string{"hydrocarbon catalyst", "nitrogen oxide treatment", "", "boost pressure",
		"", "exhaust gas sensor", "particulate filter", "exhaust recirculation or valve timing"}
)

// statusOf reads the four bytes A to D: A7 the lamp, A6 to A0 the count; B0 to
// B2 the continuous monitors supported, B4 to B6 the same not complete, B3 the
// kind of engine; C the others supported, D the same not complete.
func statusOf(data []byte, thisDrive bool) Status {
	a, b, c, d := data[0], data[1], data[2], data[3]
	s, others := Status{Ignition: Spark, ThisDrive: thisDrive}, sparkOthers
	if !thisDrive {
		s.Lamp, s.Stored = a>>7 == 1, int(a&0x7F)
	}
	if b>>3&1 == 1 {
		s.Ignition, others = Compression, compressionOthers
	}
	for i, name := range continuous {
		s.Monitors = append(s.Monitors, Monitor{name, true, b>>i&1 == 1, b>>(4+i)&1 == 0})
	}
	for i, name := range others {
		if name != "" {
			s.Monitors = append(s.Monitors, Monitor{name, false, c>>i&1 == 1, d>>i&1 == 0})
			continue
		}
		if (c|d)>>i&1 == 1 {
			s.Note = fmt.Sprintf("reserved bit %d of C = %02X, D = %02X is set; it is left out", i, c, d)
		}
	}
	return s
}

// NotReady lists the monitors that count: supported, not complete and not
// continuous.
func (s Status) NotReady() []string {
	var names []string
	for _, m := range s.Monitors {
		if m.Supported && !m.Complete && !m.Continuous {
			names = append(names, m.Name)
		}
	}
	return names
}

const epa = "EPA420-R-01-015 (second-hand): a recommendation to inspection stations; local rules differ"

// allowance is how many monitors may be not ready, from a model year on.
type allowance struct {
	from  int
	limit Limit
}

var allowances = []allowance{
	{1996, Limit{2, epa}},
	{2001, Limit{1, epa}},
}

// lastYear keeps slips of the pen out (common practice).
const lastYear = 2100

// Readiness is whether a station that follows the recommendation would accept
// the vehicle's monitors. The lamp and the codes are judged apart from it.
type Readiness struct {
	Accept   bool
	NotReady []string
	Allowed  Limit
	Because  string
	Notes    []string
	Workings []string
}

// Judge applies the rule for a model year, 1996 to 2100. It is an error for an
// older one, for which no rule is known, and for the status of one drive alone.
func (s Status) Judge(modelYear int) (Readiness, error) {
	if s.ThisDrive {
		return Readiness{}, fmt.Errorf("readiness: PID 41 tells of this drive alone; give the reply to PID 01")
	}
	allowed, err := allowedIn(modelYear)
	if err != nil {
		return Readiness{}, err
	}
	r := Readiness{NotReady: s.NotReady(), Allowed: allowed}
	r.Accept = float64(len(r.NotReady)) <= allowed.Value
	r.Because = fmt.Sprintf("%s; a vehicle of model year %d may have %g", s.counted(r.NotReady), modelYear, allowed.Value)
	r.Notes = s.notes()
	for _, m := range s.Monitors {
		r.Workings = append(r.Workings, fmt.Sprintf("%s: %s%s", m.Name, m, aside(m)))
	}
	r.Workings = append(r.Workings, fmt.Sprintf("not ready: %d, allowed: %g", len(r.NotReady), allowed.Value))
	return r, nil
}

func allowedIn(modelYear int) (Limit, error) {
	if modelYear < allowances[0].from || modelYear > lastYear {
		return Limit{}, fmt.Errorf("readiness: model year %d: the rule covers %d to %d; check the year, or ask the station for its rule", modelYear, allowances[0].from, lastYear)
	}
	found := allowances[0].limit
	for _, a := range allowances {
		if modelYear >= a.from {
			found = a.limit
		}
	}
	return found, nil
}

func (s Status) counted(names []string) string {
	switch len(names) {
	case 0:
		return "every monitor that counts is complete"
	case 1:
		return "1 monitor is not ready (" + names[0] + ")"
	}
	return fmt.Sprintf("%d monitors are not ready (%s)", len(names), strings.Join(names, ", "))
}

func aside(m Monitor) string {
	if m.Continuous {
		return " (runs all the time, not counted)"
	}
	return ""
}

func (s Status) notes() []string {
	notes := []string{"local rules differ: ask the station that will test the vehicle"}
	if s.Lamp {
		notes = append(notes, "the lamp is commanded on: that fails a test whatever the monitors say")
	}
	if s.Ignition == Compression {
		notes = append(notes, "compression engine: many places have a rule of their own for it, or none")
	}
	if s.Note != "" {
		notes = append(notes, s.Note)
	}
	return notes
}

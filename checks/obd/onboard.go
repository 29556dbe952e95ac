// The rule of this file: a test result is judged only when its scaling is
// known; otherwise the raw numbers are shown and said to be raw.

package obd

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Test is one result of service 06: monitor, test, scaling, and three numbers
// of two bytes.
type Test struct {
	Monitor  byte
	Test     byte
	Scaling  byte
	Position Position // of an oxygen sensor or its heater
	Title    string
	Raw      [3]int // value, lowest and highest allowed, as sent
	Value    float64
	Limits   [2]Limit // lowest and highest allowed, in the value's unit
	Unit     string
	Judged   bool // false where the scaling is not known
	Pass     bool
	Because  string
}

// Scale is a scaling: a raw number times Step is in Unit.
type Scale struct {
	ID       byte
	Step     float64
	Unit     string
	Decimals int
	Source   string
}

var scales = []Scale{
	{0x01, 1, "", 0, remembered},
	{0x0A, 0.122, "mV", 3, Source},
	{0x0B, 1, "mV", 0, remembered},
	{0x0C, 10, "mV", 0, remembered},
	{0x0E, 1, "mA", 0, remembered},
	{0x10, 1, "ms", 0, Source},
	{0x11, 100, "ms", 0, remembered},
	{0x12, 1, "s", 0, remembered},
	{0x13, 1, "mΩ", 0, remembered},
	{0x14, 1, "Ω", 0, remembered},
	{0x24, 1, "", 0, Source},
}

func scaleOf(id byte) (Scale, bool) {
	i := slices.IndexFunc(scales, func(s Scale) bool { return s.ID == id })
	if i < 0 {
		return Scale{}, false
	}
	return scales[i], true
}

// The tests of an oxygen sensor (SAE J1979, from memory); others are the
// maker's own.
var sensorTests = [256]string{
	0x01: "threshold from rich to lean",
	0x02: "threshold from lean to rich",
	0x03: "low voltage that switching is timed from",
	0x04: "high voltage that switching is timed to",
	0x05: "time from rich to lean",
	0x06: "time from lean to rich",
	0x07: "lowest voltage of the test",
	0x08: "highest voltage of the test",
	0x09: "time between changes",
	0x0A: "period",
}

const record = 9 // bytes of one result

// readTests reads a reply to service 06 on CAN: a support map of monitors, or
// records of nine bytes.
func (a *Answer) readTests(reply []byte) error {
	body := reply[1:]
	if len(body) == 0 {
		return fmt.Errorf("byte 2: no monitor follows 46; copy the whole line")
	}
	if body[0]%0x20 == 0 {
		return a.readMonitorMap(body)
	}
	if rest := len(body) % record; rest != 0 {
		return fmt.Errorf("byte %d: each result has %d bytes and %d are left over; copy every line of the reply (vehicles before CAN send another form, which is not read here)", 1+len(body)-rest+1, record, rest)
	}
	for ; len(body) > 0; body = body[record:] {
		if len(a.Tests) > 0 && body[0] != a.Tests[0].Monitor {
			return fmt.Errorf("byte %d: monitor %02X in the reply of monitor %02X; copy the reply as it was", len(reply)-len(body)+1, body[0], a.Tests[0].Monitor)
		}
		t := testOf(body[:record])
		a.Tests = append(a.Tests, t)
		a.Workings = append(a.Workings, t.workings())
	}
	return nil
}

func (a *Answer) readMonitorMap(body []byte) error {
	if len(body)%5 != 0 {
		return fmt.Errorf("byte 2: a support map of monitors has 4 bytes after %02X and %d are there; copy the whole line", body[0], len(body)-1)
	}
	for ; len(body) > 0; body = body[5:] {
		if body[0]%0x20 != 0 {
			return fmt.Errorf("monitor %02X among support maps; copy the reply as it was", body[0])
		}
		r := Reading{PID: body[0], Name: fmt.Sprintf("monitors %02X to %02X that are answered", int(body[0])+1, min(int(body[0])+0x20, 0xFF)),
			Bytes: append([]byte(nil), body[1:5]...), Source: Source}
		readSupport(&r, r.Bytes)
		a.Readings = append(a.Readings, r)
		a.Workings = append(a.Workings, fmt.Sprintf("monitors after %02X: % X -> %s", body[0], r.Bytes, inHex(r.Supported)))
	}
	return nil
}

// testOf reads one record.
func testOf(b []byte) Test {
	t := Test{Monitor: b[0], Test: b[1], Scaling: b[2]}
	t.Raw = [3]int{unsigned(b[3:5]), unsigned(b[5:7]), unsigned(b[7:9])}
	t.name()
	scale, known := scaleOf(t.Scaling)
	if !known {
		t.Value = float64(t.Raw[0])
		t.Limits = [2]Limit{{float64(t.Raw[1]), "the vehicle, raw"}, {float64(t.Raw[2]), "the vehicle, raw"}}
		t.Because = fmt.Sprintf("scaling %02X is not known here: the numbers are raw, perhaps with a sign, and are not judged", t.Scaling)
		return t
	}
	t.Unit, t.Judged = scale.Unit, true
	t.Value = float64(t.Raw[0]) * scale.Step
	for i := range t.Limits {
		t.Limits[i] = Limit{float64(t.Raw[1+i]) * scale.Step, "the vehicle, in its reply; scaling: " + scale.Source}
	}
	t.Pass = t.Raw[0] >= t.Raw[1] && t.Raw[0] <= t.Raw[2]
	t.Because = fmt.Sprintf("%s is %s the vehicle's own limits, %s to %s", t.show(0), within(t.Pass), t.show(1), t.show(2))
	return t
}

func within(pass bool) string {
	if pass {
		return "within"
	}
	return "outside"
}

// show is the ith raw number in its unit.
func (t Test) show(i int) string {
	scale, known := scaleOf(t.Scaling)
	if !known {
		return strconv.Itoa(t.Raw[i])
	}
	return strings.TrimSpace(strconv.FormatFloat(float64(t.Raw[i])*scale.Step, 'f', scale.Decimals, 64) + " " + scale.Unit)
}

// String is the value at its rounding with its unit, or the raw number.
func (t Test) String() string { return t.show(0) }

// name says what is tested: monitors 01 to 10 are the oxygen sensors B1S1 to
// B4S4 and 41 to 50 their heaters (SAE J1979, from memory).
func (t *Test) name() {
	t.Title = fmt.Sprintf("monitor %02X, test %02X", t.Monitor, t.Test)
	switch {
	case t.Monitor >= 0x01 && t.Monitor <= 0x10:
		t.Position = sixteenth(t.Monitor - 0x01)
		t.Title = fmt.Sprintf("oxygen sensor %s, %s", t.Position, t.sensorTest())
	case t.Monitor >= 0x41 && t.Monitor <= 0x50:
		t.Position = sixteenth(t.Monitor - 0x41)
		t.Title = fmt.Sprintf("oxygen sensor heater %s, test %02X", t.Position, t.Test)
	case t.Monitor >= 0x21 && t.Monitor <= 0x24:
		t.Title = fmt.Sprintf("catalyst of bank %d, test %02X", t.Monitor-0x20, t.Test)
	}
}

func sixteenth(n byte) Position { return Position{1 + int(n)/4, 1 + int(n)%4} }

func (t Test) sensorTest() string {
	if words := sensorTests[t.Test]; words != "" {
		return words
	}
	return fmt.Sprintf("test %02X, the maker's own", t.Test)
}

func (t Test) workings() string {
	return fmt.Sprintf("%s: scaling %02X; value %d = %s, lowest %d = %s, highest %d = %s; %s",
		t.Title, t.Scaling, t.Raw[0], t.show(0), t.Raw[1], t.show(1), t.Raw[2], t.show(2), t.Because)
}

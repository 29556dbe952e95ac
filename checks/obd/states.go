// The rule of this file: where a PID holds bits and not numbers, each bit is
// put in words, and a pattern that cannot be is said to be that.

package obd

import (
	"fmt"
	"math/bits"
	"strings"

	"fenderside/checks/troublecode"
)

func statement(name, text string) Figure { return Figure{Name: name, Text: text} }

// readSupport reads a support map: the first bit of four bytes is the PID after
// the map's own, and the last one is the next map.
func readSupport(r *Reading, data []byte) {
	r.Supported = supported(r.PID, data)
	r.Figures = []Figure{statement("answered", inHex(r.Supported))}
}

func supported(base byte, data []byte) []byte {
	var all []byte
	for i := range 32 {
		if pid := int(base) + 1 + i; data[i/8]>>(7-i%8)&1 == 1 && pid <= 0xFF {
			all = append(all, byte(pid))
		}
	}
	return all
}

func inHex(list []byte) string {
	if len(list) == 0 {
		return "none"
	}
	return strings.TrimSpace(fmt.Sprintf("% X", list))
}

// readCause reads PID 02: the code that stored the freeze frame.
func readCause(r *Reading, data []byte) {
	code := troublecode.FromBytes(data[0], data[1])
	r.Cause = &code
	if code.Padding() {
		r.Figures = []Figure{statement("code", "no freeze frame is stored")}
		return
	}
	r.Figures = []Figure{statement("code", troublecode.Explain(code))}
}

var loops = [256]string{
	0x01: "open loop: the engine or its sensors are not warm yet",
	0x02: "closed loop: the oxygen sensors steer the mixture",
	0x04: "open loop: because of load, or of fuel cut on overrun",
	0x08: "open loop: because of a fault",
	0x10: "closed loop, but with a fault: at least one oxygen sensor is not used",
}

// readFuelSystem reads PID 03. One bit can be set for each system; the second
// system's byte is 0 where there is none.
func readFuelSystem(r *Reading, data []byte) {
	for i, b := range data {
		name := fmt.Sprintf("system %d", i+1)
		switch text := loops[b]; {
		case text != "":
			r.Figures = append(r.Figures, statement(name, text))
		case b == 0 && i == 0:
			r.Figures = append(r.Figures, statement(name, "nothing stated: the engine may be off"))
		case b == 0:
			r.Figures = append(r.Figures, statement(name, "not there"))
		default:
			r.Figures = append(r.Figures, statement(name, invalidLoop(b)))
			r.Note = "a fuel system is in one state at a time; read it again"
		}
	}
}

func invalidLoop(b byte) string {
	if bits.OnesCount8(b) > 1 {
		return fmt.Sprintf("invalid: %02X says more than one state at once", b)
	}
	return fmt.Sprintf("invalid: %02X is a reserved state", b)
}

// ClosedLoop reports whether PID 03 says that the first fuel system is in
// closed loop, with or without a fault; known is false for any other reading
// and for an invalid one.
func (r Reading) ClosedLoop() (closed, known bool) {
	if r.PID != 0x03 || len(r.Bytes) == 0 {
		return false, false
	}
	return r.Bytes[0] == 0x02 || r.Bytes[0] == 0x10, loops[r.Bytes[0]] != ""
}

// readFitted reads PID 13 or 1D.
func readFitted(r *Reading, data []byte) {
	r.Fitted = &Fitted{PID: r.PID, Bits: data[0]}
	var places []string
	for _, p := range r.Fitted.Sensors() {
		places = append(places, p.String())
	}
	if len(places) == 0 {
		places = []string{"none"}
	}
	r.Figures = []Figure{statement("fitted", strings.Join(places, " "))}
}

// readStatus reads PID 01 and 41.
func readStatus(r *Reading, data []byte) {
	s := statusOf(data, r.PID == 0x41)
	r.Status = &s
	if r.PID == 0x01 {
		r.Figures = append(r.Figures,
			statement("lamp", map[bool]string{true: "commanded on", false: "off"}[s.Lamp]),
			Figure{Name: "codes stored", Numeric: true, Value: float64(s.Stored)})
	}
	r.Figures = append(r.Figures, statement("ignition", string(s.Ignition)))
	for _, m := range s.Monitors {
		r.Figures = append(r.Figures, statement(m.Name, m.String()))
	}
	r.Note = s.Note
}

// The rule of this file: several PIDs share a reply, each with the length its
// row gives; where one does not fit, what stands before it still holds.

package obd

import (
	"fmt"
	"strconv"
	"strings"

	"fenderside/checks/troublecode"
)

// Figure is one thing a reading says: a number in its unit, or a statement.
type Figure struct {
	Name     string
	Numeric  bool
	Value    float64 // when Numeric
	Unit     string
	Decimals int
	Text     string // when not Numeric
}

// String is the figure at its rounding with its unit, or its statement.
func (f Figure) String() string {
	if !f.Numeric {
		return f.Text
	}
	return strings.TrimSpace(strconv.FormatFloat(f.Value, 'f', f.Decimals, 64) + " " + f.Unit)
}

// Reading is one PID of a reply. Position is set for oxygen sensors and
// catalysts where it is known; Note says what a person must know of it.
type Reading struct {
	PID       byte
	Name      string
	Frozen    bool // of a freeze frame
	Frame     int  // its number, when Frozen
	Bytes     []byte
	Figures   []Figure
	Position  Position
	Note      string
	Status    *Status           // of PID 01 and 41
	Fitted    *Fitted           // of PID 13 and 1D
	Cause     *troublecode.Code // of PID 02; padding where no frame is stored
	Supported []byte            // of a support map: the PIDs that are answered
	Source    string
	fields    []Field
}

// Number gives the figure of that name, if it is there and a number.
func (r Reading) Number(name string) (float64, bool) {
	for _, f := range r.Figures {
		if f.Name == name && f.Numeric {
			return f.Value, true
		}
	}
	return 0, false
}

// Title is the PID's name with its place.
func (r Reading) Title() string {
	if r.Position.Known() {
		return r.Name + ", " + r.Position.String()
	}
	return r.Name
}

// Workings shows how each figure came from its bytes.
func (r Reading) Workings() []string {
	head := fmt.Sprintf("PID %02X %s", r.PID, r.Title())
	var lines []string
	at := 0
	for _, f := range r.fields {
		part := r.Bytes[at : at+f.Bytes]
		at += f.Bytes
		for _, figure := range r.Figures {
			if figure.Name == f.Name {
				lines = append(lines, fmt.Sprintf("%s: X = % X = %d; %s %s", head, part, unsigned(part), equation(f, figure), figure))
			}
		}
	}
	if len(lines) == 0 {
		for _, f := range r.Figures {
			lines = append(lines, fmt.Sprintf("%s: % X: %s %s", head, r.Bytes, f.Name, f))
		}
	}
	if r.Note != "" {
		lines = append(lines, head+": "+r.Note)
	}
	return lines
}

func equation(f Field, figure Figure) string {
	if !figure.Numeric {
		return f.Name
	}
	return fmt.Sprintf("%s = %s =", f.Name, f.Formula)
}

// Live decodes a reply to service 01, the readings alone, without workings. An
// error names the byte at fault; what was read before it is given with it.
func Live(r Reply, fitted Fitted) ([]Reading, error) {
	if len(r.Bytes) == 0 || r.Bytes[0] != 0x01+answered {
		return nil, fmt.Errorf("reply % X: not one to service 01; such a reply begins with 41", r.Bytes)
	}
	readings, err := readPIDs(r.Bytes, fitted, false)
	if err != nil {
		return readings, fmt.Errorf("reply % X: %w", r.Bytes, err)
	}
	return readings, nil
}

// readLive reads service 01: PIDs with their data, one after another.
func (a *Answer) readLive(reply []byte, fitted Fitted) error {
	return a.keep(readPIDs(reply, fitted, false))
}

// readFrozen reads service 02: each PID is followed by its frame's number.
func (a *Answer) readFrozen(reply []byte, fitted Fitted) error {
	return a.keep(readPIDs(reply, fitted, true))
}

func (a *Answer) keep(readings []Reading, err error) error {
	a.Readings = readings
	for _, r := range readings {
		a.Workings = append(a.Workings, r.Workings()...)
	}
	return err
}

func readPIDs(reply []byte, fitted Fitted, frozen bool) ([]Reading, error) {
	if len(reply) < 2 {
		return nil, fmt.Errorf("byte 2: no PID follows %02X; copy the whole line", reply[0])
	}
	var readings []Reading
	for at := 1; at < len(reply); {
		r := Reading{PID: reply[at], Frozen: frozen}
		data := at + 1
		if frozen {
			if data == len(reply) {
				return readings, fmt.Errorf("byte %d: PID %02X lacks its frame number; copy the whole line", data+1, r.PID)
			}
			r.Frame = int(reply[data])
			data++
		}
		end, err := r.read(reply, at, data, fitted)
		if err != nil {
			return readings, err
		}
		readings = append(readings, r)
		at = end
	}
	return readings, nil
}

// read decodes the PID at byte at, whose data begin at data, and gives where
// they end.
func (r *Reading) read(reply []byte, at, data int, fitted Fitted) (end int, err error) {
	spec, known := lookup(r.PID, fitted)
	if !known {
		return 0, fmt.Errorf("byte %d: PID %02X is not known here, nor how long it is, so nothing from there on can be read; ask for it alone", at+1, r.PID)
	}
	end = data + spec.Bytes
	if end > len(reply) {
		return 0, fmt.Errorf("byte %d: PID %02X (%s) has %d bytes of data and %d are there; copy the whole line, without filling", at+1, r.PID, spec.Name, spec.Bytes, len(reply)-data)
	}
	r.Bytes = append([]byte(nil), reply[data:end]...)
	r.Name, r.Source = spec.Name, spec.Source
	r.place(fitted)
	r.fill(spec)
	return end, nil
}

// fill works the figures out of the bytes.
func (r *Reading) fill(spec Spec) {
	if spec.states != nil {
		spec.states(r, r.Bytes)
		return
	}
	at := 0
	r.fields = spec.Fields
	for _, f := range spec.Fields {
		r.Figures = append(r.Figures, f.figure(r.Bytes[at:at+f.Bytes]))
		at += f.Bytes
	}
}

func (f Field) figure(data []byte) Figure {
	x := unsigned(data)
	if f.unused != 0 && x == f.unused {
		return Figure{Name: f.Name, Text: "not used by this sensor"}
	}
	value := float64(float64(x)*f.Times)/f.Over + f.Plus
	return Figure{Name: f.Name, Numeric: true, Value: value, Unit: f.Unit, Decimals: f.Decimals}
}

func unsigned(data []byte) int {
	x := 0
	for _, b := range data {
		x = x<<8 | int(b)
	}
	return x
}

// lookup gives the row of a PID. The trims of banks 1 and 2 carry banks 3 and 4
// in a second byte where PID 1D says that these exist (from memory).
func lookup(pid byte, fitted Fitted) (Spec, bool) {
	if pid%0x20 == 0 {
		return coded(pid, fmt.Sprintf("PIDs %02X to %02X that are answered", int(pid)+1, min(int(pid)+0x20, 0xFF)), 4, Source, readSupport), true
	}
	spec, known := pids()[pid]
	if known && pid >= 0x06 && pid <= 0x09 && fitted.thirdBank() {
		second := trim(fmt.Sprintf("trim of bank %d", 3+(pid-0x06)/2))
		spec = row(pid, spec.Name, remembered, spec.Fields[0], second)
	}
	return spec, known
}

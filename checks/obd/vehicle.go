// The rule of this file: text that a controller gives of itself is shown only
// if it is text, and counted before it is believed.

package obd

import (
	"bytes"
	"fmt"
	"strings"
)

// Vehicle is what a reply to service 09 tells: one or more items of one kind.
type Vehicle struct {
	Kind      string
	Items     []string
	VIN       *VIN
	Supported []byte // of a support map
}

// vehicleKind is a kind of item of service 09 and its length.
type vehicleKind struct {
	name  string
	bytes int
	text  bool
}

// The kinds: the VIN is read, the others are from memory.
var vehicleKinds = [256]vehicleKind{
	0x02: {"vehicle number (VIN)", 17, true},
	0x04: {"calibration", 16, true},
	0x06: {"check number of the calibration", 4, false},
	0x0A: {"name of the controller", 20, true},
}

// vinPart is the length of each of the five replies that carry a VIN before
// CAN: 49 02, the part's number, four characters.
const (
	vinPart  = 7
	vinParts = 5
)

func (a *Answer) readVehicle(reply []byte) error {
	if len(reply) < 2 {
		return fmt.Errorf("byte 2: no kind of information follows 49; copy the whole line")
	}
	kind := vehicleKinds[reply[1]]
	switch {
	case reply[1] == 0:
		return a.readVehicleMap(reply)
	case kind.name == "":
		return fmt.Errorf("byte 2: information %02X is not read here; these are: 02 04 06 0A", reply[1])
	case reply[1] == 0x02 && len(reply) == vinPart:
		return fmt.Errorf("byte 3: part %d of a VIN in five replies, as sent before CAN; give all five together", reply[2])
	case len(reply) < 3:
		return fmt.Errorf("byte 3: the number of items is missing; copy the whole line")
	}
	a.Vehicle = &Vehicle{Kind: kind.name}
	if want := 3 + int(reply[2])*kind.bytes; len(reply) != want {
		return fmt.Errorf("byte 3: %d of %s, %d bytes each, makes %d bytes in all and %d are there; copy every line of the reply", reply[2], kind.name, kind.bytes, want, len(reply))
	}
	for body, at := reply[3:], 4; len(body) > 0; body, at = body[kind.bytes:], at+kind.bytes {
		item, err := kind.item(body[:kind.bytes], at)
		if err != nil {
			return err
		}
		a.Vehicle.Items = append(a.Vehicle.Items, item)
		a.Workings = append(a.Workings, fmt.Sprintf("% X -> %s %s", body[:kind.bytes], kind.name, item))
	}
	if reply[2] == 0 {
		a.Workings = []string{kind.name + ": none given"}
	}
	return a.readVIN(reply[1])
}

func (a *Answer) readVIN(kind byte) error {
	if kind != 0x02 || len(a.Vehicle.Items) == 0 {
		return nil
	}
	vin, err := ParseVIN(a.Vehicle.Items[0])
	if err != nil {
		return err
	}
	a.Vehicle.VIN = &vin
	a.Workings = append(a.Workings, vin.Workings...)
	return nil
}

func (a *Answer) readVehicleMap(reply []byte) error {
	if len(reply) != 6 {
		return fmt.Errorf("byte 3: a support map has 4 bytes and %d are there; copy the whole line", len(reply)-2)
	}
	a.Vehicle = &Vehicle{Kind: "information that is given", Supported: supported(0, reply[2:])}
	a.Vehicle.Items = []string{inHex(a.Vehicle.Supported)}
	a.Workings = []string{fmt.Sprintf("% X -> %s", reply[2:], a.Vehicle.Items[0])}
	return nil
}

// item is one item as text; at is the number of its first byte in the reply.
func (k vehicleKind) item(data []byte, at int) (string, error) {
	if !k.text {
		return fmt.Sprintf("%X", data), nil
	}
	text := bytes.TrimRight(bytes.Trim(data, "\x00"), " ")
	for _, b := range text {
		if b < 0x20 || b > 0x7E {
			return "", fmt.Errorf("bytes %d to %d: % X is no text (%02X is no printed character); copy the reply as it was", at, at+len(data)-1, data, b)
		}
	}
	return string(text), nil
}

// joinVIN puts five replies in a row of one controller, parts 1 to 5 of a VIN
// as sent before CAN, in the place of the first; others are left as they are.
// The first part begins with three bytes of filling.
func joinVIN(replies []Reply) []Reply {
	var out []Reply
	for i := 0; i < len(replies); i++ {
		if vin, ok := fiveParts(replies[i:]); ok {
			out = append(out, Reply{ECU: replies[i].ECU, Bytes: append([]byte{0x49, 0x02, 0x01}, vin...)})
			i += vinParts - 1
			continue
		}
		out = append(out, replies[i])
	}
	return out
}

func fiveParts(replies []Reply) (vin []byte, ok bool) {
	if len(replies) < vinParts {
		return nil, false
	}
	for n, r := range replies[:vinParts] {
		b := r.Bytes
		if len(b) != vinPart || b[0] != 0x49 || b[1] != 0x02 || int(b[2]) != n+1 {
			return nil, false
		}
		vin = append(vin, b[3:]...)
	}
	return vin[3:], allZero(vin[:3])
}

// VIN is a vehicle identification number. The check digit, the ninth
// character, must be right for vehicles sold in North America only.
type VIN struct {
	Text         string
	Given, Wants byte // the check digit as given and as reckoned
	Right        bool
	Because      string
	Workings     []string
}

// The values of the letters and the weights of the places, 49 CFR 565.15(c).
var (
	vinLetters = "ABCDEFGHJKLMNPRSTUVWXYZ"
	vinValues  = "12345678123457923456789"
	vinWeights = [17]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}
)

// ParseVIN reads 17 characters and reckons their check digit: the sum of value
// times weight, modulo 11, where 10 is written X (49 CFR 565.15). A wrong check
// digit is told, not refused.
func ParseVIN(text string) (VIN, error) {
	if len(text) != len(vinWeights) {
		return VIN{}, fmt.Errorf("vehicle number %q: %d characters where 17 are wanted; read it again", text, len(text))
	}
	v := VIN{Text: text, Given: text[8]}
	sum := 0
	var terms []string
	for i := range len(text) {
		value, ok := vinValue(text[i])
		if !ok {
			return VIN{}, fmt.Errorf("vehicle number %q: character %d, %q, cannot stand in one; digits and capital letters but I, O and Q can", text, i+1, text[i:i+1])
		}
		sum += value * vinWeights[i]
		terms = append(terms, fmt.Sprintf("%c %d·%d", text[i], value, vinWeights[i]))
	}
	v.Wants = "0123456789X"[sum%11]
	v.Right = v.Given == v.Wants
	v.Because = fmt.Sprintf("the check digit is %c and the others ask for %c", v.Given, v.Wants)
	if !v.Right {
		v.Because += "; it was misread, or the vehicle was not made for North America or another market that asks for the digit"
	}
	v.Workings = []string{strings.Join(terms, ", "), fmt.Sprintf("sum %d, modulo 11 = %d -> %c (49 CFR 565.15)", sum, sum%11, v.Wants)}
	return v, nil
}

func vinValue(c byte) (int, bool) {
	if c >= '0' && c <= '9' {
		return int(c - '0'), true
	}
	i := strings.IndexByte(vinLetters, c)
	if i < 0 {
		return 0, false
	}
	return int(vinValues[i] - '0'), true
}

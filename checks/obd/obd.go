// Package obd reads what an engine's controllers answer over the diagnostic
// plug: live values, freeze frames, trouble codes, test results, the readiness
// of the monitors and the vehicle's number (SAE J1979, ISO 15031-5).
//
// A Reply is one whole message of one controller. Its first byte is the service
// asked for plus hexadecimal 40, and what follows is the service's own:
//
//	41 05 6E 0C 0A 6B      service 01: PID 05 and PID 0C, each with its data
//	42 0C 00 20 80         service 02: PID 0C of freeze frame 00
//	43 02 01 35 01 71      service 03: two codes
//	46 01 05 10 00 48 ...  service 06: test results, nine bytes each
//	49 02 01 31 47 ...     service 09: the VIN
//	7F 01 12               service 01 refused, for reason 12
//
// Bytes are written in hexadecimal throughout; A, B, C, D are the data bytes of
// a PID in order. Formulas marked "from memory" are believed and not read.
package obd

// The rule of this file: a reply is decoded as its service lays down, and a
// reply that does not fit it is refused with the byte that does not.

import (
	"fmt"

	"fenderside/checks/troublecode"
)

// Source is where the formulas and layouts are from.
const Source = "SAE J1979 / ISO 15031-5 (second-hand)"

// Limit is a figure that decides, and where it is from.
type Limit struct {
	Value  float64
	Source string
}

// Reply is one whole message of one controller; ECU is its address as it was
// seen, such as 7E8, or empty when it was not. Bytes begin with the service.
type Reply struct {
	ECU   string
	Bytes []byte
}

// Answer is what one reply says. Only the fields of its service are set.
type Answer struct {
	ECU      string
	Service  byte   // as asked: 01 to 0A
	Title    string // of the service
	Readings []Reading
	Codes    []troublecode.Code
	Tests    []Test
	Vehicle  *Vehicle
	Refusal  *Refusal
	Workings []string
}

const (
	answered = 0x40 // is added to the service in a reply
	refused  = 0x7F
)

// titles by service. Arrays, here and below: unlike maps they cost a start nothing.
var titles = [256]string{
	0x01: "live values",
	0x02: "freeze frame",
	0x03: "stored trouble codes",
	0x04: "codes and monitors cleared",
	0x06: "results of on-board tests",
	0x07: "pending trouble codes",
	0x09: "vehicle information",
	0x0A: "permanent trouble codes",
}

// Decode reads one reply. Fitted, from PID 13 or 1D of the same controller,
// gives oxygen sensors their places; the zero Fitted leaves them unplaced. An
// error names the byte at fault; the Answer then holds what was read before it.
func Decode(r Reply, fitted Fitted) (Answer, error) {
	if len(r.Bytes) == 0 {
		return Answer{ECU: r.ECU}, fmt.Errorf("reply of no bytes; copy the whole line")
	}
	if r.Bytes[0] == refused {
		return refusal(r)
	}
	a := Answer{ECU: r.ECU, Service: r.Bytes[0] - answered}
	a.Title = titles[a.Service]
	var err error
	switch a.Service {
	case 0x01:
		err = a.readLive(r.Bytes, fitted)
	case 0x02:
		err = a.readFrozen(r.Bytes, fitted)
	case 0x03, 0x07, 0x0A:
		err = a.readCodes(r.Bytes)
	case 0x04:
		err = a.readCleared(r.Bytes)
	case 0x06:
		err = a.readTests(r.Bytes)
	case 0x09:
		err = a.readVehicle(r.Bytes)
	default:
		return Answer{ECU: r.ECU}, fmt.Errorf("reply % X: byte 1: %s", r.Bytes, notAService(r.Bytes))
	}
	if err != nil {
		return a, fmt.Errorf("reply % X: %w", r.Bytes, err)
	}
	return a, nil
}

// notAService says what a reply may be whose first byte is no known one.
func notAService(reply []byte) string {
	first := reply[0]
	framed := first < 0x30 && len(reply) > 1 && reply[1] > answered
	if titles[first] != "" && !framed {
		return fmt.Sprintf("%02X is a request; give the reply to it, which begins with %02X", first, first+answered)
	}
	if first < 0x30 {
		return fmt.Sprintf("%02X looks like the length byte of a CAN frame; give the frames as they were, with or without their ids", first)
	}
	return fmt.Sprintf("%02X is no reply that is read here; these are: 41 42 43 44 46 47 49 4A 7F", first)
}

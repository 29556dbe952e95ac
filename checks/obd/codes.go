// The rule of this file: the count that a reply gives of its codes must be the
// number that is there.

package obd

import (
	"fmt"

	"fenderside/checks/troublecode"
)

// uncounted is the length of a reply with codes before CAN: the service and
// three pairs, filled with zeros.
const uncounted = 7

// readCodes reads services 03, 07 and 0A. On CAN a byte with the number of
// codes comes first; before CAN there is none, and every reply is seven bytes.
func (a *Answer) readCodes(reply []byte) error {
	pairs := reply[1:]
	if len(reply) == uncounted {
		a.Workings = append(a.Workings, "seven bytes: three codes without a count, as sent before CAN")
	} else if err := countedCodes(reply); err != nil {
		return err
	} else {
		pairs = reply[2:]
	}
	codes, err := troublecode.FromReply(pairs)
	if err != nil {
		return err
	}
	a.Codes = codes
	for i := 0; i < len(pairs); i += 2 {
		a.Workings = append(a.Workings, fmt.Sprintf("% X -> %s", pairs[i:i+2], troublecode.Explain(troublecode.FromBytes(pairs[i], pairs[i+1]))))
	}
	if len(codes) == 0 {
		a.Workings = append(a.Workings, a.Title+": none")
	}
	return nil
}

// countedCodes holds a reply to its count; filling after the codes is let be.
func countedCodes(reply []byte) error {
	if len(reply) == 1 {
		return fmt.Errorf("byte 2: neither a count nor codes follow %02X; copy the whole line", reply[0])
	}
	end := 2 + 2*int(reply[1])
	if len(reply) < end {
		return fmt.Errorf("byte 2: %d codes are announced, which takes %d bytes, and %d are there; copy every line of the reply", reply[1], end, len(reply))
	}
	if !allZero(reply[end:]) {
		return fmt.Errorf("byte %d: more follows the %d codes that are announced; copy the reply as it was", end+1, reply[1])
	}
	return nil
}

// readCleared reads service 04, whose reply is its one byte.
func (a *Answer) readCleared(reply []byte) error {
	if !allZero(reply[1:]) {
		return fmt.Errorf("byte 2: nothing follows 44; copy the reply as it was")
	}
	a.Workings = []string{"44: codes and freeze frames are cleared, and every monitor that counts is not complete until it has run again"}
	return nil
}

func allZero(data []byte) bool {
	for _, b := range data {
		if b != 0 {
			return false
		}
	}
	return true
}

// Refusal is a controller's answer that it does not answer.
type Refusal struct {
	Service byte // that was asked for
	Reason  byte
	Words   string
}

// The reasons (ISO 14229-1 and ISO 15031-5, from memory), in our own words.
var reasons = [256]string{
	0x10: "refused without a reason",
	0x11: "this controller does not know the service",
	0x12: "this controller does not know what was asked for within the service, or its form",
	0x13: "the request had a wrong length",
	0x14: "the reply would be too long",
	0x21: "busy: ask again",
	0x22: "not in the state that this needs: often the engine must be off, or running",
	0x31: "a value of the request is out of range",
	0x33: "locked: access must be granted first",
	0x78: "the reply is on its way: wait for it",
}

func refusal(r Reply) (Answer, error) {
	a := Answer{ECU: r.ECU}
	if len(r.Bytes) < 3 || !allZero(r.Bytes[min(3, len(r.Bytes)):]) {
		return a, fmt.Errorf("reply % X: 7F is followed by the service asked for and a reason, three bytes in all; copy the whole line", r.Bytes)
	}
	a.Service = r.Bytes[1]
	a.Title = titles[a.Service]
	words := reasons[r.Bytes[2]]
	if words == "" {
		words = fmt.Sprintf("refused for reason %02X, which is not known here", r.Bytes[2])
	}
	a.Refusal = &Refusal{Service: a.Service, Reason: r.Bytes[2], Words: words}
	a.Workings = []string{fmt.Sprintf("7F %02X %02X: service %02X refused: %s", a.Service, r.Bytes[2], a.Service, words)}
	return a, nil
}

// Package paste reads replies of a vehicle as people paste them. These all say
// the same:
//
//	41 05 6E                    the reply alone
//	41056E
//	0x41, 0x05, 0x6E
//	03 41 05 6E 00 00 00 00     a CAN frame: its length comes first
//	7E8 03 41 05 6E             with the controller's address, 11 bits
//	7E80341056E
//	7E8 41 05 6E                address, and the reply alone
//	18 DA F1 10 03 41 05 6E     with an address of 29 bits
//	7E8#0341056E
//	(1436509052.249713) can0 7E8#0341056E
//
// One frame or reply stands on a line, or several with | between them. Lines
// may end in any way; blank lines and lines that begin with # are passed over,
// and so are requests, which are known by their address. Replies of several
// frames are put together; what cannot be is told and left out.
package paste

// The rule of this file: what was pasted is one of the forms above, or is
// refused at its line and column with what to change.

import (
	"errors"
	"fmt"
	"strings"

	"fenderside/checks/obd"
	"fenderside/checks/obd/canlog"
	"fenderside/checks/obd/isotp"
)

// Error is text that is none of the forms. Line and Column count from 1, the
// column in characters.
type Error struct {
	Line, Column int
	What         string
}

func (e *Error) Error() string {
	return fmt.Sprintf("line %d, column %d: %s", e.Line, e.Column, e.What)
}

// Pasted is what the text held.
type Pasted struct {
	Replies  []obd.Reply // in the order in which they became whole
	Requests []int       // lines passed over because a tester sent them
	Faults   []error     // messages that could not be put together
}

// Parse reads the text. The error is an *Error for the first thing that is none
// of the forms, or says that there was no reply at all.
func Parse(text string) (Pasted, error) {
	var p Pasted
	var whole isotp.Assembler
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	for i, line := range strings.Split(text, "\n") {
		if trimmed := strings.TrimSpace(line); trimmed == "" || trimmed[0] == '#' {
			continue
		}
		column := 1
		for _, part := range strings.Split(line, "|") {
			if err := p.add(&whole, part, i+1, column); err != nil {
				return Pasted{}, err
			}
			column += len([]rune(part)) + 1
		}
	}
	for _, fault := range whole.Close() {
		p.Faults = append(p.Faults, fmt.Errorf("end of the text: %w", fault))
	}
	if len(p.Replies)+len(p.Requests)+len(p.Faults) == 0 {
		return Pasted{}, fmt.Errorf("no reply in the text; give lines such as 41 05 6E")
	}
	return p, nil
}

// add takes one frame or reply.
func (p *Pasted) add(whole *isotp.Assembler, part string, line, column int) error {
	if strings.TrimSpace(part) == "" {
		return &Error{line, column, "nothing between the strokes; give a frame, or leave the stroke out"}
	}
	m, err := read(part, line, column)
	if err != nil {
		return err
	}
	switch {
	case m.address != "" && obd.IsRequest(m.address):
		p.Requests = append(p.Requests, line)
		return nil
	case m.address != "" && !obd.IsReply(m.address):
		return &Error{line, m.column, fmt.Sprintf("%s is no address that a controller answers from; those are 7E8 to 7EF and 18DAF1xx", m.address)}
	case len(m.bytes) == 0:
		return &Error{line, m.column, "an address without data; copy the whole line"}
	case m.bytes[0] >= 0x40:
		return p.reply(m, m.bytes, line)
	}
	payload, fault := whole.Add(m.address, m.bytes)
	if fault != nil {
		p.Faults = append(p.Faults, fmt.Errorf("line %d: %w", line, fault))
	}
	if payload == nil {
		return nil
	}
	return p.reply(m, payload, line)
}

// reply keeps a whole message if it can be one of a controller.
func (p *Pasted) reply(m message, payload []byte, line int) error {
	switch {
	case payload[0] < 0x40:
		return &Error{line, m.column, fmt.Sprintf("no reply begins with %02X; if this line is a request, leave it out", payload[0])}
	case m.address == "" && len(payload) > 3 && payload[0] == 0x48 && payload[1] == 0x6B:
		return &Error{line, m.column, "48 6B is the header of a bus before CAN; leave out the first three bytes and the checksum at the end"}
	}
	p.Replies = append(p.Replies, obd.Reply{ECU: m.address, Bytes: payload})
	return nil
}

// message is one line or part of it: an address, if there was one, and bytes.
type message struct {
	address string
	bytes   []byte
	column  int // of its first character
}

// read tells the forms apart.
func read(part string, line, column int) (message, error) {
	left := strings.TrimLeft(part, " \t")
	column += len(part) - len(left)
	if left[0] == '(' {
		return logLine(left, line, column, 0)
	}
	if strings.Contains(left, "#") {
		return logLine(unstamped+left, line, column, len(unstamped))
	}
	words, err := split(part, line, column-(len(part)-len(left)))
	if err != nil {
		return message{}, err
	}
	m, err := assemble(words, line)
	m.column = column
	return m, err
}

// unstamped stands before a frame without time and interface, to make a whole
// line of it.
const unstamped = "(0) pasted "

// logLine reads a line of a log; text begins skip characters before column.
func logLine(text string, line, column, skip int) (message, error) {
	f, err := canlog.ParseLine(strings.TrimRight(text, " \t"))
	var bad *canlog.Bad
	if errors.As(err, &bad) {
		return message{}, &Error{line, column + max(0, bad.Column-1-skip), bad.What}
	}
	return message{f.ID, f.Data, column}, err
}

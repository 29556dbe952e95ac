// Package isotp puts the frames of diagnostic messages on a CAN bus back
// together (ISO 15765-2, normal addressing, frames of up to 8 bytes).
//
// The first byte of a frame says what it is:
//
//	0L          single frame: L bytes follow, 1 to 7, the rest is filling
//	1L LL       first frame of a message of LLL bytes, 8 to 4095, with 6 of them
//	2N          consecutive frame N, 1 to F and then 0 again, with up to 7
//	3S          flow control, sent by the receiver: passed over
//
// The VIN of a reply to service 09, 20 bytes in three frames:
//
//	10 14 49 02 01 31 47 31
//	21 4A 43 35 34 34 34 52
//	22 37 32 35 32 33 36 37
package isotp

// The rule of this file: a message is delivered whole or not at all. A frame
// that is missing, repeated or out of order ends its message with a Fault, and
// nothing is ever filled in.

import "fmt"

// Kind says why a message was lost.
type Kind string

// The kinds of fault.
const (
	Malformed  Kind = "malformed"    // a frame that is none of the four
	Unstarted  Kind = "unstarted"    // a consecutive frame without its first one
	Missing    Kind = "missing"      // one or more consecutive frames are left out
	Repeated   Kind = "repeated"     // the frame before was seen again
	Disordered Kind = "out of order" // an earlier frame came late
	Incomplete Kind = "incomplete"   // the message stops short of its length
)

// Fault is a message that could not be put together. Stream is the sender as
// the caller named it. Got and Want count bytes of the message.
type Fault struct {
	Kind      Kind
	Stream    string
	Got, Want int
	What      string
}

func (f *Fault) Error() string {
	where := ""
	if f.Stream != "" {
		where = f.Stream + ": "
	}
	return fmt.Sprintf("%smessage %s: %s", where, f.Kind, f.What)
}

// Assembler puts frames together, each sender's apart from the others'. The
// zero Assembler is ready. It holds no more than one message a sender.
type Assembler struct {
	open  map[string]*message
	order []string // of the senders with a message open
}

// message is one that is not yet whole.
type message struct {
	payload []byte
	want    int
	next    byte // the sequence number due, 0 to F
	frames  int
}

// Add takes the next frame of a sender. It gives the payload when the frame
// makes a message whole, and a *Fault when the frame is bad or ends an
// unfinished message; both at once when a good single frame interrupts one.
func (a *Assembler) Add(stream string, frame []byte) (payload []byte, fault error) {
	if len(frame) == 0 || len(frame) > 8 {
		return nil, a.end(stream, Malformed, fmt.Sprintf("frame of %d bytes; a frame has 1 to 8", len(frame)))
	}
	switch frame[0] >> 4 {
	case 0:
		return a.single(stream, frame)
	case 1:
		return nil, a.first(stream, frame)
	case 2:
		return a.consecutive(stream, frame)
	case 3:
		return nil, nil
	}
	return nil, a.end(stream, Malformed, fmt.Sprintf("frame % X: a frame begins with 0, 1, 2 or 3", frame))
}

// Close gives a fault for each message still unfinished, in the order in which
// they were begun, and forgets them.
func (a *Assembler) Close() []error {
	var faults []error
	for len(a.order) > 0 {
		faults = append(faults, a.interrupt(a.order[0], "the frames end"))
	}
	return faults
}

func (a *Assembler) single(stream string, frame []byte) ([]byte, error) {
	length := int(frame[0] & 0xF)
	switch {
	case length == 0 || length > 7:
		return nil, a.end(stream, Malformed, fmt.Sprintf("single frame % X: a length of %d; it can be 1 to 7", frame, length))
	case len(frame) < 1+length:
		return nil, a.end(stream, Incomplete, fmt.Sprintf("single frame % X: %d of %d bytes; copy the whole frame", frame, len(frame)-1, length))
	}
	return append([]byte(nil), frame[1:1+length]...), a.interrupt(stream, "another message begins")
}

func (a *Assembler) first(stream string, frame []byte) error {
	if len(frame) < 8 {
		return a.end(stream, Incomplete, fmt.Sprintf("first frame % X: %d bytes where 8 are sent; copy the whole frame", frame, len(frame)))
	}
	length := int(frame[0]&0xF)<<8 | int(frame[1])
	if length < 8 {
		return a.end(stream, Malformed, fmt.Sprintf("first frame % X: a length of %d; it can be 8 to 4095", frame, length))
	}
	fault := a.interrupt(stream, "another message begins")
	if a.open == nil {
		a.open = map[string]*message{}
	}
	a.open[stream] = &message{payload: append([]byte(nil), frame[2:]...), want: length, next: 1, frames: 1}
	a.order = append(a.order, stream)
	return fault
}

func (a *Assembler) consecutive(stream string, frame []byte) ([]byte, error) {
	m := a.open[stream]
	if m == nil {
		return nil, &Fault{Kind: Unstarted, Stream: stream, What: fmt.Sprintf("frame % X continues a message whose first frame is not there", frame)}
	}
	if got := frame[0] & 0xF; got != m.next {
		return nil, a.end(stream, misplaced(got, m), fmt.Sprintf("frame 2%X came where 2%X was due", got, m.next))
	}
	part := frame[1:]
	if rest := m.want - len(m.payload); len(part) >= rest {
		payload := append(m.payload, part[:rest]...)
		a.forget(stream)
		return payload, nil
	}
	if len(part) < 7 {
		return nil, a.end(stream, Incomplete, fmt.Sprintf("frame % X: cut short inside the message", frame))
	}
	m.payload = append(m.payload, part...)
	m.next = (m.next + 1) & 0xF
	m.frames++
	return nil, nil
}

// misplaced says what a wrong sequence number most likely means. Numbers
// repeat after 16, so far ahead and far behind look the same.
func misplaced(got byte, m *message) Kind {
	behind := int((m.next - got) & 0xF)
	switch {
	case behind == 1 && m.frames > 1:
		return Repeated
	case behind <= 7 && behind < m.frames:
		return Disordered
	}
	return Missing
}

// interrupt ends the message that the sender has open, if any.
func (a *Assembler) interrupt(stream, because string) error {
	m := a.open[stream]
	if m == nil {
		return nil
	}
	return a.end(stream, Incomplete, fmt.Sprintf("%d of %d bytes, then %s", len(m.payload), m.want, because))
}

// end forgets the sender's message and tells why.
func (a *Assembler) end(stream string, kind Kind, what string) error {
	fault := &Fault{Kind: kind, Stream: stream, What: what}
	if m := a.open[stream]; m != nil {
		fault.Got, fault.Want = len(m.payload), m.want
		a.forget(stream)
	}
	return fault
}

func (a *Assembler) forget(stream string) {
	delete(a.open, stream)
	for i, s := range a.order {
		if s == stream {
			a.order = append(a.order[:i], a.order[i+1:]...)
			return
		}
	}
}

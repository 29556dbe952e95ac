// The rule of this file: a log is read once, in order, as it comes; a line that
// cannot be believed ends it, and a message that cannot be put together is told
// and left out.

package canlog

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
	"time"

	"fenderside/checks/obd"
	"fenderside/checks/obd/isotp"
)

// longestLine is far beyond any frame's; what is longer is no such log.
const longestLine = 4096

// Frames yields the frames of a log in order. The first error, which names its
// line, is the last thing yielded.
func Frames(r io.Reader) iter.Seq2[Frame, error] {
	return func(yield func(Frame, error) bool) {
		scanner := bufio.NewScanner(r)
		scanner.Buffer(make([]byte, 0, longestLine), longestLine)
		last := Frame{}
		line := 0
		for scanner.Scan() {
			line++
			text := strings.Trim(scanner.Text(), " \t\r")
			if text == "" || text[0] == '#' {
				continue
			}
			f, err := follow(last, scanner.Text(), line)
			if !yield(f, err) || err != nil {
				return
			}
			last = f
		}
		if err := scanner.Err(); err != nil {
			yield(Frame{}, failed(line+1, err))
		}
	}
}

// follow reads a line that comes after the last frame.
func follow(last Frame, text string, line int) (Frame, error) {
	f, err := ParseLine(strings.TrimRight(text, " \t\r"))
	if err != nil {
		return Frame{}, fmt.Errorf("line %d, %w", line, err)
	}
	f.Line = line
	if last.Line > 0 && f.At < last.At {
		return Frame{}, fmt.Errorf("line %d, column 1: time %s is before that of line %d, %s; give the log in the order it was taken", line, seconds(f.At), last.Line, seconds(last.At))
	}
	return f, nil
}

func seconds(at time.Duration) string {
	return fmt.Sprintf("%d.%09d s", at/time.Second, at%time.Second)
}

func failed(line int, err error) error {
	if errors.Is(err, bufio.ErrTooLong) {
		return fmt.Errorf("line %d, column 1: longer than %d bytes; this is no log of frames, one a line", line, longestLine)
	}
	return fmt.Errorf("line %d: reading the log: %w", line, err)
}

// Reply is a whole message of one controller. Line and At are those of its last
// frame.
type Reply struct {
	Line      int
	At        time.Duration
	Interface string
	obd.Reply
}

// Replies yields the whole messages of the controllers in a log. A message that
// cannot be put together is yielded as an error that holds an *isotp.Fault, and
// the reading goes on; any other error is the last thing yielded.
func Replies(r io.Reader) iter.Seq2[Reply, error] {
	return func(yield func(Reply, error) bool) {
		var whole isotp.Assembler
		for f, err := range Frames(r) {
			if err != nil {
				yield(Reply{}, err)
				return
			}
			if !f.Reply() {
				continue
			}
			payload, fault := whole.Add(f.Interface+" "+f.ID, f.Data)
			if fault != nil && !yield(Reply{}, fmt.Errorf("line %d: %w", f.Line, fault)) {
				return
			}
			if payload != nil && !yield(Reply{f.Line, f.At, f.Interface, obd.Reply{ECU: f.ID, Bytes: payload}}, nil) {
				return
			}
		}
		for _, fault := range whole.Close() {
			if !yield(Reply{}, fmt.Errorf("end of the log: %w", fault)) {
				return
			}
		}
	}
}

// Sample is one reading of one PID at its time.
type Sample struct {
	Line      int
	At        time.Duration
	Interface string
	ECU       string
	Reading   obd.Reading
}

// Samples yields every reading of one PID of service 01 in a log, of every
// controller; the caller keeps these apart by Interface and ECU. A reading
// holds its numbers by name: those of 14 to 1B are "voltage" (V) and "trim"
// (%), of 24 to 2B "lambda" and "voltage" (V), of 34 to 3B "lambda" and
// "current" (mA). Its Position is known from the PID 13 or 1D that the same
// controller answered earlier in the log. A reply that cannot be put together
// or read is yielded as an error and the reading goes on; a bad line and a PID
// that is not known end it.
func Samples(r io.Reader, pid byte) iter.Seq2[Sample, error] {
	return func(yield func(Sample, error) bool) {
		if _, known := obd.FindPID(pid); !known {
			yield(Sample{}, fmt.Errorf("PID %02X: not known here; see the list of PIDs", pid))
			return
		}
		fitted := map[string]obd.Fitted{}
		for reply, err := range Replies(r) {
			if err == nil && reply.Bytes[0] != live {
				continue
			}
			if !sample(reply, err, pid, fitted, yield) {
				return
			}
		}
	}
}

// live is the first byte of a reply to service 01.
const live = 0x41

// sample yields what one reply holds of the PID, and learns which sensors are
// fitted.
func sample(reply Reply, err error, pid byte, fitted map[string]obd.Fitted, yield func(Sample, error) bool) bool {
	if err != nil {
		return yield(Sample{}, err)
	}
	source := reply.Interface + " " + reply.ECU
	readings, err := obd.Live(reply.Reply, fitted[source])
	for _, reading := range readings {
		if reading.Fitted != nil {
			fitted[source] = *reading.Fitted
		}
		if reading.PID == pid && !yield(Sample{reply.Line, reply.At, reply.Interface, reply.ECU, reading}, nil) {
			return false
		}
	}
	if err != nil {
		return yield(Sample{}, fmt.Errorf("line %d: %w", reply.Line, err))
	}
	return true
}

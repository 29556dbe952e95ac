// Package canlog reads logs of a CAN bus, one frame a line, from any reader
// without holding the log in memory:
//
//	(1436509052.249713) can0 7E8#0341053C
//	(1436509052.260112) can0 18DAF110#0341053C
//
// that is the time in seconds in brackets, the interface, and the id in three
// hexadecimal digits (11 bits) or eight (29 bits), a number sign, and up to 8
// data bytes; a single R or T after that (received, transmitted) is let be.
// Remote frames (#R) and frames that report an error of the bus (an id with bit
// 29 set) hold no data and are passed over. Blank lines and lines that begin
// with a number sign are passed over. Anything else ends the reading with an
// error that names its line, a time before the one above it included: a log
// that was cut or sorted wrongly is no evidence.
package canlog

// The rule of this file: a line is a frame, or nothing, or an error that says
// at which column.

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"fenderside/checks/obd"
)

// Frame is one line. At counts from the log's own zero, often 1970. ID is three
// or eight capital hexadecimal digits.
type Frame struct {
	Line      int
	At        time.Duration
	Interface string
	ID        string
	Data      []byte
	Empty     bool // a remote frame or an error of the bus: it has no data
}

// Reply reports a frame from an address that controllers answer from.
func (f Frame) Reply() bool { return !f.Empty && obd.IsReply(f.ID) }

// String writes the frame as a line of a log, its time to the microsecond, or
// to the nanosecond where it has any.
func (f Frame) String() string {
	fraction := fmt.Sprintf("%09d", f.At%time.Second)
	if strings.HasSuffix(fraction, "000") {
		fraction = fraction[:6]
	}
	data := fmt.Sprintf("%X", f.Data)
	if f.Empty {
		data = "R"
	}
	return fmt.Sprintf("(%d.%s) %s %s#%s", f.At/time.Second, fraction, f.Interface, f.ID, data)
}

// Bad is a line that is no frame. Column counts bytes from 1.
type Bad struct {
	Column int
	What   string
}

func (b *Bad) Error() string { return fmt.Sprintf("column %d: %s", b.Column, b.What) }

// ParseLine reads one line that is neither blank nor a comment. The error is a
// *Bad.
func ParseLine(line string) (Frame, error) {
	cut := &cutter{rest: line}
	var f Frame
	var err error
	if f.At, err = stamp(cut.word()); err != nil {
		return Frame{}, cut.fault(err)
	}
	if f.Interface = cut.word(); !named(f.Interface) {
		return Frame{}, cut.fault(fmt.Errorf("%q is no name of an interface; a line reads (1436509052.249713) can0 7E8#0341053C", f.Interface))
	}
	if err = f.read(cut.word()); err != nil {
		return Frame{}, cut.fault(err)
	}
	if end := cut.word(); end != "" && end != "R" && end != "T" {
		return Frame{}, cut.fault(fmt.Errorf("%q after the frame; give one frame a line", end))
	}
	if more := cut.word(); more != "" {
		return Frame{}, cut.fault(fmt.Errorf("%q after the frame; give one frame a line", more))
	}
	return f, nil
}

// cutter takes words from a line and remembers where the last one began.
type cutter struct {
	rest         string
	column, next int // bytes before the last word, and before rest
}

func (c *cutter) word() string {
	trimmed := strings.TrimLeft(c.rest, " \t")
	c.column = c.next + len(c.rest) - len(trimmed)
	end := strings.IndexAny(trimmed, " \t")
	if end < 0 {
		end = len(trimmed)
	}
	c.rest, c.next = trimmed[end:], c.column+end
	return trimmed[:end]
}

func (c *cutter) fault(err error) error { return &Bad{c.column + 1, err.Error()} }

// named reports what can be the name of an interface.
func named(text string) bool {
	for i := range len(text) {
		if c := text[i]; nibble(c) < 0 && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && !strings.ContainsRune("._:-", rune(c)) {
			return false
		}
	}
	return text != ""
}

// longest keeps a time in nanoseconds within 63 bits.
const longest = 9_000_000_000

// stamp reads a time in brackets: seconds and up to nine decimals.
func stamp(word string) (time.Duration, error) {
	inner, ok := strings.CutPrefix(word, "(")
	inner, closed := strings.CutSuffix(inner, ")")
	whole, fraction, _ := strings.Cut(inner, ".")
	if !ok || !closed || !digits(whole) || fraction != "" && !digits(fraction) || len(fraction) > 9 || strings.HasSuffix(inner, ".") {
		return 0, fmt.Errorf("%q is no time; it is written in seconds in brackets, such as (1436509052.249713)", word)
	}
	seconds, err := strconv.ParseInt(whole, 10, 64)
	if err != nil || seconds > longest {
		return 0, fmt.Errorf("time %q is too great; at most %d s", word, int64(longest))
	}
	part, _ := strconv.ParseInt((fraction + "000000000")[:9], 10, 64)
	return time.Duration(seconds)*time.Second + time.Duration(part), nil
}

func digits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}

// read reads id and data, ID#DATA.
func (f *Frame) read(word string) error {
	id, data, ok := strings.Cut(word, "#")
	if !ok {
		return fmt.Errorf("%q is no frame; it is written as id, number sign and data, such as 7E8#0341053C", word)
	}
	number, err := strconv.ParseUint(id, 16, 32)
	if err != nil || strings.ContainsAny(id, "+-_xX") || len(id) != 3 && len(id) != 8 || len(id) == 3 && number > 0x7FF {
		return fmt.Errorf("id %q: three hexadecimal digits up to 7FF, or eight, are wanted", id)
	}
	f.ID = strings.ToUpper(id)
	const busError, remoteFlag = 1 << 29, "R"
	switch {
	case number >= 2*busError:
		return fmt.Errorf("id %q: beyond 29 bits; eight digits up to 1FFFFFFF are wanted", id)
	case number >= busError:
		f.Empty = true
		return nil
	case strings.HasPrefix(data, "#"):
		return fmt.Errorf("%q is a frame of CAN FD, which diagnostic replies of this kind do not use; leave its lines out", word)
	case data == remoteFlag || len(data) == 2 && data[:1] == remoteFlag && digits(data[1:]):
		f.Empty = true
		return nil
	}
	f.Data, err = bytesOf(data)
	return err
}

func bytesOf(data string) ([]byte, error) {
	if len(data)%2 != 0 || len(data) > 16 {
		return nil, fmt.Errorf("data %q: %d hexadecimal digits; up to 8 bytes of two digits each are wanted (was the line cut?)", data, len(data))
	}
	all := make([]byte, len(data)/2)
	for i := range all {
		high, low := nibble(data[2*i]), nibble(data[2*i+1])
		if high < 0 || low < 0 {
			return nil, fmt.Errorf("data %q: %q is no byte of two hexadecimal digits", data, data[2*i:2*i+2])
		}
		all[i] = byte(high<<4 | low)
	}
	return all, nil
}

func nibble(c byte) int {
	switch {
	case c >= '0' && c <= '9':
		return int(c - '0')
	case c >= 'A' && c <= 'F':
		return int(c-'A') + 10
	case c >= 'a' && c <= 'f':
		return int(c-'a') + 10
	}
	return -1
}

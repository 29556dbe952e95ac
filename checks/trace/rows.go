// The rule of this file: a row is cut into cells without being copied, in a
// buffer that does not grow, by the quoting of RFC 4180.

package trace

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// longestRow is the most bytes a row may take, its line break included.
const longestRow = 64 << 10

// rows reads a file row by row.
type rows struct {
	name       string
	from       io.Reader
	buf        []byte
	start, end int // of what is read and not yet given out
	ended      error

	line  int    // of the row's first byte, from 1
	next  int    // of the row after it
	row   []byte // the row in hand, without its line break
	quote bool   // a quote stands in the row
	cells []span
	body  []byte // what the spans are of: the row, or plain
	plain []byte // the fields of a row with quotes, the quotes taken off
}

// span is where one field stands in the body, and where it begins in the row.
// It holds no pointer, so that the collector need not look at it.
type span struct{ from, to, at int32 }

// cell is the text of one field and where it begins in its row.
type cell struct {
	text []byte
	at   int
}

func (r *rows) cell(i int) cell {
	s := &r.cells[i]
	return cell{r.body[s.from:s.to], int(s.at)}
}

func newRows(from io.Reader, name string) *rows {
	return &rows{name: name, from: from, buf: make([]byte, 2*longestRow), next: 1}
}

// fault is an error at a byte of the row in hand.
func (r *rows) fault(at int, format string, args ...any) error {
	before := r.row[:min(at, len(r.row))]
	line := r.line + bytes.Count(before, []byte{'\n'})
	before = before[bytes.LastIndexByte(before, '\n')+1:]
	return fmt.Errorf("%s:%d:%d: %w", r.name, line, utf8.RuneCount(before)+1, fmt.Errorf(format, args...))
}

// advance finds the next row; false at the end of the file. The row stays valid
// until the next call.
func (r *rows) advance() (bool, error) {
	r.line, r.quote = r.next, false
	size, seen, quoted := 0, 0, false // whole lines of the row, bytes looked at, inside quotes
	for {
		i := bytes.IndexByte(r.buf[r.start+seen:r.end], '\n')
		if i < 0 {
			seen = r.end - r.start
			if more, err := r.more(); err != nil {
				return false, err
			} else if more {
				continue
			}
			return r.last(quoted, size)
		}
		quoted = quoted != r.odd(r.buf[r.start+size:r.start+seen+i])
		size = seen + i + 1
		seen = size
		r.next++
		if size > longestRow {
			return false, r.tooLong()
		}
		if !quoted {
			r.give(size)
			return true, nil
		}
	}
}

// odd reports whether an odd number of quotes stands in the text, which is a
// piece of the row.
func (r *rows) odd(text []byte) bool {
	if bytes.IndexByte(text, '"') < 0 {
		return false
	}
	r.quote = true
	return bytes.Count(text, []byte{'"'})%2 == 1
}

// give hands out the first size bytes as the row.
func (r *rows) give(size int) {
	row := r.buf[r.start : r.start+size]
	if n := len(row); n > 0 && row[n-1] == '\n' {
		row = row[:n-1]
	}
	if n := len(row); n > 0 && row[n-1] == '\r' {
		row = row[:n-1]
	}
	r.row = row
	r.start += size
}

// last gives out what stands after the last line break.
func (r *rows) last(quoted bool, size int) (bool, error) {
	if r.start == r.end {
		return false, nil
	}
	quoted = quoted != r.odd(r.buf[r.start+size:r.end])
	r.give(r.end - r.start)
	if quoted {
		return false, r.fault(bytes.IndexByte(r.row, '"'), "a quote that is never closed; the file may be cut off here")
	}
	return true, nil
}

func (r *rows) tooLong() error {
	r.row = nil
	return r.fault(0, "a row of more than %d bytes; is this a table, and are its quotes closed?", longestRow)
}

// more reads on; false at the end of the file.
func (r *rows) more() (bool, error) {
	if r.end-r.start > longestRow {
		return false, r.tooLong()
	}
	if r.end == len(r.buf) {
		r.end = copy(r.buf, r.buf[r.start:r.end])
		r.start = 0
	}
	for range 100 {
		if r.ended != nil {
			break
		}
		var n int
		n, r.ended = r.from.Read(r.buf[r.end:])
		r.end += n
		if n > 0 {
			return true, nil
		}
	}
	if r.ended == nil {
		return false, fmt.Errorf("read %s: %w", r.name, io.ErrNoProgress)
	}
	if !errors.Is(r.ended, io.EOF) {
		return false, fmt.Errorf("read %s after line %d: %w", r.name, r.next-1, r.ended)
	}
	return false, nil
}

// cut divides the row in hand at the separator.
func (r *rows) cut(separator byte) error {
	r.cells = r.cells[:0]
	if r.quote {
		err := r.cutQuoted(separator)
		r.body = r.plain
		return err
	}
	r.body = r.row
	begin := int32(0)
	for i, c := range r.row {
		if c == separator {
			r.cells = append(r.cells, span{begin, int32(i), begin})
			begin = int32(i) + 1
		}
	}
	r.cells = append(r.cells, span{begin, int32(len(r.row)), begin})
	return nil
}

func (r *rows) cutQuoted(separator byte) error {
	r.plain = r.plain[:0]
	for begin := 0; ; {
		size, err := r.field(begin, separator)
		if err != nil {
			return err
		}
		begin += size
		if begin >= len(r.row) {
			return nil
		}
		begin++ // the separator
		if begin == len(r.row) {
			r.keep(begin, nil)
			return nil
		}
	}
}

// field adds the field that begins there, and gives its size in the row.
func (r *rows) field(begin int, separator byte) (int, error) {
	rest := r.row[begin:]
	if len(rest) > 0 && rest[0] == '"' {
		return r.quotedField(begin, separator)
	}
	size := bytes.IndexByte(rest, separator)
	if size < 0 {
		size = len(rest)
	}
	if i := bytes.IndexByte(rest[:size], '"'); i >= 0 {
		return 0, r.fault(begin+i, "a quote inside a field that does not begin with one; put the whole field in quotes and double the quotes in it")
	}
	r.keep(begin, rest[:size])
	return size, nil
}

// keep adds a field that begins there in the row.
func (r *rows) keep(begin int, text []byte) {
	from := int32(len(r.plain))
	r.plain = append(r.plain, text...)
	r.cells = append(r.cells, span{from, int32(len(r.plain)), int32(begin)})
}

func (r *rows) quotedField(begin int, separator byte) (int, error) {
	from := int32(len(r.plain))
	i := begin + 1
	for {
		stop := bytes.IndexByte(r.row[i:], '"')
		if stop < 0 {
			return 0, r.fault(begin, "a quote that is never closed; close it on its row")
		}
		r.plain = append(r.plain, r.row[i:i+stop]...)
		i += stop + 1
		if i == len(r.row) || r.row[i] == separator {
			break
		}
		if r.row[i] != '"' {
			return 0, r.fault(i, "text behind a closing quote; a quote inside a field is written twice")
		}
		r.plain = append(r.plain, '"')
		i++
	}
	r.cells = append(r.cells, span{from, int32(len(r.plain)), int32(begin)})
	return i - begin, nil
}

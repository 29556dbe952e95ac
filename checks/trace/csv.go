// The rule of this file: every row becomes a sample, is counted as one without
// a reading, or is refused by file, line and column. None is dropped silently.

package trace

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
)

// AnalyseCSV reads a table from start to end and judges the signal in it, in
// memory that does not grow with the file. name stands in errors.
//
// The separator is a tab, a semicolon or a comma; fields may be quoted (RFC
// 4180); a byte order mark is passed over. The decimal mark is a point, or,
// where the separator is a semicolon, a comma, one of them throughout. A row
// with an empty signal is counted as missing. Errors read
// "file:line:column: what; what to do".
func AnalyseCSV(from io.Reader, name string, mapping Mapping, setup Setup) (Report, error) {
	m, err := newMeter(setup)
	if err != nil {
		return Report{}, err
	}
	t, err := open(from, name, mapping, m.setup.Signal)
	if err != nil {
		return Report{}, err
	}
	for s, err := range t.samples() {
		if err != nil {
			return Report{}, err
		}
		if err := m.add(s); err != nil {
			return Report{}, t.refused(s, m.setup.Signal, err)
		}
	}
	report, err := m.report()
	if err != nil {
		return Report{}, fmt.Errorf("%s: %w", name, err)
	}
	report.Missing = t.missing
	report.Workings = report.workings()
	return report, nil
}

// ReadCSV gives the samples of a table one by one, in the order of its rows,
// under the rules of AnalyseCSV; the first error ends it.
func ReadCSV(from io.Reader, name string, mapping Mapping, signal Signal) iter.Seq2[Sample, error] {
	return func(yield func(Sample, error) bool) {
		t, err := open(from, name, mapping, signal)
		if err != nil {
			yield(Sample{}, err)
			return
		}
		t.samples()(yield)
	}
}

// table is a file whose header has been understood.
type table struct {
	*rows
	separator         byte
	width             int // cells of the header
	time, value, loop column
	closed            []string
	mark              byte // decimal mark seen so far
	state             Loop
	missing           int
	midnight          midnight
	held              bool // the row in hand is the first of the data
}

// refused sets the place of the row in hand before an error about its sample.
func (t *table) refused(s Sample, signal Signal, err error) error {
	at := t.time.index
	if s.checkTime() == nil && s.checkValue(signal) != nil {
		at = t.value.index
	}
	return t.fault(t.cell(at).at, "%w", err)
}

func (t *table) samples() iter.Seq2[Sample, error] {
	return func(yield func(Sample, error) bool) {
		for {
			s, state, err := t.sample()
			if err != nil {
				yield(Sample{}, err)
				return
			}
			if state == ended || (state == taken && !yield(s, nil)) {
				return
			}
		}
	}
}

// step says what became of a row.
type step int

const (
	taken step = iota
	passed
	ended
)

// sample reads the next row.
func (t *table) sample() (Sample, step, error) {
	if more, err := t.nextRow(); err != nil || !more {
		return Sample{}, ended, err
	}
	if len(t.row) == 0 || (t.row[0] == ' ' && len(spaces(t.row)) == 0) {
		return Sample{}, passed, nil
	}
	if err := t.cut(t.separator); err != nil {
		return Sample{}, passed, err
	}
	if len(t.cells) != t.width {
		if err := t.fitWidth(); err != nil {
			return Sample{}, passed, err
		}
	}
	return t.read()
}

// nextRow advances, unless a row is held back by the reader of the header.
func (t *table) nextRow() (bool, error) {
	if t.held {
		t.held = false
		return true, nil
	}
	return t.advance()
}

// fitWidth accepts empty cells beyond the header, and missing ones that are not
// needed.
func (t *table) fitWidth() error {
	for i := t.width; i < len(t.cells); i++ {
		if len(spaces(t.cell(i).text)) > 0 {
			return t.fault(t.cell(i).at, "%d fields where the header has %d%s", len(t.cells), t.width, t.commaHint())
		}
	}
	need := max(t.time.index, t.value.index, t.loop.index)
	if len(t.cells) <= need {
		return t.fault(len(t.row), "the row ends after field %d, and field %d is needed; it may be cut off", len(t.cells), need+1)
	}
	return nil
}

func (t *table) commaHint() string {
	if t.separator == ',' {
		return "; a decimal comma needs a semicolon between the fields"
	}
	return "; take out the surplus"
}

func (t *table) read() (Sample, step, error) {
	when, what := t.cell(t.time.index), t.cell(t.value.index)
	when.text, what.text = spaces(when.text), spaces(what.text)
	if t.loop.index != absent {
		if err := t.loopState(t.cell(t.loop.index)); err != nil {
			return Sample{}, passed, err
		}
	}
	if len(what.text) == 0 && len(when.text) == 0 {
		t.missing++
		return Sample{}, passed, nil
	}
	at, err := t.quantityIn(when, &t.time, "time")
	if err != nil {
		return Sample{}, passed, err
	}
	if len(what.text) == 0 {
		t.missing++
		return Sample{}, passed, nil
	}
	value, err := t.quantityIn(what, &t.value, "signal")
	return Sample{At: at, Value: value, Loop: t.state}, taken, err
}

// quantityIn reads a number and brings it to the base unit.
func (t *table) quantityIn(c cell, col *column, what string) (float64, error) {
	v, mark, ok := number(c.text, col.tens)
	if col.clock {
		v, mark, ok = t.timeOfDay(c.text)
	}
	if !ok {
		return 0, t.notNumber(c, col, what)
	}
	if mark != 0 && mark != t.mark {
		if err := t.settleMark(c, mark); err != nil {
			return 0, err
		}
	}
	return v * col.times, nil
}

// timeOfDay reads a clock, carried on past midnight.
func (t *table) timeOfDay(text []byte) (v float64, mark byte, ok bool) {
	if v, mark, ok = clock(text); ok {
		v = t.midnight.pass(v)
	}
	return v, mark, ok
}

func (t *table) notNumber(c cell, col *column, what string) error {
	if len(c.text) == 0 {
		return t.fault(c.at, "no %s; give one, or take the row out", what)
	}
	if col.clock {
		return t.fault(c.at, "%s %q is not a time of day; write it like 09:05:30.25", what, clip(c.text))
	}
	return t.fault(c.at, "%s %q is not a number; write it like -12.5, or leave the field empty where there is no reading", what, clip(c.text))
}

// settleMark holds the file to one decimal mark.
func (t *table) settleMark(c cell, mark byte) error {
	if mark == ',' && t.separator != ';' {
		return t.fault(c.at, "%q has a decimal comma; that needs a semicolon between the fields", clip(c.text))
	}
	if t.mark != 0 {
		return t.fault(c.at, "%q has a decimal %q where rows above have %q; use one of them throughout", clip(c.text), mark, t.mark)
	}
	t.mark = mark
	return nil
}

// Words for the state of the fuel control, as logs write them. The numbers are
// those of the fuel system status of SAE J1979, PID 03 (from memory): 2 closed,
// 16 closed with a fault in one sensor; 1, 4, 8 open.
var (
	closedWords = []string{"closed", "closed loop", "cl", "2", "16"}
	openWords   = []string{"open", "open loop", "ol", "0", "1", "4", "8"}
)

// loopState keeps what the row says of the fuel control; an empty cell says
// that nothing has changed.
func (t *table) loopState(c cell) error {
	word := string(spaces(c.text))
	is := func(known string) bool { return strings.EqualFold(known, word) }
	switch {
	case word == "":
	case len(t.closed) > 0 && slices.ContainsFunc(t.closed, is), len(t.closed) == 0 && slices.ContainsFunc(closedWords, is):
		t.state = LoopClosed
	case len(t.closed) > 0, slices.ContainsFunc(openWords, is):
		t.state = LoopOpen
	default:
		return t.fault(c.at, "fuel status %q: unknown; say in the mapping which words mean closed loop", clip(word))
	}
	return nil
}

// wide are the marks of texts whose characters take two bytes or more.
var wide = [][]byte{{0xFF, 0xFE}, {0xFE, 0xFF}}

// unmark passes over a byte order mark, and refuses texts of wide characters.
func unmark(from io.Reader, name string) (io.Reader, error) {
	head := make([]byte, 3)
	n, err := io.ReadFull(from, head)
	head = head[:n]
	switch {
	case err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF):
		return nil, fmt.Errorf("read %s: %w", name, err)
	case n == 0:
		return nil, fmt.Errorf("%s:1:1: the file is empty; check that the log was saved", name)
	case bytes.HasPrefix(head, wide[0]), bytes.HasPrefix(head, wide[1]), bytes.IndexByte(head, 0) >= 0:
		return nil, fmt.Errorf("%s:1:1: not UTF-8 text (UTF-16, or no text at all); save it as CSV in UTF-8", name)
	}
	return io.MultiReader(bytes.NewReader(bytes.TrimPrefix(head, []byte("\ufeff"))), from), nil
}

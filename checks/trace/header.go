// The rule of this file: the header is the row that holds every named column;
// where there is none, the error lists the columns that there are.

package trace

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"fenderside/checks/quantity"
)

// open reads up to the first row of data.
func open(from io.Reader, name string, m Mapping, signal Signal) (*table, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	from, err := unmark(from, name)
	if err != nil {
		return nil, err
	}
	t := &table{rows: newRows(from, name), closed: m.Closed, state: LoopUnstated}
	if m.Loop != "" {
		t.state = LoopOpen
	}
	if err := t.findHeader(m); err != nil {
		return nil, err
	}
	return t, t.settleUnits(m, signal)
}

// findHeader looks for the header among the first rows.
func (t *table) findHeader(m Mapping) error {
	nearest := candidate{}
	for range headerWithin {
		more, err := t.advance()
		if err != nil {
			return err
		}
		if !more {
			break
		}
		found, seen, err := t.tryHeader(m)
		if found || err != nil {
			return err
		}
		if len(seen.columns) > len(nearest.columns) {
			nearest = seen
		}
	}
	return nearest.fault(t.name, m)
}

// candidate is a row that is not the header.
type candidate struct {
	line    int
	columns []string
	lacks   string
}

func (c candidate) fault(name string, m Mapping) error {
	if len(c.columns) == 0 {
		return fmt.Errorf("%s:1:1: no row with columns; is this a table?", name)
	}
	var quoted []string
	for _, column := range c.columns {
		if len(quoted) == 20 {
			quoted = append(quoted, "…")
			break
		}
		quoted = append(quoted, strconv.Quote(clip(column)))
	}
	return fmt.Errorf("%s:%d:1: no column %q; this row has %s", name, c.line, clip(c.lacks), strings.Join(quoted, ", "))
}

// tryHeader looks for the columns under each separator.
func (t *table) tryHeader(m Mapping) (bool, candidate, error) {
	nearest := candidate{}
	if len(spaces(t.row)) == 0 {
		return false, nearest, nil
	}
	for _, separator := range m.separators() {
		if t.cut(separator) != nil {
			continue // a line above the header need not be well quoted
		}
		lacks, err := t.columns(m)
		if err != nil {
			return false, nearest, err
		}
		if lacks == "" {
			t.separator, t.width = separator, len(t.cells)
			return true, nearest, nil
		}
		if len(t.cells) > len(nearest.columns) {
			nearest = candidate{line: t.line, columns: t.texts(), lacks: lacks}
		}
	}
	return false, nearest, nil
}

func (t *table) texts() []string {
	var all []string
	for i := range t.cells {
		all = append(all, strings.TrimSpace(string(t.cell(i).text)))
	}
	return all
}

// columns finds the named columns in the cells in hand; lacks names the first
// that is not there.
func (t *table) columns(m Mapping) (lacks string, err error) {
	t.loop.index = absent
	for _, each := range []struct {
		name string
		to   *column
	}{{m.Time, &t.time}, {m.Signal, &t.value}, {m.Loop, &t.loop}} {
		if each.name == "" {
			continue
		}
		if *each.to, err = t.locate(each.name); err != nil {
			return "", err
		}
		if each.to.index == absent {
			return each.name, nil
		}
	}
	if t.time.index == t.value.index {
		return "", t.fault(t.cell(t.time.index).at, "time and signal are mapped to one column, %q; name two", clip(m.Time))
	}
	return "", nil
}

// settleUnits takes the units from the header, the row of units below it, or
// the mapping.
func (t *table) settleUnits(m Mapping, signal Signal) error {
	line, ats := t.line, [2]int{t.cell(t.time.index).at, t.cell(t.value.index).at}
	header := append([]byte(nil), t.row...)
	if err := t.unitRow(signal); err != nil {
		return err
	}
	held, heldLine, heldRow := t.held, t.line, t.row
	t.line, t.row = line, header // faults below are about the header
	var err error
	if t.time, err = t.settleUnit(t.time, ats[0], quantity.Time, m.TimeUnit); err != nil {
		return err
	}
	t.value.unit = signal.bare(t.value.unit)
	if t.value, err = t.settleUnit(t.value, ats[1], signal.dimension(), signal.bare(m.SignalUnit)); err != nil {
		return err
	}
	t.held, t.line, t.row = held, heldLine, heldRow
	return nil
}

// settleUnit holds the unit of the table and that of the mapping together.
func (t *table) settleUnit(c column, at int, d quantity.Dimension, mapped string) (column, error) {
	unit := c.unit
	switch {
	case unit == "":
		unit = mapped
	case mapped != "" && !strings.EqualFold(unit, mapped):
		return c, t.fault(at, "the table gives the unit %q and the mapping %q; take one away", clip(unit), clip(mapped))
	}
	if unit == "" && d != quantity.Number {
		return c, t.fault(at, "no unit of %s; write it behind the name, as in \"name (%s)\", or give it in the mapping", d, example(d))
	}
	c, err := c.scaled(d, unit)
	if err != nil {
		return c, t.fault(at, "%w", err)
	}
	return c, nil
}

func example(d quantity.Dimension) string {
	switch d {
	case quantity.Time:
		return "s"
	case quantity.Current:
		return "mA"
	}
	return "mV"
}

// unitRow reads the row below the header: if its cell in the time column is a
// unit of time, it is a row of units; else it is held as the first of the data.
func (t *table) unitRow(signal Signal) error {
	more, err := t.advance()
	for err == nil && more && len(t.row) == 0 {
		more, err = t.advance()
	}
	if err != nil || !more {
		return err
	}
	t.held = true
	if t.cut(t.separator) != nil || len(t.cells) <= max(t.time.index, t.value.index) {
		return nil // the reader of the data says what is wrong
	}
	unit := bracketed(t.cell(t.time.index).text)
	if _, err := t.time.scaled(quantity.Time, unit); unit == "" || err != nil {
		return nil
	}
	t.held = false
	if t.time.unit == "" {
		t.time.unit = unit
	}
	if t.value.unit == "" {
		t.value.unit = signal.bare(bracketed(t.cell(t.value.index).text))
	}
	return nil
}

// bracketed is the text of a cell of units, its brackets taken off.
func bracketed(text []byte) string {
	s := strings.TrimSpace(string(text))
	if _, unit := unitOf(s); unit != "" {
		return unit
	}
	return s
}

// Package picture draws what a check works out, in rows of characters, and says the same in sentences.
//
// The rule kept here: a picture is made of its data and its width alone, and holds nothing that its sentences do not say. It
// means the same in one colour as in many. Where the data cannot be drawn, the rows are the sentences.
//
// Rows are ASCII unless lines are asked for. The characters of drawn lines count as one column here, and as two in some
// terminals set for East Asian text; so they are never used unasked.
package picture

import (
	"strings"
	"sync"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/wrap"
)

// Form is how a picture is drawn.
type Form struct {
	Width  int  // no row is wider
	Height int  // rows of the plot of a curve or a trace; 0 is the usual
	Lines  bool // drawn lines and corners in place of | - and +
}

// Picture is a drawing and its sentences.
type Picture struct {
	Title string
	Rows  []string
	Words []string // the same in sentences
	Marks []Mark   // what may be drawn brighter; it is told apart without that
}

// Mark is a stretch of one row, in columns.
type Mark struct{ Row, From, To int }

// Painted is the rows with their marks drawn in another style.
func (p Picture) Painted(draw func(...string) string) []string {
	rows := append([]string(nil), p.Rows...)
	for _, m := range p.Marks {
		row := rows[m.Row]
		rows[m.Row] = ansi.Cut(row, 0, m.From) + draw(ansi.Cut(row, m.From, m.To)) + ansi.Cut(row, m.To, ansi.StringWidth(row))
	}
	return rows
}

// Drawn is the rows, each drawn in one style.
func (p Picture) Drawn(draw func(...string) string) []string {
	rows := make([]string, len(p.Rows))
	for i, row := range p.Rows {
		rows[i] = draw(row)
	}
	return rows
}

// unitsOf writes units and signs without characters beyond ASCII.
var unitsOf = sync.OnceValue(func() *strings.Replacer {
	return strings.NewReplacer("°C", "C", "°F", "F", "N·m", "N m", "lbf·ft", "lbf ft", "±", "+/-", "°", " deg", "·", " ", "×", "x", "Ω", "ohm", "…", "...")
})

// ascii is a sentence as the rows hold it.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, unitsOf().Replace(s))
}

// captions are sentences below a drawing, wrapped.
func captions(width int, sentences ...string) []string {
	var rows []string
	for _, s := range sentences {
		rows = append(rows, wrap.Text(ascii(s), width)...)
	}
	return rows
}

// inWords is the picture where nothing can be drawn.
func (p Picture) inWords(f Form) Picture {
	p.Rows, p.Marks = captions(f.Width, p.Words...), nil
	return p
}

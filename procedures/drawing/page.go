package drawing

// Lines are measured in the cells of a terminal, and none is wider than the page.

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/wrap"
)

// Narrowest is the least width that a drawing is made for.
const Narrowest = 60

// The gutter: the main line stands in its fifth column.
const (
	gutterBar    = "====+==== "
	gutterStep   = "    o     "
	gutterLine   = "    |     "
	gutterExit   = "    +---> "
	gutterArrive = "    <---- "
	gutterStart  = "    v     "
	gutterBreak  = "          "
)

// page collects lines of at most width cells.
type page struct {
	width int
	lines []string
}

// put writes a text behind a lead; what does not fit goes on behind rest, a little further in.
func (p *page) put(lead, rest, text string) {
	room := p.width - ansi.StringWidth(lead) - 2
	for k, part := range wrap.Text(text, room) {
		if k > 0 {
			lead = rest + "  "
		}
		p.lines = append(p.lines, strings.TrimRight(lead+part, " "))
	}
}

// bar writes a text into a bar across the page.
func (p *page) bar(text string) {
	before := len(p.lines)
	p.put(gutterBar, gutterLine, text)
	head := p.lines[before] + " "
	p.lines[before] = head + strings.Repeat("=", max(0, p.width-ansi.StringWidth(head)))
}

func (p *page) head(text string) {
	p.gap()
	p.put("", "", text)
}

func (p *page) gap() { p.lines = append(p.lines, "") }

// item writes an entry of a list.
func (p *page) item(text string) { p.put("  - ", "    ", text) }

package ui

// The rule of this file: a picture is shown where it fits without pushing out what must be read, and whole behind F12, with
// the same in words below it.

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"fenderside/ui/picture"
)

// Rows of a plot beside the rest of a step, where there is little room and where there is much.
const (
	lowPlot  = 7
	highPlot = 14
)

// pictureBlocks are the picture in the sizes that may be shown beside the rest; the larger takes the place of the smaller.
func pictureBlocks(look theme, s *picture.Source, width int) []block {
	if s == nil {
		return nil
	}
	var out []block
	for i, h := range []int{lowPlot, highPlot} {
		p, ok := picture.OfCheck(*s, picture.Form{Width: width, Height: h})
		if ok {
			out = append(out, block{rows: append([]string{""}, p.Painted(look.title.Render)...), rank: 5 + 10*i, place: 5, spare: true})
		}
	}
	return out
}

// solid draws large letters and figures as strokes, and what stands beside them bold. There are hundreds of strokes, so the
// style is asked once how it begins and ends.
func solid(look theme, rows []string) []string {
	stroke, ground := around(look.title), around(look.bold)
	out := make([]string, len(rows))
	for i, row := range rows {
		var b strings.Builder
		for row != "" {
			n, style := len(row)-len(strings.TrimLeft(row, "#")), stroke
			if n == 0 {
				n, style = strings.IndexByte(row+"#", '#'), ground
			}
			b.WriteString(style[0] + row[:n] + style[1])
			row = row[n:]
		}
		out[i] = b.String()
	}
	return out
}

// around is what a style puts before and after a text.
func around(style lipgloss.Style) [2]string {
	before, after, _ := strings.Cut(style.Render("#"), "#")
	return [2]string{before, after}
}

// picture shows the picture of the step at hand on a screen of its own.
func (m *model) picture() tea.Cmd {
	v, ok := m.work.view()
	if !ok {
		m.say("No step is open now.")
		return nil
	}
	s, ok := picture.OfStep(m.work.state, v.Step.ID, m.work.now)
	if !ok {
		m.say("This step has no picture, or not yet: it is drawn from what its checks are given.")
		return nil
	}
	now, _ := picture.OfCheck(s, picture.Form{Width: leastWidth})
	m.push(&reader{title: "PICTURE: " + now.Title, drawn: func(width int) []string {
		p, _ := picture.OfCheck(s, picture.Form{Width: width, Height: max(lowPlot, m.height-16)})
		return append(append(p.Painted(m.look.title.Render), "", "IN WORDS"), wrapped(p.Words, "", width)...)
	}})
	return nil
}

package plain

// The rule kept here: no line is wider than Width, and lines break between words where they can.

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Width is how many columns a line has at most. It leaves one of the 80 that every terminal has, so that none wraps by
// itself.
const Width = 79

// wrap breaks one line of text into lines of at most Width columns. Lines after the first are indented by two. A word
// that is wider than a line is broken within.
func wrap(text string) []string {
	var out []string
	line, wide := "", 0
	flush := func() {
		out = append(out, line)
		line, wide = "  ", 2
	}
	for _, word := range strings.Fields(text) {
		w := ansi.StringWidth(word)
		gap := 0
		if strings.TrimSpace(line) != "" {
			gap = 1
		}
		if gap == 1 && wide+gap+w > Width {
			flush()
			gap = 0
		}
		line, wide = line+strings.Repeat(" ", gap), wide+gap
		for _, r := range word {
			rw := ansi.StringWidth(string(r))
			if wide+rw > Width {
				flush()
			}
			line, wide = line+string(r), wide+rw
		}
	}
	return append(out, line)
}

// columns is how wide a line is.
func columns(line string) int { return ansi.StringWidth(line) }

// Package wrap breaks a text into lines of a given width, measured in the cells of a terminal.
//
// The rule kept here: a text is broken between words and nowhere else, so that an id or a compound word keeps its hyphen on
// one line. Only a word that is too long for a line of its own is cut.
package wrap

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Text returns the lines of a text, each of at most room cells; there is at least one. A room under 2 counts as 2, which is
// the width of the widest character.
func Text(text string, room int) []string {
	room = max(2, room)
	lines := []string{""}
	for _, word := range strings.Fields(text) {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = word
		case ansi.StringWidth(*last)+1+ansi.StringWidth(word) <= room:
			*last += " " + word
		default:
			lines = append(lines, word)
		}
		lines = cut(lines, room)
	}
	return lines
}

// cut breaks the last line wherever it is too wide.
func cut(lines []string, room int) []string {
	for {
		last := lines[len(lines)-1]
		if ansi.StringWidth(last) <= room {
			return lines
		}
		head := ansi.Truncate(last, room, "")
		if head == "" {
			return lines
		}
		lines[len(lines)-1] = head
		lines = append(lines, strings.TrimPrefix(last, head))
	}
}

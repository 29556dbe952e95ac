//go:build unix

package wholejob

// A screen is read as words: where a row ends depends on the window.

import (
	"regexp"
	"strings"
)

// flat is the screen as one line of words. In a wide window the track stands in a column of its own, so the words beside it
// are read once more without it.
func (h *hand) flat(screen string) string {
	all := strings.Join(strings.Fields(screen), " ")
	if h.Size.Width < 110 {
		return all
	}
	var beside []string
	for row := range strings.Lines(screen) {
		if cells := []rune(strings.TrimSuffix(row, "\n")); len(cells) > h.Size.Width/3 {
			beside = append(beside, strings.Fields(string(cells[h.Size.Width/3:]))...)
		}
	}
	return all + " | " + strings.Join(beside, " ")
}

// figure is what says that a statement of a gate is so, as the row of keys names it: a small window has no other room for it.
var figure = regexp.MustCompile(`(\d) it is so \| F4`)

// signs is the figure that signs a record which was read to its end.
var signs = regexp.MustCompile(`(\d) signs it`)

// marked is the line of a list that Enter takes.
var marked = regexp.MustCompile(`(?m)^> +\d+ +(\S.*)$`)

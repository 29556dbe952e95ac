package ui

// The rule of this file: no row is wider than the window and no screen is taller, so that the terminal never pushes the
// top, where the warnings stand, out of sight. And no text gets into a row with a character in it that drives the terminal.

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/plaintext"
	wrapping "fenderside/procedures/wrap"
)

// The smallest window that the screens are made for.
const (
	leastWidth  = 60
	leastHeight = 18
)

// safe is plaintext.Show, with a short way for what is printable ASCII.
func safe(s string) string {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return plaintext.Show(s)
		}
	}
	return s
}

// wrap breaks a text into rows of at most w columns, between words where it can. A word wider than a row is broken.
func wrap(s string, w int) []string {
	s = safe(s)
	if s == "" {
		return nil
	}
	if len(s) <= w {
		return []string{s}
	}
	return wrapping.Text(s, w)
}

// hang wraps a text after a first word, its further rows indented below the text.
func hang(first, s string, w int) []string {
	in := ansi.StringWidth(first)
	rows := wrap(s, w-in)
	for i := range rows {
		if i == 0 {
			rows[i] = first + rows[i]
		} else {
			rows[i] = strings.Repeat(" ", in) + rows[i]
		}
	}
	return rows
}

// cut shortens a text to one row, with two dots where something is missing.
func cut(s string, w int) string { return ansi.Truncate(safe(s), max(0, w), "..") }

// cutWords is cut that leaves no part of a word.
func cutWords(s string, w int) string {
	short := cut(s, w)
	if i := strings.LastIndexByte(short, ' '); short != safe(s) && i > 0 {
		return strings.TrimRight(short[:i], ".,:; ") + ".."
	}
	return short
}

// valued is a title and its value in one row; where there is no room for both it is the title that is cut.
func valued(title, value string, w int) string {
	const leastTitle = 20
	whole := title + ": " + value
	room := w - ansi.StringWidth(safe(value)) - 2
	if ansi.StringWidth(safe(whole)) <= w || room < leastTitle {
		return cut(whole, w)
	}
	return cutWords(title, room) + ": " + safe(value)
}

// fill brings a row to exactly w columns.
func fill(s string, w int) string {
	if n := w - ansi.StringWidth(s); n > 0 {
		return s + strings.Repeat(" ", n)
	}
	return ansi.Truncate(s, w, "")
}

// part is one piece of a flowing row: its words, and how they are drawn.
type part struct {
	text string
	draw func(...string) string
}

// flow sets parts one after the other, a row each time they do not fit beside each other. A part wider than a row is
// broken between words.
func flow(parts []part, between string, w int) []string {
	var rows []string
	var row strings.Builder
	used := 0
	end := func() {
		if used > 0 {
			rows = append(rows, row.String())
		}
		row.Reset()
		used = 0
	}
	gap, tail := ansi.StringWidth(between), strings.TrimRight(between, " ")
	for i, p := range parts {
		p.text = safe(p.text)
		n := ansi.StringWidth(p.text)
		if room := w - used - gap - n; used > 0 && (room < 0 || room < len(tail) && i+1 < len(parts)) {
			if used+len(tail) <= w {
				row.WriteString(tail) // so that the row is seen to go on
			}
			end()
		}
		if n > w {
			for _, r := range wrap(p.text, w) {
				rows = append(rows, p.draw(r))
			}
			continue
		}
		if used > 0 {
			row.WriteString(between)
			used += gap
		}
		row.WriteString(p.draw(p.text))
		used += n
	}
	end()
	return rows
}

// beside puts a narrow block to the left of a wide one.
func beside(left []string, lw int, right []string) []string {
	rows := make([]string, max(len(left), len(right)))
	for i := range rows {
		l, r := "", ""
		if i < len(left) {
			l = left[i]
		}
		if i < len(right) {
			r = right[i]
		}
		rows[i] = strings.TrimRight(fill(l, lw)+r, " ")
	}
	return rows
}

// keyRow shows as many keys as fit into one row; the first are the ones that matter most.
func keyRow(keys []hint, w int) string {
	row := ""
	for _, k := range keys {
		next := k.key + " " + k.does
		if row != "" {
			next = row + " | " + next
		}
		if ansi.StringWidth(next) > w {
			break
		}
		row = next
	}
	return row
}

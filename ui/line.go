package ui

// The rule of this file: what is typed is kept as it is typed, and is shown so that nothing in it is hidden.

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"fenderside/procedures/plaintext"
)

// line is one line being typed.
type line struct {
	text []rune
	at   int // where the next character goes

	refused bool // and not touched since
}

func typedLine(s string) line { return line{text: []rune(s), at: len([]rune(s))} }

func (l line) String() string { return strings.TrimSpace(string(l.text)) }

// longestTyped is more than any entry may have.
const longestTyped = 2100

// press takes a key; it reports whether the key was one for typing.
func (l *line) press(k tea.KeyMsg) bool {
	if l.refused && k.Type == tea.KeyRunes && !k.Alt && figure(l.text) && figure(k.Runes) && l.at == len(l.text) {
		l.text, l.at = nil, 0
	}
	l.refused = false
	switch k.String() {
	case "left":
		l.at = max(0, l.at-1)
	case "right":
		l.at = min(len(l.text), l.at+1)
	case "home", "ctrl+a":
		l.at = 0
	case "end", "ctrl+e":
		l.at = len(l.text)
	case "backspace":
		if l.at > 0 {
			l.text = append(l.text[:l.at-1:l.at-1], l.text[l.at:]...)
			l.at--
		}
	case "delete":
		if l.at < len(l.text) {
			l.text = append(l.text[:l.at:l.at], l.text[l.at+1:]...)
		}
	case "ctrl+u":
		l.text, l.at = nil, 0
	default:
		return l.insert(k)
	}
	return true
}

// figure says whether characters begin as a figure does. One that begins behind a refused one is another reading, never more of it:
// 36 typed again would be 3636.
func figure(text []rune) bool {
	return len(text) > 0 && (text[0] >= '0' && text[0] <= '9' || text[0] == '-' || text[0] == '+')
}

func (l *line) insert(k tea.KeyMsg) bool {
	if (k.Type != tea.KeyRunes && k.Type != tea.KeySpace) || k.Alt {
		return false
	}
	add := k.Runes
	if k.Paste { // a pasted line end is no Enter
		add = []rune(strings.Join(strings.Fields(string(add)), " "))
	}
	if len(l.text)+len(add) > longestTyped {
		return true
	}
	l.text = append(l.text[:l.at:l.at], append(append([]rune(nil), add...), l.text[l.at:]...)...)
	l.at += len(add)
	return true
}

// show is the line with a mark where typing goes on, cut to w columns around that mark.
func (l line) show(w int) string {
	before, after := plaintext.Show(string(l.text[:l.at])), plaintext.Show(string(l.text[l.at:]))
	if over := ansi.StringWidth(before) + 1 - w; over > 0 {
		before = "<" + ansi.TruncateLeft(before, over+1, "")
	}
	return ansi.Truncate(before+"_"+after, w, "")
}

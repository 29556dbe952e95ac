package ui

// The rule of this file: a number marks a line and sends nothing, so that a slip of the glove can be put right before Enter. An
// answer can be typed as well, from its first letter: a figure in it is no number of a line then.

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures/plaintext"
)

// mark is the marked one of several choices, from 0, or -1.
type mark struct {
	at    int
	typed string // the digits of a number that may still grow
	word  string // what was typed of an answer so far, in small letters
}

var unmarked = mark{at: -1}

// pressNumber is what a key is told that marks no answer.
const pressNumber = "Press the number of an answer, or type it, then Enter."

// press takes a digit or an arrow key for n choices. It reports whether the key was one of them.
func (k *mark) press(name string, n int) bool {
	switch {
	case n == 0:
		return false
	case name == "up":
		*k = mark{at: max(0, k.at-1)}
		return true
	case name == "down" || name == "tab":
		*k = mark{at: min(n-1, k.at+1)}
		return true
	case len(name) != 1 || name[0] < '0' || name[0] > '9':
		k.typed = ""
		return false
	}
	for _, number := range []string{k.typed + name, name} {
		if i, err := strconv.Atoi(number); err == nil && i >= 1 && i <= n {
			k.at, k.typed = i-1, ""
			if i*10 <= n {
				k.typed = number
			}
			return true
		}
	}
	k.typed = ""
	return true
}

// take is pick for a key, which can bring several characters at once: pasted, or typed over a slow line.
func (k *mark) take(key tea.KeyMsg, all []string) (fits bool) {
	if key.Type != tea.KeyRunes || key.Alt {
		return k.pick(key.String(), all)
	}
	for _, r := range key.Runes {
		fits = k.pick(string(r), all)
	}
	return fits
}

// pick is press for answers in words, or one of them typed. Where every answer is a single figure itself, that figure marks it.
func (k *mark) pick(name string, all []string) bool {
	if !figures(all) {
		if mine, fits := k.spell(name, all); mine {
			return fits
		}
		return k.press(name, len(all))
	}
	if i := slices.Index(all, name); i >= 0 {
		k.at, k.typed = i, ""
		return true
	}
	return (name == "up" || name == "down" || name == "tab") && k.press(name, len(all))
}

// spell takes one character of an answer that is typed: mine where it is one, fits where an answer goes on so. Until only one answer
// begins so, none is marked.
func (k *mark) spell(name string, all []string) (mine, fits bool) {
	if utf8.RuneCountInString(name) != 1 || k.word == "" && name >= "0" && name <= "9" {
		return false, false
	}
	word := k.word + strings.ToLower(name)
	left := beginning(word, all)
	if len(left) == 0 {
		return k.word != "", false
	}
	k.typed, k.word = "", word
	if k.at = slices.IndexFunc(all, func(one string) bool { return strings.EqualFold(one, word) }); len(left) == 1 {
		k.at = slices.Index(all, left[0])
	}
	return true, true
}

// beginning lists the answers that begin with what was typed.
func beginning(word string, all []string) (out []string) {
	for _, one := range all {
		if strings.HasPrefix(strings.ToLower(one), word) {
			out = append(out, one)
		}
	}
	return out
}

// halfTyped says whether an answer is typed so far that several are left.
func (k *mark) halfTyped() bool { return k.word != "" && k.at < 0 }

// left says which answers go on as one that is typed by half.
func (k *mark) left(all []string) string {
	return plaintext.Show(strings.Join(beginning(k.word, all), " or ")) + ": go on typing, or Backspace to start again."
}

// marked takes a key for answers in words, and says what is left of one that is typed by half. It reports whether the key was for one.
func (m *model) marked(k *mark, key tea.KeyMsg, all []string) bool {
	switch fits := k.take(key, all); {
	case !fits && k.word == "":
		return false
	case !fits:
		m.say("No answer goes on so. %s", k.left(all))
	case k.halfTyped():
		m.say("%s", k.left(all))
	}
	return true
}

// figures says whether every answer is a single figure: then a number before it would be taken for it.
func figures(all []string) bool {
	return !slices.ContainsFunc(all, func(one string) bool { return len(one) != 1 || one[0] < '0' || one[0] > '9' })
}

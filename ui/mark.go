package ui

// The rule of this file: a number marks a line and sends nothing, so that a slip of the glove can be put right before Enter. An
// answer can be typed as well, from its first letter: a figure in it is no number of a line then. What is no answer marks none.

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
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

// take is pick for a key, which can bring several characters at once.
func (k *mark) take(key tea.KeyMsg, all []string) (fits bool) {
	for _, one := range singly(key) {
		fits = k.pick(one.String(), all)
	}
	return fits
}

// pick is press for answers in words, or one of them typed. Where every answer is a single figure itself, that figure marks it. A
// figure that is for no answer takes the mark away: 18 is not the first of four.
func (k *mark) pick(name string, all []string) bool {
	single := figures(all)
	if !single {
		if mine, fits := k.spell(name, all); mine {
			return fits
		}
	}
	if len(name) == 1 && name >= "0" && name <= "9" {
		k.at = -1
	}
	if !single {
		return k.press(name, len(all))
	}
	if i := slices.Index(all, name); i >= 0 {
		k.at, k.typed = i, ""
		return true
	}
	return (name == "up" || name == "down" || name == "tab") && k.press(name, len(all))
}

// spell takes one character of an answer that is typed: mine where it is one, fits where an answer goes on so. Until only one answer
// begins so, none is marked; where none does, what follows marks nothing either, so that no end of a code or a figure that was meant
// for another line is taken for an answer.
func (k *mark) spell(name string, all []string) (mine, fits bool) {
	r, size := utf8.DecodeRuneInString(name)
	if size != len(name) || k.word == "" && !unicode.IsLetter(r) {
		return false, false
	}
	word := k.word + strings.ToLower(name)
	left := beginning(word, all)
	k.at, k.typed, k.word = slices.IndexFunc(all, func(one string) bool { return tight(one) == tight(word) }), "", word
	if len(left) == 1 {
		k.at = slices.Index(all, left[0])
	}
	return true, len(left) > 0
}

// beginning lists the answers that begin with what was typed, wherever the spaces are.
func beginning(word string, all []string) (out []string) {
	for _, one := range all {
		if strings.HasPrefix(tight(one), tight(word)) {
			out = append(out, one)
		}
	}
	return out
}

// tight is an answer in small letters without its spaces.
func tight(answer string) string { return strings.ReplaceAll(strings.ToLower(answer), " ", "") }

// halfTyped says whether something is typed that is not one answer: several are left, or none.
func (k *mark) halfTyped() bool { return k.word != "" && k.at < 0 }

// left says which answers go on as one that is typed by half.
func (k *mark) left(all []string) string {
	some := beginning(k.word, all)
	if len(some) == 0 {
		return "No answer begins with “" + plaintext.Show(k.word) + "”: Backspace starts again."
	}
	return plaintext.Show(strings.Join(some, " or ")) + ": go on typing, or Backspace to start again."
}

// unanswered says what to do where Enter finds no answer marked, and drops what no answer begins with.
func (k *mark) unanswered(all []string) string {
	if k.halfTyped() && len(beginning(k.word, all)) > 0 {
		return k.left(all)
	}
	*k = unmarked
	return "Press the number of an answer first, then Enter."
}

// marked takes a key for answers in words, and says what is left of one that is typed by half. It reports whether the key was for one.
func (m *model) marked(k *mark, key tea.KeyMsg, all []string) bool {
	switch fits := k.take(key, all); {
	case !fits && k.word == "":
		return false
	case k.halfTyped():
		m.say("%s", k.left(all))
	case k.at < 0:
		m.say("No answer has that number. %s", pressNumber)
	}
	return true
}

// figures says whether every answer is a single figure: then a number before it would be taken for it.
func figures(all []string) bool {
	return !slices.ContainsFunc(all, func(one string) bool { return len(one) != 1 || one[0] < '0' || one[0] > '9' })
}

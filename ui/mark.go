package ui

// The rule of this file: a number marks a line and sends nothing, so that a slip of the glove can be put right before Enter.

import (
	"slices"
	"strconv"
)

// mark is the marked one of several choices, from 0, or -1.
type mark struct {
	at    int
	typed string // the digits of a number that may still grow
}

var unmarked = mark{at: -1}

// press takes a digit or an arrow key for n choices. It reports whether the key was one of them.
func (k *mark) press(name string, n int) bool {
	switch {
	case n == 0:
		return false
	case name == "up":
		k.at, k.typed = max(0, k.at-1), ""
		return true
	case name == "down" || name == "tab":
		k.at, k.typed = min(n-1, k.at+1), ""
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

// pick is press for answers in words. Where every answer is a single figure itself, that figure marks it.
func (k *mark) pick(name string, all []string) bool {
	if !figures(all) {
		return k.press(name, len(all))
	}
	if i := slices.Index(all, name); i >= 0 {
		k.at, k.typed = i, ""
		return true
	}
	return (name == "up" || name == "down" || name == "tab") && k.press(name, len(all))
}

// figures says whether every answer is a single figure: then a number before it would be taken for it.
func figures(all []string) bool {
	return !slices.ContainsFunc(all, func(one string) bool { return len(one) != 1 || one[0] < '0' || one[0] > '9' })
}

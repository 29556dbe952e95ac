package roster

// The rule kept here: everything wrong with a file is reported together, each
// with its place and a hint.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Problem is one thing wrong with a file.
type Problem struct {
	Line   int // 1 for the first line
	Column int // 1 for the first character
	What   string
	Hint   string // what to do about it
}

// Problems is the error of a file with anything wrong in it.
type Problems struct {
	File string
	List []Problem // in the order of the file
}

// Error returns one line a problem: file:line:column, what, and a hint.
func (p Problems) Error() string {
	out := make([]string, 0, len(p.List))
	for _, one := range p.List {
		out = append(out, fmt.Sprintf("%s:%d:%d: %s (%s)", p.File, one.Line, one.Column, one.What, one.Hint))
	}
	return strings.Join(out, "\n")
}

func (p *Problems) add(line, column int, what, hint string) {
	p.List = append(p.List, Problem{Line: line, Column: column, What: what, Hint: hint})
}

func (p Problems) sorted() Problems {
	slices.SortStableFunc(p.List, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return p
}

func itoa(n int) string { return strconv.Itoa(n) }

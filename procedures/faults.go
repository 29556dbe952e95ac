package procedures

// Every fault of a file is told at once, sorted by place, each as file:line:column, a plain sentence and a hint.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fenderside/procedures/plaintext"
)

// Fault is one thing wrong with a file.
type Fault struct {
	File  string
	Place Place
	What  string // a sentence without capital or full stop
	Hint  string // what to do about it; may be empty
}

// Error is file:line:column: what (hint).
func (f Fault) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", plaintext.Show(f.File), f.Place.Line, f.Place.Column, f.What)
	if f.Hint != "" {
		s += " (" + f.Hint + ")"
	}
	return s
}

// Faults is every fault of one file, sorted by place.
type Faults []Fault

// Error is one line for each fault.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Sorted orders the faults by place, in place, and returns them without what is said twice.
func (fs Faults) Sorted() Faults {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File), cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Column, b.Place.Column), cmp.Compare(a.What, b.What))
	})
	return slices.Compact(fs)
}

// before says whether a stands earlier in the file than b; what stands in an included file comes later.
func (a Place) before(b Place) bool {
	if a.File != b.File {
		return a.File < b.File
	}
	return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
}

// quote puts untrusted text into a message: visible, and short.
func quote(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return `"` + plaintext.Show(s) + `"`
}

// didYouMean is the hint that names the nearest of the known words, or else lists the first of them.
func didYouMean(word string, known []string) string {
	const most = 12
	var each []string
	seen := map[string]bool{}
	for _, k := range known {
		if !seen[k] {
			each, seen[k] = append(each, k), true
		}
	}
	switch near := nearest(word, each); {
	case near != "":
		return "did you mean " + quote(near) + "?"
	case len(each) == 0:
		return "nothing there fits; add it first"
	case len(each) > most:
		return "known: " + strings.Join(each[:most], ", ") + " …"
	}
	return "known: " + strings.Join(each, ", ")
}

// nearest returns the known word with the smallest edit distance to word, or "" where none is near: about a third of
// the letters may differ, and one always may.
func nearest(word string, known []string) string {
	best, least := "", max(1, (len([]rune(word))+1)/3)+1
	for _, k := range known {
		if apart := len([]rune(k)) - len([]rune(word)); apart >= least || -apart >= least {
			continue
		}
		if d := distance(word, k); d < least {
			best, least = k, d
		}
	}
	return best
}

// distance counts the insertions, deletions, replacements and swaps of neighbours that turn a into b (the optimal
// string alignment distance).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 80 || len(y) > 80 {
		return 80
	}
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			rows[i][j] = alignment(rows, x, y, i, j)
		}
	}
	return rows[len(x)][len(y)]
}

func alignment(rows [][]int, x, y []rune, i, j int) int {
	cost := 1
	if x[i-1] == y[j-1] {
		cost = 0
	}
	d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
	if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
		d = min(d, rows[i-2][j-2]+1)
	}
	return d
}

package prove

// What looks forgotten. From the rest of a procedure it can be seen that a step is alone in not needing what its neighbours
// need; whether it should need it, only its author knows.

import (
	"cmp"
	"fmt"
	"slices"
)

func (x *prover) doubts() {
	bare := make([][]string, x.main)
	for g := range x.p.Safeguards {
		x.between(g, bare)
		x.unlike(g)
		if gate := x.gate[g]; gate >= 0 && !x.line[gate] && x.order[gate] < 0 {
			x.doubt(gate, "no path of the main line passes gate %q: it is done only where a step is held for %q", x.steps[gate].ID, x.name(g))
		}
	}
	for i, names := range bare {
		if len(names) > 0 {
			x.doubt(i, "%q does not need %s, which steps before and after it need", x.steps[i].ID, listed(names))
		}
	}
	x.spentByCorrection()
	slices.SortStableFunc(x.proof.Doubts, func(a, b Doubt) int {
		return cmp.Or(cmp.Compare(a.Place.File, b.Place.File), cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.What, b.What))
	})
	x.proof.Doubts = slices.Compact(x.proof.Doubts)
}

func (x *prover) doubt(i int, format string, args ...any) {
	s := &x.steps[i]
	x.proof.Doubts = append(x.proof.Doubts, Doubt{Step: s.ID, Place: s.Place, What: fmt.Sprintf(format, args...)})
}

// between gathers for each step what it is bare of: a step to do that does not need a safeguard which the line before it and after it needs.
func (x *prover) between(g int, bare [][]string) {
	before, after := make([]bool, x.main), make([]bool, x.main)
	breaks := func(i int) bool { return x.undoes[i].has(g) || x.steps[i].Secures == g }
	for i := range x.main {
		if (before[i] || x.needing[g].has(i)) && !breaks(i) {
			for _, to := range x.then[i] {
				before[to] = before[to] || to > i
			}
		}
	}
	for i := x.main - 1; i >= 0; i-- {
		for _, to := range x.then[i] {
			after[i] = after[i] || to > i && !breaks(i) && (x.needing[g].has(to) || after[to])
		}
	}
	for i := range x.main {
		s := &x.steps[i]
		if s.Secures < 0 && x.order[i] < 0 && before[i] && after[i] && !x.needing[g].has(i) && !x.needsResting(i, g) && !breaks(i) {
			bare[i] = append(bare[i], x.name(g))
		}
	}
}

// unlike doubts a step that does not need a safeguard which every other step with the same cause needs.
func (x *prover) unlike(g int) {
	with := map[string][]int{}
	for i := range x.main {
		for _, c := range x.steps[i].Causes {
			with[c] = append(with[c], i)
		}
	}
	for cause, all := range with {
		var without []int
		for _, i := range all {
			if !x.needing[g].has(i) && !x.needsResting(i, g) {
				without = append(without, i)
			}
		}
		if len(without) == 1 && len(all) > 2 && x.steps[without[0]].Secures != g {
			x.doubt(without[0], "%q does not need %q, which every other step that causes %q needs", x.steps[without[0]].ID, x.name(g), cause)
		}
	}
}

// spentByCorrection doubts a bounded step that every way to an end passes: returns by correction use its rounds up too.
func (x *prover) spentByCorrection() {
	come := make([]int, x.main)
	for i := range x.main {
		if s := &x.steps[i]; s.Repeat != nil && x.line[i] && !x.around(i, come) {
			x.doubt(i, "every way to an end passes %q, which may be entered %d times: after as many returns by correction the job can only be closed early",
				s.ID, s.Repeat.AtMost)
		}
	}
}

// around says whether an end can be reached without a step. Come is room for which step a step was last come to without, so
// that it need not be emptied for each.
func (x *prover) around(without int, come []int) bool {
	if without == 0 {
		return false
	}
	come[0] = without
	for todo := []int{0}; len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, to := range x.next[i] {
			if to < 0 || to >= x.main {
				return true
			}
			if to != without && come[to] != without {
				come[to] = without
				todo = append(todo, to)
			}
		}
	}
	return false
}

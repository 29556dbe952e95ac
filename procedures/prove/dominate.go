package prove

// Which steps every path to a step passes. The tree of dominators is found by the iterative algorithm of Cooper, Harvey and
// Kennedy (A Simple, Fast Dominance Algorithm, 2001), from memory; it is near-linear on graphs like these.

// dominators is the tree over the steps of the main line that it comes to.
type dominators struct {
	idom   []int // the nearest step that every path passes; -1 for the first step and for those not come to
	number []int // reverse postorder
	enter  []int // of a walk over the tree
	leave  []int
	lowest []int // the least index among the steps under each in the tree
}

func (m *model) dominate() *dominators {
	d := &dominators{idom: make([]int, m.main), number: make([]int, m.main)}
	order := m.postorder()
	for i := range d.idom {
		d.idom[i], d.number[i] = -1, -1
	}
	back := make([][]int, m.main)
	for k, i := range order {
		d.number[i] = len(order) - 1 - k
		for _, to := range m.then[i] {
			back[to] = append(back[to], i)
		}
	}
	if len(order) == 0 {
		return d
	}
	first := order[len(order)-1]
	d.idom[first] = first
	for again := true; again; {
		again = false
		for k := len(order) - 2; k >= 0; k-- {
			i, best := order[k], -1
			for _, from := range back[i] {
				if d.idom[from] >= 0 {
					best = d.common(best, from)
				}
			}
			if d.idom[i] != best {
				d.idom[i], again = best, true
			}
		}
	}
	d.idom[first] = -1
	d.span(order)
	return d
}

// postorder is the order in which a walk from the first step leaves the steps.
func (m *model) postorder() []int {
	type visit struct {
		step int
		next []int
	}
	var out []int
	if m.main == 0 {
		return out
	}
	seen := make([]bool, m.main)
	seen[0] = true
	for stack := []visit{{0, m.then[0]}}; len(stack) > 0; {
		top := &stack[len(stack)-1]
		if len(top.next) == 0 {
			out = append(out, top.step)
			stack = stack[:len(stack)-1]
			continue
		}
		to := top.next[0]
		top.next = top.next[1:]
		if !seen[to] {
			seen[to] = true
			stack = append(stack, visit{to, m.then[to]})
		}
	}
	return out
}

// common is the nearest step that both are under; -1 stands for none looked at yet.
func (d *dominators) common(a, b int) int {
	if a < 0 {
		return b
	}
	for a != b {
		for d.number[a] > d.number[b] {
			a = d.idom[a]
		}
		for d.number[b] > d.number[a] {
			b = d.idom[b]
		}
	}
	return a
}

// span numbers the tree, so that what is under what is two comparisons. A step stands in reverse postorder after what
// dominates it, so sizes gather from the back and places are dealt from the front.
func (d *dominators) span(order []int) {
	n := len(d.idom)
	size := make([]int, n)
	d.enter, d.leave, d.lowest = make([]int, n), make([]int, n), make([]int, n)
	for _, i := range order {
		size[i], d.lowest[i] = 1, i
	}
	for _, i := range order {
		if up := d.idom[i]; up >= 0 {
			size[up] += size[i]
			d.lowest[up] = min(d.lowest[up], d.lowest[i])
		}
	}
	next := make([]int, n)
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		d.enter[i] = 1
		if up := d.idom[i]; up >= 0 {
			d.enter[i] = next[up]
			next[up] += size[i]
		}
		d.leave[i] = d.enter[i] + size[i]
		next[i] = d.enter[i] + 1
	}
}

// over says whether every path to step b passes step a.
func (d *dominators) over(a, b int) bool {
	return d.enter[a] > 0 && d.enter[b] >= d.enter[a] && d.enter[b] < d.leave[a]
}

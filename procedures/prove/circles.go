package prove

// The circles of the main line.

// components lists the parts of the main line in which every step leads to every other (Tarjan's strongly connected
// components, without recursion), where next lists the steps that follow one.
func (x *prover) components(next func(int) []int) [][]int {
	t := &tarjan{low: make([]int, x.main), number: make([]int, x.main), on: make([]bool, x.main), follows: next}
	for i := range x.main {
		if x.line[i] && t.number[i] == 0 {
			t.visit(i)
		}
	}
	return t.parts
}

type tarjan struct {
	follows     func(int) []int
	low, number []int
	on          []bool
	stack       []int
	next        int
	parts       [][]int
}

func (t *tarjan) open(i int) {
	t.next++
	t.number[i], t.low[i], t.on[i] = t.next, t.next, true
	t.stack = append(t.stack, i)
}

func (t *tarjan) visit(root int) {
	type frame struct {
		step int
		next []int
	}
	t.open(root)
	for work := []frame{{root, t.follows(root)}}; len(work) > 0; {
		top := &work[len(work)-1]
		if len(top.next) > 0 {
			to := top.next[0]
			top.next = top.next[1:]
			if t.number[to] == 0 {
				t.open(to)
				work = append(work, frame{to, t.follows(to)})
			} else if t.on[to] {
				t.low[top.step] = min(t.low[top.step], t.number[to])
			}
			continue
		}
		i := top.step
		work = work[:len(work)-1]
		if len(work) > 0 {
			up := work[len(work)-1].step
			t.low[up] = min(t.low[up], t.low[i])
		}
		if t.low[i] == t.number[i] {
			t.close(i)
		}
	}
}

func (t *tarjan) close(root int) {
	var part []int
	for {
		i := t.stack[len(t.stack)-1]
		t.stack = t.stack[:len(t.stack)-1]
		t.on[i] = false
		part = append(part, i)
		if i == root {
			break
		}
	}
	t.parts = append(t.parts, part)
}

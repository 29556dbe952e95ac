package prove

// No circle of the main line is without a bound. A bounded step that is only gone by, for it does not apply or secures what stands,
// bounds nothing.

import (
	"fmt"
	"slices"

	"fenderside/procedures"
)

// endless finds circles that enter no step with a bound.
func (x *prover) endless() {
	var parts [][]int
	for _, part := range x.components(x.unbounded) {
		if len(part) > 1 || slices.Contains(x.unbounded(part[0]), part[0]) {
			parts = append(parts, part)
		}
	}
	if len(parts) == 0 {
		return
	}
	if t := x.newTrial(); t != nil {
		parts = x.goRound(t, parts)
	}
	for _, part := range parts {
		x.endlessIn(part)
	}
}

// goRound looks in trials for ways round through parts, without and then with what may be lost on the way to them. It leaves the
// parts that nothing is known of.
func (x *prover) goRound(t *trial, parts [][]int) (left [][]int) {
	whole := false
	for _, calm := range []bool{true, false} {
		t.calm = calm
		whole = t.run()
		parts = slices.DeleteFunc(parts, func(part []int) bool { return x.goesRound(t, part) })
	}
	if whole {
		return nil
	}
	return parts
}

// unbounded lists the steps that can follow step i without its being entered, where it has a bound: it does not apply, or secures
// what stands.
func (x *prover) unbounded(i int) (out []int) {
	if x.steps[i].Repeat == nil {
		return x.then[i]
	}
	if i+1 < x.main && (len(x.steps[i].When) > 0 || x.order[i] >= 0) {
		out = append(out, i+1)
	}
	if to := x.target(i, x.steps[i].Then); x.passing[i] >= 0 && to >= 0 && to < x.main {
		out = append(out, to)
	}
	return out
}

// goesRound looks in a trial for a way round through the steps of a part, which loses nothing and enters no step with a bound.
func (x *prover) goesRound(t *trial, part []int) bool {
	free := *t // of the same states
	free.calm, free.entered = true, func(_, to, flag int) (int, bool) { return flag, x.steps[to].Repeat == nil }
	ring := free.ring(part)
	if ring == nil {
		return false
	}
	var round []PathStep
	for k, n := range ring {
		round = append(round, free.step(n, ring[(k+1)%len(ring)])...)
	}
	x.tellEndless(t.path(ring[0]), round, t.places[ring[0]].step)
	return true
}

// ring lists the states of a shortest way round, by number, from the nearest that is led back to; nil where there is none.
func (t *trial) ring(part []int) []int32 {
	leads := make([][]int32, len(t.places))
	for n, s := range t.places {
		if slices.Contains(part, s.step) {
			t.moves(s, func(m tryMove) {
				if to, met := t.seen[m.to]; met && slices.Contains(part, m.to.step) {
					leads[n] = append(leads[n], to)
				}
			})
		}
	}
	trim(leads)
	for n := range leads {
		if ring := back(leads, int32(n)); ring != nil {
			return ring
		}
	}
	return nil
}

// trim takes away what leads nowhere, until nothing more does.
func trim(leads [][]int32) {
	for cut := true; cut; {
		cut = false
		for n, to := range slices.Backward(leads) { // mostly, what leads to a state was met before it
			left := slices.DeleteFunc(to, func(m int32) bool { return len(leads[m]) == 0 })
			cut = cut || len(left) == 0 && len(to) > 0
			leads[n] = left
		}
	}
}

// back is a shortest way from a state to itself.
func back(leads [][]int32, start int32) []int32 {
	from := map[int32]int32{}
	for todo := []int32{start}; len(todo) > 0; todo = todo[1:] {
		for _, to := range leads[todo[0]] {
			if _, met := from[to]; !met {
				from[to] = todo[0]
				todo = append(todo, to)
			}
		}
		if at, met := from[start]; met {
			ring := []int32{}
			for ; at != start; at = from[at] {
				ring = append(ring, at)
			}
			slices.Reverse(ring)
			return append([]int32{start}, ring...)
		}
	}
	return nil
}

// endlessIn looks for a round through the places of a part, with the choices that decide which bounds are gone by.
func (x *prover) endlessIn(part []int) {
	member := make([]bool, x.main)
	var conds []procedures.Condition
	for _, i := range part {
		member[i] = true
		if x.steps[i].Repeat != nil {
			conds = append(conds, x.steps[i].When)
		}
	}
	w := &walk{prover: x, frame: x.newFrame(conds, 64)}
	var places []at
	w.anyway, w.calm = true, true
	w.arrive = func(p at) bool {
		if member[p.step] {
			places = append(places, p)
		}
		return false
	}
	w.run()
	w.enters = func(p at) bool {
		return member[p.step] && (x.steps[p.step].Repeat == nil || x.passing[p.step] >= 0) // gone past, it counts no round
	}
	for _, p := range w.onRound(places) {
		if round := w.round(p); round != nil {
			w.enters = nil // the way to it may pass bounds
			x.tellEndless(w.path(p), round, p.step)
			return
		}
	}
}

// onRound leaves of places, in their order, those that may lie on a round: what leads nowhere and what nothing leads to is
// taken away until nothing more is.
func (w *walk) onRound(places []at) []at {
	left := map[at]bool{}
	back := map[at][]at{}
	out := map[at]int{}
	for _, p := range places {
		left[p] = true
	}
	for _, p := range places {
		w.moves(p, func(m move) {
			if left[m.to] {
				out[p]++
				back[m.to] = append(back[m.to], p)
			}
		})
	}
	var todo []at
	for _, p := range places {
		if out[p] == 0 {
			todo = append(todo, p)
		}
	}
	for len(todo) > 0 {
		p := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		delete(left, p)
		for _, from := range back[p] {
			if out[from]--; out[from] == 0 {
				todo = append(todo, from)
			}
		}
	}
	return slices.DeleteFunc(places, func(p at) bool { return !left[p] })
}

// round is a shortest round from a place back to it; nil where there is none.
func (w *walk) round(start at) []PathStep {
	from := map[at]PathStep{}
	before := map[at]at{}
	for todo := []at{start}; len(todo) > 0; {
		p := todo[0]
		todo = todo[1:]
		w.spend(1, func() string { return "a round of the main line" })
		w.moves(p, func(m move) {
			if _, seen := from[m.to]; !seen && m.to.step >= 0 && m.to.step < w.main {
				from[m.to], before[m.to] = w.told(p, m), p
				todo = append(todo, m.to)
			}
		})
		if _, back := from[start]; back {
			break
		}
	}
	if _, back := from[start]; !back {
		return nil
	}
	var out []PathStep
	for p := start; len(out) == 0 || p != start; p = before[p] {
		out = append(out, from[p])
	}
	slices.Reverse(out)
	return out
}

func (x *prover) tellEndless(path, round []PathStep, start int) {
	first, last := &x.steps[start], round[len(round)-1]
	x.fail(Counterexample{Step: first.ID, Place: last.Place, What: fmt.Sprintf("the line can go round from %q to %q and back without end", first.ID, last.Step),
		Hint: fmt.Sprintf("give a step of the round that is never gone by repeat: {at most: ..., until: ...}, %q for one", first.ID),
		Path: append(append(path, round...), x.arrived(start, "is come to again, as often as one likes")), Round: len(round)})
}

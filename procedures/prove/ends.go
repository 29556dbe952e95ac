package prove

// Every step can be come to, every step the main line comes to reaches an end, and one path ends complete.

import (
	"fmt"
	"strconv"

	"fenderside/procedures"
)

func (x *prover) ends() {
	if x.main == 0 {
		x.fail(Counterexample{What: "there is no step", Hint: "write one"})
		return
	}
	applies := x.applies()
	held := x.held()
	for i := range x.main {
		s := &x.steps[i]
		switch {
		case !x.line[i] && !held[i] && x.order[i] < 0:
			x.fail(Counterexample{Step: s.ID, Place: s.Place, What: fmt.Sprintf("step %q cannot be reached", s.ID),
				Hint: "lead a then or an answer to it, or take it out"})
		case x.line[i] && !held[i] && x.order[i] < 0 && !applies[i]:
			x.fail(Counterexample{Step: s.ID, Place: s.Place, What: fmt.Sprintf("step %q never applies: no path comes to it with its when", s.ID),
				Hint: "look at its when, and at what leads to it"})
		}
	}
	x.stuck()
	x.about = fmt.Sprintf("%d steps of the main line", x.main)
}

// applies marks the steps that some path comes to while their condition holds.
func (x *prover) applies() []bool {
	out := make([]bool, x.main)
	bySame := map[int32][]int{}
	var order []int32
	for i := range x.main {
		if len(x.steps[i].When) == 0 {
			out[i] = true
			continue
		}
		key := x.when[i]
		if bySame[key] == nil {
			order = append(order, key)
		}
		bySame[key] = append(bySame[key], i)
	}
	for _, key := range order {
		same := bySame[key]
		w := &walk{prover: x, frame: x.newFrame([]procedures.Condition{x.steps[same[0]].When}, 16)}
		w.arrive = func(p at) bool {
			out[p.step] = out[p.step] || w.frame.holds(x.steps[p.step].When, p.values) == yes
			return false
		}
		w.run()
	}
	return out
}

// written is a condition as a key.
func written(c procedures.Condition) string {
	var out []byte
	for _, clause := range c {
		out = strconv.AppendQuote(out, clause.Choice)
		for _, v := range clause.In {
			out = strconv.AppendQuote(append(out, ' '), v)
		}
		out = append(out, ';')
	}
	return string(out)
}

// held marks the gates that a step which can be come to needs, and the gates those need.
func (x *prover) held() []bool {
	out := make([]bool, len(x.steps))
	var todo []int
	for i := range x.steps {
		if i >= x.main || x.line[i] || x.order[i] >= 0 {
			todo = append(todo, i)
		}
	}
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, n := range x.steps[i].Needs {
			if n.Pin >= 0 || x.gate[n.Safeguard] < 0 {
				continue
			}
			if gate := x.gate[n.Safeguard]; !out[gate] {
				out[gate] = true
				todo = append(todo, gate)
			}
		}
	}
	return out
}

// stuck finds the steps from which no end is reached.
func (x *prover) stuck() {
	back := make([][]int, x.main)
	good := make([]bool, x.main)
	var todo []int
	complete := false
	for i := range x.main {
		for _, to := range x.next[i] {
			switch {
			case to >= 0 && to < x.main:
				back[to] = append(back[to], i)
			case !good[i]:
				good[i] = true
				todo = append(todo, i)
			}
			complete = complete || x.line[i] && to == x.main
		}
	}
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, from := range back[i] {
			if !good[from] {
				good[from] = true
				todo = append(todo, from)
			}
		}
	}
	for i := range x.main {
		if x.line[i] && !good[i] {
			x.tellStuck(i)
			return // the steps it leads round to are stuck with it
		}
	}
	if last := &x.steps[x.main-1]; !complete {
		x.fail(Counterexample{Step: last.ID, Place: last.Place, What: "no path leads to complete", Hint: "let a step lead to complete, or the last step to its end"})
	}
}

func (x *prover) tellStuck(i int) {
	s := &x.steps[i]
	x.fail(Counterexample{Step: s.ID, Place: s.Place, What: fmt.Sprintf("no end of the job is reached from step %q", s.ID),
		Hint: "let one answer lead on, or to referred",
		Path: append(x.pathTo(i), x.arrived(i, "leads only to steps that lead back to it"))})
}

// pathTo is a shortest path of the main line to a step, or to where it is held for it; nil where the job does not come to it.
func (x *prover) pathTo(i int) []PathStep {
	if i < x.main && !x.line[i] && x.steps[i].Secures >= 0 {
		for k := range x.main {
			if g := x.steps[i].Secures; x.line[k] && x.needing[g].has(k) {
				return append(x.pathTo(k), PathStep{Step: x.steps[k].ID, Place: x.steps[k].Place, Action: Held, What: "is held: it needs " + x.name(g)})
			}
		}
	}
	path, _ := x.pathWhere(i, nil)
	return path
}

// pathWhere is a shortest path to a step with choices as they are wanted, by their index; "" is not made. A step that makes
// safe is come to wherever it is due, for the job can be closed there.
func (x *prover) pathWhere(i int, want map[int]string) (path []PathStep, ok bool) {
	if i >= x.main || !x.line[i] && x.order[i] < 0 {
		return nil, false
	}
	w := &walk{prover: x, frame: x.newFrame(append(x.asConditions(want), x.steps[i].When), 16)}
	if x.order[i] >= 0 && want != nil {
		return x.pathToDue(w, i, want)
	}
	w.calm = want == nil
	w.arrive = func(p at) bool { return !ok && p.step == i && w.frame.matches(p.values, want) }
	w.found = func(p at) { path, ok, w.ended = w.path(p), true, true }
	w.run()
	if !ok && want == nil { // no path does it; one may still come to it
		w.anyway = true
		w.run()
	}
	return path, ok
}

// pathToDue is a shortest path to where a step that makes safe is due.
func (x *prover) pathToDue(w *walk, m int, want map[int]string) (path []PathStep, ok bool) {
	w.arrive = func(p at) bool { return !ok && w.isDue(w.begun(p), m) && w.frame.matches(p.values, want) }
	w.found = func(p at) {
		ok, w.ended = true, true
		path = append(w.path(p), x.arrived(p.step, fmt.Sprintf("is begun, and %s is due", x.steps[m].ID)), PathStep{Action: Closed, What: "the job is closed"})
	}
	w.run()
	return path, ok
}

// asConditions names the choices of a want, so that a frame follows them.
func (x *prover) asConditions(want map[int]string) []procedures.Condition {
	var out []procedures.Condition
	for i := range x.choices {
		if _, in := want[i]; in {
			out = append(out, procedures.Condition{{Choice: x.choices[i].id}})
		}
	}
	return out
}

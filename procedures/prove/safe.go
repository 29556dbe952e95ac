package prove

// Every close makes safe what was secured or begun, in an order that comes to an end, and nothing that should not last is
// left standing.

import (
	"fmt"
	"slices"

	"fenderside/procedures"
)

func (x *prover) safe() {
	x.released()
	for k, m := range x.safes {
		x.everDue(m)
		x.orderFrom(k)
	}
	x.rounds()
	x.undone()
	x.about = fmt.Sprintf("%d steps that make safe, %d safeguards that must not last", len(x.safes), x.fleeting())
}

// unended is what was tried of closes, once.
func (x *prover) unended() *unending {
	if x.closing == nil {
		x.closing = x.closes()
	}
	return x.closing
}

func (x *prover) fleeting() int {
	n := 0
	for _, spec := range x.p.Safeguards {
		if !spec.Lasting {
			n++
		}
	}
	return n
}

// released: whatever does not stay with the vehicle is released by a step that makes safe.
func (x *prover) released() {
	for g, spec := range x.p.Safeguards {
		if spec.Lasting || slices.ContainsFunc(x.safes, func(m int) bool { return slices.Contains(x.steps[m].Releases, g) }) {
			continue
		}
		c := Counterexample{Place: spec.Place, Missing: spec.ID, Where: "nothing releases it",
			What: fmt.Sprintf("no step of make safe releases safeguard %q: it still stands when the job closes", spec.ID),
			Hint: fmt.Sprintf("add a step with releases: [%s] to make safe, or lasting: true where it stays with the vehicle", spec.ID)}
		if gate := x.gate[g]; gate >= 0 {
			c.Step = x.steps[gate].ID
			c.Path = append(x.pathTo(gate), PathStep{Step: c.Step, Place: x.steps[gate].Place, Action: Done, What: "secures " + spec.ID},
				PathStep{Action: Closed, What: "the job is closed, and nothing asks for it to be released"})
		}
		x.fail(c)
	}
}

// everDue: what stands in make safe can become due.
func (x *prover) everDue(m int) {
	s := &x.steps[m]
	if len(s.DueAfter) > 0 || slices.ContainsFunc(s.Releases, func(g int) bool { return !x.p.Safeguards[g].Lasting }) {
		return
	}
	x.fail(Counterexample{Step: s.ID, Place: s.Place, What: fmt.Sprintf("step %q makes safe and is never due: it is always gone by", s.ID),
		Hint: "write due after: and the steps that make it necessary, or releases",
		Path: append(x.pathTo(m), x.arrived(m, "is gone by: there is nothing to make safe"))})
}

// orderFrom: a make-safe step needs nothing that one before it releases. A close does what is due first; securing such a
// thing again makes that step due again, before this one, without end.
func (x *prover) orderFrom(k int) {
	m := x.safes[k]
	for _, t := range x.closure(m, func(procedures.Condition) bool { return true }) {
		if t >= len(x.p.Safeguards) || x.p.Safeguards[t].Lasting {
			continue
		}
		for _, before := range x.safes[:k] {
			if !slices.Contains(x.steps[before].Releases, t) {
				continue
			}
			if path, ok := x.dueNeeding(m, t); ok {
				way, may := x.unended().about(func(o owing) bool { return o == owing{m, x.gate[t]} })
				if way != nil {
					path = way(m)
				}
				if may {
					x.tellOrder(m, before, t, path)
				}
			}
		}
	}
}

// dueNeeding is a shortest path to where a make-safe step is due while it needs a safeguard, directly or through gates.
func (x *prover) dueNeeding(m, t int) (best []PathStep, ok bool) {
	f := x.newFrame(x.turnsOn(m), 1)
	for v := range f.values {
		if !slices.Contains(x.closure(m, func(c procedures.Condition) bool { return f.holds(c, v) == yes }), t) {
			continue
		}
		if path, found := x.pathWhere(m, f.chosen(v)); found && (!ok || len(path) < len(best)) {
			best, ok = path, true
		}
	}
	return best, ok
}

func (x *prover) tellOrder(m, before, t int, path []PathStep) {
	s, first, gate := &x.steps[m], &x.steps[before], &x.steps[x.gate[t]]
	at := s.Place
	for _, n := range s.Needs {
		if n.Safeguard == t && n.Place.Line > 0 {
			at = n.Place
		}
	}
	again := PathStep{Step: first.ID, Place: first.Place, Action: Held, What: "is due first, and releases " + x.name(t)}
	x.fail(Counterexample{Step: s.ID, Place: at, Missing: x.name(t), Where: fmt.Sprintf("%q on %s releases it first", first.ID, first.Place),
		What: fmt.Sprintf("a close never ends: %q needs %q, which %q releases before it in make safe", s.ID, x.name(t), first.ID),
		Hint: fmt.Sprintf("put %q before %q in make safe", s.ID, first.ID),
		Path: append(path, again, PathStep{Step: gate.ID, Place: gate.Place, Action: Held, What: fmt.Sprintf("is begun, for %s needs %s; it makes %s due", s.ID, x.name(t), first.ID)},
			again, PathStep{Step: s.ID, Place: s.Place, Action: Arrived, What: "is never come to"})})
}

// rounds: no make-safe steps make one another due in a circle.
func (x *prover) rounds() {
	var conds []procedures.Condition
	for _, m := range x.safes {
		conds = append(conds, x.turnsOn(m)...)
	}
	f := x.newFrame(conds, 1)
	for v := range f.values {
		if round := firstRound(x.dueLeads(func(c procedures.Condition) bool { return f.holds(c, v) == yes })); round != nil {
			x.tellDues(round, f.chosen(v))
		}
	}
}

// turnsOn lists the conditions of all that a step can need, directly or through gates.
func (m *model) turnsOn(i int) []procedures.Condition {
	var out []procedures.Condition
	wants := func(at int) {
		for _, n := range m.steps[at].Needs {
			out = append(out, n.When)
		}
	}
	wants(i)
	for _, t := range m.closure(i, func(procedures.Condition) bool { return true }) {
		if maker := m.maker(t); maker >= 0 {
			wants(maker)
		}
	}
	return out
}

// dueLeads lists for each make-safe step those that doing it can make due, where each need counts for which applies says so.
func (x *prover) dueLeads(applies func(procedures.Condition) bool) [][]int {
	leads := make([][]int, len(x.safes))
	for a, m := range x.safes {
		begun := []int{m}
		for _, t := range x.closure(m, applies) {
			if maker := x.maker(t); maker >= 0 && maker < x.main && maker != m {
				begun = append(begun, maker)
			}
		}
		for b, other := range x.safes {
			if a != b && slices.ContainsFunc(begun, func(i int) bool { return x.begunBy(other, i) }) {
				leads[a] = append(leads[a], b)
			}
		}
	}
	return leads
}

// dueWith lists for each make-safe step those that a close can come to because it is done there, itself included.
func (x *prover) dueWith() []set {
	leads := x.dueLeads(func(procedures.Condition) bool { return true })
	out := make([]set, len(leads))
	for a := range leads {
		out[a] = newSet(len(leads))
		for todo := []int{a}; len(todo) > 0; todo = todo[1:] {
			if out[a].has(todo[0]) {
				continue
			}
			out[a].add(todo[0])
			todo = append(todo, leads[todo[0]]...)
		}
	}
	return out
}

// firstRound is a circle among what leads to what; nil where there is none.
func firstRound(leads [][]int) []int {
	colour := make([]int, len(leads))
	var way, round []int
	var visit func(a int) bool
	visit = func(a int) bool {
		colour[a] = 1
		way = append(way, a)
		for _, b := range leads[a] {
			if colour[b] == 1 {
				round = slices.Clone(way[slices.Index(way, b):])
				return true
			}
			if colour[b] == 0 && visit(b) {
				return true
			}
		}
		colour[a] = 2
		way = way[:len(way)-1]
		return false
	}
	for a := range leads {
		if colour[a] == 0 && visit(a) {
			return round
		}
	}
	return nil
}

func (x *prover) tellDues(round []int, want map[int]string) {
	first := &x.steps[x.safes[round[0]]]
	path, ok := x.pathWhere(x.safes[round[0]], want)
	way, may := x.unended().about(func(o owing) bool { return o.step == x.safes[round[0]] })
	if !ok || !may {
		return
	}
	if way != nil {
		path = way(x.safes[round[0]])
	}
	for i, k := range round {
		s, next := &x.steps[x.safes[k]], &x.steps[x.safes[round[(i+1)%len(round)]]]
		path = append(path, PathStep{Step: s.ID, Place: s.Place, Action: Held, What: fmt.Sprintf("is done, and makes %s due", next.ID)})
	}
	path = append(path, PathStep{Step: first.ID, Place: first.Place, Action: Arrived, What: "is due again, without end"})
	x.fail(Counterexample{Step: first.ID, Place: first.Place, Path: path,
		What: fmt.Sprintf("a close never ends: doing %q makes due what makes it due again", first.ID), Hint: "take one of them out of due after"})
}

// undone: what a step undoes of a gate that makes safe is made safe again. Where a step causes the fall of what a
// make-safe gate secures, that gate is due after it.
func (x *prover) undone() {
	for g, spec := range x.p.Safeguards {
		m := x.gate[g]
		if m < 0 || x.order[m] < 0 {
			continue
		}
		for i := range x.main {
			if i == m || x.begunBy(m, i) || !slices.ContainsFunc(x.steps[i].Causes, func(c string) bool { return slices.Contains(spec.LapseOn, c) }) {
				continue
			}
			x.undoneAt(g, m, i)
		}
	}
}

// undoneAt looks for a path that begins step i while the gate m is not due for another reason.
func (x *prover) undoneAt(g, m, i int) {
	w := &walk{prover: x, frame: x.newFrame([]procedures.Condition{x.steps[i].When, x.steps[m].When}, 64)}
	told := false
	w.arrive = func(p at) bool { return !told && p.step == i && !w.isDue(w.begun(p), m) }
	w.found = func(p at) {
		told, w.ended = true, true
		s, gate := &x.steps[i], &x.steps[m]
		x.fail(Counterexample{Step: s.ID, Place: s.Place, Missing: x.name(g), Where: fmt.Sprintf("%q causes its fall", s.ID),
			What: fmt.Sprintf("step %q undoes %q, and a close after it does not ask for %q", s.ID, x.name(g), gate.ID),
			Hint: fmt.Sprintf("add %s to due after of %q", s.ID, gate.ID),
			Path: append(w.path(p), x.arrived(i, "is begun, and undoes "+x.name(g)), PathStep{Action: Closed, What: fmt.Sprintf("the job is closed, and %s is not due", gate.ID)})})
	}
	w.run()
}

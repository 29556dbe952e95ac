package prove

// A job that is held comes out of the hold. For each set of needs: which gates can be asked for before the step opens,
// whether they need one another in a circle, and whether they undo one another for ever.

import (
	"fmt"
	"slices"
	"strconv"
	"sync"

	"fenderside/procedures"
)

func (x *prover) holds() {
	var keys []string
	same := map[string][]int{}
	held := x.held()
	for i := range x.steps {
		if i < x.main && !x.line[i] && !held[i] && x.order[i] < 0 {
			continue // no job comes to it, which is told
		}
		x.ownUndoing(i)
		if len(x.steps[i].Needs) == 0 {
			continue
		}
		key := needsKey(&x.steps[i])
		if same[key] == nil {
			keys = append(keys, key)
		}
		same[key] = append(same[key], i)
	}
	for _, key := range keys {
		x.heldAt(same[key])
	}
	for i := range x.main {
		if held[i] || x.order[i] >= 0 {
			x.beside(i)
		}
	}
	x.about = fmt.Sprintf("%d different sets of needs, from every loss of any of them", len(keys))
}

// needsKey tells sets of needs apart.
func needsKey(s *procedures.Step) string {
	var out []byte
	for _, n := range s.Needs {
		out = strconv.AppendInt(out, int64(n.Safeguard), 10)
		out = strconv.AppendInt(append(out, ' '), int64(n.Pin), 10)
		out = append(append(append(out, ' '), written(n.When)...), '\n')
	}
	return string(out)
}

// ownUndoing: what a step needs or secures does not fall while the step is done.
func (x *prover) ownUndoing(i int) {
	s := &x.steps[i]
	for _, n := range s.Needs {
		if n.Pin < 0 && x.during[i].has(n.Safeguard) {
			x.tellOwn(i, n.Safeguard, n.Place, "needs", n.When)
		}
	}
	if s.Secures >= 0 && x.during[i].has(s.Secures) {
		x.tellOwn(i, s.Secures, s.Place, "secures", nil)
	}
}

func (x *prover) tellOwn(i, g int, at procedures.Place, does string, when procedures.Condition) {
	s, how := &x.steps[i], "takes longer than it may stand"
	if x.opened[i].has(g) {
		how = "causes what makes it fall"
	}
	if at.Line == 0 {
		at = s.Place
	}
	path, ok := x.pathUnder(i, when)
	if !ok {
		return
	}
	x.fail(Counterexample{Step: s.ID, Place: at, Missing: x.name(g), Where: fmt.Sprintf("%q %s", s.ID, how),
		What: fmt.Sprintf("step %q %s %q and %s: it can never be completed", s.ID, does, x.name(g), how),
		Hint: "do it in a step of its own, or take the need out",
		Path: append(path, x.arrived(i, fmt.Sprintf("%s falls while this is done, every time", x.name(g))))})
}

// ownUndoing: what a held step needs does not fall while it is done, through what that rests on under these choices. What falls
// under any was told.
func (h *hold) ownUndoing() bool {
	for _, i := range h.group {
		_, during, _ := h.taken(i, h.falls)
		for _, n := range h.steps[i].Needs {
			if n.Pin >= 0 || h.prover.during[i].has(n.Safeguard) || !during.has(n.Safeguard) || h.frame.holds(n.When, h.values) != yes {
				continue
			}
			if path, ok := h.pathWhere(i, h.frame.chosen(h.values)); ok {
				h.tellOwnUnder(i, n, path)
				return true
			}
		}
	}
	return false
}

func (x *prover) tellOwnUnder(i int, n procedures.Need, path []PathStep) {
	s, at := &x.steps[i], n.Place
	if at.Line == 0 {
		at = s.Place
	}
	x.fail(Counterexample{Step: s.ID, Place: at, Missing: x.name(n.Safeguard), Where: fmt.Sprintf("%q fells what %q rests on as things are", s.ID, x.name(n.Safeguard)),
		What: fmt.Sprintf("step %q needs %q and fells what it rests on as things are: it can never be completed", s.ID, x.name(n.Safeguard)),
		Hint: "do it in a step of its own, or take the need out",
		Path: append(path, x.arrived(i, fmt.Sprintf("%s falls while this is done, every time", x.name(n.Safeguard))))})
}

// pathUnder is a shortest path to a step while a condition holds; a step beside the main line is come to in any case.
func (x *prover) pathUnder(i int, when procedures.Condition) ([]PathStep, bool) {
	if len(when) == 0 || i >= x.main || !x.line[i] {
		return x.pathTo(i), true
	}
	f := x.newFrame([]procedures.Condition{when}, 1)
	var best []PathStep
	found := false
	for v := range f.values {
		if f.holds(when, v) != yes {
			continue
		}
		if path, ok := x.pathWhere(i, f.chosen(v)); ok && (!found || len(path) < len(best)) {
			best, found = path, true
		}
	}
	return best, found
}

// beside: a gate that may be asked for in a hold, and a step that makes safe, is done beside the main line. There an
// answer that ends the job is refused, so it must have another.
func (x *prover) beside(i int) {
	s := &x.steps[i]
	if s.Ask == nil || s.Secures < 0 && x.order[i] < 0 {
		return
	}
	for _, a := range s.Ask.Answers {
		if a.Then.End != procedures.Referred && a.Then.End != procedures.Abandoned {
			return
		}
	}
	x.fail(Counterexample{Step: s.ID, Place: s.Ask.Place, What: fmt.Sprintf("every answer at %q ends the job: in a hold or a close it cannot be completed", s.ID),
		Hint: "add the answer for when it is secured", Path: append(x.pathTo(i), x.arrived(i, "in a hold, every answer is refused"))})
}

// hold is one set of needs under one set of choices.
type hold struct {
	*prover
	at     int // a step that has these needs, in hand
	group  []int
	frame  *frame
	values int
	things []int               // what can be asked for before the step opens
	place  map[int]int         // in things
	falls  []set               // what falls with each safeguard under these choices
	met    func() map[int]bool // the choices with which the job comes to one of the steps
}

// heldAt looks at the hold at steps that have the same needs, under every combination of the choices that these turn on.
func (x *prover) heldAt(group []int) {
	i := group[0]
	all := x.closure(i, func(procedures.Condition) bool { return true })
	var conds []procedures.Condition
	wants := func(at int) {
		for _, n := range x.steps[at].Needs {
			conds = append(conds, n.When)
		}
	}
	wants(i)
	for _, t := range all {
		if maker := x.maker(t); maker >= 0 {
			wants(maker)
			continue
		}
		x.fail(Counterexample{Step: x.steps[i].ID, Place: x.steps[i].Place, Missing: x.name(t),
			What: fmt.Sprintf("no gate secures %q, which step %q needs", x.name(t), x.steps[i].ID), Hint: "add a gate with secures: " + x.name(t)})
		return
	}
	f := x.newFrame(conds, 1)
	met := sync.OnceValue(func() map[int]bool { return x.met(group, f) })
	for v := range f.values {
		h := &hold{prover: x, at: i, group: group, frame: f, values: v, place: map[int]int{}, met: met}
		h.things = x.closure(i, func(c procedures.Condition) bool { return f.holds(c, v) == yes })
		for k, t := range h.things {
			h.place[t] = k
		}
		x.spend(len(h.things)+1, func() string { return "the choices that needs turn on" })
		h.falls = x.fallsWhere(func(c procedures.Condition) bool { return f.holds(c, v) == yes })
		if !h.circle() && !h.ownUndoing() {
			h.undoing()
		}
	}
}

// met is the choices, of those that a frame follows, with which the job comes to one of some steps.
func (x *prover) met(steps []int, f *frame) map[int]bool {
	var conds []procedures.Condition
	for _, c := range f.track {
		conds = append(conds, procedures.Condition{{Choice: x.choices[c].id}})
	}
	for _, i := range steps {
		conds = append(conds, x.steps[i].When)
	}
	w := &walk{prover: x, frame: x.newFrame(conds, 16)}
	out := map[int]bool{}
	w.arrive = func(p at) bool {
		if slices.ContainsFunc(steps, func(i int) bool { return p.step == i || x.order[i] >= 0 && w.isDue(w.begun(p), i) }) {
			out[f.of(w.frame, p.values)] = true
		}
		return false
	}
	w.run()
	return out
}

// closure lists what step i needs, directly or through the gates that secure it, where each need counts for which applies
// says so.
func (m *model) closure(i int, applies func(procedures.Condition) bool) []int {
	var out []int
	in := m.none()
	add := func(at int) {
		for _, n := range m.steps[at].Needs {
			if t := m.thing(n); applies(n.When) && !in.has(t) {
				in.add(t)
				out = append(out, t)
			}
		}
	}
	add(i)
	for k := 0; k < len(out); k++ {
		if maker := m.maker(out[k]); maker >= 0 {
			add(maker)
		}
	}
	return out
}

// wanted lists the needs of a step that apply.
func (h *hold) wanted(i int) []procedures.Need {
	var out []procedures.Need
	for _, n := range h.steps[i].Needs {
		if h.frame.holds(n.When, h.values) == yes {
			out = append(out, n)
		}
	}
	return out
}

// reach is a shortest path to one of the steps held with the choices as they are; it makes that step the one in hand.
func (h *hold) reach() (best []PathStep, ok bool) {
	if !h.met()[h.values] {
		return nil, false
	}
	for _, i := range h.group {
		path, found := h.pathWhere(i, h.frame.chosen(h.values))
		if found && (!ok || len(path) < len(best)) {
			best, ok, h.at = path, true, i
		}
	}
	return best, ok
}

// circle looks for gates that need one another.
func (h *hold) circle() bool {
	const open, closed = 1, 2
	colour := make([]int, len(h.things))
	var way []int
	var visit func(k int) bool
	visit = func(k int) bool {
		colour[k] = open
		way = append(way, k)
		for _, n := range h.wanted(h.maker(h.things[k])) {
			to := h.place[h.thing(n)]
			if colour[to] == open {
				h.tellCircle(way[slices.Index(way, to):], n)
				return true
			}
			if colour[to] == 0 && visit(to) {
				return true
			}
		}
		colour[k] = closed
		way = way[:len(way)-1]
		return false
	}
	for k := range h.things {
		if colour[k] == 0 && visit(k) {
			return true
		}
	}
	return false
}

func (h *hold) tellCircle(round []int, n procedures.Need) {
	path, ok := h.reach()
	if !ok {
		return
	}
	path = append(path, h.arrived(h.at, "is held: "+h.name(h.things[round[0]])+" does not stand"))
	names := ""
	for _, k := range round {
		gate := &h.steps[h.maker(h.things[k])]
		path = append(path, PathStep{Step: gate.ID, Place: gate.Place, Action: Held, What: "is asked for, and needs what is not there either"})
		names += fmt.Sprintf("%q needs ", h.name(h.things[k]))
	}
	names += fmt.Sprintf("%q", h.name(h.things[round[0]]))
	at := n.Place
	if at.Line == 0 {
		at = h.steps[h.maker(h.things[round[0]])].Place
	}
	h.fail(Counterexample{Step: h.steps[h.at].ID, Place: at, Missing: h.name(h.things[round[0]]), Path: path,
		What: "gates need each other in a circle: " + names, Hint: "take one of these needs out"})
}

package prove

// The main line passes the gate before the step that needs it, and releases nothing that is needed further on. A hold
// brings back what fell; a line that leads to a step whose gate it never passed was written wrong.

import (
	"fmt"
	"slices"

	"fenderside/procedures"
)

// How a safeguard was left by a path, as far as this rule asks.
const (
	never    = iota // no gate of it was passed
	stood           // its gate was passed; it may have fallen since
	released        // taken away on purpose, and the main line went only forward since
	reopened        // taken away on purpose, and the main line went back since
)

// secured holds the main line to passing gates.
func (x *prover) secured() {
	pairs := 0
	for g := range x.p.Safeguards {
		if x.gate[g] < 0 {
			continue
		}
		needers := x.needers(g)
		pairs += len(needers)
		if len(needers) > 0 {
			x.walkFor(g, needers)
		}
	}
	x.about = fmt.Sprintf("%d needs of steps on the main line, %d safeguards", pairs, len(x.p.Safeguards))
}

// needers lists the steps of the main line that need a safeguard and that the main line comes to.
func (x *prover) needers(g int) []int {
	var out []int
	for i := range x.main {
		if x.line[i] && x.needing[g].has(i) {
			out = append(out, i)
		}
	}
	return out
}

// guardWalk is the walk for one safeguard, to steps that need it.
type guardWalk struct {
	walk
	g       int
	targets []bool
	under   map[int][]set // what may fall with each safeguard, by the choices
	surely  map[int][]set // what falls with each safeguard, by the choices
}

func (x *prover) walkFor(g int, to []int) {
	w := &guardWalk{g: g, targets: make([]bool, x.main), under: map[int][]set{}, surely: map[int][]set{}}
	conds, named := []procedures.Condition{x.steps[x.gate[g]].When}, make([]bool, len(x.conds))
	name := func(c int32) {
		if !named[c] {
			named[c], conds = true, append(conds, x.conds[c])
		}
	}
	for _, i := range to {
		w.targets[i] = true
		name(x.when[i])
		for _, n := range x.needs[i] {
			if int(n.guard) == g {
				name(n.when)
			}
		}
	}
	conds = append(conds, x.restsUnder(g)...)
	w.walk = walk{prover: x, frame: x.newFrame(conds, 64), done: w.after, gone: w.skipped, closed: w.inClose, moved: w.onward, arrive: w.lacks, found: w.tell, seen: x.spare}
	w.run()
	x.spare = w.seen
}

// after is how the safeguard is once a step is done.
func (w *guardWalk) after(p at) int {
	status := p.flag
	if w.stood(p) {
		status = stood
	}
	if status == stood && w.releases(p) {
		status = released
	}
	if w.secures[p.step] == w.g {
		status = stood
	}
	return status
}

// stood says whether the safeguard stands while a step is done, for the step needs it or what rests on it under these choices.
func (w *guardWalk) stood(p at) bool {
	falls := w.surely[p.values]
	if falls == nil {
		falls = w.fallsWhere(func(c procedures.Condition) bool { return w.frame.holds(c, p.values) == yes })
		w.surely[p.values] = falls
	}
	return slices.ContainsFunc(w.needs[p.step], func(n need) bool {
		return falls[w.g].has(int(n.guard)) && w.frame.truth(n.when, p.values) == yes
	})
}

// restsUnder lists the conditions under which a safeguard rests on others, and these on others again, and under which others rest
// on it.
func (x *prover) restsUnder(g int) (out []procedures.Condition) {
	for h := range x.p.Safeguards {
		if !x.mayFall[h].has(g) && !x.mayFall[g].has(h) || x.gate[h] < 0 || x.p.Safeguards[h].Lasting {
			continue
		}
		for _, n := range x.steps[x.gate[h]].Needs {
			if n.Pin < 0 && len(n.When) > 0 {
				out = append(out, n.When)
			}
		}
	}
	return out
}

// releases says whether completing a step takes the safeguard away, or may where the choices are not known.
func (w *guardWalk) releases(p at) bool {
	if !w.freeing[w.g].has(p.step) {
		return false
	}
	falls := w.under[p.values]
	if falls == nil {
		falls = w.fallsWhere(func(c procedures.Condition) bool { return w.frame.holds(c, p.values) != no })
		w.under[p.values] = falls
	}
	return slices.ContainsFunc(w.steps[p.step].Releases, func(h int) bool { return falls[h].has(w.g) })
}

// skipped is how the safeguard is once a step is gone by. The line that comes again to where it was released, and finds
// nothing to release, goes forward from there as before.
func (w *guardWalk) skipped(p at) int {
	if p.flag == reopened && w.releases(p) {
		return released
	}
	return p.flag
}

// inClose is how the safeguard is once a close did what was due, and was taken back. What it released counts as fallen: the
// step that the job comes back to is held for it.
func (w *guardWalk) inClose(p at) int {
	for _, m := range w.dues(p.due) {
		if w.steps[m].Secures == w.g {
			return stood
		}
	}
	return p.flag
}

func (w *guardWalk) onward(from, to, status int) (int, bool) {
	if status == released && to <= from {
		return reopened, true
	}
	return status, true
}

func (w *guardWalk) needed(p at) bool {
	for _, n := range w.needs[p.step] {
		if int(n.guard) == w.g && w.frame.truth(n.when, p.values) != no {
			return true
		}
	}
	return false
}

// lacks says whether a step is come to without the safeguard that it needs.
func (w *guardWalk) lacks(p at) bool {
	if !w.targets[p.step] || !w.needed(p) {
		return false
	}
	return p.flag == released || p.flag == never && w.line[w.gate[w.g]]
}

func (w *guardWalk) tell(p at) {
	s, gate := &w.steps[p.step], &w.steps[w.gate[w.g]]
	c := Counterexample{Step: s.ID, Place: s.Place, Missing: w.name(w.g), Path: w.path(p)}
	for _, n := range s.Needs {
		if n.Safeguard == w.g && n.Place.Line > 0 && w.frame.holds(n.When, p.values) != no {
			c.Place = n.Place
		}
	}
	c.What = fmt.Sprintf("a path leads to %s %q without %q, which it needs", s.Kind, s.ID, c.Missing)
	c.Where = fmt.Sprintf("no step on the path secures it; its gate %q is on %s", gate.ID, gate.Place)
	c.Hint = fmt.Sprintf("lead the path through gate %q first", gate.ID)
	if len(gate.When) > 0 {
		c.Hint += ", or need it only when that gate applies"
	}
	if p.flag == released {
		by := w.releaser(c.Path)
		c.What = fmt.Sprintf("a path leads to %s %q, which needs %q, after %q has released it", s.Kind, s.ID, c.Missing, by.ID)
		c.Where = fmt.Sprintf("%q on %s released it", by.ID, by.Place)
		c.Hint = fmt.Sprintf("move %q before %q, or release it later", s.ID, by.ID)
	}
	c.Path = append(c.Path, w.arrived(p.step, fmt.Sprintf("needs %s: %s", c.Missing, c.Where)))
	w.fail(c)
}

// releaser is the last step of a path that released the safeguard.
func (w *guardWalk) releaser(path []PathStep) *procedures.Step {
	var by *procedures.Step
	for _, at := range path {
		if at.Action == Done && w.freeing[w.g].has(w.id[at.Step]) {
			by = &w.steps[w.id[at.Step]]
		}
	}
	return by
}

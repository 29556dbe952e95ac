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
	w.walk = walk{prover: x, frame: x.newFrame(conds, 64), done: w.after, gone: w.skipped, closed: w.inClose, moved: w.onward, arrive: w.lacks, seen: x.spare}
	var found []lack
	w.found = func(p at) {
		found = append(found, lack{p.step, p.flag, w.needPlace(p.step, func(c procedures.Condition) bool { return w.frame.holds(c, p.values) != no }), func() []PathStep { return w.path(p) }})
	}
	w.run()
	for _, l := range w.confirmed(found) {
		w.tell(l)
	}
	x.spare = w.seen
}

// lack is a step come to without the safeguard that it needs.
type lack struct {
	step, status int
	place        procedures.Place
	path         func() []PathStep
}

// confirmed are those of what was found that a trial comes to, with its way there; all, where there is more than it follows.
func (w *guardWalk) confirmed(found []lack) (out []lack) {
	if len(found) == 0 {
		return nil
	}
	t := w.newTrial()
	if t == nil {
		return found
	}
	open := map[int]bool{}
	for _, l := range found {
		open[l.step] = true
	}
	t.after, t.closed, t.entered = w.afterTried(t), closedTried, w.onward
	t.shows = func(s tried) bool { return open[s.step] && w.lacksTried(t, s) }
	t.found = func(s tried, path func() []PathStep) bool {
		told, holds := path(), func(c procedures.Condition) bool { return t.frame.holds(c, s.values) == yes }
		out = append(out, lack{s.step, s.flag, w.needPlace(s.step, holds), func() []PathStep { return told }})
		delete(open, s.step)
		return len(open) == 0
	}
	whole := true
	for _, t.calm = range []bool{true, false} {
		if len(open) > 0 {
			whole = t.run()
		}
	}
	for _, l := range found {
		if !whole && open[l.step] {
			out = append(out, l)
		}
	}
	return out
}

// lacksTried says whether the line of a trial is at a step without the safeguard that it needs.
func (w *guardWalk) lacksTried(t *trial, s tried) bool {
	return s.stands&(1<<w.g) == 0 && t.wants(s, w.g) && w.misses(s.flag)
}

// afterTried is how the safeguard is once a step of a trial is done.
func (w *guardWalk) afterTried(t *trial) func(before, done tried, step int) int {
	return func(before, done tried, step int) int {
		gone := t.does[step].releases & (before.stands | before.engaged)
		switch {
		case w.secures[step] == w.g:
			return stood
		case before.flag == stood && t.fall(1<<w.g, gone, before.values) == 0:
			return released
		}
		return before.flag
	}
}

// closedTried is how the safeguard is once a close was taken back.
func closedTried(before, after tried) int {
	if after.flag == released && before.flag != released {
		return stood
	}
	return after.flag
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
func (w *guardWalk) lacks(p at) bool { return w.targets[p.step] && w.needed(p) && w.misses(p.flag) }

// misses says whether the safeguard is missing, by how the path left it, for no fall that a hold is for.
func (w *guardWalk) misses(status int) bool {
	return status == released || status == never && w.line[w.gate[w.g]]
}

// needPlace is where a step says that it needs the safeguard, by the last need that applies.
func (w *guardWalk) needPlace(step int, applies func(procedures.Condition) bool) procedures.Place {
	at := w.steps[step].Place
	for _, n := range w.steps[step].Needs {
		if n.Safeguard == w.g && n.Place.Line > 0 && applies(n.When) {
			at = n.Place
		}
	}
	return at
}

func (w *guardWalk) tell(l lack) {
	s, gate := &w.steps[l.step], &w.steps[w.gate[w.g]]
	c := Counterexample{Step: s.ID, Place: l.place, Missing: w.name(w.g), Path: l.path()}
	c.What = fmt.Sprintf("a path leads to %s %q without %q, which it needs", s.Kind, s.ID, c.Missing)
	c.Where = fmt.Sprintf("no step on the path secures it; its gate %q is on %s", gate.ID, gate.Place)
	c.Hint = fmt.Sprintf("lead the path through gate %q first", gate.ID)
	if len(gate.When) > 0 {
		c.Hint += ", or need it only when that gate applies"
	}
	if l.status == released {
		by := w.releaser(c.Path)
		c.What = fmt.Sprintf("a path leads to %s %q, which needs %q, after %q has released it", s.Kind, s.ID, c.Missing, by.ID)
		c.Where = fmt.Sprintf("%q on %s released it", by.ID, by.Place)
		c.Hint = fmt.Sprintf("move %q before %q, or release it later", s.ID, by.ID)
	}
	c.Path = append(c.Path, w.arrived(l.step, fmt.Sprintf("needs %s: %s", c.Missing, c.Where)))
	w.fail(c)
}

// releaser is the last step of a path that released the safeguard.
func (w *guardWalk) releaser(path []PathStep) *procedures.Step {
	var by *procedures.Step
	for _, at := range path {
		if (at.Action == Done || at.Action == Again) && w.freeing[w.g].has(w.id[at.Step]) {
			by = &w.steps[w.id[at.Step]]
		}
	}
	return by
}

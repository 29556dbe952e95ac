package prove

// The main line passes the gate before the step that needs it, and releases nothing that is needed further on. A hold
// brings back what fell; a line that leads to a step whose gate it never passed was written wrong.

import (
	"fmt"

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
		plain := needers[:0:0]
		for _, i := range needers {
			if x.order[i] >= 0 {
				x.walkFor(g, []int{i})
			} else {
				plain = append(plain, i)
			}
		}
		if len(plain) > 0 {
			x.walkFor(g, plain)
		}
	}
	x.about = fmt.Sprintf("%d needs of steps on the main line, %d safeguards", pairs, len(x.p.Safeguards))
}

// needers lists the steps of the main line that need a safeguard and that the main line comes to.
func (x *prover) needers(g int) []int {
	var out []int
	for i := range x.main {
		if x.line[i] && needs(&x.steps[i], g) {
			out = append(out, i)
		}
	}
	return out
}

func needs(s *procedures.Step, g int) bool {
	for _, n := range s.Needs {
		if n.Safeguard == g && n.Pin < 0 {
			return true
		}
	}
	return false
}

// guardWalk is the walk for one safeguard, to steps that need it. It also keeps which make-safe steps are due that matter:
// the safeguard's own gate, and the step it goes to.
type guardWalk struct {
	walk
	g       int
	targets []bool
	dues    []int // make-safe steps whose being due is kept
}

func (x *prover) walkFor(g int, to []int) {
	w := &guardWalk{g: g, targets: make([]bool, x.main)}
	conds := []procedures.Condition{x.steps[x.gate[g]].When}
	for _, i := range to {
		w.targets[i] = true
		conds = append(conds, x.steps[i].When)
		for _, n := range x.steps[i].Needs {
			if n.Safeguard == g {
				conds = append(conds, n.When)
			}
		}
	}
	for _, i := range append([]int{x.gate[g]}, to[0]) {
		if x.order[i] >= 0 && (len(w.dues) == 0 || w.dues[0] != i) {
			w.dues = append(w.dues, i)
		}
	}
	w.walk = walk{prover: x, frame: x.newFrame(conds, 64), done: w.after, passes: w.passing, moved: w.onward, arrive: w.lacks, found: w.tell}
	w.run()
}

func (w *guardWalk) status(flag int) int { return flag & 3 }

func (w *guardWalk) isDue(flag, k int) bool { return flag&(4<<k) != 0 }

// after is how the safeguard is once a step is done, and what is due then.
func (w *guardWalk) after(p at) int {
	s, flag := &w.steps[p.step], p.flag
	status := w.status(flag)
	if needs(s, w.g) && w.needed(p) {
		status = stood
	}
	if status == stood {
		for _, h := range s.Releases {
			if w.falls[h].has(w.g) {
				status = released
			}
		}
	}
	if s.Secures == w.g {
		status = stood
	}
	flag = flag&^3 | status
	for k, m := range w.dues {
		if w.makesDue(m, p) {
			flag |= 4 << k
		}
		if m == p.step {
			flag &^= 4 << k
		}
	}
	return flag
}

// makesDue says whether doing a step makes a make-safe step due: it begins what that makes safe, or it needs a safeguard
// that is then in place.
func (w *walk) makesDue(safe int, p at) bool {
	if w.begunBy(safe, p.step) {
		return true
	}
	for _, n := range w.steps[p.step].Needs {
		if n.Pin < 0 && w.frame.holds(n.When, p.values) == yes && w.begunBy(safe, w.gate[n.Safeguard]) {
			return true
		}
	}
	return false
}

func (w *guardWalk) onward(from, to, flag int) (int, bool) {
	if w.status(flag) == released && to <= from {
		return flag&^3 | reopened, true
	}
	return flag, true
}

// passing says whether a make-safe step is gone by: it is not where it is due.
func (w *guardWalk) passing(p at) (goneBy, done bool) {
	for k, m := range w.dues {
		if m == p.step {
			due := w.isDue(p.flag, k)
			return !due, due
		}
	}
	for _, h := range w.steps[p.step].Releases {
		if w.status(p.flag) == stood && w.falls[h].has(w.g) && !w.p.Safeguards[h].Lasting {
			return false, true
		}
	}
	return true, true
}

func (w *guardWalk) needed(p at) bool {
	for _, n := range w.steps[p.step].Needs {
		if n.Safeguard == w.g && n.Pin < 0 && w.frame.holds(n.When, p.values) != no {
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
	status := w.status(p.flag)
	return status == released || status == never && w.line[w.gate[w.g]]
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
	c.Where = fmt.Sprintf("no step on the path secures it; its gate %q is on line %d", gate.ID, gate.Place.Line)
	c.Hint = fmt.Sprintf("lead the path through gate %q first", gate.ID)
	if len(gate.When) > 0 {
		c.Hint += ", or need it only when that gate applies"
	}
	if w.status(p.flag) == released {
		by := w.releaser(c.Path)
		c.What = fmt.Sprintf("a path leads to %s %q, which needs %q, after %q has released it", s.Kind, s.ID, c.Missing, by.ID)
		c.Where = fmt.Sprintf("%q on line %d released it", by.ID, by.Place.Line)
		c.Hint = fmt.Sprintf("move %q before %q, or release it later", s.ID, by.ID)
	}
	c.Path = append(c.Path, w.arrived(p.step, fmt.Sprintf("needs %s: %s", c.Missing, c.Where)))
	w.fail(c)
}

// releaser is the last step of a path that released the safeguard.
func (w *guardWalk) releaser(path []PathStep) *procedures.Step {
	var by *procedures.Step
	for _, at := range path {
		s := &w.steps[w.id[at.Step]]
		if at.Action != Done || at.Step == "" {
			continue
		}
		for _, h := range s.Releases {
			if w.falls[h].has(w.g) {
				by = s
			}
		}
	}
	return by
}

package prove

// Every value that something uses has been recorded on every path to it: what a limit, a comparison, a check or a wait
// names, and the choices that conditions turn on.

import (
	"fmt"
	"slices"

	"fenderside/checks"
	"fenderside/procedures"
)

// use is one use of a value that a step records.
type use struct {
	step  int
	id    string
	as    string // what for
	cond  procedures.Condition
	place procedures.Place
	asks  bool // it is a condition's choice: one that was not asked for counts as not made
	found bool // it is what a check of the step id found
}

// need is how a use is met: at a step, come to along the main line, in a hold, or in a close.
type context struct {
	at    int    // where the main line is
	begun bool   // the value must be there when the step begins, else when it opens
	how   string // how the use comes about there; empty at the step itself
	when  procedures.Condition
}

func (x *prover) values() {
	x.doms = x.dominate()
	x.dueWithIt = x.dueWith()
	n := 0
	for i := range x.steps {
		x.usesOf(i, func(u use) {
			owner := x.owner(u)
			if owner < 0 {
				return
			}
			n++
			x.given(u, owner)
			if owner == i {
				return
			}
			for _, c := range x.contexts(u.step) {
				x.recorded(u, owner, c)
			}
		})
	}
	x.about = fmt.Sprintf("%d uses of values that steps record", n)
}

// usesOf calls f with every use of a value at a step.
func (x *prover) usesOf(i int, f func(use)) {
	s := &x.steps[i]
	turn := func(c, under procedures.Condition, at procedures.Place) {
		for _, clause := range c {
			if clause.Place.Line > 0 {
				at = clause.Place
			}
			f(use{step: i, id: clause.Choice, as: "when", cond: under, place: at, asks: true})
		}
	}
	bound := func(b procedures.Bound, as string, c procedures.Condition, at procedures.Place) {
		if b.Ref != "" {
			f(use{step: i, id: b.Ref, as: as, cond: c, place: at})
		}
	}
	turn(s.When, nil, s.Place)
	for _, n := range s.Needs {
		turn(n.When, s.When, n.Place)
	}
	for _, v := range s.Statements {
		turn(v.When, s.When, v.Place)
	}
	for _, v := range s.Evidence {
		turn(v.When, s.When, v.Place)
	}
	for _, r := range s.Readings {
		turn(r.When, s.When, r.Place)
		under := both(s.When, r.When)
		bound(r.AtLeast, "the least of "+r.ID, under, r.Place)
		bound(r.AtMost, "the most of "+r.ID, under, r.Place)
		bound(r.Apart, "the time between values of "+r.ID, under, r.Place)
		bound(procedures.Bound{Ref: r.SameAs}, "same as of "+r.ID, under, r.Place)
	}
	if s.Wait != nil {
		bound(s.Wait.AtLeast, "the wait", s.When, s.Wait.Place)
		bound(s.Wait.AtMost, "the wait", s.When, s.Wait.Place)
	}
	if s.Pin != nil {
		bound(s.Pin.AtLeast, "how long it runs", nil, s.Pin.Place)
	}
	x.inputsOf(i, f)
}

// inputsOf calls f with the inputs of checks that must be in. An input that a check can do without is used where it applies,
// but for what another check found: that other one must have been made.
func (x *prover) inputsOf(i int, f func(use)) {
	s := &x.steps[i]
	for _, c := range s.Checks {
		for _, clause := range c.When {
			f(use{step: i, id: clause.Choice, as: "when", cond: s.When, place: c.Place, asks: true})
		}
		if c.Advice {
			continue
		}
		for _, in := range c.Inputs {
			u := use{step: i, id: in.Ref, as: fmt.Sprintf("input %q of %s", in.Name, c.Name), cond: both(s.When, c.When), place: in.Place}
			if in.Found != nil {
				u.id, u.found = in.Found.Step, true
				f(u) // nobody can say by hand what it would have found
			} else if spec, ok := inputOf(c.Check, in.Name); in.Ref != "" && ok && !spec.Optional {
				f(u)
			}
		}
	}
}

func inputOf(c checks.Check, name string) (checks.Input, bool) {
	for _, in := range c.Inputs {
		if in.Name == name {
			return in, true
		}
	}
	return checks.Input{}, false
}

// owner is the step that records what a use names; -1 for the job sheet, which is filled before the job opens.
func (x *prover) owner(u use) int {
	if u.found {
		return x.id[u.id]
	}
	if at, ok := x.readings[u.id]; ok {
		return at.step
	}
	if at, ok := x.proofs[u.id]; ok && !u.asks {
		return at.step
	}
	if i, ok := x.choiceAt[u.id]; ok && u.asks {
		return x.choices[i].step
	}
	return -1
}

// given: where a value is used, its own conditions hold. A limit that does not apply would let anything pass.
func (x *prover) given(u use, owner int) {
	when, optional, ok := x.askedFor(u.id)
	if !ok || u.asks || u.found {
		return
	}
	under := u.cond
	if owner != u.step {
		under = both(under, x.steps[u.step].When)
	}
	wants := when
	if owner != u.step {
		wants = both(wants, x.steps[owner].When)
	}
	if implies(under, wants) && !optional {
		return
	}
	s := &x.steps[u.step]
	x.fail(Counterexample{Step: s.ID, Place: u.place, Missing: u.id, Where: fmt.Sprintf("it is not asked for in every case where %q uses it", s.ID),
		What: fmt.Sprintf("%s at %q uses %q, which is recorded only in some cases", u.as, s.ID, u.id),
		Hint: "use it under the same when, or record it always", Path: append(x.pathTo(min(u.step, x.main-1)), x.arrived(u.step, "uses "+u.id))})
}

// askedFor says under which condition a reading or a file is asked for, and whether it may be left out.
func (x *prover) askedFor(id string) (when procedures.Condition, optional, ok bool) {
	if at, ok := x.readings[id]; ok {
		r := &x.steps[at.step].Readings[at.reading]
		return r.When, r.Optional, true
	}
	if at, ok := x.proofs[id]; ok {
		ev := &x.steps[at.step].Evidence[at.reading]
		return ev.When, ev.Optional, true
	}
	return nil, false, false
}

// contexts lists where the main line can be when a step takes entries.
func (x *prover) contexts(i int) []context {
	s := &x.steps[i]
	var out []context
	if i < x.main && x.line[i] {
		out = append(out, context{at: i})
	}
	if i >= x.main {
		for k := range x.main {
			if x.opened[k].has(x.pinned(i)) {
				out = append(out, context{at: k, begun: true, how: fmt.Sprintf("%q starts it", x.steps[k].ID)})
			}
		}
		return out
	}
	if s.Secures >= 0 && !x.line[i] {
		for k := range x.main {
			if x.line[k] && x.needing[s.Secures].has(k) {
				out = append(out, context{at: k, how: fmt.Sprintf("%q is held for it", x.steps[k].ID)})
			}
		}
	}
	if x.order[i] >= 0 {
		for k := range x.main {
			if x.line[k] && x.closeAfter(k, i) {
				out = append(out, context{at: k, begun: true, how: fmt.Sprintf("%q is begun, the job is closed early, and this is due", x.steps[k].ID)})
			}
		}
	}
	return out
}

// closeAfter says whether a close that follows a step which was begun can come to one that makes safe, in its turn or because of
// another that is done there. With the step, gates that no path of the line passes may have been done, in a hold.
func (x *prover) closeAfter(begun, safe int) bool {
	steps := []int{begun}
	for _, t := range x.closure(begun, func(procedures.Condition) bool { return true }) {
		if gate := x.maker(t); gate >= 0 && gate < x.main && !x.line[gate] {
			steps = append(steps, gate)
		}
	}
	return slices.ContainsFunc(x.safes, func(first int) bool {
		return x.dueWithIt[x.order[first]].has(x.order[safe]) && slices.ContainsFunc(steps, func(i int) bool { return x.begunBy(first, i) })
	})
}

// recorded: every path to where a step takes entries records what it uses.
func (x *prover) recorded(u use, owner int, c context) {
	if c.how != "" && u.asks && x.order[u.step] >= 0 {
		return // where a close asks for a step early, a choice that was not come to counts as not made
	}
	sure := owner < x.main && x.order[owner] < 0 && !x.steps[owner].Optional
	if sure && owner != c.at && x.doms.over(owner, c.at) && x.doms.lowest[owner] >= owner {
		return
	}
	if secured := x.steps[owner].Secures; secured >= 0 && x.restsOn(u.step, c.at, secured) {
		return
	}
	x.bypass(u, owner, c)
}

// restsOn says whether a safeguard is in place whenever the step takes entries.
func (x *prover) restsOn(step, at, g int) bool {
	always := func(cond procedures.Condition) bool { return len(cond) == 0 }
	for _, i := range []int{step, at} {
		for _, n := range x.steps[i].Needs {
			if n.Pin < 0 && always(n.When) && (n.Safeguard == g || x.falls[g].has(n.Safeguard)) {
				return true
			}
		}
		if step != at {
			break // where the main line is says nothing while another step is open
		}
	}
	return false
}

// bypass looks for a path that comes to a use without what it uses.
func (x *prover) bypass(u use, owner int, c context) {
	told := false
	w := &walk{prover: x}
	conds := []procedures.Condition{u.cond, c.when, x.steps[u.step].When, x.steps[c.at].When}
	if owner < x.main {
		conds = append(conds, x.steps[owner].When)
	}
	w.frame = x.newFrame(conds, 64)
	w.done = func(p at) int { return x.afterUse(w, p, owner) }
	w.closed = func(p at) int {
		if slices.Contains(w.dues(p.due), owner) {
			return 1
		}
		return p.flag
	}
	w.moved = func(from, to, flag int) (int, bool) {
		if from == owner && x.order[owner] < 0 {
			flag |= 1 // gone by because it does not apply: then it is not wanted either
		}
		return x.corrected(to, flag, owner, u), true
	}
	w.arrive = func(p at) bool {
		return !told && p.step == c.at && p.flag&1 == 0 && w.frame.holds(u.cond, p.values) != no && w.frame.holds(c.when, p.values) != no
	}
	w.found = func(p at) {
		told, w.ended = true, true
		x.tellUse(u, owner, c, w.path(p))
	}
	w.run()
}

// afterUse keeps whether the value is recorded.
func (x *prover) afterUse(w *walk, p at, owner int) int {
	if p.step == owner {
		return 1
	}
	if g := x.steps[owner].Secures; g >= 0 {
		for _, n := range x.steps[p.step].Needs {
			if n.Safeguard == g && n.Pin < 0 && w.frame.holds(n.When, p.values) == yes {
				return 1
			}
		}
	}
	return p.flag
}

// corrected: a reading corrected to what its limits refuse is no longer recorded, and the job returns for it only where
// the step lies behind.
func (x *prover) corrected(to, flag, owner int, u use) int {
	if to >= 0 && to < owner && owner < x.main && !u.asks {
		return flag &^ 1
	}
	return flag
}

func (x *prover) tellUse(u use, owner int, c context, path []PathStep) {
	s, o := &x.steps[u.step], &x.steps[owner]
	what := fmt.Sprintf("%s uses %s, and nothing on the path recorded it", u.as, u.id)
	where := fmt.Sprintf("%q records it on %s, which the path does not pass", o.ID, o.Place)
	wrong := fmt.Sprintf("%s at %q uses %q, which some path to it never recorded", u.as, s.ID, u.id)
	hint := fmt.Sprintf("lead every path through %q first, or record it here", o.ID)
	if u.found {
		hint = fmt.Sprintf("lead every path through %q first", o.ID)
		what = fmt.Sprintf("%s takes what %s found, and nothing on the path made that check", u.as, u.id)
		where = fmt.Sprintf("%q makes it on %s, which the path does not pass", o.ID, o.Place)
		wrong = fmt.Sprintf("%s at %q takes what a check of %q found, which some path to it never made", u.as, s.ID, u.id)
	}
	end := x.arrived(c.at, what)
	if c.how != "" {
		path = append(path, x.arrived(c.at, c.how))
		end = x.arrived(u.step, what)
	}
	x.fail(Counterexample{Step: s.ID, Place: u.place, Missing: u.id, Where: where, What: wrong,
		Hint: hint, Path: append(path, end)})
}

package prove

// No circle of the main line is without a bound, and a bound never takes the last way on from a step.

import (
	"fmt"
	"maps"
	"slices"

	"fenderside/procedures"
)

func (x *prover) repeats() {
	bounded := 0
	for i := range x.main {
		if x.steps[i].Repeat != nil {
			bounded++
		}
	}
	x.endless()
	circles := 0
	for _, part := range x.components(func(i int) []int { return x.then[i] }) {
		if len(part) > 1 || slices.Contains(x.then[part[0]], part[0]) {
			circles++
			x.wayOn(part)
		}
	}
	x.about = fmt.Sprintf("%d circles, %d steps with a bound", circles, bounded)
}

// wayOn looks for steps of a circle that a spent bound leaves without a way on. Only where a step's every way leads to a
// step with a bound is there anything to look for; then every count of rounds is followed.
func (x *prover) wayOn(part []int) {
	var bounded, risky []int
	member := map[int]bool{}
	for _, i := range part {
		member[i] = true
		if x.steps[i].Repeat != nil {
			bounded = append(bounded, i)
		}
	}
	for _, i := range part {
		if len(bounded) > 0 && x.risky(i) {
			risky = append(risky, i)
		}
	}
	if len(risky) == 0 {
		return
	}
	x.countRounds(bounded, risky)
}

// risky says whether every way on from a step can lead to a step with a bound.
func (x *prover) risky(i int) bool {
	for _, e := range x.ways[i] {
		if e.to < 0 || e.to >= x.main || !x.bound(e.to) {
			return false
		}
	}
	return true
}

// bound says whether the main line, led to a step, can come to rest at one with a bound.
func (x *prover) bound(to int) bool {
	if x.bounds == nil {
		x.bounds = make([]bool, x.main)
		for i := x.main - 1; i >= 0; i-- {
			next := x.onward(i)
			switch {
			case x.steps[i].Repeat != nil:
				x.bounds[i] = true
			case !x.passable(i):
			case next > i:
				x.bounds[i] = next < x.main && x.bounds[next]
			default:
				x.bounds[i] = slices.ContainsFunc(x.landings(i), func(to int) bool { return x.steps[to].Repeat != nil })
			}
		}
	}
	return x.bounds[to]
}

// landings lists the steps at which the main line can come to rest when it is led to one.
func (x *prover) landings(to int) []int {
	var out []int
	seen := map[int]bool{}
	for to >= 0 && to < x.main && !seen[to] {
		seen[to] = true
		out = append(out, to)
		if !x.passable(to) {
			break
		}
		to = x.onward(to)
	}
	return out
}

// countRounds follows the main line with how often each bounded step was entered.
func (x *prover) countRounds(bounded, risky []int) {
	radix, size := make([]int, len(bounded)), 1
	for k, i := range bounded {
		radix[k] = size
		size *= x.steps[i].Repeat.AtMost + 1
		if size > 1<<30 {
			panic(LimitError{Rule: x.rule, Limit: 1 << 30, Why: "too many bounds in one circle"})
		}
	}
	spent := func(flag, step int) bool {
		k := slices.Index(bounded, step)
		return k >= 0 && flag/radix[k]%(x.steps[step].Repeat.AtMost+1) == x.steps[step].Repeat.AtMost
	}
	w := &walk{prover: x, frame: x.newFrame(x.whens(risky), 16)}
	w.calm = true
	w.enters = func(p at) bool { return !spent(p.flag, p.step) }
	w.done = func(p at) int {
		if k := slices.Index(bounded, p.step); k >= 0 {
			return p.flag + radix[k]
		}
		return p.flag
	}
	found := map[int]func() []PathStep{}
	w.arrive = func(p at) bool { return slices.Contains(risky, p.step) && x.noWay(w, p, spent) }
	w.found = func(p at) {
		if found[p.step] == nil {
			found[p.step] = func() []PathStep { return w.path(p) }
		}
	}
	w.run()
	if len(found) > 0 {
		x.trySpent(bounded, radix, risky, found)
	}
	for _, i := range risky {
		if path := found[i]; path != nil {
			x.tellSpent(i, path())
		}
	}
}

// trySpent tries what was found of steps without a way on: found is then what a trial comes to, where it follows everything.
func (x *prover) trySpent(bounded, radix, risky []int, found map[int]func() []PathStep) {
	t := x.newTrial()
	if t == nil {
		return
	}
	t.entered = func(_, to, flag int) (int, bool) {
		k := slices.Index(bounded, to)
		if k < 0 {
			return flag, true
		}
		most := x.steps[to].Repeat.AtMost
		return flag + radix[k], flag/radix[k]%(most+1) < most
	}
	t.shows = func(s tried) bool { return slices.Contains(risky, s.step) && t.blocker(s, s.step) == -1 && t.stuck(s) }
	really := map[int]func() []PathStep{}
	t.found = func(s tried, path func() []PathStep) bool {
		if really[s.step] == nil {
			told := path()
			really[s.step] = func() []PathStep { return told }
		}
		return false
	}
	if t.run() {
		clear(found)
	}
	maps.Copy(found, really)
}

// stuck says whether the line is let nowhere from a step that can be done.
func (t *trial) stuck(s tried) bool {
	t.refused = false
	ways := 0
	t.inTurn(s, func(tryMove) { ways++ })
	return ways == 0 && t.refused
}

func (x *prover) whens(steps []int) []procedures.Condition {
	var out []procedures.Condition
	for _, i := range steps {
		out = append(out, x.steps[i].When)
		for _, e := range x.ways[i] {
			for _, to := range x.landings(e.to) {
				out = append(out, x.steps[to].When)
			}
		}
	}
	return out
}

// noWay says whether every way on from a step is spent. A gate on the way counts as gone by: where it is not, it leads on to
// the same.
func (x *prover) noWay(w *walk, p at, spent func(flag, step int) bool) bool {
	flag := w.done(p)
	for _, e := range x.ways[p.step] {
		for _, v := range w.frame.made(p.step, e.answer, p.values) {
			stopped := false
			for _, to := range x.landings(e.to) {
				stops, gate := w.stops(p, to, v), x.steps[to].Secures >= 0 && x.steps[to].Ask == nil
				if stopped = stops && spent(flag, to); stopped || stops && !gate {
					break
				}
			}
			if !stopped {
				return false
			}
		}
	}
	return true
}

// stops says whether the main line, led from p to a step, can come to rest there.
func (w *walk) stops(p at, to, values int) bool {
	if w.order[to] >= 0 {
		return w.isDue(w.laterDue(p), to)
	}
	return w.frame.holds(w.steps[to].When, values) != no
}

func (x *prover) tellSpent(i int, path []PathStep) {
	s := &x.steps[i]
	var names string
	place := s.Place
	for _, e := range x.ways[i] {
		for _, to := range x.landings(e.to) {
			if x.steps[to].Repeat != nil {
				names = x.steps[to].ID
			}
		}
	}
	x.fail(Counterexample{Step: s.ID, Place: place, Missing: names, Where: fmt.Sprintf("%q was entered as often as it may be", names),
		What: fmt.Sprintf("step %q can be left with no way on: it leads only to %q, whose rounds can be spent by then", s.ID, names),
		Hint: "give it a question with an answer that leads on, or to referred",
		Path: append(path, x.arrived(i, fmt.Sprintf("leads only to %s, which may not be entered again", names)))})
}

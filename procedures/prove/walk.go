package prove

// A walk goes along the main line in every way it can go, breadth first, with the choices of its frame and one number
// more that its rule keeps. What it finds first is a shortest path.

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"fenderside/procedures"
)

// at is a place on a walk: a step of the main line, the choices so far, what the rule keeps, and which steps that make safe
// are due, a bit for each.
type at struct {
	step, values, flag int
	due                uint32
}

// walk is one walk. Its functions may be nil.
type walk struct {
	*prover
	frame *frame
	flag  int // what the rule starts with

	arrive func(p at) bool                      // the step is about to be done; true ends this path here
	done   func(p at) int                       // the flag once it is done
	gone   func(p at) int                       // the flag once it is gone by
	enters func(p at) bool                      // whether the step may be entered
	moved  func(from, to, flag int) (int, bool) // the flag once the main line moved; false where it may not
	closed func(p at) int                       // the flag once what is due was done in a close that is taken back
	calm   bool                                 // no close is taken back
	found  func(p at)                           // where arrive was true
	anyway bool                                 // arrive is asked also where the step is only gone by
	seen   seen
	ended  bool // nothing more is looked for

	dueAgain map[[2]int]uint32 // what resecured found, by safeguard and choices
}

// move is one way on from a place.
type move struct {
	to     at
	action Action
	answer string
}

func (w *walk) run() {
	w.seen.empty(w.main)
	w.ended = false
	for _, v := range w.frame.starts() {
		w.meet(-1, at{values: v, flag: w.flag})
	}
	for n := int32(0); int(n) < len(w.seen.places) && !w.ended; n++ {
		p := w.seen.places[n].at
		if w.arrive != nil && (w.anyway || w.isDone(p)) && w.arrive(p) {
			if w.found != nil {
				w.found(p)
			}
			continue
		}
		w.moves(p, func(m move) { w.meet(n, m.to) })
	}
}

func (w *walk) meet(from int32, to at) {
	if to.step < 0 || to.step >= w.main {
		return
	}
	if _, met := w.seen.number(to); met {
		return
	}
	w.spend(1, func() string {
		return fmt.Sprintf("the walk to %q with %d choices", w.steps[to.step].ID, len(w.frame.track))
	})
	w.seen.add(to, from)
}

// options says whether step p can be gone by and whether it can be done. A step that makes safe is done where it is due,
// and gone by where it is not.
func (w *walk) options(p at) (goneBy, done bool) {
	if k := w.order[p.step]; k >= mostDues {
		return true, true
	} else if k >= 0 {
		due := p.due&(1<<k) != 0
		return !due, due
	}
	holds := w.frame.truth(w.when[p.step], p.values)
	return holds != yes, holds != no
}

func (w *walk) isDone(p at) bool {
	_, done := w.options(p)
	return done && (w.enters == nil || w.enters(p))
}

// moves calls f with every way on.
func (w *walk) moves(p at, f func(move)) {
	goneBy, done := w.options(p)
	if done && (w.enters == nil || w.enters(p)) {
		flag := p.flag
		due, again := w.dueAfter(p)
		if w.done != nil {
			flag = w.done(p)
		}
		for _, e := range w.ways[p.step] {
			for _, v := range w.frame.made(p.step, e.answer, p.values) {
				to := w.past(p, e.to, v)
				w.follow(p.step, move{at{to, v, flag, due}, Done, e.answer}, f)
				if again != due {
					w.follow(p.step, move{at{to, v, flag, again}, Done, e.answer}, f)
				}
			}
		}
	}
	if done && !w.calm && p.due != 0 && w.order[p.step] < 0 {
		flag := p.flag
		if w.closed != nil {
			flag = w.closed(p)
		}
		f(move{at{p.step, p.values, flag, 0}, TakenBack, ""})
	}
	if goneBy {
		flag := p.flag
		if w.gone != nil {
			flag = w.gone(p)
		}
		w.follow(p.step, move{at{p.step + 1, p.values, flag, p.due}, GoneBy, ""}, f)
	}
}

// past is where the main line goes from a step that is done, led to another: past the gates of what the step needs, for
// that stands already.
func (w *walk) past(p at, to, values int) int {
	for range w.main {
		if to < 0 || to >= w.main || w.passing[to] < 0 {
			break
		}
		g := w.passing[to]
		if w.mayUndo[p.step].has(g) || w.frame.truth(w.when[to], values) != yes || !w.stands(p, g) {
			break
		}
		to = w.target(to, w.steps[to].Then)
	}
	return to
}

// stands says whether a safeguard stands while a step is done, for the step needs it or what rests on it.
func (w *walk) stands(p at, g int) bool {
	for _, n := range w.needs[p.step] {
		if w.falls[g].has(int(n.guard)) && w.frame.truth(n.when, p.values) == yes {
			return true
		}
	}
	return false
}

func (w *walk) follow(from int, m move, f func(move)) {
	if w.moved != nil {
		flag, ok := w.moved(from, m.to.step, m.to.flag)
		if !ok {
			return
		}
		m.to.flag = flag
	}
	f(m)
}

// mostDues is how many steps that make safe are followed as due or not; further ones are taken as either.
const mostDues = 16

// begun is the make-safe steps that are due once a step is begun: what it begins, and what makes safe the safeguards that
// it needs and those they rest on, for they are in place then.
func (w *walk) begun(p at) uint32 {
	due := w.begins[p.step]
	for _, n := range w.needs[p.step] {
		if w.frame.truth(n.when, p.values) == yes {
			due |= w.engages[n.guard]
		}
	}
	return p.due | due
}

// dueAfter is what is due once a step is done; again is what is due besides where all that it needs had to be secured again
// before it.
func (w *walk) dueAfter(p at) (due, again uint32) {
	due = w.begun(p)
	again = due
	for _, n := range w.needs[p.step] {
		if w.frame.truth(n.when, p.values) != no {
			again |= w.resecured(int(n.guard), p.values)
		}
	}
	if k := w.order[p.step]; k >= 0 && k < mostDues {
		due, again = due&^(1<<k), again&^(1<<k)
	}
	return due, again
}

// resecured is what is due once a safeguard was lost and secured again under these choices.
func (w *walk) resecured(g, values int) uint32 {
	if w.resecures[g] == w.always[g] {
		return w.always[g] // no condition decides
	}
	key := [2]int{g, values}
	due, known := w.dueAgain[key]
	if !known {
		due = w.securing(g, func(c procedures.Condition) bool { return w.frame.holds(c, values) != no })
		if w.dueAgain == nil {
			w.dueAgain = map[[2]int]uint32{}
		}
		w.dueAgain[key] = due
	}
	return due
}

// laterDue is what is due once a step is done, where nothing was lost.
func (w *walk) laterDue(p at) uint32 {
	due, _ := w.dueAfter(p)
	return due
}

// dues lists the make-safe steps that are due.
func (m *model) dues(due uint32) []int {
	var out []int
	for k, safe := range m.safes {
		if k < mostDues && due&(1<<k) != 0 {
			out = append(out, safe)
		}
	}
	return out
}

// isDue says whether a step that makes safe is due.
func (w *walk) isDue(due uint32, m int) bool {
	k := w.order[m]
	return k < mostDues && due&(1<<k) != 0
}

// path tells the way to a place, which is not told itself.
func (w *walk) path(p at) []PathStep {
	var out []PathStep
	for n, _ := w.seen.number(p); w.seen.places[n].from >= 0; n = w.seen.places[n].from {
		from, told := w.seen.places[w.seen.places[n].from].at, false
		w.moves(from, func(m move) {
			if m.to == p && !told {
				told = true
				out = append(out, w.told(from, m))
			}
		})
		p = from
	}
	slices.Reverse(out)
	return append(w.frame.sheet(p.values), out...)
}

// told is one move in words.
func (w *walk) told(from at, m move) PathStep {
	s := &w.steps[from.step]
	out := PathStep{Step: s.ID, Place: s.Place, Action: m.action, Answer: m.answer, Chose: w.frame.changed(from.values, m.to.values)}
	switch {
	case m.action == TakenBack:
		out.What = takenBack
	case m.action == GoneBy && w.order[from.step] >= 0:
		out.What = "is gone by: there is nothing to make safe"
	case m.action == GoneBy:
		out.What = "is gone by: it does not apply"
	case m.answer != "":
		out.What = fmt.Sprintf("answered %q", m.answer)
	default:
		out.What = "done"
	}
	if due, again := w.dueAfter(from); m.action == Done && due != again && m.to.due == again {
		out.Lost = w.needed(from.step)
		out.What = strings.Join(out.Lost, ", ") + " lost and secured again, then " + out.What
	}
	if chose := inWords(out.Chose, s.ID, m.answer); chose != "" {
		out.What += ", with " + chose
	}
	return out
}

// sheet is what the job sheet must say for a path; nothing where it makes no difference.
func (f *frame) sheet(values int) []PathStep {
	chose := f.changed(0, values)
	if len(chose) == 0 {
		return nil
	}
	return []PathStep{{Action: Sheet, Chose: chose, What: "the job sheet says " + inWords(chose, "", "")}}
}

// needed lists the safeguards that a step can need, directly or through gates.
func (m *model) needed(i int) []string {
	var out []string
	for _, t := range m.closure(i, func(procedures.Condition) bool { return true }) {
		if t < len(m.p.Safeguards) {
			out = append(out, m.name(t))
		}
	}
	return out
}

// inWords writes choices out: those of another id than the step's with their id, and not what was answered.
func inWords(chose map[string]string, step, answer string) string {
	var all []string
	for id, v := range chose {
		switch {
		case id != step:
			all = append(all, fmt.Sprintf("%s %q", id, v))
		case v != answer:
			all = append(all, fmt.Sprintf("%q", v))
		}
	}
	sort.Strings(all)
	return strings.Join(all, " and ")
}

// arrived is the end of a path.
func (m *model) arrived(step int, what string) PathStep {
	s := &m.steps[step]
	return PathStep{Step: s.ID, Place: s.Place, Action: Arrived, What: what}
}

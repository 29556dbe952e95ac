package prove

// Gates that undo one another. Where no gate of a hold takes away anything else that the hold can ask for, each is done
// once and the hold ends. Otherwise every state of those that are concerned is followed as the job would: the gate of the first
// need that does not stand, or the gate that gate needs first; what opening a gate takes away may put another one first.

import (
	"fmt"
	"slices"
	"strings"

	"fenderside/procedures"
)

// mostThings is how many safeguards and pinned steps, undoing one another, are followed in every state.
const mostThings = 20

// state is which of the things of a hold stand, a bit for each.
type state = uint32

func (h *hold) undoing() {
	h = h.tangled()
	if len(h.things) == 0 {
		return
	}
	if len(h.things) > mostThings {
		panic(LimitError{Rule: h.rule, Limit: 1 << mostThings, Why: fmt.Sprintf("%d safeguards that undo one another before %q", len(h.things), h.steps[h.at].ID)})
	}
	f := h.follower()
	ends := map[state]bool{}
	f.possible(func(s state) bool {
		h.spend(1, func() string { return "safeguards that undo one another" })
		round := f.round(s, ends)
		if round != nil {
			h.tellRound(f, s, round)
		}
		return round == nil
	})
}

// tangled is the hold with the things alone whose gate takes away another one, or is taken away by that of another, or whose gate
// needs such a thing, directly or through gates. Any other is secured once and stays, so that no round turns on it.
func (h *hold) tangled() *hold {
	in := h.none()
	for _, t := range h.things {
		_, _, undoes := h.taken(h.maker(t), h.falls)
		for _, other := range h.things {
			if other != t && undoes.has(other) {
				in.add(t)
				in.add(other)
			}
		}
	}
	only := *h
	only.things, only.place = nil, map[int]int{}
	for _, t := range h.things {
		needs := h.closure(h.maker(t), func(c procedures.Condition) bool { return h.frame.holds(c, h.values) == yes })
		if in.has(t) || slices.ContainsFunc(needs, in.has) {
			only.place[t] = len(only.things)
			only.things = append(only.things, t)
		}
	}
	return &only
}

// follower has the effects of each gate of a hold as bits.
type follower struct {
	*hold
	need   []state // of each gate
	fell   []state // with each thing
	opened []state // by opening each gate
	undone []state // by each gate
}

func (h *hold) follower() *follower {
	f := &follower{hold: h}
	mask := func(s set) state {
		var out state
		for k, t := range h.things {
			if s.has(t) {
				out |= 1 << k
			}
		}
		return out
	}
	for _, t := range h.things {
		maker := h.maker(t)
		var need state
		for _, n := range h.wanted(maker) {
			if k, followed := h.place[h.thing(n)]; followed {
				need |= 1 << k
			}
		}
		fell := h.none()
		fell.add(t)
		if t < len(h.p.Safeguards) {
			fell = h.falls[t]
		}
		f.need, f.fell = append(f.need, need), append(f.fell, mask(fell))
		opened, _, undoes := h.taken(maker, h.falls)
		f.opened, f.undone = append(f.opened, mask(opened)), append(f.undone, mask(undoes))
	}
	return f
}

// possible calls look with the states that gates and losses in any order can bring about, nearest to all lost first, until it has
// seen enough.
func (f *follower) possible(look func(state) (more bool)) {
	seen := map[state]bool{0: true}
	out := []state{0}
	meet := func(s state) {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	for i := 0; i < len(out) && look(out[i]); i++ {
		s := out[i]
		for k := range f.things {
			if s&(1<<k) != 0 {
				meet(s &^ f.fell[k])
			} else if f.need[k]&^s == 0 {
				meet((s | 1<<k) &^ f.undone[k])
			}
		}
	}
}

// first is the thing that the job asks for in a state, as a place in things; -1 where the step opens.
func (f *follower) first(s state) int {
	at, out := f.at, -1
	for range len(f.things) + 1 {
		blocked := false
		for _, n := range f.wanted(at) {
			if k, followed := f.place[f.thing(n)]; followed && s&(1<<k) == 0 {
				out, at, blocked = k, f.maker(f.things[k]), true
				break
			}
		}
		if !blocked {
			break
		}
	}
	return out
}

// next is the state once the gate asked for was opened and, where it is still the one asked for, completed.
func (f *follower) next(s state) (to state, gate int, done bool) {
	k := f.first(s)
	if k < 0 {
		return s, -1, true
	}
	s &^= f.opened[k]
	if f.first(s) != k {
		return s, k, false
	}
	return (s | 1<<k) &^ f.undone[k], k, true
}

// round follows a state until the step opens, or goes round; then it returns the states of the round. ends holds the
// states that are known to come to an end.
func (f *follower) round(s state, ends map[state]bool) []state {
	var way []state
	on := map[state]int{}
	for !ends[s] {
		if i, again := on[s]; again {
			return way[i:]
		}
		on[s] = len(way)
		way = append(way, s)
		to, gate, _ := f.next(s)
		if gate < 0 {
			break
		}
		s = to
	}
	for _, s := range way {
		ends[s] = true
	}
	return nil
}

// tellRound tells what was lost, and the gates that follow one another without end.
func (h *hold) tellRound(f *follower, from state, round []state) {
	path, ok := h.reach()
	if !ok {
		return
	}
	path = append(path, h.arrived(h.at, "is come to"))
	if lost := h.lost(from); lost != nil {
		path = append(path, PathStep{Step: h.steps[h.at].ID, Place: h.steps[h.at].Place, Action: Lost,
			Lost: lost, What: "is held: not in place are " + strings.Join(lost, ", ")})
	}
	var taker, taken string
	for s, n := from, 0; n == 0 || s != round[0]; n++ {
		to, k, done := f.next(s)
		gate, what := &h.steps[h.maker(h.things[k])], "done"
		if !done {
			what = "opened"
		}
		if took := h.lost(^(s &^ to)); len(took) > 0 {
			what += ", which takes away " + strings.Join(took, ", ")
			taker, taken = gate.ID, took[0]
		}
		path = append(path, PathStep{Step: gate.ID, Place: gate.Place, Action: Held, What: what})
		s = to
	}
	path = append(path, PathStep{Step: h.steps[h.at].ID, Place: h.steps[h.at].Place, Action: Arrived, What: "is held for the same gates again, without end"})
	gate := &h.steps[h.id[taker]]
	h.fail(Counterexample{Step: h.steps[h.at].ID, Place: gate.Place, Missing: taken, Where: fmt.Sprintf("gate %q takes it away", taker),
		What: fmt.Sprintf("a hold at %q never ends: gate %q takes away %q, which is asked for again", h.steps[h.at].ID, taker, taken),
		Hint: "take one of the two out of needs, or let the gate leave the other in place", Path: path})
}

// lost lists what does not stand in a state.
func (h *hold) lost(s state) []string {
	var out []string
	for k, t := range h.things {
		if s&(1<<k) == 0 {
			out = append(out, h.name(t))
		}
	}
	return out
}

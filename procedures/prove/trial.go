package prove

// What a walk finds is tried before it is told. A walk follows one safeguard and lets more happen than can; a trial goes the same
// line with all that stands, as the job would: past a gate whose safeguard stands, to a step that makes safe where it is due, and
// back for what was lost. What no trial comes to is not told. Where there is more than a trial follows, what the walk found stands.
// A step that fells what it needs itself, and gates that need one another, are faults of their own: a trial goes on past them as if
// they were mended, so that what is wrong further on is told too.

import (
	"slices"

	"fenderside/procedures"
)

// mostTried is how many states one trial looks at.
const mostTried = 20_000

// mostBits is how many safeguards, and how many steps that make safe, a trial can follow.
const mostBits = 64

// bits is a set of safeguards, or of the steps that make safe in their order.
type bits = uint64

// tried is one state of a trial: the step that the main line is at, the choices, what the rule keeps, what stands, what was
// secured or begun and not released since, and what is owed for work that was begun.
type tried struct {
	step, values, flag int
	stands, engaged    bits
	owed               bits
}

// trial is one trial. Its functions say what its rule keeps and looks for; they may be nil.
type trial struct {
	*prover
	frame   *frame
	does    []doing
	lasting bits
	under   map[int][]bits // what falls with each safeguard, by the choices
	calm    bool           // nothing is lost and no close is taken back

	after   func(before, done tried, step int) int       // the flag once a step is done, in its turn or beside the line
	entered func(from, to, flag int) (next int, ok bool) // the flag once the line comes to a step; false where it may not
	closed  func(before, after tried) int                // the flag once a close was taken back
	shows   func(s tried) bool                           // what is looked for
	found   func(s tried, path func() []PathStep) (enough bool)

	places  []tried
	from    []int32
	seen    map[tried]int32
	last    bool // no more is looked for
	refused bool // the line was not let to a step
}

// doing is what one step does, each as bits.
type doing struct {
	causes, during, releases bits
	secures                  bits
	owes, makes              bits // the steps that make safe that it makes due, and itself where it is one
	pins                     bits // those that are due after the pinned steps which it starts
}

// newTrial prepares a trial; nil where there is more than one follows.
func (x *prover) newTrial() *trial {
	if len(x.p.Safeguards) > mostBits || len(x.safes) > mostBits {
		return nil
	}
	room := 1
	for i := range x.choices {
		if room *= len(x.choices[i].values) + 1; room > mostMet {
			return nil
		}
	}
	t := &trial{prover: x, frame: x.newFrame(nil, room), under: map[int][]bits{}, does: make([]doing, len(x.steps))}
	for g, spec := range x.p.Safeguards {
		if spec.Lasting {
			t.lasting |= 1 << g
		}
	}
	for i := range x.steps {
		t.does[i] = x.doing(i)
	}
	for i := range x.steps {
		for k := x.main; k < len(x.steps); k++ {
			if x.opened[i].has(x.pinned(k)) {
				t.does[i].pins |= t.does[k].owes
			}
		}
	}
	return t
}

// doing is what step i does by itself, without what rests on that.
func (x *prover) doing(i int) (d doing) {
	alone := make([]set, len(x.p.Safeguards))
	for g := range alone {
		alone[g] = x.none()
		alone[g].add(g)
	}
	mask := func(s set) (out bits) {
		for g := range alone {
			if s.has(g) {
				out |= 1 << g
			}
		}
		return out
	}
	opened, during, _ := x.taken(i, alone)
	d.causes, d.during = mask(opened), mask(during)
	for _, g := range x.steps[i].Releases {
		d.releases |= 1 << g
	}
	if g := x.secures[i]; g >= 0 {
		d.secures = 1 << g
	}
	for k, safe := range x.safes {
		if slices.Contains(x.steps[safe].DueAfter, i) {
			d.owes |= 1 << k
		}
		if safe == i {
			d.makes = 1 << k
		}
	}
	return d
}

// fall is what stands once some safeguards have fallen, under the choices.
func (t *trial) fall(stands, gone bits, values int) bits {
	if stands == 0 || gone == 0 {
		return stands
	}
	under := t.under[values]
	if under == nil {
		under = make([]bits, len(t.p.Safeguards))
		for g, s := range t.fallsWhere(func(c procedures.Condition) bool { return t.frame.holds(c, values) == yes }) {
			for h := range under {
				if s.has(h) {
					under[g] |= 1 << h
				}
			}
		}
		t.under[values] = under
	}
	for g := range under {
		if gone&(1<<g) != 0 {
			stands &^= under[g]
		}
	}
	return stands
}

// run looks at every state, nearest first.
func (t *trial) run() (whole bool) {
	t.places, t.from, t.seen, t.last = t.places[:0], t.from[:0], map[tried]int32{}, false
	for _, v := range t.frame.starts() {
		t.land(tried{values: v, step: -1}, 0, func(m tryMove) { t.meet(m.to, -1) })
	}
	for n := int32(0); int(n) < len(t.places) && !t.last; n++ {
		if len(t.places) > mostTried {
			return false
		}
		s := t.places[n]
		if t.shows != nil && t.shows(s) && t.found(s, func() []PathStep { return t.path(n) }) {
			t.last = true
			break
		}
		t.moves(s, func(m tryMove) { t.meet(m.to, n) })
	}
	return true
}

func (t *trial) meet(s tried, from int32) {
	if s.step >= t.main {
		return // an end of the line
	}
	if _, met := t.seen[s]; !met {
		t.seen[s] = int32(len(t.places))
		t.places, t.from = append(t.places, s), append(t.from, from)
	}
}

// tryMove is one way on from a state.
type tryMove struct {
	to     tried
	action Action
	step   int
	answer string
	lost   int
	begun  bool // with an entry at the step that the job is closed at
	passed []passing
}

// passing is a step that the line went past.
type passing struct {
	step     int
	standing bool
}

// moves calls f with every way on.
func (t *trial) moves(s tried, f func(tryMove)) {
	if gate := t.blocker(s, s.step); gate >= 0 {
		t.beside(s, gate, f)
	} else {
		t.inTurn(s, f)
	}
	if t.calm {
		return
	}
	t.losses(s, f)
	if t.order[s.step] < 0 {
		t.takenBack(s, f)
	}
}

// losses calls f with each safeguard lost.
func (t *trial) losses(s tried, f func(tryMove)) {
	for g := range t.p.Safeguards {
		if s.stands&(1<<g) != 0 {
			to := s
			to.stands = t.fall(s.stands, 1<<g, s.values)
			f(tryMove{to: to, action: Lost, step: s.step, lost: g})
		}
	}
}

// blocker is the gate that is offered before a step; -1 where all that it needs stands, -2 where gates need one another.
func (t *trial) blocker(s tried, step int) int {
	gate := -1
	for range len(t.steps) + 1 {
		missing := slices.IndexFunc(t.needs[step], func(n need) bool {
			return s.stands&(1<<n.guard) == 0 && t.frame.truth(n.when, s.values) == yes
		})
		if missing < 0 {
			return gate
		}
		if gate = t.gate[t.needs[step][missing].guard]; gate < 0 {
			return -2
		}
		step = gate
	}
	return -2
}

// opens is a state once a step is opened: what its causes take away is gone, and pinned work that they start runs.
func (t *trial) opens(s tried, step int) tried {
	s.stands = t.fall(s.stands, t.does[step].causes, s.values)
	s.owed |= t.does[step].pins
	return s
}

// completes is a state once a step is done with the choices that it makes.
func (t *trial) completes(s tried, step, values int) tried {
	d, before := &t.does[step], s
	s.stands = t.fall(s.stands, d.during, s.values)
	s.engaged, s.owed = s.engaged|d.secures, (s.owed|d.owes)&^d.makes
	s.stands |= d.secures
	s.stands = t.fall(s.stands, d.releases|d.causes, s.values)
	s.engaged &^= d.releases
	s.values = values
	if t.after != nil {
		s.flag = t.after(before, s, step)
	}
	return s
}

// beside does a gate of a hold. Where what opening it fells is asked for before it, that comes first.
func (t *trial) beside(s tried, gate int, f func(tryMove)) {
	open := t.opens(s, gate)
	if t.blocker(open, s.step) != gate {
		f(tryMove{to: open, action: Again, step: gate})
		if t.blocker(open, gate) == -1 {
			return
		}
	}
	for _, e := range t.ways[gate] {
		if e.to == endReferred || e.to == endAbandoned {
			continue
		}
		for _, v := range t.frame.made(gate, e.answer, s.values) {
			f(tryMove{to: t.completes(open, gate, v), action: Again, step: gate, answer: e.answer})
		}
	}
}

// inTurn does the step that the line is at.
func (t *trial) inTurn(s tried, f func(tryMove)) {
	open := t.opens(s, s.step)
	for _, e := range t.ways[s.step] {
		for _, v := range t.frame.made(s.step, e.answer, s.values) {
			t.land(t.completes(open, s.step, v), e.to, func(m tryMove) {
				m.action, m.step, m.answer = Done, s.step, e.answer
				f(m)
			})
		}
	}
	if t.steps[s.step].Optional {
		t.land(open, t.target(s.step, t.steps[s.step].Then), func(m tryMove) {
			m.action, m.step = Skipped, s.step
			f(m)
		})
	}
}

// land calls f with where the line comes to rest once it is led to a step, or with main where it ends; it goes past what needs no
// doing. Where it is led round past gates that all stand, it stays.
func (t *trial) land(s tried, to int, f func(tryMove)) {
	var passed []passing
	from := s.step
	for range len(t.steps) + 1 {
		if to < 0 || to >= t.main {
			s.step = t.main
			f(tryMove{to: s, passed: passed})
			return
		}
		standing := t.passing[to] >= 0 && s.stands&(1<<t.passing[to]) != 0 && t.applies(to, s.values)
		if !standing && (t.order[to] >= 0 && t.isDue(s, to) || t.order[to] < 0 && t.applies(to, s.values)) {
			t.enter(s, from, to, passed, f)
			return
		}
		passed = append(passed, passing{to, standing})
		if standing {
			to = t.target(to, t.steps[to].Then)
		} else {
			to++
		}
	}
	if from >= 0 {
		f(tryMove{to: s, passed: passed})
	}
}

func (t *trial) enter(s tried, from, to int, passed []passing, f func(tryMove)) {
	s.step = to
	if t.entered != nil {
		flag, ok := t.entered(from, to, s.flag)
		if !ok {
			t.refused = true
			return
		}
		s.flag = flag
	}
	f(tryMove{to: s, passed: passed})
}

func (t *trial) applies(step, values int) bool { return t.frame.truth(t.when[step], values) == yes }

// isDue says whether a step has something to make safe.
func (t *trial) isDue(s tried, safe int) bool {
	d := &t.does[safe]
	return s.engaged&d.releases&^t.lasting != 0 || s.owed&d.makes != 0 && t.applies(safe, s.values)
}

// nextDue is the first step that is due, or -1.
func (t *trial) nextDue(s tried) int {
	for _, safe := range t.safes {
		if t.isDue(s, safe) {
			return safe
		}
	}
	return -1
}

// wants says whether the step that the line is at needs a safeguard.
func (t *trial) wants(s tried, g int) bool {
	return slices.ContainsFunc(t.needs[s.step], func(n need) bool { return int(n.guard) == g && t.frame.truth(n.when, s.values) == yes })
}

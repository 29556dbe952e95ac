package prove

import (
	"slices"

	"fenderside/procedures"
)

// model is a procedure with what every rule asks of it, found once.
type model struct {
	p     *procedures.Procedure
	steps []procedures.Step
	main  int            // steps on the main line; as a target, complete
	id    map[string]int // steps by id
	order []int          // for each step, its place in safes, or -1
	safes []int          // the steps that make safe, in their order
	gate  []int          // for each safeguard, its gate, or -1

	choices  []choice
	choiceAt map[string]int // choices by id
	chosenAt [][]int        // choices by the step that makes them
	readings map[string]source
	proofs   map[string]source // evidence

	// What can be missing: the safeguards, then the pinned steps, which are missing while they run.
	falls   []set    // for each safeguard, what falls with it in every case, itself included
	mayFall []set    // and what may, because its gate may have been done under a condition that held
	opened  []set    // for each step, what its causes take away as it is opened and left, in every case
	during  []set    // and what takes less time to lapse than the step takes
	undoes  []set    // and what its completion releases
	mayUndo []set    // and what all of this may take away
	line    []bool   // a path of the main line comes to the step
	ways    [][]exit // for each step, where completing it leads
	next    [][]int  // for each step, every step or end that can follow it on the main line
	then    [][]int  // and of those the steps of the main line

	conds   []procedures.Condition // each that a step or a need turns on, once; the first is none
	when    []int32                // for each step, what it turns on, as an index into conds
	needs   [][]need               // for each step, the safeguards that it needs
	secures []int                  // for each step, the safeguard that it secures, or -1
	needing []set                  // for each safeguard, the steps that need it
	freeing []set                  // and those whose completion may release it
	passing []int                  // for each step, the safeguard that the line can go past it for, where that stands already, or -1

	// The make-safe steps, a bit for each of the first, that are due once something is begun.
	begins  []uint32 // a step
	engages []uint32 // a step that needs a safeguard, which is engaged then, and what it rests on too

	resecures []uint32 // the gate of a safeguard, and those of all that it can need, which are done again where it was lost
	always    []uint32 // and of all that it needs without a condition
}

// need is a safeguard that a step needs, and what that turns on. A walk asks for little else of a step, and so goes through
// little room.
type need struct{ guard, when int32 }

// source is where a value is recorded, or a file attached: which reading or which piece of evidence of a step.
type source struct{ step, reading int }

// Ends of the job, as targets beside the steps of the main line; complete is the step after the last.
const (
	endReferred  = -2
	endAbandoned = -3
)

func newModel(p *procedures.Procedure) *model {
	m := &model{p: p, steps: p.Steps, main: p.MainLine(), id: map[string]int{}, choiceAt: map[string]int{}, readings: map[string]source{}, proofs: map[string]source{}}
	m.gate = make([]int, len(p.Safeguards))
	for g := range m.gate {
		m.gate[g] = -1
	}
	for i := range m.steps {
		s := &m.steps[i]
		m.id[s.ID] = i
		if s.Secures >= 0 && m.gate[s.Secures] < 0 {
			m.gate[s.Secures] = i
		}
		for k, r := range s.Readings {
			m.readings[r.ID] = source{i, k}
		}
		for k, ev := range s.Evidence {
			m.proofs[ev.ID] = source{i, k}
		}
	}
	m.order = make([]int, len(m.steps))
	for i := range m.order {
		m.order[i] = -1
	}
	for _, id := range p.MakeSafe {
		if i, ok := m.id[id]; ok && m.order[i] < 0 {
			m.order[i] = len(m.safes)
			m.safes = append(m.safes, i)
		}
	}
	m.findWays()
	m.findNeeds()
	m.findChoices()
	m.findFalls()
	m.line = m.reached(0)
	m.findDues()
	return m
}

// conditions calls f with every condition of a step.
func conditions(s *procedures.Step, f func(procedures.Condition)) {
	f(s.When)
	for _, n := range s.Needs {
		f(n.When)
	}
	for _, x := range s.Statements {
		f(x.When)
	}
	for _, x := range s.Readings {
		f(x.When)
	}
	for _, x := range s.Evidence {
		f(x.When)
	}
	for _, x := range s.Checks {
		f(x.When)
	}
}

// findChoices gathers the choices on which a step or a need depends.
func (m *model) findChoices() {
	named := map[string][]string{}
	var ids []string
	for i := range m.steps {
		conditions(&m.steps[i], func(c procedures.Condition) {
			for _, clause := range c {
				if named[clause.Choice] == nil {
					ids = append(ids, clause.Choice)
				}
				named[clause.Choice] = append(named[clause.Choice], clause.In...)
			}
		})
	}
	m.chosenAt = make([][]int, len(m.steps))
	for _, id := range ids {
		c, options, ok := m.choiceOf(id)
		if !ok {
			continue
		}
		other := ""
		for _, o := range options {
			if slices.Contains(named[id], o) {
				c.values = append(c.values, o)
			} else if other == "" {
				other = o
			}
		}
		if other != "" {
			c.values = append(c.values, other)
		}
		m.choiceAt[id] = len(m.choices)
		if c.step >= 0 {
			m.chosenAt[c.step] = append(m.chosenAt[c.step], len(m.choices))
		}
		m.choices = append(m.choices, c)
	}
}

// choiceOf finds where a choice is made, and from what.
func (m *model) choiceOf(id string) (c choice, options []string, ok bool) {
	for _, f := range m.p.Sheet {
		if f.ID == id {
			return choice{id: id, step: -1}, f.Choose, true
		}
	}
	if at, is := m.readings[id]; is {
		r := m.steps[at.step].Readings[at.reading]
		return choice{id: id, step: at.step, maybe: len(r.When) > 0 || r.Optional}, r.Choose, true
	}
	i, is := m.id[id]
	if !is {
		return c, nil, false
	}
	s := &m.steps[i]
	for _, w := range s.Ways {
		options = append(options, w.ID)
	}
	if len(options) > 0 {
		return choice{id: id, step: i, way: true}, options, true
	}
	if s.Ask == nil {
		return c, nil, false
	}
	for _, a := range s.Ask.Answers {
		options = append(options, a.Say)
	}
	return choice{id: id, step: i, answer: true}, options, true
}

// exit is where the main line goes from a step that is done.
type exit struct {
	answer string
	to     int
	place  procedures.Place
}

// findWays finds where each step leads, once for every walk.
func (m *model) findWays() {
	m.ways, m.next, m.then = make([][]exit, len(m.steps)), make([][]int, len(m.steps)), make([][]int, len(m.steps))
	for i := range m.steps {
		m.ways[i] = m.exits(i)
		for _, e := range m.ways[i] {
			m.next[i] = append(m.next[i], e.to)
		}
		if len(m.steps[i].When) > 0 || m.order[i] >= 0 {
			m.next[i] = append(m.next[i], i+1)
		}
		for _, to := range m.next[i] {
			if to >= 0 && to < m.main {
				m.then[i] = append(m.then[i], to)
			}
		}
	}
}

// findNeeds finds which steps need a safeguard, and which secure one and do nothing else that the line is led by.
func (m *model) findNeeds() {
	m.needing, m.passing = make([]set, len(m.p.Safeguards)), make([]int, len(m.steps))
	m.when, m.needs, m.secures = make([]int32, len(m.steps)), make([][]need, len(m.steps)), make([]int, len(m.steps))
	known := map[string]int32{"": 0}
	m.conds = []procedures.Condition{nil}
	index := func(c procedures.Condition) int32 {
		key := written(c)
		n, ok := known[key]
		if !ok {
			n, m.conds = int32(len(m.conds)), append(m.conds, c)
			known[key] = n
		}
		return n
	}
	for g := range m.needing {
		m.needing[g] = newSet(len(m.steps))
	}
	for i := range m.steps {
		s := &m.steps[i]
		m.when[i], m.secures[i] = index(s.When), s.Secures
		for _, n := range s.Needs {
			if n.Pin < 0 {
				m.needing[n.Safeguard].add(i)
				m.needs[i] = append(m.needs[i], need{int32(n.Safeguard), index(n.When)})
			}
		}
		if m.passing[i] = s.Secures; m.order[i] >= 0 || s.Ask != nil {
			m.passing[i] = -1
		}
	}
}

// exits lists where completing step i leads: one for each answer.
func (m *model) exits(i int) []exit {
	s := &m.steps[i]
	if s.Ask == nil {
		return []exit{{to: m.target(i, s.Then), place: s.Place}}
	}
	out := make([]exit, 0, len(s.Ask.Answers))
	for _, a := range s.Ask.Answers {
		out = append(out, exit{a.Say, m.target(i, a.Then), a.Place})
	}
	return out
}

func (m *model) target(i int, t procedures.Target) int {
	switch t.End {
	case procedures.Complete:
		return m.main
	case procedures.Referred:
		return endReferred
	case procedures.Abandoned:
		return endAbandoned
	}
	if to, ok := m.id[t.Step]; ok {
		return to
	}
	return i + 1
}

// onward is where the main line goes when step i is gone by.
func (m *model) onward(i int) int {
	s := &m.steps[i]
	if s.Secures >= 0 && s.Ask == nil && len(s.When) == 0 && m.order[i] < 0 {
		return m.target(i, s.Then)
	}
	return i + 1
}

// passable says whether the main line can go by step i without its being done.
func (m *model) passable(i int) bool {
	s := &m.steps[i]
	return len(s.When) > 0 || m.order[i] >= 0 || s.Secures >= 0 && s.Ask == nil
}

// reached marks the steps that the main line can come to from one step, whatever is chosen.
func (m *model) reached(from int) []bool {
	seen := make([]bool, len(m.steps))
	if from >= m.main {
		return seen
	}
	seen[from] = true
	for todo := []int{from}; len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, to := range m.next[i] {
			if to >= 0 && to < m.main && !seen[to] {
				seen[to] = true
				todo = append(todo, to)
			}
		}
	}
	return seen
}

// begunBy says whether beginning step i makes the make-safe step safe due.
func (m *model) begunBy(safe, i int) bool {
	if slices.Contains(m.steps[safe].DueAfter, i) {
		return true
	}
	g := m.steps[i].Secures
	return g >= 0 && !m.p.Safeguards[g].Lasting && slices.Contains(m.steps[safe].Releases, g)
}

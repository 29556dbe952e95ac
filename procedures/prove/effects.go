package prove

// What each step does to the safeguards, to the pinned steps and to what a close waits for.

import (
	"slices"
	"time"

	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// findFalls follows what rests on what, and what each step takes away. What a gate needs under a condition its safeguard rests on
// only where the condition held: so there is what falls in every case, and what may fall.
func (m *model) findFalls() {
	m.falls = m.fallsWhere(func(c procedures.Condition) bool { return len(c) == 0 })
	m.mayFall = m.fallsWhere(func(procedures.Condition) bool { return true })
	m.opened, m.during, m.undoes = make([]set, len(m.steps)), make([]set, len(m.steps)), make([]set, len(m.steps))
	m.mayUndo = make([]set, len(m.steps))
	for i := range m.steps {
		m.opened[i], m.during[i], m.undoes[i] = m.taken(i, m.falls)
		_, _, m.mayUndo[i] = m.taken(i, m.mayFall)
	}
	m.findFreeing()
}

// findFreeing finds the steps whose completion may release each safeguard, with what it rests on or by itself.
func (m *model) findFreeing() {
	m.freeing = make([]set, len(m.p.Safeguards))
	for h := range m.freeing {
		m.freeing[h] = newSet(len(m.steps))
		for i := range m.steps {
			if slices.ContainsFunc(m.steps[i].Releases, func(g int) bool { return m.mayFall[g].has(h) }) {
				m.freeing[h].add(i)
			}
		}
	}
}

// fallsWhere is what falls with each safeguard, itself included, where the conditions of what gates need are as is said.
func (m *model) fallsWhere(held func(procedures.Condition) bool) []set {
	falls := make([]set, len(m.p.Safeguards))
	for g := range falls {
		falls[g] = m.none()
		falls[g].add(g)
	}
	for grew := true; grew; {
		grew = false
		for g := range falls {
			for _, on := range m.restsOn(g, held) {
				for h := range falls {
					if falls[h].has(on) && !falls[h].has(g) {
						falls[h].add(g)
						grew = true
					}
				}
			}
		}
	}
	return falls
}

// restsOn lists what a safeguard rests on.
func (m *model) restsOn(g int, held func(procedures.Condition) bool) []int {
	if m.p.Safeguards[g].Lasting || m.gate[g] < 0 {
		return nil
	}
	var out []int
	for _, n := range m.steps[m.gate[g]].Needs {
		if n.Pin < 0 && n.Safeguard != g && held(n.When) {
			out = append(out, n.Safeguard)
		}
	}
	return out
}

// fallen is what falls on a cause or starts by it.
func (m *model) fallen(cause string, falls []set) set {
	out := m.none()
	for g, spec := range m.p.Safeguards {
		if slices.Contains(spec.LapseOn, cause) {
			out.join(falls[g])
		}
	}
	for i := m.main; i < len(m.steps); i++ {
		if slices.Contains(m.steps[i].Pin.On, cause) {
			out.add(m.pinned(i))
		}
	}
	return out
}

// none is an empty set of what can be missing.
func (m *model) none() set { return newSet(len(m.p.Safeguards) + len(m.steps) - m.main) }

// pinned is the number of a pinned step among what can be missing.
func (m *model) pinned(i int) int { return len(m.p.Safeguards) + i - m.main }

// thing is the number of what a need wants.
func (m *model) thing(n procedures.Need) int {
	if n.Pin >= 0 {
		return m.pinned(n.Pin)
	}
	return n.Safeguard
}

// maker is the step that brings a thing back: the gate of a safeguard, or the pinned step itself; -1 where there is none.
func (m *model) maker(thing int) int {
	if thing >= len(m.p.Safeguards) {
		return thing - len(m.p.Safeguards) + m.main
	}
	return m.gate[thing]
}

// name is the id of a thing.
func (m *model) name(thing int) string {
	if thing >= len(m.p.Safeguards) {
		return m.steps[m.maker(thing)].ID
	}
	return m.p.Safeguards[thing].ID
}

// taken is what step i takes away, where that falls with each safeguard: what its causes fell, what takes less time to lapse than
// the step takes, and what its completion releases, each with what went before.
func (m *model) taken(i int, falls []set) (opened, during, undoes set) {
	s := &m.steps[i]
	opened = m.none()
	for _, c := range s.Causes {
		opened.join(m.fallen(c, falls))
	}
	during = opened.clone()
	if least := m.least(i); least > 0 {
		for g, spec := range m.p.Safeguards {
			if spec.After > 0 && least >= spec.After {
				during.join(falls[g])
			}
		}
	}
	undoes = during.clone()
	for _, g := range s.Releases {
		undoes.join(falls[g])
	}
	return opened, during, undoes
}

// least is the shortest time that step i can take, as far as the procedure writes it.
func (m *model) least(i int) time.Duration {
	w := m.steps[i].Wait
	if w == nil || !w.AtLeast.Set {
		return 0
	}
	q := w.AtLeast.Figure
	if w.AtLeast.Ref != "" {
		q = m.lowest(w.AtLeast.Ref)
	}
	d, err := q.Duration()
	if err != nil {
		return 0
	}
	return d
}

// lowest is the least value a field or reading can have, where its own limit is a figure.
func (m *model) lowest(id string) quantity.Quantity {
	if at, ok := m.readings[id]; ok {
		return m.steps[at.step].Readings[at.reading].AtLeast.Figure
	}
	for _, f := range m.p.Sheet {
		if f.ID == id {
			return f.AtLeast.Figure
		}
	}
	return quantity.Quantity{}
}

// findDues fills what makes which make-safe steps due.
func (m *model) findDues() {
	own := make([]uint32, len(m.p.Safeguards))
	m.begins, m.engages = make([]uint32, len(m.steps)), make([]uint32, len(own))
	m.resecures, m.always = make([]uint32, len(own)), make([]uint32, len(own))
	for k, safe := range m.safes {
		if k >= mostDues {
			break
		}
		s := &m.steps[safe]
		for _, i := range s.DueAfter {
			m.begins[i] |= 1 << k
		}
		for _, g := range s.Releases {
			if !m.p.Safeguards[g].Lasting && m.gate[g] >= 0 {
				m.begins[m.gate[g]] |= 1 << k
				own[g] |= 1 << k
			}
		}
	}
	for g := range own {
		for h := range own {
			if m.falls[h].has(g) {
				m.engages[g] |= own[h]
			}
		}
	}
	for g, gate := range m.gate {
		if gate >= 0 {
			m.resecures[g] = m.securing(g, func(procedures.Condition) bool { return true })
			m.always[g] = m.securing(g, func(c procedures.Condition) bool { return len(c) == 0 })
		}
	}
}

// securing is the make-safe steps that are due once a safeguard was lost and secured again: those of its gate, and of the gates of
// all that it needs, where each need counts for which applies says so.
func (m *model) securing(g int, applies func(procedures.Condition) bool) uint32 {
	due := m.begins[m.gate[g]]
	for _, t := range m.closure(m.gate[g], applies) {
		if maker := m.maker(t); maker >= 0 && maker < m.main {
			due |= m.begins[maker]
		}
	}
	return due
}

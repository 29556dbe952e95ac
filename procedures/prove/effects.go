package prove

// What each step does to the safeguards, to the pinned steps and to what a close waits for.

import (
	"time"

	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// findFalls follows what rests on what, and what each step takes away.
func (m *model) findFalls() {
	guards := m.p.Safeguards
	m.falls = make([]set, len(guards))
	for g := range guards {
		m.falls[g] = m.none()
		m.falls[g].add(g)
	}
	for grew := true; grew; {
		grew = false
		for g, spec := range guards {
			for _, on := range spec.Rests {
				for h := range guards {
					if m.falls[h].has(on) && !m.falls[h].has(g) {
						m.falls[h].add(g)
						grew = true
					}
				}
			}
		}
	}
	m.caused = map[string]set{}
	for g, spec := range guards {
		for _, cause := range spec.LapseOn {
			m.on(cause).join(m.falls[g])
		}
	}
	for i := m.main; i < len(m.steps); i++ {
		for _, cause := range m.steps[i].Pin.On {
			m.on(cause).add(m.pinned(i))
		}
	}
	m.opened, m.during, m.undoes = make([]set, len(m.steps)), make([]set, len(m.steps)), make([]set, len(m.steps))
	m.freeing = make([]set, len(m.p.Safeguards))
	for g := range m.freeing {
		m.freeing[g] = newSet(len(m.steps))
	}
	for i := range m.steps {
		m.findUndone(i)
	}
}

// none is an empty set of what can be missing.
func (m *model) none() set { return newSet(len(m.p.Safeguards) + len(m.steps) - m.main) }

// pinned is the number of a pinned step among what can be missing.
func (m *model) pinned(i int) int { return len(m.p.Safeguards) + i - m.main }

func (m *model) on(cause string) set {
	if m.caused[cause] == nil {
		m.caused[cause] = m.none()
	}
	return m.caused[cause]
}

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

// findUndone fills what step i takes away.
func (m *model) findUndone(i int) {
	s := &m.steps[i]
	m.opened[i] = m.none()
	for _, c := range s.Causes {
		m.opened[i].join(m.on(c))
	}
	m.during[i] = m.opened[i].clone()
	if least := m.least(i); least > 0 {
		for g, spec := range m.p.Safeguards {
			if spec.After > 0 && least >= spec.After {
				m.during[i].join(m.falls[g])
			}
		}
	}
	m.undoes[i] = m.during[i].clone()
	for _, g := range s.Releases {
		m.undoes[i].join(m.falls[g])
		for h := range m.freeing {
			if m.falls[g].has(h) {
				m.freeing[h].add(i)
			}
		}
	}
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
	m.begins, m.engages, m.resecures = make([]uint32, len(m.steps)), make([]uint32, len(own)), make([]uint32, len(own))
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
		if gate < 0 {
			continue
		}
		m.resecures[g] = m.begins[gate]
		for _, t := range m.closure(gate, func(procedures.Condition) bool { return true }) {
			if maker := m.maker(t); maker >= 0 && maker < m.main {
				m.resecures[g] |= m.begins[maker]
			}
		}
	}
}

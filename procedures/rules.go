package procedures

// The rules that hold between steps and safeguards: every safeguard has its one gate, nothing undoes what it needs, and
// what was made unsafe is made safe again.

import (
	"slices"
	"strings"
)

func (l *loader) rules() {
	l.gatesAsk()
	l.gatesServe()
	l.oneGateEach()
	l.rests()
	l.noCircles()
	l.released()
	l.optional()
	l.ownCauses()
	l.flow()
}

func (l *loader) makesSafe(s *Step) bool {
	return slices.ContainsFunc(l.makeSafe, func(w word) bool { return w.Text == s.ID })
}

// gatesServe: a gate secures a safeguard or makes safe.
func (l *loader) gatesServe() {
	for i, s := range l.steps {
		if s.Kind == Gate && l.marks[i].secured == "" && !l.makesSafe(s) {
			l.fault(s.Place, "add secures, name it in make safe, or make it a do", "gate %s secures nothing and does not make safe", quote(s.ID))
		}
	}
}

// oneGateEach: each safeguard has one gate.
func (l *loader) oneGateEach() {
	astray := slices.ContainsFunc(l.steps, func(s *Step) bool { return s.Kind == Gate && s.Secures < 0 && l.marks[s.Index].secured != "" })
	for i := range l.p.Safeguards {
		guard := &l.p.Safeguards[i]
		for j, s := range l.steps {
			switch {
			case s.Secures != i:
			case guard.Gate >= 0:
				l.fault(l.marks[j].secures, "use either for two ways of one gate", "safeguard %s is already secured by gate %s", quote(guard.ID), quote(l.steps[guard.Gate].ID))
			default:
				guard.Gate = j
			}
		}
		if guard.Gate < 0 && !astray {
			l.fault(guard.Place, "add a gate with secures: "+guard.ID, "no gate secures safeguard %s", quote(guard.ID))
		}
	}
}

// rests fills what each safeguard rests on.
func (l *loader) rests() {
	for i := range l.p.Safeguards {
		guard := &l.p.Safeguards[i]
		if guard.Lasting || guard.Gate < 0 {
			continue
		}
		for _, n := range l.steps[guard.Gate].Needs {
			if n.Safeguard >= 0 && n.Safeguard != i && len(n.When) == 0 {
				guard.Rests = append(guard.Rests, n.Safeguard)
			}
		}
	}
}

// noCircles: no gate needs, through other gates, the safeguard that it secures.
func (l *loader) noCircles() {
	done := make([]bool, len(l.p.Safeguards))
	for i := range l.p.Safeguards {
		l.circle(i, nil, done)
	}
}

// circle follows the needs of a safeguard's gate; path holds the safeguards on the way to it.
func (l *loader) circle(i int, path []int, done []bool) {
	if done[i] || l.p.Safeguards[i].Gate < 0 {
		return
	}
	path = append(path, i)
	for _, n := range l.steps[l.p.Safeguards[i].Gate].Needs {
		if n.Safeguard < 0 {
			continue
		}
		if at := slices.Index(path, n.Safeguard); at >= 0 {
			l.tellCircle(path[at:], n)
			continue
		}
		l.circle(n.Safeguard, path, done)
	}
	done[i] = true
}

func (l *loader) tellCircle(path []int, n Need) {
	id := l.p.Safeguards[n.Safeguard].ID
	if len(path) == 1 {
		l.fault(n.Place, "take the need out", "the gate of %s needs %s itself", quote(id), quote(id))
		return
	}
	var round []string
	for _, i := range append(slices.Clone(path), path[0]) {
		round = append(round, quote(l.p.Safeguards[i].ID))
	}
	l.fault(n.Place, "take one of these needs out", "gates need each other in a circle: %s", strings.Join(round, " needs "))
}

// released: a safeguard that does not stay with the vehicle is taken away on purpose, by a step that makes safe.
func (l *loader) released() {
	released := map[string]bool{}
	for i, s := range l.steps {
		for _, w := range l.marks[i].releases {
			released[w.Text] = true
			if w.Text == l.marks[i].secured {
				l.fault(w.Place, "release it in a step of its own", "gate %s releases what it secures", quote(s.ID))
			}
		}
		if len(s.Releases) > 0 && !l.makesSafe(s) {
			l.fault(l.marks[i].releases[0].Place, "add "+s.ID+" to make safe", "step %s releases a safeguard and is not in make safe", quote(s.ID))
		}
	}
	for _, g := range l.p.Safeguards {
		if !g.Lasting && !released[g.ID] {
			l.fault(g.Place, "add a step with releases: ["+g.ID+"], or lasting: true where it stays with the vehicle", "no step releases safeguard %s", quote(g.ID))
		}
	}
}

// optional: no gate is optional, and nothing that makes safe.
func (l *loader) optional() {
	for i, s := range l.steps {
		switch {
		case !s.Optional:
		case s.Kind == Gate:
			l.fault(l.marks[i].optional, "take it out; a gate may have when", "gate %s is optional; a gate is never skipped", quote(s.ID))
		case l.makesSafe(s):
			l.fault(l.marks[i].optional, "take it out", "step %s is optional and makes safe", quote(s.ID))
		}
	}
}

// falls returns the safeguards that fall on a cause, those that rest on them included.
func (l *loader) falls(cause string) []bool {
	fallen := make([]bool, len(l.p.Safeguards))
	for i, g := range l.p.Safeguards {
		fallen[i] = slices.Contains(g.LapseOn, cause)
	}
	for again := true; again; {
		again = false
		for i, g := range l.p.Safeguards {
			if !fallen[i] && slices.ContainsFunc(g.Rests, func(r int) bool { return fallen[r] }) {
				fallen[i], again = true, true
			}
		}
	}
	return fallen
}

// ownCauses: what a step causes does not fell what it needs or secures, nor start a pinned step it needs at rest.
func (l *loader) ownCauses() {
	fallen := map[string][]bool{}
	for i, s := range l.steps {
		for _, c := range l.marks[i].causes {
			if fromOutside(c.Text) {
				continue
			}
			if fallen[c.Text] == nil {
				fallen[c.Text] = l.falls(c.Text)
			}
			l.ownCause(s, c, fallen[c.Text])
		}
	}
}

func (l *loader) ownCause(s *Step, c word, fallen []bool) {
	const hint = "cause it in another step, or take the need out"
	if s.Secures >= 0 && fallen[s.Secures] {
		l.fault(c.Place, "cause it in another step", "gate %s causes %s, which fells %s that it secures", quote(s.ID), quote(c.Text), quote(l.p.Safeguards[s.Secures].ID))
	}
	for _, n := range s.Needs {
		if n.Safeguard >= 0 && fallen[n.Safeguard] {
			l.fault(c.Place, hint, "step %s causes %s, which fells %s that it needs", quote(s.ID), quote(c.Text), quote(l.p.Safeguards[n.Safeguard].ID))
		}
		if n.Pin >= 0 && slices.Contains(l.steps[n.Pin].Pin.On, c.Text) {
			l.fault(c.Place, hint, "step %s causes %s, which starts %s that it needs at rest", quote(s.ID), quote(c.Text), quote(l.steps[n.Pin].ID))
		}
	}
}

package procedures

// Dangers, and what steps say of them: which a step exposes to, and which its causes bring on. What they state a second time is
// held against the first statement in unite.go.

import "slices"

func (l *loader) dangers(t *table) {
	t.groups("dangers", dangerFields, "danger", func(id word, g *table) {
		g.require("title")
		i := len(l.p.Dangers)
		if i >= MaxDangers {
			l.fault(id.Place, "take the procedure apart", "there are more than %d dangers", MaxDangers)
			return
		}
		d := Danger{ID: id.Text, Title: g.text("title"), After: g.duration("comes back after"), Place: id.Place}
		for _, w := range g.ids("comes with") {
			d.ComesWith = append(d.ComesWith, w.Text)
			l.settle(func() { l.settleCause(w, true) })
		}
		l.p.Dangers = append(l.p.Dangers, d)
		for _, w := range g.ids("kept off by") {
			l.settle(func() { l.settleKeeper(i, w) })
		}
	})
}

// settleKeeper finds what keeps a danger off.
func (l *loader) settleKeeper(i int, w word) {
	n := Need{Safeguard: slices.Index(l.safeguardIDs(), w.Text), Pin: -1, Place: w.Place}
	pins := l.stepIDs(true)
	if slices.Contains(pins, w.Text) {
		n.Pin = l.stepIndex(w.Text)
	}
	switch {
	case n.Safeguard >= 0 && n.Pin >= 0:
		l.fault(w.Place, "give one of them another id", "%s is a safeguard and a pinned step", quote(w.Text))
	case n.Safeguard < 0 && n.Pin < 0:
		l.fault(w.Place, didYouMean(w.Text, append(l.safeguardIDs(), pins...)), "there is no safeguard or pinned step %s to keep a danger off", quote(w.Text))
	}
	l.p.Dangers[i].KeptOff = append(l.p.Dangers[i].KeptOff, n)
}

// exposes reads which dangers a step faces and which it brings on.
func (l *loader) exposes(g *table, s *Step, m *marks, before use) {
	l.conditional(g, "faces", "a danger", faceFields, before, func(w word, when Condition, at Place) {
		i := len(s.Faces)
		s.Faces = append(s.Faces, Face{Danger: -1, When: when, Place: at})
		l.settle(func() { l.settleFace(s, i, w) })
	})
	m.brings = g.ids("brings")
	for _, w := range m.brings {
		l.settle(func() { s.Brings = append(s.Brings, l.settleDanger(w)) })
	}
}

func (l *loader) settleFace(s *Step, i int, w word) {
	f := &s.Faces[i]
	f.Danger = l.settleDanger(w)
	for _, other := range s.Faces[:i] {
		if f.Danger >= 0 && f.Danger == other.Danger && len(f.When) == 0 && len(other.When) == 0 {
			l.fault(w.Place, "keep one of the two", "step %s faces %s twice", quote(s.ID), quote(w.Text))
		}
	}
}

// settleDanger returns the index of a danger, or -1.
func (l *loader) settleDanger(w word) int {
	var ids []string
	for _, d := range l.p.Dangers {
		ids = append(ids, d.ID)
	}
	i := slices.Index(ids, w.Text)
	if i < 0 {
		l.fault(w.Place, didYouMean(w.Text, ids), "there is no danger %s", quote(w.Text))
	}
	return i
}

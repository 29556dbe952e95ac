package procedures

// What keeps a person whole is stated twice, as in bookkeeping: once by what steps need and cause and what safeguards lapse
// on, once by the dangers that steps face and bring on. What is worked by is both together, so that an entry that one of the
// two lost still holds; and every place where they differ is kept, for the proof to tell. Where no danger is named, needs,
// lapses and causes are stated once, and nothing is united.

import (
	"slices"
	"strings"
)

// unite puts what only one of the two statements has into the steps and safeguards, and keeps where they differ.
func (l *loader) unite() {
	if len(l.p.Dangers) == 0 {
		return
	}
	for i, s := range l.steps {
		l.uniteCauses(s, l.marks[i])
	}
	for g := range l.p.Safeguards {
		l.uniteLapses(&l.p.Safeguards[g], l.lapsed[g], l.keptBy(g, -1))
		l.uniteTime(&l.p.Safeguards[g], l.keptBy(g, -1))
	}
	for i, s := range l.steps {
		if s.Kind == Pinned {
			l.uniteStarts(s, l.marks[i].starts, l.keptBy(-1, i))
		}
		l.uniteNeeds(s)
	}
	for _, id := range l.p.MakeSafe {
		if i := l.stepIndex(id); l.steps[i].Secures >= 0 {
			l.uniteDues(l.steps[i], l.marks[i].due)
		}
	}
}

// apart keeps one place where the two statements differ.
func (l *loader) apart(step string, at Place, missing, what, hint string) {
	l.p.Apart = append(l.p.Apart, Disagreement{Step: step, Place: at, Missing: missing, What: what, Hint: hint})
}

// keptBy lists the dangers that a safeguard, or else a pinned step, keeps off.
func (l *loader) keptBy(guard, pin int) []*Danger {
	var out []*Danger
	for i := range l.p.Dangers {
		if slices.ContainsFunc(l.p.Dangers[i].KeptOff, func(n Need) bool { return n.Safeguard == guard && n.Pin == pin }) {
			out = append(out, &l.p.Dangers[i])
		}
	}
	return out
}

// uniteCauses: a step causes what the dangers come with that it brings on, and brings on what comes with its causes.
func (l *loader) uniteCauses(s *Step, m *marks) {
	stated := m.causes
	causes := func(d *Danger) (of []word) {
		for _, w := range stated {
			if slices.Contains(d.ComesWith, w.Text) {
				of = append(of, w)
			}
		}
		return of
	}
	for k, at := range s.Brings {
		d := &l.p.Dangers[at]
		if len(causes(d)) > 0 {
			continue
		}
		l.apart(s.ID, m.brings[k].Place, d.ID, "step "+quote(s.ID)+" brings "+quote(d.ID)+" on, and causes nothing that it comes with",
			"add what it comes with to causes, or take it out of brings")
		for _, c := range d.ComesWith {
			if !fromOutside(c) && !slices.Contains(s.Causes, c) {
				s.Causes, m.causes = append(s.Causes, c), append(m.causes, word{c, m.brings[k].Place})
			}
		}
	}
	for _, w := range stated {
		l.explained(s, w, causes)
	}
}

// explained holds one cause of a step to the dangers it says it brings on: each that is kept off, that it can name and that comes
// with the cause, and one that comes with nothing else that the step causes, so that this cause cannot be lost unseen.
func (l *loader) explained(s *Step, w word, causes func(*Danger) []word) {
	alone, told := false, false
	for i := range l.p.Dangers {
		d := &l.p.Dangers[i]
		switch {
		case !slices.Contains(d.ComesWith, w.Text):
		case slices.Contains(s.Brings, i):
			alone = alone || len(causes(d)) == 1
		case len(d.KeptOff) > 0 && nameable(d.ID, s.ID):
			told = true
			l.apart(s.ID, w.Place, d.ID, "step "+quote(s.ID)+" causes "+quote(w.Text)+", with which "+quote(d.ID)+" comes, and does not bring it on",
				"add "+d.ID+" to brings, or take it out of comes with")
		}
	}
	if !alone && !told {
		l.apart(s.ID, w.Place, w.Text, "step "+quote(s.ID)+" causes "+quote(w.Text)+" and brings on no danger that comes with it alone",
			"add to brings a danger that comes with "+w.Text+" and with nothing else that this step causes")
	}
}

// nameable says whether the step could name the danger where it was written: an included procedure knows its own alone.
func nameable(danger, step string) bool {
	return strings.HasPrefix(danger, step[:strings.LastIndex(step, ".")+1])
}

// uniteLapses: a safeguard lapses on what the dangers come with that it keeps off, and on nothing else.
func (l *loader) uniteLapses(g *Safeguard, stated []word, dangers []*Danger) {
	for _, d := range dangers {
		for _, c := range d.ComesWith {
			if has(stated, c) {
				continue
			}
			l.apart(l.gateOf(g), g.Place, c, "safeguard "+quote(g.ID)+" keeps "+quote(d.ID)+" off, which comes with "+quote(c)+", and does not lapse on it",
				"add "+c+" to its lapses, or take it out of comes with")
			if !slices.Contains(g.LapseOn, c) {
				g.LapseOn = append(g.LapseOn, c)
			}
			g.because(d)
		}
	}
	for _, w := range stated {
		if !slices.ContainsFunc(dangers, func(d *Danger) bool { return slices.Contains(d.ComesWith, w.Text) }) {
			l.apart(l.gateOf(g), w.Place, w.Text, "safeguard "+quote(g.ID)+" lapses on "+quote(w.Text)+", with which no danger comes that it keeps off",
				"add it to comes with of a danger kept off by "+g.ID)
		}
	}
}

// uniteTime: a safeguard stands no longer than it takes for a danger to come back that it keeps off.
func (l *loader) uniteTime(g *Safeguard, dangers []*Danger) {
	stated, timed := g.After, false
	for _, d := range dangers {
		if d.After == 0 {
			continue
		}
		timed = true
		if stated == 0 || stated > d.After {
			l.apart(l.gateOf(g), g.Place, d.ID, "safeguard "+quote(g.ID)+" stands longer than it takes for "+quote(d.ID)+" to come back",
				"lapse after what the danger says under comes back after, or sooner")
			if g.After == 0 || g.After > d.After {
				g.After = d.After
			}
			g.because(d)
		}
	}
	if stated > 0 && !timed {
		l.apart(l.gateOf(g), g.Place, "after", "safeguard "+quote(g.ID)+" lapses by the clock, and no danger that it keeps off comes back by the clock",
			"add comes back after: ... to a danger kept off by "+g.ID)
	}
}

// because gives a lapse that only a danger states its cause in words.
func (g *Safeguard) because(d *Danger) {
	if g.Because == "" {
		g.Because = d.Title
	}
}

// gateOf is the step that secures a safeguard; gates are told apart only later.
func (l *loader) gateOf(g *Safeguard) string {
	for _, s := range l.steps {
		if s.Secures >= 0 && l.p.Safeguards[s.Secures].ID == g.ID {
			return s.ID
		}
	}
	return ""
}

// uniteStarts: a pinned step starts on what the dangers come with that it keeps off. An interruption and a handover start nothing.
func (l *loader) uniteStarts(s *Step, stated []word, dangers []*Danger) {
	for _, d := range dangers {
		for _, c := range d.ComesWith {
			if fromOutside(c) || has(stated, c) {
				continue
			}
			l.apart(s.ID, s.Place, c, "pinned step "+quote(s.ID)+" keeps "+quote(d.ID)+" off, which comes with "+quote(c)+", and does not start on it",
				"add "+c+" to starts on, or take it out of comes with")
			if !slices.Contains(s.Pin.On, c) {
				s.Pin.On = append(s.Pin.On, c)
			}
		}
	}
	for _, w := range stated {
		if !slices.ContainsFunc(dangers, func(d *Danger) bool { return slices.Contains(d.ComesWith, w.Text) }) {
			l.apart(s.ID, w.Place, w.Text, "pinned step "+quote(s.ID)+" starts on "+quote(w.Text)+", with which no danger comes that it keeps off",
				"add it to comes with of a danger kept off by "+s.ID)
		}
	}
}

// uniteNeeds: a step needs what keeps off the dangers that it faces, and nothing else.
func (l *loader) uniteNeeds(s *Step) {
	stated := s.Needs
	for _, f := range s.Faces {
		d := &l.p.Dangers[f.Danger]
		if len(d.KeptOff) == 0 {
			l.apart(s.ID, f.Place, d.ID, "step "+quote(s.ID)+" faces "+quote(d.ID)+", which nothing keeps off", "add kept off by: [...] to the danger")
		}
		for _, keeper := range d.KeptOff {
			if slices.ContainsFunc(stated, func(n Need) bool { return sameThing(n, keeper) && implies(f.When, n.When) }) {
				continue
			}
			id := l.thing(keeper)
			l.apart(s.ID, f.Place, id, "step "+quote(s.ID)+" faces "+quote(d.ID)+" and does not need "+quote(id)+", which keeps it off",
				"add "+id+" to its needs, under the same condition")
			s.Needs = append(s.Needs[:len(s.Needs):len(s.Needs)], Need{Safeguard: keeper.Safeguard, Pin: keeper.Pin, When: f.When, Place: f.Place})
		}
	}
	for _, n := range stated {
		if !slices.ContainsFunc(s.Faces, func(f Face) bool { return l.keepsOff(n, f) }) {
			id := l.thing(n)
			l.apart(s.ID, n.Place, id, "step "+quote(s.ID)+" needs "+quote(id)+" and faces nothing that it keeps off",
				"add a danger that is kept off by "+id+" to faces, under the same condition")
		}
	}
}

// keepsOff says whether a need is for a danger that is faced wherever it is needed.
func (l *loader) keepsOff(n Need, f Face) bool {
	kept := slices.ContainsFunc(l.p.Dangers[f.Danger].KeptOff, func(k Need) bool { return sameThing(n, k) })
	return kept && implies(n.When, f.When)
}

func sameThing(a, b Need) bool { return a.Safeguard == b.Safeguard && a.Pin == b.Pin }

// thing is the id of what a need wants.
func (l *loader) thing(n Need) string {
	if n.Pin >= 0 {
		return l.steps[n.Pin].ID
	}
	return l.p.Safeguards[n.Safeguard].ID
}

// implies says whether b holds wherever a does.
func implies(a, b Condition) bool {
	return !slices.ContainsFunc(b, func(want Clause) bool {
		return !slices.ContainsFunc(a, func(c Clause) bool {
			return c.Choice == want.Choice && !slices.ContainsFunc(c.In, func(v string) bool { return !slices.Contains(want.In, v) })
		})
	})
}

// uniteDues: a gate that makes safe is due once a step was begun that fells what it secures, and after no other.
func (l *loader) uniteDues(gate *Step, stated []word) {
	guard := &l.p.Safeguards[gate.Secures]
	for i, s := range l.steps {
		fells := slices.ContainsFunc(s.Causes, func(c string) bool { return slices.Contains(guard.LapseOn, c) })
		undone := s.Secures >= 0 && !l.p.Safeguards[s.Secures].Lasting && slices.Contains(gate.Releases, s.Secures)
		at := slices.IndexFunc(stated, func(w word) bool { return w.Text == s.ID })
		switch {
		case i == gate.Index || fells == (at >= 0):
		case at >= 0:
			l.apart(gate.ID, stated[at].Place, s.ID, "step "+quote(gate.ID)+" is due after "+quote(s.ID)+", which causes nothing that fells "+quote(guard.ID),
				"add to its causes and brings what it leaves behind, or take it out of due after")
		case !undone:
			l.apart(gate.ID, gate.Place, s.ID, "step "+quote(s.ID)+" fells "+quote(guard.ID)+", and a close after it does not ask for "+quote(gate.ID),
				"add "+s.ID+" to due after of "+gate.ID)
			gate.DueAfter = append(gate.DueAfter, i)
		}
	}
}

func has(words []word, text string) bool {
	return slices.ContainsFunc(words, func(w word) bool { return w.Text == text })
}

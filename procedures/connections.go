package procedures

// What connects the steps with one another: safeguards, causes, targets and the order of making safe.

import "slices"

func (l *loader) safeguardIDs() []string {
	var ids []string
	for _, s := range l.p.Safeguards {
		ids = append(ids, s.ID)
	}
	return ids
}

// settleSafeguard returns the index of a safeguard, or -1.
func (l *loader) settleSafeguard(w word) int {
	ids := l.safeguardIDs()
	i := slices.Index(ids, w.Text)
	if i < 0 {
		l.fault(w.Place, didYouMean(w.Text, ids), "there is no safeguard %s", quote(w.Text))
	}
	return i
}

// stepIDs lists the ids of the main line, or of the pinned steps.
func (l *loader) stepIDs(pinned bool) []string {
	var ids []string
	for _, s := range l.steps {
		if (s.Kind == Pinned) == pinned && s.ID != "" {
			ids = append(ids, s.ID)
		}
	}
	return ids
}

// stepIndex returns the index of a step, or -1.
func (l *loader) stepIndex(id string) int {
	return slices.IndexFunc(l.steps, func(s *Step) bool { return s.ID == id })
}

func (l *loader) settleNeed(s *Step, i int, w word) {
	safeguards, pins := l.safeguardIDs(), l.stepIDs(true)
	guard, pin := slices.Index(safeguards, w.Text), slices.Index(pins, w.Text)
	switch {
	case guard >= 0 && pin >= 0:
		l.fault(w.Place, "give one of them another id", "%s is a safeguard and a pinned step", quote(w.Text))
	case guard >= 0:
		s.Needs[i].Safeguard = guard
	case pin >= 0:
		s.Needs[i].Pin = l.stepIndex(w.Text)
	default:
		l.fault(w.Place, didYouMean(w.Text, append(safeguards, pins...)), "there is no safeguard or pinned step %s to need", quote(w.Text))
	}
	for _, other := range s.Needs[:i] {
		n := s.Needs[i]
		if n.Safeguard == other.Safeguard && n.Pin == other.Pin && len(n.When) == 0 && len(other.When) == 0 && n.Safeguard+n.Pin > -2 {
			l.fault(w.Place, "keep one of the two", "step %s needs %s twice", quote(s.ID), quote(w.Text))
		}
	}
}

func (l *loader) settleDueAfter(s *Step, w word) {
	i := l.stepIndex(w.Text)
	switch {
	case i < 0:
		l.fault(w.Place, didYouMean(w.Text, append(l.stepIDs(false), l.stepIDs(true)...)), "there is no step %s", quote(w.Text))
	case i == s.Index:
		l.fault(w.Place, "name the steps that make it necessary", "step %s is due after itself", quote(s.ID))
	default:
		s.DueAfter = append(s.DueAfter, i)
	}
}

func (l *loader) settleTarget(w word) {
	line := l.stepIDs(false)
	switch {
	case slices.Contains(line, w.Text):
		return
	case slices.Contains(l.stepIDs(true), w.Text):
		l.fault(w.Place, "it starts by its cause", "%s is a pinned step; nothing leads to it", quote(w.Text))
	default:
		l.fault(w.Place, didYouMean(w.Text, append(line, string(Complete), string(Referred), string(Abandoned))), "there is no step %s to go to", quote(w.Text))
	}
	l.lost = true
}

// effects is what steps cause, and what something follows on; it is gathered once every step is read.
type effects struct{ caused, followed map[string]bool }

func (l *loader) effects() effects {
	if l.known.caused != nil {
		return l.known
	}
	l.known = effects{map[string]bool{}, map[string]bool{}}
	for _, c := range l.outside {
		l.known.caused[c], l.known.followed[c] = true, true
	}
	for i, m := range l.marks {
		for _, c := range m.causes {
			l.known.caused[c.Text] = true
		}
		if pin := l.steps[i].Pin; pin != nil {
			for _, c := range pin.On {
				l.known.followed[c] = true
			}
		}
	}
	for _, s := range l.p.Safeguards {
		for _, c := range s.LapseOn {
			l.known.followed[c] = true
		}
	}
	for _, d := range l.p.Dangers {
		for _, c := range d.ComesWith {
			l.known.followed[c] = true
		}
	}
	return l.known
}

// settleCause looks at what a safeguard lapses on or a pinned step starts on; a lapse may also come from outside.
func (l *loader) settleCause(w word, outside bool) {
	caused := l.effects().caused
	if caused[w.Text] || outside && fromOutside(w.Text) {
		return
	}
	known := sortedKeys(caused)
	if outside {
		known = slices.Sorted(slices.Values(append(known, HandoverCause, InterruptionCause)))
	}
	l.fault(w.Place, didYouMean(w.Text, known), "no step causes %s", quote(w.Text))
}

// fromOutside says whether a cause comes from no step.
func fromOutside(cause string) bool { return cause == InterruptionCause || cause == HandoverCause }

// settleEffect looks at a cause of a step: something must come of it.
func (l *loader) settleEffect(w word) {
	followed := l.effects().followed
	switch {
	case fromOutside(w.Text):
		l.fault(w.Place, "choose another name", "%s is no cause of a step; it comes from outside", quote(w.Text))
	case !followed[w.Text]:
		l.fault(w.Place, didYouMean(w.Text, sortedKeys(followed)), "nothing lapses or starts on %s", quote(w.Text))
	}
}

func (l *loader) settleMakeSafe() {
	line := l.stepIDs(false)
	for _, w := range l.makeSafe {
		switch {
		case slices.Contains(line, w.Text):
			l.p.MakeSafe = append(l.p.MakeSafe, w.Text)
		case slices.Contains(l.stepIDs(true), w.Text):
			l.fault(w.Place, "a running pinned step blocks every close by itself", "%s is a pinned step; it cannot make safe", quote(w.Text))
		default:
			l.fault(w.Place, didYouMean(w.Text, line), "there is no step %s to make safe", quote(w.Text))
		}
	}
}

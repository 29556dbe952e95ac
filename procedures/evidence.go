package procedures

// A gate asks for evidence whatever was chosen: no combination of choices leaves it with nothing to record.

import "slices"

// gatesAsk holds every gate, and each way of a gate, to that.
func (l *loader) gatesAsk() {
	for i, s := range l.steps {
		if s.Kind != Gate || l.marks[i].unread {
			continue
		}
		asked := asking(s)
		for _, w := range s.Ways {
			if !l.always(given(asked, s.ID, w.ID)) {
				l.fault(w.Place, "add affirm, readings or evidence that is not optional", "way %s of gate %s can ask for no evidence", quote(w.ID), quote(s.ID))
			}
		}
		if len(s.Ways) == 0 && !l.always(asked) {
			l.fault(s.Place, "add affirm, readings, evidence or either that is asked in every case and not optional",
				"gate %s can ask for no evidence", quote(s.ID))
		}
	}
}

// asking lists the conditions under which a step asks for something that may not be left out.
func asking(s *Step) []Condition {
	var all []Condition
	for _, x := range s.Statements {
		all = append(all, x.When)
	}
	for _, x := range s.Readings {
		if !x.Optional {
			all = append(all, x.When)
		}
	}
	for _, x := range s.Evidence {
		if !x.Optional {
			all = append(all, x.When)
		}
	}
	return all
}

// given returns what is left of the conditions once a choice is made.
func given(all []Condition, choice, value string) []Condition {
	var left []Condition
	for _, c := range all {
		holds, rest := true, Condition{}
		for _, k := range c {
			switch {
			case k.Choice != choice:
				rest = append(rest, k)
			case !slices.Contains(k.In, value):
				holds = false
			}
		}
		if holds {
			left = append(left, rest)
		}
	}
	return left
}

// always says whether at least one of the conditions holds whatever is chosen. It tries the values of one choice after
// another, and says no where that would take too long.
func (l *loader) always(all []Condition) bool {
	tries := 1000
	return l.cover(all, &tries)
}

func (l *loader) cover(all []Condition, tries *int) bool {
	*tries--
	if len(all) == 0 || *tries < 0 {
		return false
	}
	if slices.ContainsFunc(all, func(c Condition) bool { return len(c) == 0 }) {
		return true
	}
	choice := all[0][0].Choice
	n, ok := l.names[choice]
	if !ok || len(n.options) == 0 {
		return true // the choice itself is at fault, and told
	}
	for _, option := range n.options {
		if !l.cover(given(all, choice, option), tries) {
			return false
		}
	}
	return true
}

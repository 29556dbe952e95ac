package prove

// A close in a trial: what is due is done in its order, and each in its turn is held for the gates that it needs.

import (
	"fmt"
	"slices"
)

// takenBack closes the job, with the step at hand begun or not, does what is due, and takes the close back.
func (t *trial) takenBack(s tried, f func(tryMove)) {
	for k, c := range []tried{s, t.begun(s)} {
		if t.nextDue(c) < 0 || k == 1 && c == s {
			continue
		}
		if to, ends := t.close(c); ends {
			if to.step = s.step; t.closed != nil {
				to.flag = t.closed(c, to)
			}
			f(tryMove{to: to, action: TakenBack, step: s.step, begun: c != s})
		}
	}
}

// begun is a state with an entry at the step that the line is at.
func (t *trial) begun(s tried) tried {
	s.owed |= t.does[s.step].owes
	s.engaged |= t.does[s.step].secures
	return s
}

// close is a state once all that is due was done, in the first way that goes on; false where that does not end.
func (t *trial) close(s tried) (tried, bool) {
	been := map[tried]bool{}
	for {
		if t.nextDue(s) < 0 {
			return s, true
		}
		next, _, ok := t.closing(s)
		if !ok || been[next] {
			return s, false
		}
		been[next], s = true, next
	}
}

// owing is one step of a close: what is due, and the step that is done for it, itself or a gate.
type owing struct{ safe, step int }

// closing does one step of a close; the state is the same where nothing is due. It is false where nothing can be done.
func (t *trial) closing(s tried) (to tried, did owing, ok bool) {
	safe := t.nextDue(s)
	if safe < 0 {
		return s, did, false
	}
	step := safe
	if gate := t.blocker(s, safe); gate >= 0 {
		step = gate
	}
	did = owing{safe, step}
	open := t.opens(s, step)
	if gate := t.blocker(open, safe); gate >= 0 && gate != step && t.blocker(open, step) == -1 {
		return open, did, open != s
	}
	for _, e := range t.ways[step] {
		if e.to == endReferred || e.to == endAbandoned {
			continue
		}
		return t.completes(open, step, t.frame.made(step, e.answer, s.values)[0]), did, true
	}
	return s, did, false
}

// neverEnds lists what a close does without end; nil where it ends, or is stopped.
func (t *trial) neverEnds(s tried) []owing {
	been := map[tried]int{}
	var did []owing
	for {
		if from, again := been[s]; again {
			return did[from:]
		}
		been[s] = len(did)
		next, o, ok := t.closing(s)
		if !ok {
			return nil
		}
		did, s = append(did, o), next
	}
}

// unending is what trials found of closes that never end: what each does without end, with the way to where the job is closed.
type unending struct {
	whole bool
	found []recurring
}

// recurring is something that a close does without end.
type recurring struct {
	owing
	path func(due int) []PathStep // to where the job is closed; nil where something is lost after that
}

// closes looks for closes that never end, without and then with what may be lost before them and while they go on.
func (x *prover) closes() *unending {
	u := &unending{}
	t := x.newTrial()
	if t == nil {
		return u
	}
	t.shows = func(s tried) bool { return t.neverEnds(t.begun(s)) != nil || t.neverEnds(s) != nil }
	t.found = func(s tried, path func() []PathStep) bool {
		from, how := t.begun(s), "is begun"
		if t.neverEnds(from) == nil {
			from, how = s, "is come to"
		}
		told := path()
		u.note(t.neverEnds(from), func(due int) []PathStep {
			return append(slices.Clone(told), x.arrived(s.step, fmt.Sprintf("%s, and %s is due", how, x.steps[due].ID)), jobClosed)
		})
		return false
	}
	for _, t.calm = range []bool{true, false} {
		u.whole = t.run()
	}
	u.whole = u.whole && t.lostInClose(u)
	return u
}

// jobClosed is where a path closes the job.
var jobClosed = PathStep{Action: Closed, What: "the job is closed"}

func (u *unending) note(ring []owing, path func(due int) []PathStep) {
	for _, o := range ring {
		if !slices.ContainsFunc(u.found, func(l recurring) bool { return l.owing == o }) {
			u.found = append(u.found, recurring{o, path})
		}
	}
}

// lostInClose goes on from every close with what may be lost while it is under way; false where that is more than is followed.
func (t *trial) lostInClose(u *unending) bool {
	been := map[tried]bool{}
	var todo []tried
	meet := func(s tried) {
		if s.step, s.flag = 0, 0; !been[s] {
			been[s] = true
			todo = append(todo, s)
		}
	}
	for _, s := range t.places {
		meet(s)
		meet(t.begun(s))
	}
	for ; len(todo) > 0 && len(been) <= mostTried; todo = todo[1:] {
		s := todo[0]
		u.note(t.neverEnds(s), nil)
		if next, _, ok := t.closing(s); ok {
			meet(next)
		}
		t.losses(s, func(m tryMove) { meet(m.to) })
	}
	return len(todo) == 0
}

// about says whether a close that never ends was found, or may be there, which does something that is asked about; path is the way
// to it, where that is known.
func (u *unending) about(is func(owing) bool) (path func(due int) []PathStep, may bool) {
	i := slices.IndexFunc(u.found, func(l recurring) bool { return is(l.owing) })
	if i < 0 {
		return nil, !u.whole
	}
	return u.found[i].path, true
}

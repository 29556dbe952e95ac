package prove

// The way of a trial, told as a person would walk it.

import (
	"fmt"
	"slices"
	"strings"
)

// path tells the way to a state, by its number.
func (t *trial) path(n int32) []PathStep {
	var ways []tryMove
	var froms []tried
	for ; t.from[n] >= 0; n = t.from[n] {
		from := t.places[t.from[n]]
		ways, froms = append(ways, t.way(from, t.places[n])), append(froms, from)
	}
	first := t.places[n]
	out := t.frame.sheet(first.values)
	t.land(tried{values: first.values, step: -1}, 0, func(m tryMove) { out = append(out, t.past(m.passed)...) })
	slices.Reverse(ways)
	slices.Reverse(froms)
	for k, m := range ways {
		out = append(append(out, t.told(froms[k], m)), t.past(m.passed)...)
	}
	return out
}

// step tells the move from one state to another, both by number.
func (t *trial) step(from, to int32) []PathStep {
	m := t.way(t.places[from], t.places[to])
	return append([]PathStep{t.told(t.places[from], m)}, t.past(m.passed)...)
}

// way is the first move from one state to another.
func (t *trial) way(from, to tried) (way tryMove) {
	way.step = -1
	t.moves(from, func(m tryMove) {
		if m.to == to && way.step < 0 {
			way = m
		}
	})
	return way
}

// past tells the steps that the line went past.
func (t *trial) past(passed []passing) (out []PathStep) {
	for _, p := range passed {
		s := &t.steps[p.step]
		what := "is gone by: it does not apply"
		switch {
		case p.standing:
			what = fmt.Sprintf("is gone by: %s stands", t.name(s.Secures))
		case t.order[p.step] >= 0:
			what = "is gone by: there is nothing to make safe"
		}
		out = append(out, PathStep{Step: s.ID, Place: s.Place, Action: GoneBy, What: what})
	}
	return out
}

// told is one move in words.
func (t *trial) told(from tried, m tryMove) PathStep {
	s := &t.steps[m.step]
	out := PathStep{Step: s.ID, Place: s.Place, Action: m.action, Answer: m.answer, Chose: t.frame.changed(from.values, m.to.values), What: "done"}
	switch {
	case m.action == TakenBack && m.begun:
		out.What = takenBackBegun
	case m.action == TakenBack:
		out.What = takenBack
	case m.action == Skipped:
		out.What = "skipped"
	case m.action == Lost:
		out.Lost = []string{t.name(m.lost)}
		out.What = strings.Join(out.Lost, ", ") + " lost"
	case m.action == Again:
		out.What = fmt.Sprintf("is done again, for %s needs it", t.steps[from.step].ID)
	case m.answer != "":
		out.What = fmt.Sprintf("answered %q", m.answer)
	}
	if chose := inWords(out.Chose, s.ID, m.answer); chose != "" {
		out.What += ", with " + chose
	}
	return out
}

// How a close that is taken back is told.
const (
	takenBack      = "the job is closed here, all that is due is made safe, and the close is taken back"
	takenBackBegun = "is begun; " + takenBack
)

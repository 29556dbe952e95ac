package drawing

// Dangers are named where they are faced and at the gate that keeps them off; they add no edge of their own, for the hold at that
// gate is the edge.

import (
	"fmt"
	"slices"
	"strings"

	"fenderside/procedures"
)

// faces names what a step exposes to.
func (g *graph) faces(st *procedures.Step) string {
	var out []string
	for _, f := range st.Faces {
		text := g.p.Dangers[f.Danger].ID
		if len(f.When) > 0 {
			text += " when " + condition(f.When)
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// keepsOff lists the dangers that a gate or a pinned step keeps off.
func (g *graph) keepsOff(i int) []int {
	return g.dangersOf(func(d procedures.Danger) bool { return slices.Contains(g.keepers(d), i) })
}

// facedFor lists the dangers that a step faces and that one of its needs keeps off.
func (g *graph) facedFor(i int, n procedures.Need) []int {
	return g.dangersOf(func(d procedures.Danger) bool {
		faced := slices.ContainsFunc(g.p.Steps[i].Faces, func(f procedures.Face) bool { return g.p.Dangers[f.Danger].ID == d.ID })
		return faced && slices.ContainsFunc(d.KeptOff, func(k procedures.Need) bool { return k.Safeguard == n.Safeguard && k.Pin == n.Pin })
	})
}

func (g *graph) dangersOf(which func(procedures.Danger) bool) (out []int) {
	for i, d := range g.p.Dangers {
		if which(d) {
			out = append(out, i)
		}
	}
	return out
}

// dangers names dangers by id.
func (g *graph) dangers(all []int) string {
	var ids []string
	for _, d := range all {
		ids = append(ids, g.p.Dangers[d].ID)
	}
	return strings.Join(ids, ", ")
}

// keepers lists the steps that keep a danger off: gates, and pinned work.
func (g *graph) keepers(d procedures.Danger) (steps []int) {
	for _, k := range d.KeptOff {
		if k.Safeguard >= 0 {
			steps = append(steps, g.p.Safeguards[k.Safeguard].Gate)
		} else {
			steps = append(steps, k.Pin)
		}
	}
	return steps
}

// perils lists each danger with what keeps it off, who faces it, and what brings it back.
func (g *graph) perils(pg *page) {
	if len(g.p.Dangers) == 0 {
		return
	}
	pg.head("DANGERS, and what keeps them off")
	for i, d := range g.p.Dangers {
		pg.item(d.ID + ": " + d.Title)
		for _, text := range append([]string{g.keptOff(d, i)}, g.comesBack(d, i)...) {
			pg.put("      ", "      ", text)
		}
	}
}

// keptOff words where a danger is kept off, and before what.
func (g *graph) keptOff(d procedures.Danger, i int) string {
	var by []string
	for _, k := range g.keepers(d) {
		name := g.name(k)
		if k < g.main {
			name = "gate " + name
		}
		by = append(by, name)
	}
	faced := g.stepsWith(func(st *procedures.Step) bool {
		return slices.ContainsFunc(st.Faces, func(f procedures.Face) bool { return f.Danger == i })
	})
	switch {
	case len(by) == 0 && len(faced) == 0:
		return "only brought on: no step faces it, and nothing keeps it off"
	case len(by) == 0:
		return "faced by " + g.numbers(faced) + ", and nothing keeps it off"
	case len(faced) == 0:
		return "kept off by " + strings.Join(by, " and ") + "; no step faces it"
	}
	return "kept off by " + strings.Join(by, " and ") + ", before it is faced by " + g.numbers(faced)
}

// comesBack words what brings a danger back.
func (g *graph) comesBack(d procedures.Danger, i int) (out []string) {
	with := slices.Clone(d.ComesWith)
	if d.After > 0 {
		with = append(with, fmt.Sprintf("time, after %g min", d.After.Minutes()))
	}
	if len(with) > 0 {
		out = append(out, "comes with "+strings.Join(with, ", "))
	}
	if by := g.stepsWith(func(st *procedures.Step) bool { return slices.Contains(st.Brings, i) }); len(by) > 0 {
		out = append(out, "brought on by "+g.numbers(by))
	}
	return out
}

func (g *graph) stepsWith(which func(*procedures.Step) bool) (steps []int) {
	for i := range g.p.Steps {
		if which(&g.p.Steps[i]) {
			steps = append(steps, i)
		}
	}
	return steps
}

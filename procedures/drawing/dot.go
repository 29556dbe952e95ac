package drawing

// The drawing in the DOT language of Graphviz. Shapes and line styles carry the meaning; colours are left alone.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/procedures/wrap"
)

// DOT returns the graph in the DOT language: a box with a thick border is a gate, an oval is a step, a hexagon is pinned
// work, a double circle is an end. A solid edge is a way on, with its answer; a dashed edge leads from a step that can be
// held to the gate that keeps off what it faces; a dotted one from a step to the pinned work that it starts.
func DOT(p *procedures.Procedure) string {
	g := newGraph(p)
	d := &dot{}
	d.line("digraph %s {", text(p.Name))
	d.line("  label=%s;", text(fmt.Sprintf("%s, revision %d: %s", p.Name, p.Revision, p.Title)))
	d.line("  labelloc=t; rankdir=TB; concentrate=true; node [fontname=\"sans-serif\"]; edge [fontname=\"sans-serif\"];")
	d.line("  start [label=\"START\", shape=plaintext];")
	for i := range p.Steps {
		d.line("  %s [label=%s, %s];", node(i), text(g.caption(i)), g.shape(i))
	}
	for _, end := range g.outcomes() {
		d.line("  %s [label=%s, shape=doublecircle];", "end_"+string(end), text("END\n"+string(end)))
	}
	d.line("  start -> %s;", node(0))
	for i := range p.Steps {
		g.edges(d, i)
	}
	d.line("}")
	return d.String()
}

type dot struct{ strings.Builder }

func (d *dot) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

func node(i int) string { return fmt.Sprintf("step_%d", i+1) }

// text is a string of the DOT language: quotation marks and backslashes are escaped, a line break is \n.
func text(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(s) + `"`
}

// wrapped breaks a text into short lines for the inside of a shape.
func wrapped(s string) string { return strings.Join(wrap.Text(s, 32), "\n") }

func (g *graph) caption(i int) string {
	st := &g.p.Steps[i]
	out := g.name(i) + "\n" + wrapped(st.Title)
	if st.Kind == procedures.Gate {
		out = "GATE " + out
	}
	if st.Secures >= 0 {
		out += "\nsecures " + g.p.Safeguards[st.Secures].ID
	}
	if len(g.keepsOff(i)) > 0 {
		out += "\n" + wrapped("keeps off "+g.dangers(g.keepsOff(i)))
	}
	if len(st.Faces) > 0 {
		out += "\n" + wrapped("faces "+g.faces(st))
	}
	if len(st.Releases) > 0 {
		out += "\n" + wrapped("releases "+g.safeguards(st.Releases))
	}
	if len(st.When) > 0 {
		out += "\n" + wrapped("only when "+condition(st.When))
	}
	if st.Ask != nil {
		out += "\n" + wrapped(st.Ask.Question)
	}
	return out
}

func (g *graph) shape(i int) string {
	switch g.p.Steps[i].Kind {
	case procedures.Gate:
		return "shape=box, penwidth=3"
	case procedures.Pinned:
		return "shape=hexagon"
	}
	return "shape=ellipse"
}

// outcomes lists the ends that a step leads to.
func (g *graph) outcomes() (all []procedures.Outcome) {
	for _, end := range []procedures.Outcome{procedures.Complete, procedures.Referred, procedures.Abandoned} {
		if len(g.ends[end]) > 0 {
			all = append(all, end)
		}
	}
	return all
}

// edges writes what leaves a step: its exits, its holds, the pinned work that it starts.
func (g *graph) edges(d *dot, i int) {
	for _, x := range g.exits[i] {
		to := "end_" + string(x.end)
		if x.end == "" {
			to = node(x.to)
		}
		d.line("  %s -> %s [label=%s];", node(i), to, text(wrapped(x.say)))
	}
	if g.goesOn(i) && i+1 < g.main && !g.straight(i) {
		d.line("  %s -> %s [label=\"passed by\"];", node(i), node(i+1))
	}
	for _, n := range g.p.Steps[i].Needs {
		to := n.Pin
		if n.Safeguard >= 0 {
			to = g.p.Safeguards[n.Safeguard].Gate
		}
		label := "held"
		if off := g.facedFor(i, n); len(off) > 0 {
			label += " to keep off " + g.dangers(off)
		}
		if len(n.When) > 0 {
			label += " when " + condition(n.When)
		}
		d.line("  %s -> %s [style=dashed, constraint=false, tooltip=%s];", node(i), node(to), text(label))
	}
	for _, c := range g.p.Steps[i].Causes {
		for _, pin := range g.startedBy(c) {
			d.line("  %s -> %s [style=dotted, label=%s];", node(i), node(pin), text(c))
		}
	}
}

func (g *graph) straight(i int) bool {
	for _, x := range g.exits[i] {
		if x.next {
			return true
		}
	}
	return false
}

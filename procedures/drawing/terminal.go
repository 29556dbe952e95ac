package drawing

// The drawing for a terminal.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
)

const legend = `Read it downwards. A bar ==== is a gate: nobody passes it until its safeguard stands. o is a step. ` +
	`+---> names where an answer or a jump leads, <---- from where one arrives. A step that needs a safeguard which does not ` +
	`stand holds the job at that safeguard's gate, and the job then comes back.`

// Terminal draws the procedure in lines of at most width cells; a width under Narrowest counts as Narrowest.
func Terminal(p *procedures.Procedure, width int) []string {
	g, pg := newGraph(p), &page{width: max(width, Narrowest)}
	pg.put("", "", fmt.Sprintf("%s, revision %d: %s", p.Name, p.Revision, p.Title))
	pg.gap()
	pg.put("", "", legend)
	pg.gap()
	pg.put(gutterStart, gutterLine, "START, once the briefing is acknowledged")
	for i := range p.Steps[:g.main] {
		g.step(pg, i)
	}
	pg.put(gutterStart, gutterBreak, "END of the line: making safe, review and signature")
	g.beside(pg)
	g.perils(pg)
	g.holds(pg)
	g.close(pg)
	return pg.lines
}

// step draws one step of the main line with what arrives and what leaves.
func (g *graph) step(pg *page, i int) {
	st := &g.p.Steps[i]
	if i > 0 && !g.goesOn(i-1) {
		pg.gap()
	} else {
		pg.put(gutterLine, gutterLine, "")
	}
	for _, a := range g.arrivals[i] {
		pg.put(gutterArrive, gutterLine, "from "+g.name(a.from)+said(a.say))
	}
	rest := gutterLine
	if !g.goesOn(i) {
		rest = gutterBreak
	}
	if st.Kind == procedures.Gate {
		pg.bar("GATE " + g.name(i))
	} else {
		pg.put(gutterStep, gutterLine, g.name(i))
	}
	for _, text := range append([]string{st.Title}, g.details(i)...) {
		pg.put(gutterLine, gutterLine, text)
	}
	g.leaving(pg, i, rest)
	if rest == gutterBreak {
		pg.put(gutterBreak, gutterBreak, "(nothing goes straight on)")
	}
}

func said(say string) string {
	if say == "" {
		return ""
	}
	return ": " + say
}

// leaving draws the exits of a step. An exit straight on, of a step that asks nothing, is the line itself.
func (g *graph) leaving(pg *page, i int, rest string) {
	if q := g.p.Steps[i].Ask; q != nil {
		pg.put(gutterLine, gutterLine, "asks: "+q.Question)
	}
	for k, x := range g.exits[i] {
		if x.next && x.say == "" {
			continue
		}
		after := gutterLine
		if k == len(g.exits[i])-1 {
			after = rest
		}
		pg.put(gutterExit, after, g.leads(i, x))
	}
}

// leads words where an exit goes.
func (g *graph) leads(i int, x exit) string {
	to := ""
	switch {
	case x.end != "":
		to = "END " + string(x.end)
	case x.next:
		to = "straight on"
	case x.to <= i:
		to = "back to " + g.name(x.to)
	default:
		to = "down to " + g.name(x.to)
	}
	if x.say == "" {
		return to
	}
	return x.say + ": " + to
}

// details words what a step has beside its title, a line each.
func (g *graph) details(i int) []string {
	st := &g.p.Steps[i]
	var out []string
	say := func(holds bool, format string, args ...any) {
		if holds {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	say(len(st.When) > 0, "only when %s; passed by otherwise", condition(st.When))
	say(len(st.Needs) > 0, "needs %s", g.needs(st))
	say(len(st.Faces) > 0, "faces %s", g.faces(st))
	if st.Secures >= 0 {
		say(true, "secures %s: %s", g.p.Safeguards[st.Secures].ID, g.p.Safeguards[st.Secures].Title)
	}
	say(len(g.keepsOff(i)) > 0, "keeps off %s", g.dangers(g.keepsOff(i)))
	say(len(st.Releases) > 0, "releases %s", g.safeguards(st.Releases))
	for _, c := range st.Causes {
		out = append(out, g.cause(c))
	}
	say(g.place(st.ID) > 0, "makes safe: %d of %d at every close%s; passed by where it is not due", g.place(st.ID), len(g.p.MakeSafe), g.due(st))
	say(len(st.Ways) > 0, "one way of: %s", ways(st))
	say(len(st.Checks) > 0, "check: %s", checks(st))
	say(st.Wait != nil, "timed: %s", wait(st.Wait))
	if st.Repeat != nil {
		say(true, "entered at most %d times, until %s", st.Repeat.AtMost, st.Repeat.Until)
	}
	say(st.Witness, "a second person signs")
	say(st.Optional, "optional: may be skipped, with a reason")
	return out
}

func (g *graph) needs(st *procedures.Step) string {
	var out []string
	for _, n := range st.Needs {
		text := ""
		if n.Safeguard >= 0 {
			guard := g.p.Safeguards[n.Safeguard]
			text = fmt.Sprintf("%s (gate %s)", guard.ID, g.number(guard.Gate))
		} else {
			text = fmt.Sprintf("%s over (%s)", g.p.Steps[n.Pin].ID, g.number(n.Pin))
		}
		if len(n.When) > 0 {
			text += " when " + condition(n.When)
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// cause words what a cause does. What rests on a felled safeguard falls with it, and is listed with the holds.
func (g *graph) cause(c string) string {
	text := "causes " + c
	if guards := g.felledBy(c); len(guards) > 0 {
		text += ": fells " + g.safeguards(guards)
	}
	for _, pin := range g.startedBy(c) {
		text += "; starts " + g.name(pin)
	}
	return text
}

func (g *graph) due(st *procedures.Step) string {
	if len(st.DueAfter) == 0 {
		return ""
	}
	return ", due once begun: " + g.numbers(st.DueAfter)
}

func ways(st *procedures.Step) string {
	var out []string
	for _, w := range st.Ways {
		out = append(out, w.ID)
	}
	return strings.Join(out, ", ")
}

func checks(st *procedures.Step) string {
	var out []string
	for _, c := range st.Checks {
		name := c.Name
		if c.Advice {
			name += " (advice only)"
		}
		if len(out) == 0 || out[len(out)-1] != name {
			out = append(out, name)
		}
	}
	return strings.Join(out, ", ")
}

func wait(w *procedures.Wait) string {
	if w == nil {
		return ""
	}
	var out []string
	if w.AtLeast.Set {
		out = append(out, "at least "+bound(w.AtLeast))
	}
	if w.AtMost.Set {
		out = append(out, "at most "+bound(w.AtMost))
	}
	return strings.Join(out, ", ") + ", for " + w.Title
}

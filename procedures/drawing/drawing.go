// Package drawing draws the graph of a procedure: as lines of text for a terminal, and in the DOT language for Graphviz.
//
// The rule kept here: the drawing is the text. The main line runs down; a gate is a bar across it; a branch, a jump and an
// end are named where they leave and where they arrive, by number and id, so that nothing depends on where a line bends,
// and a screen reader loses nothing. Both drawings show the same graph, and it is the procedure's own: the edges are the
// answers, the `then` and the order of the file; nothing here works out what can be reached, which is for the proof.
package drawing

import (
	"fmt"
	"strings"

	"fenderside/procedures"
)

// exit is one way on from a step: to another step, or to an end.
type exit struct {
	say  string // the answer that takes it; empty without a question
	to   int    // index of a step, or -1
	end  procedures.Outcome
	next bool // it is the next step of the file
}

// arrival is an exit of another step that leads here from elsewhere.
type arrival struct {
	from int
	say  string
}

// graph is a procedure with its edges.
type graph struct {
	p        *procedures.Procedure
	main     int
	exits    [][]exit
	arrivals [][]arrival                      // by step
	ends     map[procedures.Outcome][]arrival // by end
	serves   [][]int                          // by safeguard: the steps that need it
	blocks   map[int][]int                    // by pinned step: the steps that need it over
}

func newGraph(p *procedures.Procedure) *graph {
	g := &graph{p: p, main: p.MainLine(), exits: make([][]exit, len(p.Steps)), arrivals: make([][]arrival, len(p.Steps)),
		ends: map[procedures.Outcome][]arrival{}, serves: make([][]int, len(p.Safeguards)), blocks: map[int][]int{}}
	for i := range p.Steps {
		if i < g.main {
			g.leave(i)
		}
		for _, n := range p.Steps[i].Needs {
			if n.Safeguard >= 0 {
				g.serves[n.Safeguard] = once(g.serves[n.Safeguard], i)
			} else {
				g.blocks[n.Pin] = once(g.blocks[n.Pin], i)
			}
		}
	}
	return g
}

// once adds a number that is not the last one already; steps are added in order.
func once(all []int, i int) []int {
	if len(all) > 0 && all[len(all)-1] == i {
		return all
	}
	return append(all, i)
}

// leave fills the exits of a step and what arrives where they lead.
func (g *graph) leave(i int) {
	st := &g.p.Steps[i]
	if st.Ask == nil {
		g.exit(i, "", st.Then)
		return
	}
	for _, a := range st.Ask.Answers {
		g.exit(i, a.Say, a.Then)
	}
}

func (g *graph) exit(i int, say string, t procedures.Target) {
	x := exit{say: say, to: -1, end: t.End}
	switch to, named := g.p.StepByID(t.Step); {
	case t.End != "":
	case named:
		x.to, x.next = to.Index, to.Index == i+1
	case i+1 < g.main:
		x.to, x.next = i+1, true
	default:
		x.end = procedures.Complete
	}
	g.exits[i] = append(g.exits[i], x)
	switch {
	case x.end != "":
		g.ends[x.end] = append(g.ends[x.end], arrival{i, say})
	case !x.next:
		g.arrivals[x.to] = append(g.arrivals[x.to], arrival{i, say})
	}
}

// goesOn says whether the line runs on from a step to the one below it. A step that may be passed by always lets it.
func (g *graph) goesOn(i int) bool {
	st := &g.p.Steps[i]
	if len(st.When) > 0 || st.Optional || g.place(st.ID) > 0 {
		return true
	}
	for _, x := range g.exits[i] {
		if x.next {
			return true
		}
	}
	return false
}

// place is the step's place in the order of making safe, counted from 1, or 0.
func (g *graph) place(id string) int {
	for k, other := range g.p.MakeSafe {
		if other == id {
			return k + 1
		}
	}
	return 0
}

// number is how a step is referred to: 1, 2, ... on the main line, P1, P2, ... beside it.
func (g *graph) number(i int) string {
	if i < g.main {
		return fmt.Sprint(i + 1)
	}
	return fmt.Sprintf("P%d", i-g.main+1)
}

// name is a step's number and id.
func (g *graph) name(i int) string { return g.number(i) + " " + g.p.Steps[i].ID }

// numbers lists steps by number, neighbours as ranges.
func (g *graph) numbers(steps []int) string {
	var out []string
	for k := 0; k < len(steps); {
		end := k
		for end+1 < len(steps) && steps[end+1] == steps[end]+1 && steps[end+1] < g.main {
			end++
		}
		switch {
		case end > k+1:
			out = append(out, g.number(steps[k])+" to "+g.number(steps[end]))
			k = end + 1
		default:
			out = append(out, g.number(steps[k]))
			k++
		}
	}
	return strings.Join(out, ", ")
}

// safeguards names safeguards by id.
func (g *graph) safeguards(all []int) string {
	var ids []string
	for _, s := range all {
		ids = append(ids, g.p.Safeguards[s].ID)
	}
	return strings.Join(ids, ", ")
}

// felledBy lists the safeguards that name a cause, and startedBy the pinned steps.
func (g *graph) felledBy(cause string) (guards []int) {
	for i, s := range g.p.Safeguards {
		for _, c := range s.LapseOn {
			if c == cause {
				guards = append(guards, i)
			}
		}
	}
	return guards
}

func (g *graph) startedBy(cause string) (pins []int) {
	for i := g.main; i < len(g.p.Steps); i++ {
		for _, c := range g.p.Steps[i].Pin.On {
			if c == cause {
				pins = append(pins, i)
			}
		}
	}
	return pins
}

// condition words when something applies.
func condition(c procedures.Condition) string {
	var out []string
	for _, clause := range c {
		out = append(out, clause.Choice+" is "+strings.Join(clause.In, " or "))
	}
	return strings.Join(out, " and ")
}

// bound words a limit.
func bound(b procedures.Bound) string {
	if b.Ref != "" {
		return b.Ref
	}
	return b.Figure.String()
}

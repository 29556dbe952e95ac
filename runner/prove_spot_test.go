package runner_test

// A spot is one state that a scout came to, with what the way to it did: what was ever secured, what was released, what was felled.

import (
	"slices"

	"fenderside/procedures"
	"fenderside/runner"
)

// spot is one state, with what the scout keeps about the way to it.
type spot struct {
	state  runner.State
	now    runner.Moment
	ever   map[string]bool // safeguards secured so far, and questions asked
	gone   map[string]bool // released, with the line only going forward since
	undone map[string]bool // safeguards that a completed step's cause felled, and that were not secured since
	broken int             // disturbances
	turned bool            // by a correction
	books  *dangerBooks
	way    *spot
	by     string
}

// keep writes down what the events of a decision did.
func (n *spot) keep(p *procedures.Procedure, from *spot, d runner.Decision) {
	ever, gone, undone := copied(n.ever), copied(n.gone), copied(n.undone)
	for _, e := range d.Events {
		switch e := e.(type) {
		case runner.Answered:
			ever["asked "+e.Step] = true
		case runner.WayChosen:
			ever["asked "+e.Step] = true
		case runner.Secured:
			ever[e.Safeguard] = true
			delete(gone, e.Safeguard)
			delete(undone, e.Safeguard)
		case runner.Released:
			n.release(p, gone, ever, e.Safeguard)
		case runner.Fell:
			if e.Why == runner.ByRest && gone[e.Of] { // on what it rested on as things were
				gone[e.Safeguard] = true
			}
		case runner.Done:
			st, _ := p.StepByID(e.Step)
			for _, g := range p.Safeguards {
				if slices.ContainsFunc(st.Causes, func(c string) bool { return slices.Contains(g.LapseOn, c) }) {
					undone[g.ID] = true
				}
			}
		case runner.Entered:
			st, _ := p.StepByID(e.Step)
			if at := from.state.Cursor(); at == nil || st.Index <= at.Index {
				clear(gone)
			}
		}
	}
	if n.state.Phase() == runner.Closing {
		clear(gone)
	}
	n.ever, n.gone, n.undone = ever, gone, undone
}

// release marks a safeguard and what rests on it.
func (n *spot) release(p *procedures.Procedure, gone, ever map[string]bool, id string) {
	if !ever[id] {
		return
	}
	gone[id] = true
	g, _ := p.SafeguardByID(id)
	for _, other := range p.Safeguards {
		if slices.Contains(other.Rests, g) && !gone[other.ID] {
			n.release(p, gone, ever, other.ID)
		}
	}
}

func copied[V any](m map[string]V) map[string]V {
	out := make(map[string]V, len(m))
	for k, v := range m {
		out[k] = v
	}
	return out
}

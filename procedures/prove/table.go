package prove

// Which gate protects which steps, and that none protects nothing.

import "fmt"

// table is the table of gates and the steps that need what they secure.
func (m *model) table() []GateRow {
	out := make([]GateRow, 0, len(m.p.Safeguards))
	for g, spec := range m.p.Safeguards {
		row := GateRow{Safeguard: spec.ID, Lasting: spec.Lasting, Steps: []string{}}
		if gate := m.gate[g]; gate >= 0 {
			row.Gate, row.Place = m.steps[gate].ID, m.steps[gate].Place
		}
		for i := range m.steps {
			s := &m.steps[i]
			switch {
			case m.needing[g].has(i):
				row.Steps = append(row.Steps, s.ID)
			case m.needsResting(i, g):
				row.Resting = append(row.Resting, s.ID)
			}
			for _, r := range s.Releases {
				if r == g {
					row.Released = append(row.Released, s.ID)
				}
			}
		}
		out = append(out, row)
	}
	return out
}

// needsResting says whether a step needs, in every case, something that falls with the safeguard.
func (m *model) needsResting(i, g int) bool {
	for _, n := range m.steps[i].Needs {
		if n.Pin < 0 && len(n.When) == 0 && m.falls[g].has(n.Safeguard) {
			return true
		}
	}
	return false
}

func (x *prover) protects() {
	protected := 0
	for _, row := range x.proof.Gates {
		protected += len(row.Steps)
		if row.Lasting || len(row.Steps) > 0 {
			continue
		}
		for _, spec := range x.p.Safeguards {
			if spec.ID == row.Safeguard {
				x.fail(Counterexample{Step: row.Gate, Place: spec.Place, Missing: spec.ID, Path: x.unneeded(row.Gate),
					What: fmt.Sprintf("no step needs safeguard %q: its gate %q protects nobody", spec.ID, row.Gate),
					Hint: "add it to needs of each step that is hazardous without it, or take it out"})
			}
		}
	}
	x.about = fmt.Sprintf("%d safeguards, %d needs", len(x.p.Safeguards), protected)
}

// unneeded is the path to a gate that protects nobody.
func (x *prover) unneeded(gate string) []PathStep {
	i, ok := x.id[gate]
	if !ok {
		return nil
	}
	return append(x.pathTo(i), x.arrived(i, "is done, and nothing after it asks for it"))
}

package runner

// A safeguard rests on what its gate needed: on what it needs in every case, and on what it needed under a condition that held
// when it was done. What the condition has come to since makes no difference; the gate was done as things were then.

import "slices"

// restingOn lists the safeguards that rest on one.
func (s *State) restingOn(g int) (out []int) {
	for r := range s.guards {
		if s.restsOn(r, g) {
			out = append(out, r)
		}
	}
	return out
}

// fellWith lists a safeguard and all that would fall with it; nothing where there is none.
func (s *State) fellWith(g int) (out []int) {
	if g < 0 {
		return nil
	}
	out = []int{g}
	for k := 0; k < len(out); k++ {
		for _, r := range s.restingOn(out[k]) {
			if !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	return out
}

// restsOn says whether a safeguard rests on another. Where its gate was only begun, what was entered there rests on what the
// gate needs as things are now.
func (s *State) restsOn(r, g int) bool {
	switch spec := &s.job.Procedure.Safeguards[r]; {
	case slices.Contains(spec.Rests, g):
		return true
	case s.guards[r].stands:
		return slices.Contains(s.guards[r].rests, g)
	}
	return slices.Contains(s.neededThen(r), g)
}

// neededThen lists the safeguards that the gate of one needs under conditions that hold now. A lasting one rests on nothing.
func (s *State) neededThen(g int) (out []int) {
	spec := &s.job.Procedure.Safeguards[g]
	if spec.Lasting {
		return nil
	}
	for _, n := range s.spec(spec.Gate).Needs {
		if n.Safeguard >= 0 && len(n.When) > 0 && s.holds(n.When) {
			out = append(out, n.Safeguard)
		}
	}
	return out
}

package prove

// Pinned work is started by a cause and blocks what needs it at rest, and every close.

import (
	"fmt"
	"slices"
)

func (x *prover) pins() {
	waits := 0
	for i := range x.steps {
		s := &x.steps[i]
		for _, n := range s.Needs {
			if n.Pin < 0 {
				continue
			}
			waits++
			if pin := &x.steps[n.Pin]; x.opened[i].has(x.pinned(n.Pin)) {
				at := n.Place
				if at.Line == 0 {
					at = s.Place
				}
				x.fail(Counterexample{Step: s.ID, Place: at, Missing: pin.ID, Where: fmt.Sprintf("%q starts it itself", s.ID),
					What: fmt.Sprintf("step %q needs %q at rest and starts it: it can never be completed", s.ID, pin.ID),
					Hint: "cause it in another step, or take the need out", Path: append(x.pathTo(i), x.arrived(i, pin.ID+" starts again, every time"))})
			}
		}
	}
	for i := x.main; i < len(x.steps); i++ {
		x.starts(i)
	}
	x.about = fmt.Sprintf("%d pinned steps, each blocking every close while it runs and %d needs", len(x.steps)-x.main, waits)
}

// starts: something starts pinned step i.
func (x *prover) starts(i int) {
	pin := &x.steps[i]
	for k := range x.main {
		if slices.ContainsFunc(x.steps[k].Causes, func(c string) bool { return slices.Contains(pin.Pin.On, c) }) {
			return
		}
	}
	x.fail(Counterexample{Step: pin.ID, Place: pin.Place, What: fmt.Sprintf("nothing starts pinned step %q", pin.ID),
		Hint: "let the step that makes it necessary cause what it starts on"})
}

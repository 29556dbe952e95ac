package procedures

// Every step can be reached: along the main line, through a need that its gate secures, or at a close. And the main
// line can end complete.

// walk is the steps that can be reached.
type walk struct {
	*loader
	main    int    // how many steps are on the main line
	line    []bool // reached along the main line
	held    []bool // reached because another step needs what its gate secures, or because a close needs it
	end     bool   // complete can be reached
	pending []int
}

// flow is left out where the order of the steps is not known for another fault.
func (l *loader) flow() {
	main := len(l.stepIDs(false))
	if l.lost || main == 0 {
		return
	}
	w := &walk{loader: l, main: main, line: make([]bool, len(l.steps)), held: make([]bool, len(l.steps))}
	w.reach(0)
	for _, s := range l.steps[:main] {
		if l.makesSafe(s) {
			w.hold(s.Index)
		}
	}
	for len(w.pending) > 0 {
		i := w.pending[0]
		w.pending = w.pending[1:]
		w.leave(l.steps[i])
	}
	for i, s := range l.steps[:main] {
		if !w.line[i] && !w.held[i] {
			l.fault(s.Place, "lead a then or an answer to it, or take it out", "step %s cannot be reached", quote(s.ID))
		}
	}
	if !w.end {
		l.fault(l.steps[main-1].Place, "let a step lead to complete, or the last step to its end", "no path leads to complete")
	}
}

// reach marks a step as reached along the main line; past the last step is complete.
func (w *walk) reach(i int) {
	if i >= w.main {
		w.end = true
		return
	}
	if !w.line[i] {
		w.line[i] = true
		w.pending = append(w.pending, i)
	}
}

// hold marks a step as reached from beside the main line: what follows it in the file is not reached through it.
func (w *walk) hold(i int) {
	if !w.line[i] && !w.held[i] {
		w.held[i] = true
		w.pending = append(w.pending, i)
	}
}

// leave follows everything that a reached step leads to.
func (w *walk) leave(s *Step) {
	for _, n := range s.Needs {
		if n.Safeguard >= 0 && w.p.Safeguards[n.Safeguard].Gate >= 0 {
			w.hold(w.p.Safeguards[n.Safeguard].Gate)
		}
	}
	targets := []Target{s.Then}
	if s.Ask != nil {
		targets = nil
		for _, a := range s.Ask.Answers {
			targets = append(targets, a.Then)
		}
	}
	if len(s.When) > 0 || s.Optional || w.makesSafe(s) {
		targets = append(targets, Target{})
	}
	for _, t := range targets {
		w.follow(s, t)
	}
}

func (w *walk) follow(s *Step, t Target) {
	switch {
	case t.End == Complete:
		w.end = true
	case t.End != "":
	case t.Step != "":
		w.reach(w.stepIndex(t.Step))
	case w.line[s.Index]:
		w.reach(s.Index + 1)
	}
}

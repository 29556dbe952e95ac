package main

// The rule kept here: the screens want a terminal at both ends. Where there is none, or --plain is given, the same job is
// worked in plain lines by the same engine.

import (
	"os"

	"golang.org/x/term"

	"fenderside/procedures"
	"fenderside/runner/home"
	"fenderside/ui"
	"fenderside/ui/plain"
)

// order is a job that is to be opened.
type order struct {
	procedure *procedures.Procedure
	card      *procedures.Card // nil: the screens ask for one, or for figures
	practice  bool
	after     string // the locked job that it follows
}

// screenful says whether the screens can be shown.
func (w *world) screenful() bool {
	return w.terminal() && drawable() && w.getenv("TERM") != "dumb"
}

// drawable says whether standard output is a terminal.
func drawable() bool { return term.IsTerminal(int(os.Stdout.Fd())) }

// work opens a job, or takes one up, or asks which.
func (w *world) work(h home.Home, o *order, resume string, lines bool) error {
	if lines || !w.screenful() {
		p := plain.Options{Home: h, Resume: resume, In: w.in, Out: os.Stdout, Terminal: w.terminal(), Bell: drawable()}
		if o != nil {
			p.Start = &plain.Start{Procedure: o.procedure, Card: o.card, Practice: o.practice, After: o.after}
		}
		return plain.Run(p)
	}
	s := ui.Options{Home: h, Resume: resume, In: w.in, Out: os.Stdout, Terminal: true, NoColor: w.getenv("NO_COLOR") != ""}
	if o != nil {
		s.Start = &ui.Start{Procedure: o.procedure, Card: o.card, Practice: o.practice, After: o.after}
	}
	return ui.Run(s)
}

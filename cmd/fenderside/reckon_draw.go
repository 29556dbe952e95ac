package main

// The rule kept here: a picture stands above the answer and never in its place.

import (
	"fenderside/checks"
	"fenderside/ui/picture"
)

// drawAnswer prints the picture of an answer; a topic without one is told on standard error.
func drawAnswer(w *world, c checks.Check, args checks.Arguments, r checks.Result, a asked) error {
	from := picture.Source{Check: c.Name, Given: args, Verdict: r.Verdict, Figures: r.Figures}
	if a.card != "" {
		h, err := w.home()
		if err != nil {
			return err
		}
		if from.Card, err = h.Card(a.card); err != nil {
			return err
		}
	}
	p, ok := picture.OfCheck(from, picture.Form{Width: columns(0), Lines: a.lines})
	if !ok {
		w.remark("there is no picture of " + c.Name)
		return nil
	}
	w.say("%s", p.Title)
	for _, row := range p.Rows {
		w.say("%s", row)
	}
	w.say("")
	return nil
}

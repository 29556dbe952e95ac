package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/procedures/prove"
	"fenderside/runner/home"
)

func proceduresProve(w *world) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "prove NAME|FILE", Short: "Prove that no path reaches a step without its gate", Args: exactlyOne("a procedure by its name or its file (see: fenderside procedures list)"),
		Long: `Prove of a procedure that no order of events reaches a step without what it needs, or leaves a job where it cannot be
brought to an end: with every answer, lapse, loss, interruption, handover, correction and early close, at any moment. It
prints what was shown, how many states were looked at, and which gate protects which steps. What cannot be shown is told by
the shortest path to it, step by step, with line numbers. A proof is of what the procedure says: a need, a lapse or a cause
that nobody wrote down cannot be missed.

Exit status: 0 proved; 1 not proved, ended by ctrl+c, or the file has a fault; 2 bad usage, or no procedure of that name; 3 could
not read or write.`,
		RunE:              action(func(args []string) error { return proveProcedure(w, args[0], asJSON) }),
		ValidArgsFunction: inTurn(procedureNames(w)),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

func proveProcedure(w *world, name string, asJSON bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	proof, err := proofOf(w, h, name)
	if err != nil {
		return err
	}
	if asJSON {
		err = w.sayJSON(proof)
	} else {
		err = sayProof(w, proof)
	}
	if err == nil && !proof.Proved() {
		return errFound
	}
	return err
}

// proofOf reads a procedure and proves it, which may take a while.
func proofOf(w *world, h home.Home, name string) (prove.Proof, error) {
	var proof prove.Proof
	var failed error
	ended := w.await("prove "+name, func(far func(string)) {
		p, err := h.Procedure(name)
		if failed = err; err == nil {
			proof = prove.Procedure(p, prove.Limits{Told: func(rule prove.Rule, states int) {
				far(fmt.Sprintf("%d states, %s", states, rule))
			}})
		}
	})
	if ended != nil {
		return prove.Proof{}, ended // the work may still be writing to the others
	}
	return proof, failed
}

func sayProof(w *world, proof prove.Proof) error {
	verdict := "proved"
	switch {
	case proof.Exceeded != "":
		verdict = "not proved: given up"
	case len(proof.Failures) == 1:
		verdict = "not proved: 1 counterexample"
	case len(proof.Failures) > 0:
		verdict = fmt.Sprintf("not proved: %d counterexamples", len(proof.Failures))
	}
	w.say("%s: %s", proof.Procedure, verdict)
	w.say("")
	var text strings.Builder
	if err := proof.Text(&text); err != nil {
		return err
	}
	for _, l := range strings.Split(strings.TrimSuffix(text.String(), "\n"), "\n") {
		w.say("%s", l)
	}
	return nil
}

package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner/home"
)

type startFlags struct {
	vehicle, after  string
	practice, lines bool
}

// startCommand opens a job.
func startCommand(w *world) *cobra.Command {
	var f startFlags
	c := &cobra.Command{
		Use: "start PROCEDURE", Short: "Start a job", Args: exactlyOne("a procedure by its name or its file (see: fenderside procedures list)"),
		Long: `Start a job on a procedure, by its name or its file. Live work needs a terminal on standard input; anything else is
practice. A demonstration card always makes a practice job: a live one takes your own card, or figures typed on the job
sheet, each with where it came from.

Leave at any time, by ctrl+c too: the job is kept as it stands, and resumed with: fenderside resume

Exit status: 0 signed, or left to be resumed; 1 refused, left before a job was opened, or the job is locked; 2 bad usage; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return start(w, args[0], f) }),
		ValidArgsFunction: inTurn(procedureNames(w)),
	}
	c.Flags().StringVar(&f.vehicle, "vehicle", "", "the vehicle `card`, by its name or its file")
	c.Flags().BoolVar(&f.practice, "practice", false, "practise: the record can never pass for live work")
	c.Flags().BoolVar(&f.lines, "plain", false, "work in plain lines, as a screen reader follows them")
	c.Flags().StringVar(&f.after, "after", "", "the locked `job` that this one follows, to make its vehicle safe")
	_ = c.RegisterFlagCompletionFunc("vehicle", cardNames(w))
	_ = c.RegisterFlagCompletionFunc("after", openJobs(w))
	return c
}

func start(w *world, name string, f startFlags) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	o := order{practice: f.practice, after: f.after}
	if o.procedure, err = h.Procedure(name); err != nil {
		return err
	}
	if f.vehicle != "" {
		if o.card, err = h.Card(f.vehicle); err != nil {
			return err
		}
	}
	o.practice = o.practice || o.card != nil && o.card.Demonstration
	if !o.practice && !w.terminal() {
		return errors.New("live work needs a terminal on standard input: run this at a terminal, or practise with --practice or a demonstration card")
	}
	if err := follows(h, f.after); err != nil {
		return err
	}
	return w.work(h, &o, "", f.lines)
}

// follows holds the job named by --after to those that are there.
func follows(h home.Home, after string) error {
	if after == "" {
		return nil
	}
	st, err := h.Store()
	if err != nil {
		return err
	}
	open, err := st.OpenJobs()
	if err != nil {
		return err
	}
	if !slices.Contains(open, after) {
		return fmt.Errorf("follow job %q: %w among the open jobs: %s", after, home.ErrUnknown, procedures.DidYouMean(after, open))
	}
	return nil
}

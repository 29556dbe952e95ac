package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner/home"
	"fenderside/runner/paper"
)

func proceduresPaper(w *world) *cobra.Command {
	var length int
	c := &cobra.Command{
		Use: "paper NAME|FILE [JOB]", Short: "Print a procedure as a form to work by with a pen", Args: oneOrTwo("a procedure by its name or its file, and a job (see: fenderside jobs)"),
		Long: `Print a procedure as a form of 72 columns, with boxes to tick and lines to write on, should the laptop die. With a job that
is open it is the procedure which that job is bound to, with what its journal holds, where the work stands and which
safeguards stood. Paper knows no lapse: every safeguard is to be looked at again. Nothing in the job changes.

Exit status: 0 printed; 1 the file or the job has a fault, or the job is by another procedure; 2 bad usage, or no procedure
or open job of that name; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return printPaper(w, args, length) }),
		ValidArgsFunction: inTurn(procedureNames(w), openJobs(w)),
	}
	c.Flags().IntVar(&length, "page", 0, "break it into pages of this many `lines`, 30 at least, with a form feed before each but the first")
	return c
}

func oneOrTwo(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 1 && len(args) != 2 {
			return fmt.Errorf("%s wants %s (%d given)", c.CommandPath(), what, len(args))
		}
		return nil
	}
}

func printPaper(w *world, args []string, length int) error {
	const least = 30
	if length != 0 && length < least {
		return misuse{fmt.Errorf("break the form into pages of %d lines: give --page %d or more", length, least)}
	}
	form, err := paperForm(w, args)
	if err != nil {
		return err
	}
	pages := [][]string{form.Lines()}
	if length > 0 {
		pages = form.Pages(length)
	}
	for i, page := range pages {
		if i > 0 {
			fmt.Fprint(w.out, "\f")
		}
		for _, l := range page {
			w.say("%s", l)
		}
	}
	return nil
}

// orBlank says which open jobs there are, or how the form is printed without one: of a job that is closed there is the record.
func orBlank(id string, open []string, name string) string {
	if len(open) == 0 {
		return "none is open, and of a closed one there is its record; print the blank form with: fenderside procedures paper " + name
	}
	return procedures.DidYouMean(id, open)
}

// paperForm is the blank form of a procedure, or that of a job by it.
func paperForm(w *world, args []string) (form paper.Form, err error) {
	h, err := w.home()
	if err != nil {
		return form, err
	}
	if len(args) == 1 {
		p, err := h.Procedure(args[0])
		if err != nil {
			return form, err
		}
		return paper.Blank(p), nil
	}
	name, id := args[0], args[1]
	st, err := h.Store()
	if err != nil {
		return form, err
	}
	open, err := st.OpenJobs()
	if err != nil {
		return form, err
	}
	if !slices.Contains(open, id) {
		return form, fmt.Errorf("print job %q: %w among the open jobs: %s", id, home.ErrUnknown, orBlank(id, open, name))
	}
	replay, err := home.Replayed(st, id)
	if err != nil {
		return form, fmt.Errorf("%w: print the blank form with: fenderside procedures paper %s", err, name)
	}
	bound := replay.Job.Procedure
	if home.IsPath(name) {
		p, err := h.Procedure(name)
		if err != nil {
			return form, err
		}
		name = p.Name
	}
	if bound.Name != name {
		return form, fmt.Errorf("print job %s by %q: it is a job by %q: give that name", id, strings.TrimSpace(name), bound.Name)
	}
	return paper.Of(replay.State), nil
}

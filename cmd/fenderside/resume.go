package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner/home"
)

// resumeCommand takes a job up again.
func resumeCommand(w *world) *cobra.Command {
	var lines bool
	c := &cobra.Command{
		Use: "resume [JOB]", Short: "Take an open job up again", Args: atMostOne("one job, or none for the only one that is open"),
		Long: `Take an open job up again. Without a job it takes the only one there is. What an interruption fells has fallen: the job
shows it, and waits for a deliberate resume, which moves nothing by itself.

Exit status: 0 signed, or left to be resumed; 1 refused, or the job is locked; 2 bad usage; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return resume(w, strings.Join(args, ""), lines) }),
		ValidArgsFunction: inTurn(openJobs(w)),
	}
	c.Flags().BoolVar(&lines, "plain", false, "work in plain lines, as a screen reader follows them")
	return c
}

func resume(w *world, id string, lines bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	if id, err = meant(h, id); err != nil {
		return err
	}
	return w.work(h, nil, id, lines)
}

// meant is the job that is to be taken up.
func meant(h home.Home, id string) (string, error) {
	st, err := h.Store()
	if err != nil {
		return "", err
	}
	open, err := st.OpenJobs()
	switch {
	case err != nil:
		return "", err
	case id == "" && len(open) == 1:
		return open[0], nil
	case len(open) == 0:
		return "", errors.New("resume: no job is open: start one with: fenderside start PROCEDURE")
	case id == "":
		return "", misuse{fmt.Errorf("resume: %d jobs are open: name one of %s (see: fenderside jobs)", len(open), strings.Join(open, ", "))}
	case !slices.Contains(open, id):
		return "", fmt.Errorf("resume job %q: %w among the open jobs: %s", id, home.ErrUnknown, procedures.DidYouMean(id, open))
	}
	return id, nil
}

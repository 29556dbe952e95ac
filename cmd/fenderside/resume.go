package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner/home"
	"fenderside/runner/store"
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
	if id, err = w.meant(h, id, lines); err != nil {
		return err
	}
	return w.work(h, nil, id, lines)
}

// meant is the job that is to be taken up.
func (w *world) meant(h home.Home, id string, lines bool) (string, error) {
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
		return "", w.whichOf(st, open, lines)
	case !slices.Contains(open, id):
		return "", fmt.Errorf("resume job %q: %w among the open jobs: %s", id, home.ErrUnknown, procedures.DidYouMean(id, open))
	}
	return id, nil
}

// whichOf asks for one of several open jobs, and says of each where it stands and how it is taken up.
func (w *world) whichOf(st *store.Store, open []string, lines bool) error {
	all, err := home.Standings(st)
	if err != nil {
		return err
	}
	out := []string{fmt.Sprintf("resume: %d jobs are open, and only one is taken up: run one of these", len(open))}
	for _, s := range all {
		if !slices.Contains(open, s.Job) || s.Stage == home.NeverBegan {
			continue
		}
		out = append(out, w.takingUp(s, lines), "  "+standsAt(s))
	}
	return misuse{errors.New(strings.Join(out, "\n"))}
}

// takingUp is the command that takes a job up, or makes the vehicle safe where it cannot be taken up.
func (w *world) takingUp(s home.Standing, lines bool) string {
	line := "fenderside resume " + s.Job
	if s.Stage == home.Unreadable {
		line = "fenderside start PROCEDURE --after " + s.Job
	}
	if lines {
		line += " --plain"
	}
	if w.jobs != "" {
		line += " --store " + plaintext.ShellWord(w.jobs)
	}
	return line
}

// standsAt is where a job stands, in one line.
func standsAt(s home.Standing) string {
	if s.Stage == home.Unreadable {
		return "cannot be read: " + s.Problem
	}
	what := s.Procedure
	if s.Card != "" {
		what += " of " + s.Card
	}
	if s.Stage == home.Unsigned {
		return strings.TrimSpace(what + ", sealed and not signed yet")
	}
	return fmt.Sprintf("%s, %s, by %s, at: %s", what, s.Mode, s.Performer, s.At)
}

package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fenderside/runner/home"
)

// jobsCommand lists the jobs of the store.
func jobsCommand(w *world) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "jobs", Short: "List the jobs: open, held, closed", Args: none,
		Long: `List the jobs of this machine: those open with where each stands, those held with why, those closed with
their outcome. The list changes nothing, and it is no audit of the records.

Exit status: 0 listed; 1 a job cannot be read; 2 bad usage; 3 the store could not be read.`,
		RunE: action(func([]string) error { return listJobs(w, asJSON) }),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

func listJobs(w *world, asJSON bool) error {
	_, st, err := w.open()
	if err != nil {
		return err
	}
	all, err := home.Standings(st)
	if err != nil {
		return err
	}
	if asJSON {
		if err := w.sayJSON(all); err != nil {
			return err
		}
	} else {
		for _, s := range all {
			sayJob(w, s)
		}
	}
	if len(all) == 0 {
		w.remark("no jobs yet: start one with: fenderside start PROCEDURE (see: fenderside procedures list)")
	}
	for _, s := range all {
		if s.Stage == home.Unreadable {
			return errFound
		}
	}
	return nil
}

// sayJob prints a line for the job and one for each thing that holds it.
func sayJob(w *world, s home.Standing) {
	parts := []string{s.Job, string(s.Stage)}
	for _, p := range []string{s.Outcome, string(s.Mode), s.Procedure, s.Card, s.Performer, stamp(s.Opened)} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	w.say("%s", strings.Join(parts, "  "))
	if s.At != "" {
		w.say("    at: %s", s.At)
	}
	for _, h := range s.Held {
		w.say("    held: %s", h)
	}
	if s.After != "" {
		w.say("    follows: %s", s.After)
	}
	if s.Problem != "" {
		w.say("    problem: %s", s.Problem)
	}
	if s.Stage == home.Unsigned {
		w.say("    sign its record with: fenderside resume %s", s.Job)
	}
	if s.Stage == home.Unreadable {
		w.say("    make the vehicle safe under a new job that follows it: fenderside start PROCEDURE --after %s", s.Job)
	}
}

// stamp is a time as people read it, to the minute, in UTC as the record has it.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04Z")
}

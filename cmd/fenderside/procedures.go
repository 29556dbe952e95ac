package main

import (
	"github.com/spf13/cobra"

	"fenderside/procedures/library"
)

// proceduresCommand holds the commands about procedures.
func proceduresCommand(w *world) *cobra.Command {
	return group("procedures", "List, show, check, prove, draw and write procedures", proceduresList(w), proceduresShow(w), proceduresCheck(w),
		proceduresProve(w), proceduresDraw(w), proceduresNew(w), proceduresSchema(w), proceduresPaper(w))
}

type procedureLine struct {
	Name     string `json:"name"`
	Revision int    `json:"revision"`
	Title    string `json:"title"`
	File     string `json:"file"`
	Digest   string `json:"sha256"`
}

func proceduresList(w *world) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "list", Short: "List the procedures", Args: none,
		Long: `List the procedures that ship with the program and your own, and the rehearsal scripts that ship.

Exit status: 0 listed; 1 a file of yours is faulty (told on standard error); 2 bad usage; 3 could not read or write.`,
		RunE: action(func([]string) error { return listProcedures(w, asJSON) }),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

func listProcedures(w *world, asJSON bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	list, problems := h.Procedures()
	lines := make([]procedureLine, 0, len(list))
	for _, p := range list {
		lines = append(lines, procedureLine{p.Name, p.Revision, p.Title, p.File, p.Digest})
	}
	if asJSON {
		if err := w.sayJSON(lines); err != nil {
			return err
		}
	} else {
		for _, l := range lines {
			w.say("%s  revision %d  %s", l.Name, l.Revision, l.Title)
		}
		for _, s := range library.Scripts() {
			w.say("rehearsal script %s  %s", s.Name, s.Title)
		}
	}
	return toldOf(w, problems)
}

// toldOf prints the problems that left files out.
func toldOf(w *world, problems []error) error {
	if len(problems) == 0 {
		return nil
	}
	w.remarks(problems)
	return errFound
}

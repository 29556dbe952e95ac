package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fenderside/procedures/writing"
	"fenderside/runner/home"
)

func proceduresCheck(w *world) *cobra.Command {
	var strict bool
	c := &cobra.Command{
		Use: "check FILE...", Short: "Read procedure files strictly and tell every fault", Args: atLeastOne("files"),
		Long: `Read procedure files strictly. Every fault is printed, one a line: file:line:column: what is wrong (what to do). Of a
sound file the writing is looked at too: verb first, IF ... THEN, warnings without actions, signal words, protective
equipment. What could be better is printed as a warning with its source; it is judged by word lists, and is no fault.

Exit status: 0 every file is sound; 1 a file has a fault, or with --strict a warning; 2 bad usage; 3 a file could not be
read.`,
		RunE: action(func(files []string) error { return checkProcedures(w, files, strict) }),
	}
	c.Flags().BoolVar(&strict, "strict", false, "count a warning as a fault")
	return c
}

func checkProcedures(w *world, files []string, strict bool) error {
	warned := false
	err := checkFiles(w, files, func(file string) (string, error) {
		p, err := home.ReadProcedure(file)
		if err != nil {
			return "", err
		}
		warnings := writing.Check(p)
		for _, warning := range warnings {
			w.say("%s", warning)
		}
		warned = warned || len(warnings) > 0
		return fmt.Sprintf("procedure %s, revision %d", p.Name, p.Revision), nil
	})
	if err == nil && strict && warned {
		return errFound
	}
	return err
}

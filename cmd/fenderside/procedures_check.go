package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fenderside/runner/home"
)

func proceduresCheck(w *world) *cobra.Command {
	return &cobra.Command{
		Use: "check FILE...", Short: "Read procedure files strictly and tell every fault", Args: atLeastOne("files"),
		Long: `Read procedure files strictly. Every fault is printed, one a line: file:line:column: what is wrong (what to do).

Exit status: 0 every file is sound; 1 a file has a fault; 2 bad usage; 3 a file could not be read.`,
		RunE: action(func(files []string) error {
			return checkFiles(w, files, func(file string) (string, error) {
				p, err := home.ReadProcedure(file)
				if err != nil {
					return "", err
				}
				return fmt.Sprintf("procedure %s, revision %d", p.Name, p.Revision), nil
			})
		}),
	}
}

package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"fenderside/procedures/schema"
)

func proceduresSchema(w *world) *cobra.Command {
	var file string
	c := &cobra.Command{
		Use: "schema", Short: "Print the JSON Schema of a procedure file", Args: none,
		Long: `Print the JSON Schema (draft 2020-12) of a procedure file, for completion and checking in an editor. It knows the fields,
which of them must stand and what kind of value each takes. Names, quantities and safety are beyond it: for those there is
fenderside procedures check.

Exit status: 0 printed; 2 bad usage; 3 the file could not be written.`,
		RunE: action(func([]string) error { return printSchema(w, file) }),
	}
	c.Flags().StringVar(&file, "out", "", "write it to this `file` instead, over what is there")
	return c
}

func printSchema(w *world, file string) error {
	text, err := schema.Procedure()
	if err != nil {
		return err
	}
	if file == "" {
		_, err = w.out.Write(text)
		return err
	}
	if err := os.WriteFile(file, text, 0o644); err != nil {
		return fmt.Errorf("write the schema: %w: choose another place for it", err)
	}
	return nil
}

package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"fenderside/procedures/schema"
)

func proceduresSchema(w *world) *cobra.Command {
	var file string
	var card bool
	c := &cobra.Command{
		Use: "schema", Short: "Print the JSON Schema of a procedure file", Args: none,
		Long: `Print the JSON Schema (draft 2020-12) of a procedure file, or of a vehicle card, for completion and checking in an editor.
It knows the fields, which of them must stand and what kind of value each takes. Names, quantities and safety are beyond it:
for those there are fenderside procedures check and fenderside cards check.

Exit status: 0 printed; 2 bad usage; 3 the file could not be written.`,
		RunE: action(func([]string) error { return printSchema(w, card, file) }),
	}
	c.Flags().BoolVar(&card, "card", false, "the schema of a vehicle card instead")
	c.Flags().StringVar(&file, "out", "", "write it to this `file` instead, over what is there")
	return c
}

func printSchema(w *world, card bool, file string) error {
	of := schema.Procedure
	if card {
		of = schema.Card
	}
	text, err := of()
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

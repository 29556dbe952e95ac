package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"fenderside/procedures/library"
	"fenderside/procedures/skeleton"
)

func proceduresNew(w *world) *cobra.Command {
	var file string
	c := &cobra.Command{
		Use: "new NAME", Short: "Write the beginning of a new procedure", Args: exactlyOne("a name for the procedure"),
		Long: `Write the beginning of a new procedure to NAME.yaml: a small sound one, in which every field of the format is explained.
Change it piece by piece. What is there already is never written over.

Exit status: 0 written; 1 the file is there already, or a procedure that ships has that name; 2 bad usage, or no name for a
procedure; 3 it could not be written.`,
		RunE: action(func(args []string) error { return newProcedure(w, args[0], file) }),
	}
	c.Flags().StringVar(&file, "out", "", "write it to this `file` instead")
	return c
}

func newProcedure(w *world, name, file string) error {
	text, err := skeleton.New(name)
	if err != nil {
		return misuse{err}
	}
	if _, taken := library.Procedure(name); taken {
		return fmt.Errorf("name the procedure %q: one that ships with the program has that name: give yours another", name)
	}
	h, err := w.home()
	if err != nil {
		return err
	}
	if file == "" {
		file = name + ".yaml"
	}
	if err := writeNew(file, text); err != nil {
		return err
	}
	w.say("%s: written", file)
	w.remark("check it with: fenderside procedures check " + file + "\nto find it by name, keep it in " + h.ProceduresDir())
	return nil
}

// writeNew writes a file that is not there yet.
func writeNew(file string, text []byte) error {
	out, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("write %q: there is such a file already, and it is left as it is: choose another with --out", file)
	}
	if err != nil {
		return fmt.Errorf("write the procedure: %w: choose another place with --out", err)
	}
	if _, err := out.Write(text); err != nil {
		return errors.Join(fmt.Errorf("write the procedure: %w: choose another place with --out", err), out.Close())
	}
	return out.Close()
}

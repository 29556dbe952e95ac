package main

// The rule kept here: a page of the manual says what the command's own help says, and nothing is written twice.

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

func manualCommand(w *world) *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use: "manual", Short: "Write the manual pages", Args: none,
		Long: `Write a manual page for each command into a folder, over the pages of an earlier version. Read one with man -l FILE, or
keep them in the man1 folder of a place that man looks in, such as ~/.local/share/man/man1.

Exit status: 0 written; 2 bad usage; 3 they could not be written.`,
		RunE: func(c *cobra.Command, args []string) error {
			return action(func([]string) error { return writeManual(w, c.Root(), folder) })(c, args)
		},
	}
	c.Flags().StringVar(&folder, "out", "", "write the pages into this `folder`")
	_ = c.MarkFlagRequired("out")
	_ = c.MarkFlagDirname("out")
	return c
}

func writeManual(w *world, root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("write the manual: %w: choose another folder with --out", err)
	}
	written := 0
	err := everyCommand(root, func(c *cobra.Command) error {
		written++
		file := filepath.Join(folder, pageName(c)+".1")
		if err := os.WriteFile(file, []byte(manualPage(c)), 0o644); err != nil {
			return fmt.Errorf("write the manual: %w: choose another folder with --out", err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	w.say("%s: %d pages written", folder, written)
	return nil
}

// everyCommand visits a command and all that can be called under it.
func everyCommand(c *cobra.Command, visit func(*cobra.Command) error) error {
	if err := visit(c); err != nil {
		return err
	}
	for _, sub := range c.Commands() {
		if !sub.IsAvailableCommand() || sub.IsAdditionalHelpTopicCommand() {
			continue
		}
		if err := everyCommand(sub, visit); err != nil {
			return err
		}
	}
	return nil
}

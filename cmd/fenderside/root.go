package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/runner/home"
)

const rootLong = `fenderside walks you through a procedure, holds the work at every safety gate until the gate is
satisfied, and leaves a signed record that OpenSSH verifies and an audit replays.

It senses nothing: it knows only what you tell it. A typed confirmation is not a lockout, and no safety integrity
level is claimed. Where the vehicle maker's service information, local rules or your licence ask for more, or for
something else, follow them.

Without a command it shows the board: open jobs, procedures, records.

Your files: FENDERSIDE_HOME puts settings and jobs in one folder. Otherwise settings (key, roster, cards, procedures)
are in $XDG_CONFIG_HOME/fenderside and jobs in $XDG_DATA_HOME/fenderside, where the system has no place of its own.

Exit status: 0 sound or done; 1 found fault or refused; 2 bad usage; 3 could not read or write.`

// newRoot is the command with everything under it.
func newRoot(w *world) *cobra.Command {
	root := &cobra.Command{
		Use: "fenderside", Short: "A procedure runner that holds the work at its safety gates", Long: rootLong,
		Version: home.Version(), SilenceUsage: true, SilenceErrors: true,
	}
	// No template is set, here or under it: one makes the linker keep every method of every type, a sixth of the program.
	root.SetOut(w.out)
	root.SetErr(w.err)
	root.PersistentFlags().StringVar(&w.jobs, "store", "", "keep jobs and records in this `folder`")
	var lines bool
	root.Flags().BoolVar(&lines, "plain", false, "work in plain lines, as a screen reader follows them")
	root.AddCommand(startCommand(w), resumeCommand(w), rehearseCommand(w), jobsCommand(w),
		auditCommand(w), countersignCommand(w), proceduresCommand(w), cardsCommand(w), keyCommand(w), rosterCommand(w), reckonCommand(w),
		completionCommand(w), manualCommand(w))
	root.Args = knownCommand
	root.RunE = action(func([]string) error { return board(w, lines) })
	return root
}

// knownCommand refuses what is no command, with the nearest one.
func knownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	return fmt.Errorf("unknown command %q: %s", args[0], procedures.DidYouMean(args[0], names))
}

package main

import (
	"github.com/spf13/cobra"
)

// completionCommand prints what a shell needs to complete commands, names and inputs.
func completionCommand(w *world) *cobra.Command {
	shell := func(name, how string, write func(root *cobra.Command) error) *cobra.Command {
		return &cobra.Command{
			Use: name, Short: "Print the completion script for " + name, Args: none,
			Long: `Print what ` + name + ` needs to complete commands, and the names of procedures, cards, open jobs and topics with their inputs.

` + how + `

Exit status: 0 printed; 2 bad usage; 3 it could not be written.`,
			RunE: func(c *cobra.Command, args []string) error {
				return action(func([]string) error { return write(c.Root()) })(c, args)
			},
		}
	}
	return group("completion", "Print completion scripts for a shell",
		shell("bash", "Try it with: source <(fenderside completion bash)\n\nIt needs the package bash-completion. To keep it, write it to ~/.local/share/bash-completion/completions/fenderside",
			func(root *cobra.Command) error { return root.GenBashCompletionV2(w.out, true) }),
		shell("zsh", "To keep it, write it as _fenderside into a folder of $fpath, before compinit runs.",
			func(root *cobra.Command) error { return root.GenZshCompletion(w.out) }),
		shell("fish", "To keep it, write it to ~/.config/fish/completions/fenderside.fish",
			func(root *cobra.Command) error { return root.GenFishCompletion(w.out, true) }),
		shell("powershell", "Try it with: fenderside completion powershell | Out-String | Invoke-Expression\n\nTo keep it, put that line into your profile.",
			func(root *cobra.Command) error { return root.GenPowerShellCompletionWithDesc(w.out) }))
}

package main

import (
	"os"

	"github.com/spf13/cobra"

	"fenderside/procedures/library"
	"fenderside/runner/store"
)

// What the shell completes names from. A completion that fails completes nothing, and none makes a file.

type completion = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective)

func procedureNames(w *world) completion {
	return func(*cobra.Command, []string, string) (names []string, _ cobra.ShellCompDirective) {
		h, err := w.home()
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		list, _ := h.Procedures()
		for _, p := range list {
			names = append(names, cobra.CompletionWithDesc(p.Name, p.Title))
		}
		return names, cobra.ShellCompDirectiveDefault
	}
}

func cardNames(w *world) completion {
	return func(*cobra.Command, []string, string) (names []string, _ cobra.ShellCompDirective) {
		h, err := w.home()
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		cards, _ := h.Cards()
		for _, c := range cards {
			names = append(names, cobra.CompletionWithDesc(c.Name, c.Title))
		}
		return names, cobra.ShellCompDirectiveDefault
	}
}

func openJobs(w *world) completion {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		h, err := w.home()
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		if _, err := os.Stat(h.DataDir); err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp // opening the store would make it
		}
		st, err := store.Open(h.DataDir)
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		ids, _ := st.OpenJobs()
		return ids, cobra.ShellCompDirectiveNoFileComp
	}
}

// scriptNames completes the rehearsal scripts that ship, or a file.
func scriptNames(*cobra.Command, []string, string) (names []string, _ cobra.ShellCompDirective) {
	for _, s := range library.Scripts() {
		names = append(names, cobra.CompletionWithDesc(s.Name, s.Title))
	}
	return names, cobra.ShellCompDirectiveDefault
}

// inTurn completes each argument from its own list; there are no more than lists.
func inTurn(lists ...completion) completion {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(args) >= len(lists) {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return lists[len(args)](c, nil, typed)
	}
}

package main

import (
	"github.com/spf13/cobra"

	"fenderside/runner/store"
)

// What the shell completes names from. A completion that fails completes nothing.

type completion = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective)

func procedureNames(w *world) completion {
	return func(_ *cobra.Command, args []string, _ string) (names []string, _ cobra.ShellCompDirective) {
		h, err := w.home()
		if err != nil || len(args) > 0 {
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
	return func(_ *cobra.Command, args []string, _ string) (names []string, _ cobra.ShellCompDirective) {
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
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		h, err := w.home()
		if err != nil || len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		st, err := store.Open(h.DataDir)
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		ids, _ := st.OpenJobs()
		return ids, cobra.ShellCompDirectiveNoFileComp
	}
}

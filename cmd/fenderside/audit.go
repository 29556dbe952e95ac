package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fenderside/runner/audit"
	"fenderside/runner/store"
)

// auditCommand judges records.
func auditCommand(w *world) *cobra.Command {
	var o audit.Options
	var asJSON bool
	c := &cobra.Command{
		Use: "audit PATH...", Short: "Judge signed records by their files alone",
		Args: func(c *cobra.Command, paths []string) error { return auditable(c, paths, o.Roster) },
		Long: `Judge signed records by their files alone, against the roster that you trust. A path is a record, its folder, or a folder
with records anywhere beneath. Every signature is verified and every line is replayed through the engine that wrote it.

Each record is sound, to be looked at, or rejected; practice and rehearsal are named as such and are no live work.
The roster that lies beside a record is the one its job was opened with: trust your own.

Exit status: 0 every record is sound; 1 one is rejected or deserves a look, or the audit was ended by ctrl+c; 2 bad usage;
3 could not read.`,
		RunE: action(func(paths []string) error { o.Paths = paths; return runAudit(w, o, asJSON) }),
	}
	c.Flags().StringVar(&o.Roster, "roster", "", "the roster `file` that you trust")
	c.Flags().StringVar(&o.Revoked, "revoked", "", "a `file` of revoked keys, as ssh-keygen -k makes, or public keys one a line")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

// auditable says what a call lacks: a path, the roster, or the record where its signature is named.
func auditable(c *cobra.Command, paths []string, roster string) error {
	if err := atLeastOne("a record, or a folder with records: fenderside audit PATH --roster FILE")(c, paths); err != nil {
		return err
	}
	for _, path := range paths {
		if record, is := strings.CutSuffix(path, store.SignatureEnding); is {
			return fmt.Errorf("%s %q: this is a signature; name the record that it signs, %q, or its folder", c.CommandPath(), path, record)
		}
	}
	if roster == "" {
		return fmt.Errorf("%s wants --roster FILE, the list of people whom you trust; the one that lies beside a record says only what its job was opened with", c.CommandPath())
	}
	return nil
}

func runAudit(w *world, o audit.Options, asJSON bool) error {
	var report audit.Report
	var failed error
	err := w.await("audit", func(far func(string)) {
		o.Told = func(done, of int) { far(fmt.Sprintf("%d of %d records judged", done, of)) }
		report, failed = audit.Run(o)
	})
	if err != nil {
		return err
	}
	status := audit.ExitStatus(report, failed)
	if failed != nil {
		return stated{failed, status}
	}
	if asJSON {
		err = w.sayJSON(report)
	} else {
		for _, line := range strings.Split(strings.TrimSuffix(report.Text(), "\n"), "\n") {
			w.say("%s", line)
		}
	}
	if err == nil && status != done {
		err = stated{errFound, status}
	}
	return err
}

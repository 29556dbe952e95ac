package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/rehearsal"
	"fenderside/runner/session"
)

type rehearseFlags struct {
	script, out  string
	told, asJSON bool
}

// rehearseCommand plays a job from a script.
func rehearseCommand(w *world) *cobra.Command {
	var f rehearseFlags
	c := &cobra.Command{
		Use: "rehearse PROCEDURE", Short: "Play a whole job from a script", Args: exactlyOne("a procedure by its name or its file (see: fenderside procedures list)"),
		Long: `Play a whole job from a script, unattended, with the same engine as live work and a clock of the script's own. The first
command that is refused against the script's expectation ends it. Everything is kept under the folder --out: made-up
keys, their roster, and the signed record, every line of which says rehearsal.

The scripts that ship are named by: fenderside procedures list

Exit status: 0 played to its end; 1 refused, or the script has a fault; 2 bad usage; 3 could not read or write.`,
		RunE:              action(func(args []string) error { return rehearse(w, args[0], f) }),
		ValidArgsFunction: inTurn(procedureNames(w)),
	}
	c.Flags().StringVar(&f.script, "script", "", "the script, by its `name` or its file")
	c.Flags().StringVar(&f.out, "out", "", "the `folder` to keep everything in; made where there is none")
	c.Flags().BoolVar(&f.told, "tell", false, "tell every event, on standard error")
	c.Flags().BoolVar(&f.asJSON, "json", false, "print JSON for a program to read")
	_ = c.RegisterFlagCompletionFunc("script", scriptNames)
	_ = c.MarkFlagRequired("script")
	_ = c.MarkFlagRequired("out")
	return c
}

func rehearse(w *world, name string, f rehearseFlags) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	p, err := h.Procedure(name)
	if err != nil {
		return err
	}
	script, err := scriptOf(f.script)
	if err != nil {
		return err
	}
	parsed, err := rehearsal.Parse(script.Name, script.Text)
	if err != nil {
		return err
	}
	if parsed.Procedure != p.Name {
		return misuse{fmt.Errorf("script %q is for procedure %q, not %q: name that one", script.Name, parsed.Procedure, p.Name)}
	}
	finished, err := rehearsal.Run(rehearsal.Options{
		Script: script.Text, ScriptName: script.Name, Files: folderOf(f.script), Out: f.out, Program: home.Version(), Tell: teller(w, f.told),
		Procedures: func(string) (*procedures.Procedure, bool) { return p, true },
		Cards:      func(name string) (*procedures.Card, bool) { c, err := h.Card(name); return c, err == nil },
	})
	if err != nil {
		return err
	}
	return sayFinished(w, finished, f.asJSON)
}

func teller(w *world, told bool) func(runner.Moment, string) {
	if !told {
		return nil
	}
	return func(at runner.Moment, what string) { w.remark(at.Wall.UTC().Format("15:04:05Z") + "  " + what) }
}

// scriptOf is a script that ships, by name, or a file.
func scriptOf(nameOrFile string) (library.Script, error) {
	if home.IsPath(nameOrFile) {
		text, err := home.ReadScript(nameOrFile)
		return library.Script{Name: nameOrFile, Text: text}, err
	}
	var names []string
	for _, s := range library.Scripts() {
		if s.Name == nameOrFile {
			return s, nil
		}
		names = append(names, s.Name)
	}
	return library.Script{}, fmt.Errorf("find script %q: %w: %s", nameOrFile, home.ErrUnknown, procedures.DidYouMean(nameOrFile, names))
}

// folderOf is the folder that a script's own files lie in: its own, or that of the scripts that ship.
func folderOf(nameOrFile string) fs.FS {
	if home.IsPath(nameOrFile) {
		return os.DirFS(filepath.Dir(nameOrFile))
	}
	return library.ScriptFiles()
}

type finishedLine struct {
	Record    string `json:"record"`
	Signature string `json:"signature"`
	Roster    string `json:"roster"`
	By        string `json:"by"`
	Verify    string `json:"verify"` // to be run in the record's folder
}

// sayFinished says where a signed record is and how anybody verifies it.
func sayFinished(w *world, done session.Finished, asJSON bool) error {
	if done.Record == "" {
		return fmt.Errorf("the script ended and its job is not signed: end the script with the close and the signature")
	}
	if asJSON {
		return w.sayJSON(finishedLine{done.Record, done.Signature, done.Roster, done.By.Name, done.VerifyLine()})
	}
	w.say("record: %s", done.Record)
	w.say("signature: %s", done.Signature)
	w.say("roster: %s", done.Roster)
	w.say("verify with OpenSSH: cd %s && %s", plaintext.ShellWord(filepath.Dir(done.Record)), done.VerifyLine())
	w.say("audit: fenderside audit %s --roster %s", plaintext.ShellWord(done.Record), plaintext.ShellWord(done.Roster))
	return nil
}

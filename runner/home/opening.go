package home

// The rule kept here: a job's opening holds the exact texts that it rests on,
// as they were read, and no live job is opened on a procedure that is not
// proved.

import (
	"errors"
	"fmt"
	"runtime/debug"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/plaintext"
	"fenderside/procedures/prove"
	"fenderside/runner"
)

// Opening fills a job's opening: the documents with their digests and the
// program's version. Card may be nil. What the store gives (the job's id and
// number, the chain) is filled in when the session starts. For live work the
// procedure must be proved.
func (h Home) Opening(p *procedures.Procedure, card *procedures.Card, sheet []runner.Entry, mode runner.Mode, terminal bool, who runner.Person, after string) (runner.Opening, error) {
	if err := proved(p, mode); err != nil {
		return runner.Opening{}, err
	}
	people, err := h.People()
	if err != nil {
		return runner.Opening{}, err
	}
	o := runner.Opening{
		Program:   Version(),
		Mode:      mode,
		Terminal:  terminal,
		Roster:    runner.Document{Name: "roster", Digest: people.Digest(), Text: string(people.Text())},
		Sheet:     sheet,
		Performer: who,
		After:     after,
	}
	o.Procedure, o.Included = runner.Documents(p)
	if card != nil {
		o.Card = runner.Document{Name: card.Name, Digest: card.Digest, Text: string(card.Text)}
	}
	return o, nil
}

// ErrUnproved is wrapped where live work is refused for want of a proof.
var ErrUnproved = errors.New("the procedure is not proved safe")

// proved refuses live work on a procedure of which a path past a gate, or to a
// dead end, is known or cannot be ruled out.
func proved(p *procedures.Procedure, mode runner.Mode) error {
	if mode != runner.Live {
		return nil
	}
	proof := prove.Procedure(p, prove.Limits{})
	if proof.Proved() {
		return nil
	}
	return fmt.Errorf("open a live job on %s: %w: %w: see the way there with `fenderside procedures prove %s`, mend it, or practise on a demonstration vehicle",
		p.Name, ErrUnproved, proof.Faults()[0], plaintext.ShellWord(nameOrFile(p)))
}

// nameOrFile is what a command finds a procedure by.
func nameOrFile(p *procedures.Procedure) string {
	if _, shipped := library.Procedure(p.Name); shipped {
		return p.Name
	}
	return p.File
}

// release is the version of this program; a build of a tagged module says it
// by itself.
const release = "0.1.0"

// Version is the program's version, with the revision it was built from where
// the build knows that.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return release
	}
	version := release
	if v := info.Main.Version; v != "" && v != "(devel)" {
		version = v
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 {
			version += " (" + s.Value[:12] + ")"
		}
	}
	return version
}

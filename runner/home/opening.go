package home

// The rule kept here: a job's opening holds the exact texts that it rests on,
// as they were read.

import (
	"runtime/debug"

	"fenderside/procedures"
	"fenderside/runner"
)

// Opening fills a job's opening: the documents with their digests and the
// program's version. Card may be nil. What the store gives (the job's id and
// number, the chain) is filled in when the session starts.
func (h Home) Opening(p *procedures.Procedure, card *procedures.Card, sheet []runner.Entry, mode runner.Mode, terminal bool, who runner.Person, after string) (runner.Opening, error) {
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

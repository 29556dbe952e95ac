package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fenderside/runner/home"
	"fenderside/runner/roster"
)

// rosterCommand holds the commands about the roster.
func rosterCommand(w *world) *cobra.Command {
	return group("roster", "Show who may sign here, and add a person", rosterAdd(w), rosterShow(w))
}

type rosterLine struct {
	Line        int       `json:"line"`
	Principals  []string  `json:"principals"`
	Fingerprint string    `json:"fingerprint"`
	KeyType     string    `json:"key_type"`
	Namespaces  []string  `json:"namespaces"`
	May         []string  `json:"may"`
	ValidAfter  time.Time `json:"valid_after,omitzero"`
	ValidBefore time.Time `json:"valid_before,omitzero"`
	Comment     string    `json:"comment,omitempty"`
}

func rosterShow(w *world) *cobra.Command {
	var asJSON bool
	var file string
	c := &cobra.Command{
		Use: "show", Short: "Show who may sign", Args: none,
		Long: `Show who may sign, with which key, as what, and until when. The roster is an OpenSSH allowed_signers file.

Exit status: 0 shown; 1 the roster has a fault; 2 bad usage; 3 it could not be read.`,
		RunE: action(func([]string) error { return showRoster(w, file, asJSON) }),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	c.Flags().StringVar(&file, "roster", "", "show this roster `file` instead of your own")
	return c
}

func showRoster(w *world, file string, asJSON bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	if file == "" {
		file = h.RosterPath()
	}
	people, err := home.ReadRoster(file)
	if err != nil {
		return err
	}
	lines := make([]rosterLine, 0, len(people.Entries()))
	for _, e := range people.Entries() {
		lines = append(lines, entryLine(e))
	}
	if asJSON {
		return w.sayJSON(lines)
	}
	w.say("%s  sha256 %s", file, people.Digest())
	for _, l := range lines {
		sayEntry(w, l)
	}
	return nil
}

func entryLine(e roster.Entry) rosterLine {
	return rosterLine{e.Line, e.Principals, e.Fingerprint, e.Key.Type(), e.Namespaces, e.Roles(), e.ValidAfter, e.ValidBefore, e.Comment}
}

func sayEntry(w *world, l rosterLine) {
	text := strings.Join(l.Principals, ", ") + "  " + l.Fingerprint + "  " + l.KeyType + "  may: " + strings.Join(l.May, ", ")
	if !l.ValidAfter.IsZero() {
		text += "; from " + stamp(l.ValidAfter)
	}
	if !l.ValidBefore.IsZero() {
		text += "; until " + stamp(l.ValidBefore)
	}
	if l.Comment != "" {
		text += "  (" + l.Comment + ")"
	}
	w.say("%s", text)
}

package main

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"fenderside/runner/home"
)

// keyCommand holds the commands about the person's key.
func keyCommand(w *world) *cobra.Command {
	return group("key", "Make and show the key you sign with", keyNew(w), keyShow(w))
}

func keyNew(w *world) *cobra.Command {
	var name, agent string
	var unprotected bool
	c := &cobra.Command{
		Use: "new", Short: "Make the key you sign with", Args: none,
		Long: `Make an Ed25519 key in OpenSSH's format, and a roster that holds you where there is none. The passphrase is asked for
twice. A key without one (--unprotected) lets whoever can read its file sign as you, and cannot witness for others.
With --agent no key is made: the key of that fingerprint, which an ssh-agent holds (a security key too), becomes yours.
A key that is there already is never replaced.

Exit status: 0 made; 1 refused; 2 bad usage; 3 could not read or write.`,
		RunE: action(func([]string) error { return newKey(w, name, agent, unprotected) }),
	}
	c.Flags().StringVar(&name, "name", "", "your `name` on the roster, such as asha@millbrook.example")
	c.Flags().StringVar(&agent, "agent", "", "use the key of this `fingerprint` in the ssh-agent")
	c.Flags().BoolVar(&unprotected, "unprotected", false, "set no passphrase")
	c.MarkFlagsMutuallyExclusive("agent", "unprotected")
	return c
}

func newKey(w *world, name, agent string, unprotected bool) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	if agent != "" {
		id, notice, err := h.UseAgentKey(name, agent)
		return saidKey(w, id, notice, err)
	}
	if err := h.NoKeyYet(); err != nil {
		return err
	}
	var pass []byte
	if !unprotected {
		if pass, err = w.newPassphrase(); err != nil {
			return err
		}
	}
	id, notice, err := h.NewKey(name, pass)
	return saidKey(w, id, notice, err)
}

// newPassphrase asks twice.
func (w *world) newPassphrase() ([]byte, error) {
	first, err := w.ask("New passphrase: ")
	if err != nil {
		return nil, fmt.Errorf("ask for a passphrase: %w; or make a key without one: fenderside key new --unprotected", err)
	}
	if len(first) == 0 {
		return nil, errors.New("the passphrase is empty: give one, or say so on purpose: fenderside key new --unprotected")
	}
	second, err := w.ask("The same again: ")
	defer clear(second)
	if err != nil {
		clear(first)
		return nil, fmt.Errorf("ask for the passphrase again: %w", err)
	}
	if !bytes.Equal(first, second) {
		clear(first)
		return nil, errors.New("the two passphrases differ: nothing was made, start again")
	}
	return first, nil
}

func saidKey(w *world, id home.Identity, notice string, err error) error {
	if err != nil {
		return err
	}
	w.remark(notice)
	return sayIdentity(w, id)
}

func keyShow(w *world) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use: "show", Short: "Show whose key this is, and its public half", Args: none,
		Long: `Show your name, the key's fingerprint, where it is kept and whether a passphrase protects it, then its public half,
which others put on their roster. No key is made.

Exit status: 0 shown; 1 refused; 2 bad usage; 3 there is no key, or it could not be read.`,
		RunE: action(func([]string) error {
			h, err := w.home()
			if err != nil {
				return err
			}
			id, err := h.Existing()
			if err != nil {
				return err
			}
			if asJSON {
				return w.sayJSON(keyFacts(id))
			}
			return sayIdentity(w, id)
		}),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON for a program to read")
	return c
}

type keyLine struct {
	Name        string `json:"name"`
	Fingerprint string `json:"fingerprint"`
	File        string `json:"file,omitempty"`
	Agent       bool   `json:"agent"`
	Protected   bool   `json:"protected"`
	Public      string `json:"public"`
}

func keyFacts(id home.Identity) keyLine {
	return keyLine{id.Person.Name, id.Person.Fingerprint, id.KeyFile, id.Agent, id.Protected, id.PublicLine()}
}

func sayIdentity(w *world, id home.Identity) error {
	k := keyFacts(id)
	w.say("name: %s", k.Name)
	w.say("fingerprint: %s", k.Fingerprint)
	switch {
	case k.Agent:
		w.say("kept by: the ssh-agent")
	case k.Protected:
		w.say("kept in: %s, protected by a passphrase", k.File)
	default:
		w.say("kept in: %s, without a passphrase; set one with: ssh-keygen -p -f %q", k.File, k.File)
	}
	w.say("%s", k.Public)
	return nil
}

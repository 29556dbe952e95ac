package home

// The rule kept here: a card is kept whole or not at all, and never in the place of another.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner/journal"
)

// CardTaken says why no card of that name can be written: one ships with the program, or is among the person's own.
func (h Home) CardTaken(name string) error {
	cards, _ := h.Cards()
	for _, c := range cards {
		if c.Name == name {
			return fmt.Errorf("write the card %q: there is one of that name in %s, and it is left as it is: choose another name", plaintext.Show(name), plaintext.Show(c.File))
		}
	}
	_, err := os.Lstat(h.cardFile(name))
	if err == nil {
		return fmt.Errorf("write the card %q: there is a file %q, and it is left as it is: choose another name", plaintext.Show(name), h.cardFile(name))
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("write the card %q: %w: make %q a folder you may write to", plaintext.Show(name), err, h.CardsDir())
	}
	return nil
}

func (h Home) cardFile(name string) string { return filepath.Join(h.CardsDir(), name+".yaml") }

// KeepCard puts the text of a card among the person's own and returns the card with the file it is in. An empty file takes
// the name first, so that two writers cannot both have it. What was answered for it, and kept, is no longer needed.
func (h Home) KeepCard(text []byte) (*procedures.Card, error) {
	c, err := procedures.ParseCard("the card", text)
	if err != nil {
		return nil, fmt.Errorf("write the card: %w", err)
	}
	if err := h.CardTaken(c.Name); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(h.CardsDir(), 0o700); err != nil {
		return nil, fmt.Errorf("write the card: %w: make it a folder you may write to", err)
	}
	path := h.cardFile(c.Name)
	held, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, fmt.Errorf("write the card: %w: choose another name", err)
	}
	if err := errors.Join(held.Close(), journal.WriteFileDurably(path, text, 0o644)); err != nil {
		return nil, errors.Join(fmt.Errorf("write the card: %w: free some space and try again", err), os.Remove(path))
	}
	card, err := ReadCard(path)
	return card, errors.Join(err, h.DropAnswers(c.Name))
}

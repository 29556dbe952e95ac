package home

// The rule kept here: a vehicle card that is left in the middle of its questions
// is kept beside the cards, in a file that is none, until it is finished or
// thrown away. What is read back is judged afresh.

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"fenderside/procedures"
	"fenderside/procedures/newcard"
	"fenderside/procedures/plaintext"
	"fenderside/runner/journal"
)

const unfinishedEnd = ".unfinished"

func (h Home) unfinishedFile(name string) string {
	return filepath.Join(h.CardsDir(), name+unfinishedEnd)
}

// BeginCard begins a card of that name, or takes up the one that was left. The
// error says why there can be none.
func (h Home) BeginCard(name string) (*newcard.Draft, error) {
	list, _ := h.Procedures()
	d, err := newcard.Begin(name, list)
	if err != nil {
		return nil, err
	}
	if err := h.CardTaken(name); err != nil {
		return nil, err
	}
	all, err := h.answersOf(name)
	d.TakeUp(all)
	return d, err
}

// KeepAnswers keeps what was answered so far for a card.
func (h Home) KeepAnswers(name string, all []newcard.Given) error {
	text, err := json.MarshalIndent(all, "", "  ")
	if err == nil {
		err = os.MkdirAll(h.CardsDir(), 0o700)
	}
	if err == nil {
		err = journal.WriteFileDurably(h.unfinishedFile(name), append(text, '\n'), 0o600)
	}
	if err != nil {
		return fmt.Errorf("keep the answers for the card %q: %w: make %q a folder you may write to, with space in it", plaintext.Show(name), err, h.CardsDir())
	}
	return nil
}

// DropAnswers throws away what was answered for a card.
func (h Home) DropAnswers(name string) error {
	err := os.Remove(h.unfinishedFile(name))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("throw the answers for the card %q away: %w: remove that file by hand", plaintext.Show(name), err)
	}
	return nil
}

func (h Home) answersOf(name string) (all []newcard.Given, err error) {
	path := h.unfinishedFile(name)
	text, err := readUpTo(path, procedures.MaxFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err == nil {
		in := json.NewDecoder(bytes.NewReader(text))
		in.DisallowUnknownFields()
		err = in.Decode(&all)
	}
	if err != nil {
		return nil, fmt.Errorf("take up the card %q: %s: %w: move that file away to begin anew", plaintext.Show(name), plaintext.Show(path), err)
	}
	return all, nil
}

// Unfinished is a card that was left in the middle of its questions.
type Unfinished struct {
	Name string
	Last time.Time // when it was last answered
}

// UnfinishedCards lists the cards that were left, by name. A card that was
// written by other means meanwhile is not among them.
func (h Home) UnfinishedCards() (all []Unfinished) {
	entries, err := os.ReadDir(h.CardsDir())
	if err != nil {
		return nil // what keeps the folder from being read is told with its cards
	}
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), unfinishedEnd)
		if !ok || e.IsDir() {
			continue
		}
		info, err := e.Info()
		if _, no := newcard.Begin(name, nil); no == nil && err == nil && h.CardTaken(name) == nil {
			all = append(all, Unfinished{name, info.ModTime()})
		}
	}
	return all
}

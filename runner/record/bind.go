package record

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/roster"
)

// Binder reads what openings bind. A document that many records share is parsed once for each digest. The zero value is
// ready; it is not safe for concurrent use.
type Binder struct {
	procedures map[string]*procedures.Procedure // by the names and digests of their texts
	cards      map[string]*procedures.Card
	rosters    map[string]roster.Roster
	known      map[string]known // texts that were held to their digest
}

// Bind reads an opening's documents, each held to its digest, and joins them to a job.
func (b *Binder) Bind(o runner.Opening) (*runner.Job, error) {
	p, err := b.procedure(o.Procedure, o.Included)
	if err != nil {
		return nil, err
	}
	card, err := b.card(o.Card)
	if err != nil {
		return nil, err
	}
	r, err := b.roster(o.Roster)
	if err != nil {
		return nil, err
	}
	return runner.Bind(o, p, card, r)
}

// Digest is the hex SHA-256 of a document's text.
func Digest(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

func (b *Binder) matches(d runner.Document, what string) error {
	if k, ok := b.known[d.Digest]; ok && k.text == d.Text {
		return nil
	}
	if got := Digest([]byte(d.Text)); got != d.Digest {
		return fmt.Errorf("the text of %s %q has digest %s, not %s as its opening says: it was changed", what, d.Name, got, d.Digest)
	}
	b.keep(d)
	return nil
}

func (b *Binder) procedure(d runner.Document, included []runner.Document) (*procedures.Procedure, error) {
	all := ""
	for _, one := range append([]runner.Document{d}, included...) {
		if err := b.matches(one, "procedure"); err != nil {
			return nil, err
		}
		all += one.Name + " " + one.Digest + "\n"
	}
	if p, ok := b.procedures[all]; ok {
		return p, nil
	}
	p, err := procedures.ParseWith(d.Name+".yaml", []byte(d.Text), shelf(included))
	if err != nil {
		return nil, fmt.Errorf("procedure %q does not load: %w", d.Name, err)
	}
	if b.procedures == nil {
		b.procedures = map[string]*procedures.Procedure{}
	}
	b.procedures[all] = p
	return p, nil
}

// shelf gives the included procedures that an opening binds, and no others.
func shelf(included []runner.Document) procedures.Shelf {
	return func(name string) (string, []byte, error) {
		for _, d := range included {
			if d.Name == name {
				return name + ".yaml", []byte(d.Text), nil
			}
		}
		return "", nil, errors.New("the opening does not bind it")
	}
}

func (b *Binder) card(d runner.Document) (*procedures.Card, error) {
	if d.Digest == "" {
		return nil, nil
	}
	if err := b.matches(d, "vehicle card"); err != nil {
		return nil, err
	}
	if c, ok := b.cards[d.Digest]; ok {
		return c, nil
	}
	c, err := procedures.ParseCard(d.Name+".yaml", []byte(d.Text))
	if err != nil {
		return nil, fmt.Errorf("vehicle card %q does not load: %w", d.Name, err)
	}
	if b.cards == nil {
		b.cards = map[string]*procedures.Card{}
	}
	b.cards[d.Digest] = c
	return c, nil
}

func (b *Binder) roster(d runner.Document) (roster.Roster, error) {
	if err := b.matches(d, "roster"); err != nil {
		return roster.Roster{}, err
	}
	if r, ok := b.rosters[d.Digest]; ok {
		return r, nil
	}
	r, err := roster.Parse([]byte(d.Text))
	if err != nil {
		return roster.Roster{}, fmt.Errorf("roster %q does not load: %w", d.Name, err)
	}
	if b.rosters == nil {
		b.rosters = map[string]roster.Roster{}
	}
	b.rosters[d.Digest] = r
	return r, nil
}

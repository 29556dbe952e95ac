package library

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
)

// The files on disk are the oracle: each of them ships, and nothing else does.
func onDisk(t *testing.T, folder string) []string {
	files, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	require.NoError(t, err)
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(filepath.Base(f), ".yaml"))
	}
	return names
}

func TestEveryFileShipsUnderItsName(t *testing.T) {
	var found, cards, scripts []string
	for _, p := range Procedures() {
		found = append(found, p.Name)
		got, ok := Procedure(p.Name)
		require.True(t, ok)
		text, err := os.ReadFile(filepath.Join("procedures", p.Name+".yaml"))
		require.NoError(t, err)
		assert.Equal(t, text, got.Text)
	}
	for _, c := range Cards() {
		cards = append(cards, c.Name)
		got, ok := Card(c.Name)
		require.True(t, ok)
		assert.Same(t, c, got)
	}
	for _, s := range Scripts() {
		scripts = append(scripts, s.Name)
		assert.NotEmpty(t, s.Title, "script %s has a title", s.Name)
		assert.NotEmpty(t, s.Text)
	}
	assert.Equal(t, onDisk(t, "procedures"), found)
	assert.Equal(t, onDisk(t, "cards"), cards)
	assert.Equal(t, onDisk(t, "scripts"), scripts)
	assert.NotEmpty(t, found)
}

func TestWhatDoesNotShipIsNotFound(t *testing.T) {
	_, ok := Procedure("no-such-procedure")
	assert.False(t, ok)
	_, ok = Card("no-such-card")
	assert.False(t, ok)
}

func TestEveryCardThatShipsIsADemonstration(t *testing.T) {
	for _, c := range Cards() {
		assert.True(t, c.Demonstration, "%s is invented; a job on it is practice", c.Name)
	}
}

// A sheet's card path finds something on at least one card, or it is misspelt.
func TestEveryCardPathLeadsSomewhere(t *testing.T) {
	if len(Cards()) == 0 {
		t.Skip("needs a card in the library")
	}
	for _, p := range Procedures() {
		for _, f := range p.Sheet {
			if f.Card == "" {
				continue
			}
			assert.True(t, leads(p, f), "card path %q of %s in %s", f.Card, f.ID, p.Name)
		}
	}
}

// leads tries every choice of every field in the path on every card.
func leads(p *procedures.Procedure, f procedures.Field) bool {
	paths := []string{f.Card}
	for _, other := range p.Sheet {
		var filled []string
		for _, path := range paths {
			for _, v := range append(other.Choose, "{"+other.ID+"}") {
				filled = append(filled, strings.ReplaceAll(path, "{"+other.ID+"}", v))
			}
		}
		paths = filled
		if len(paths) > 10_000 {
			paths = paths[:10_000]
		}
	}
	for _, c := range Cards() {
		for _, path := range paths {
			if _, ok := c.Lookup(path); ok {
				return true
			}
		}
	}
	return false
}

func TestACallerCannotChangeTheLibrary(t *testing.T) {
	all := Procedures()
	all[0] = nil
	assert.NotNil(t, Procedures()[0])
	for i, s := range Scripts() {
		s.Text[0] ^= 0xFF
		assert.NotEqual(t, s.Text[0], Scripts()[i].Text[0])
	}
}

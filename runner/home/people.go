package home

// The rule kept here: a roster is changed only by adding a line that reads back
// as what was meant, and never while it has a fault.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"fenderside/procedures/plaintext"
	"fenderside/runner/roster"
)

// People reads the roster. The error wraps fs.ErrNotExist when there is none,
// and is roster.Problems when it has faults.
func (h Home) People() (roster.Roster, error) {
	return ReadRoster(h.RosterPath())
}

// ReadRoster reads a roster file of any place.
func ReadRoster(path string) (roster.Roster, error) {
	text, err := readUpTo(path, roster.MaxText)
	if errors.Is(err, fs.ErrNotExist) {
		return roster.Roster{}, fmt.Errorf("read the roster: %w: check the path, or make one with: fenderside roster add", err)
	}
	if err != nil {
		return roster.Roster{}, fmt.Errorf("read the roster: %w: check that it is a file you may read", err)
	}
	return roster.ParseNamed(plaintext.Show(path), text)
}

// firstRoster makes a roster that holds the person alone, where there is none.
func (h Home) firstRoster(id Identity) (made bool, err error) {
	if _, err := os.Lstat(h.RosterPath()); !errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	line, err := roster.Line(id.Person.Name, id.Public, nil, "")
	if err != nil {
		return false, err
	}
	return true, write(h.RosterPath(), []byte(line+"\n"))
}

// AddPerson adds one line to the roster, which is made where there is none.
func (h Home) AddPerson(e roster.Entry) error {
	line, err := e.Format()
	if err != nil {
		return err
	}
	return h.locked(func() error {
		now, err := h.People()
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if held, ok := now.Find(e.Fingerprint); ok {
			return fmt.Errorf("add key %s to the roster: line %d gives it to %s already: edit that line in %q, or give another key",
				e.Fingerprint, held.Line, plaintext.Show(strings.Join(held.Principals, ",")), h.RosterPath())
		}
		text := string(now.Text())
		if text != "" && !strings.HasSuffix(text, "\n") {
			text += "\n"
		}
		text += line + "\n"
		if _, err := roster.ParseNamed(h.RosterPath(), []byte(text)); err != nil {
			return err
		}
		return write(h.RosterPath(), []byte(text))
	})
}

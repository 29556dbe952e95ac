package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/runner/home"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// roleNames are the words for the roster's namespaces.
var roleNames = map[string]string{"close": seal.Record, "work": seal.Stretch, "witness": seal.Witness}

func rosterAdd(w *world) *cobra.Command {
	var roles []string
	var until string
	c := &cobra.Command{
		Use: "add [NAME PUBLIC-KEY-FILE]", Short: "Add a person's public key to the roster",
		Long: `Add a person's public key to your roster. Without arguments your own key is added. The file is the .pub file that
ssh-keygen writes; - reads it from standard input.

Roles: close (sign whole jobs), work (sign a stretch of work), witness (sign as a second person). Without --role all
three. An apprentice has work alone: every gate is then witnessed, and another signs at the close.

Exit status: 0 added; 1 refused; 2 bad usage; 3 could not read or write.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 0 && len(args) != 2 {
				return errors.New("roster add wants a name and a public key file, or nothing for your own key")
			}
			return nil
		},
		RunE: action(func(args []string) error { return addToRoster(w, args, roles, until) }),
	}
	c.Flags().StringSliceVar(&roles, "role", nil, "what the person may do: close, work, witness (`role`, may be given again)")
	c.Flags().StringVar(&until, "until", "", "the last `day` of the key, as 2031-04-30 (UTC)")
	return c
}

func addToRoster(w *world, args, roles []string, until string) error {
	h, err := w.home()
	if err != nil {
		return err
	}
	e, err := newEntry(w, h, args)
	if err != nil {
		return err
	}
	if e.Namespaces, err = namespaces(roles); err != nil {
		return err
	}
	if e.ValidBefore, err = lastDay(until); err != nil {
		return err
	}
	if err := h.AddPerson(e); err != nil {
		return err
	}
	line, err := e.Format()
	if err != nil {
		return err
	}
	w.say("%s", line)
	w.remark("added to " + h.RosterPath())
	return nil
}

// newEntry is whose key is to be added.
func newEntry(w *world, h home.Home, args []string) (roster.Entry, error) {
	if len(args) == 0 {
		id, notice, err := h.Identity()
		if err != nil {
			return roster.Entry{}, err
		}
		w.remark(notice)
		return roster.Entry{Principals: []string{id.Person.Name}, Key: id.Public, Fingerprint: id.Person.Fingerprint}, nil
	}
	text, err := readPublic(w, args[1])
	if err != nil {
		return roster.Entry{}, err
	}
	key, comment, _, _, err := ssh.ParseAuthorizedKey(text)
	if err != nil {
		return roster.Entry{}, fmt.Errorf("read public key %q: it is not one: give the .pub file that ssh-keygen wrote", args[1])
	}
	if err := seal.Supported(key); err != nil {
		return roster.Entry{}, fmt.Errorf("read public key %q: %w", args[1], err)
	}
	if comment == args[0] {
		comment = ""
	}
	return roster.Entry{Principals: []string{args[0]}, Key: key, Fingerprint: seal.Fingerprint(key), Comment: comment}, nil
}

// readPublic reads a public key file; one is never longer than this.
func readPublic(w *world, path string) ([]byte, error) {
	const most = 1 << 16
	in := w.in
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("read the public key: %w: check the path", err)
		}
		defer file.Close()
		in = file
	}
	text, err := io.ReadAll(io.LimitReader(in, most))
	if err != nil {
		return nil, fmt.Errorf("read the public key %q: %w", path, err)
	}
	return text, nil
}

func namespaces(roles []string) ([]string, error) {
	if len(roles) == 0 {
		return seal.Namespaces(), nil
	}
	var out []string
	for _, r := range roles {
		space, ok := roleNames[r]
		if !ok {
			return nil, misuse{fmt.Errorf("there is no role %q: %s", r, procedures.DidYouMean(r, []string{"close", "work", "witness"}))}
		}
		if !slices.Contains(out, space) {
			out = append(out, space)
		}
	}
	return out, nil
}

// lastDay is the last second of a day in UTC; no day is no end.
func lastDay(day string) (time.Time, error) {
	if day == "" {
		return time.Time{}, nil
	}
	at, err := time.Parse(time.DateOnly, strings.TrimSpace(day))
	if err != nil {
		return time.Time{}, misuse{fmt.Errorf("%q is not a day: write year-month-day, such as 2031-04-30", day)}
	}
	return at.AddDate(0, 0, 1).Add(-time.Second), nil
}

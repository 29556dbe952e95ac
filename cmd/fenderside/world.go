package main

// The rule kept here: results go to standard output, remarks to standard error, and what came from outside is shown with
// every character visible.

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner/home"
	"fenderside/runner/store"
)

// world is what a command works with.
type world struct {
	in     *os.File
	out    io.Writer
	err    io.Writer
	getenv func(string) string
	jobs   string // the folder given by --store
	read   bool   // standard input was taken as a file
}

// home finds the person's folders.
func (w *world) home() (home.Home, error) {
	h, err := home.Find(w.getenv)
	if err != nil {
		return home.Home{}, err
	}
	if w.jobs != "" {
		h.DataDir = w.jobs
	}
	h.Ask = w.ask
	return h, nil
}

// open finds the person's folders and opens the store of jobs.
func (w *world) open() (home.Home, *store.Store, error) {
	h, err := w.home()
	if err != nil {
		return home.Home{}, nil, err
	}
	st, err := h.Store()
	return h, st, err
}

// terminal says whether a person sits at standard input.
func (w *world) terminal() bool { return term.IsTerminal(int(w.in.Fd())) }

// ask asks for a passphrase without showing it.
func (w *world) ask(prompt string) ([]byte, error) {
	if !w.terminal() {
		return nil, errors.New("standard input is no terminal, so there is nobody to ask: run this at a terminal, or use an ssh-agent")
	}
	fmt.Fprint(w.err, plaintext.Show(prompt))
	defer fmt.Fprintln(w.err)
	return term.ReadPassword(int(w.in.Fd()))
}

// say prints one line of a result.
func (w *world) say(format string, args ...any) {
	fmt.Fprintln(w.out, plaintext.Show(fmt.Sprintf(format, args...)))
}

// remark prints lines that are no part of the result.
func (w *world) remark(text string) {
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if line != "" {
			fmt.Fprintln(w.err, plaintext.Show(line))
		}
	}
}

// remarks prints errors that did not stop the command, each fault on its own line.
func (w *world) remarks(problems []error) {
	for _, p := range problems {
		w.remark(p.Error())
	}
}

// sayJSON prints a result for a program to read. Characters that a reader cannot see are escaped.
func (w *world) sayJSON(v any) error {
	var text, b strings.Builder
	to := json.NewEncoder(&text)
	to.SetEscapeHTML(false) // it is for no web page: <, > and & stay as they are
	to.SetIndent("", "  ")
	if err := to.Encode(v); err != nil {
		return fmt.Errorf("write the result as JSON: %w", err)
	}
	for _, r := range strings.TrimSuffix(text.String(), "\n") {
		if r != '\n' && plaintext.Forbidden(r) {
			b.WriteString(escaped(r))
			continue
		}
		b.WriteRune(r)
	}
	fmt.Fprintln(w.out, b.String())
	return nil
}

// escaped is a character as JSON writes it in ASCII.
func escaped(r rune) string {
	if r <= 0xFFFF {
		return fmt.Sprintf(`\u%04x`, r)
	}
	r -= 0x10000
	return fmt.Sprintf(`\u%04x\u%04x`, 0xD800+(r>>10), 0xDC00+(r&0x3FF))
}

// action makes a cobra run function that marks its errors as those of a command that was begun.
func action(f func(args []string) error) func(*cobra.Command, []string) error {
	return func(_ *cobra.Command, args []string) error {
		if err := f(args); err != nil {
			return ran{err}
		}
		return nil
	}
}

// group is a command that only holds others.
func group(use, short string, subs ...*cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: use, Short: short, Long: short + ".\n\nExit status: 2 when no command of this group is named."}
	c.AddCommand(subs...)
	c.RunE = func(c *cobra.Command, args []string) error {
		var names []string
		for _, sub := range c.Commands() {
			names = append(names, sub.Name())
		}
		if len(args) == 0 {
			return fmt.Errorf("%s wants one of: %s", c.CommandPath(), strings.Join(names, ", "))
		}
		return fmt.Errorf("unknown command %q for %q: %s", args[0], c.CommandPath(), procedures.DidYouMean(args[0], names))
	}
	return c
}

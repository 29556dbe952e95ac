// Command fenderside walks a person through a written procedure, holds the work at every gate that is not satisfied, and
// leaves a signed record. This package is thin: it parses what was asked for, calls, prints, and says how it went.
package main

// The rule kept here: the exit status is decided in one place. 0 sound or done, 1 found fault or refused, 2 bad usage,
// 3 could not read or write.

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"fenderside/procedures/plaintext"
	"fenderside/runner/home"
)

// Exit statuses.
const (
	done    = 0
	fault   = 1
	misused = 2
	noFile  = 3
)

// versionLine is how --version answers.
const versionLine = "fenderside version %s\n"

func main() {
	out := bufio.NewWriter(os.Stdout)
	w := &world{in: os.Stdin, out: out, err: os.Stderr, getenv: os.Getenv}
	name, err := "fenderside", error(nil)
	if slices.Equal(os.Args[1:], []string{"--version"}) { // scripts ask it most: it need not wait for every command to be made
		_, err = fmt.Fprintf(w.out, versionLine, home.Version())
	} else {
		var called *cobra.Command
		called, err = newRoot(w).ExecuteC()
		name = called.CommandPath()
	}
	if flushed := out.Flush(); err == nil && flushed != nil {
		err = ran{fmt.Errorf("write the result: %w: give it somewhere to go", flushed)}
	}
	tell(os.Stderr, err)
	if status(err) == misused {
		fmt.Fprintf(os.Stderr, "  for help: %s --help\n", name)
	}
	os.Exit(status(err))
}

// ran marks the error of a command that was understood and begun. Any other error is about how it was called.
type ran struct{ error }

func (r ran) Unwrap() error { return r.error }

// errFound ends a command that has printed what it found wrong.
var errFound = errors.New("found fault")

// stated is an error whose exit status was decided where the rule for it is.
type stated struct {
	error
	status int
}

func (s stated) Unwrap() error { return s.error }

// misuse is bad usage that shows only once a command has begun.
type misuse struct{ error }

func (m misuse) Unwrap() error { return m.error }

// status is the exit status that an error stands for.
func status(err error) int {
	var begun ran
	var usage misuse
	var said stated
	switch {
	case err == nil:
		return done
	case errors.As(err, &said):
		return said.status
	case !errors.As(err, &begun), errors.As(err, &usage), errors.Is(err, home.ErrUnknown):
		return misused
	case errors.Is(err, errFound):
		return fault
	case isFile(err):
		return noFile
	}
	return fault
}

// isFile says whether an error is of a file or folder rather than of what is in it.
func isFile(err error) bool {
	var path *fs.PathError
	var link *os.LinkError
	var call *os.SyscallError
	var number syscall.Errno
	return errors.As(err, &path) || errors.As(err, &link) || errors.As(err, &call) || errors.As(err, &number) || errors.Is(err, fs.ErrNotExist)
}

// tell writes an error as a remark, with every character visible.
func tell(to io.Writer, err error) {
	if err == nil || errors.Is(err, errFound) {
		return
	}
	for i, line := range strings.Split(strings.TrimSpace(err.Error()), "\n") {
		lead := "fenderside: "
		if i > 0 {
			lead = "  "
		}
		fmt.Fprintln(to, lead+plaintext.Show(strings.ReplaceAll(line, "\t", "  ")))
	}
}

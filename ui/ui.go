// Package ui is the full screens: a job in a terminal, at arm's length, with gloves on.
//
// The rule kept here: the screens decide nothing. They show what the core's state says, send commands through a session,
// and move on only when the session says that what was decided is on disk. One command is under way at a time.
package ui

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner/home"
	"fenderside/runner/session"
	_ "fenderside/ui/noprobe" // before the screens' library is initialised
)

// Options is what the screens are opened with. With neither Start nor Resume they open on the board.
type Options struct {
	Home     home.Home
	Start    *Start // go straight to opening this job
	Resume   string // go straight to this open job
	In       io.Reader
	Out      io.Writer
	Terminal bool                 // standard input is a terminal; without one there is no live work
	Clock    func() session.Clock // a clock for each job that is opened; nil is the machine's
	NoColor  bool                 // bold and reverse stay; no meaning rests on either
	Notices  []string             // shown on the first screen
}

// Start is a job to open. Where Card is nil the vehicle is asked for. After is the locked job that it follows.
type Start struct {
	Procedure *procedures.Procedure
	Card      *procedures.Card
	Practice  bool
	After     string
}

// Run shows the screens until the person leaves. A job that is open then stays open in the store, and a line on Out says
// how to take it up again. The error is of what could not be read, written or shown.
func Run(o Options) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	m, err := newModel(o)
	if err != nil {
		return err
	}
	p := m.program(m)
	// A signal quits as a key would. Killing the program instead would close the input under the reader of keys.
	defer context.AfterFunc(ctx, p.Quit)()
	m.asker.send = p.Send
	_, err = p.Run()
	m.asker.giveUp()
	return m.left(err)
}

// program is what shows a model at the ends that the options name.
func (m *model) program(shown tea.Model) *tea.Program {
	return tea.NewProgram(shown, tea.WithInput(m.opt.In), tea.WithOutput(m.opt.Out), tea.WithAltScreen(), tea.WithoutSignalHandler())
}

// left lets go of the job and says how to take it up again. Being told to end is no error.
func (m *model) left(err error) error {
	if errors.Is(err, tea.ErrProgramPanic) {
		err = fmt.Errorf("the screens failed, the job did not: %w", err)
	} else if errors.Is(err, tea.ErrProgramKilled) || errors.Is(err, tea.ErrInterrupted) {
		err = nil
	}
	for _, f := range m.records {
		if _, no := fmt.Fprintf(m.opt.Out, "Signed by %s. The record is\n  %s\nAnybody verifies it in its folder with:\n  %s\n", plaintext.Show(f.By.Name), f.Record, f.VerifyLine()); no != nil {
			err = errors.Join(err, fmt.Errorf("say where record %s is: %w", f.Record, no))
		}
	}
	if m.work == nil {
		return err
	}
	path, id := m.work.session.JournalPath(), m.work.job.Opening.Job
	err = errors.Join(err, m.work.session.Close())
	if m.work.finished == nil {
		if _, no := fmt.Fprintf(m.opt.Out, "Job %s stays open. Its journal is\n  %s\nTake it up again with:\n  fenderside resume %s\n", id, path, id); no != nil {
			err = errors.Join(err, fmt.Errorf("say how job %s is taken up again: %w", id, no))
		}
	}
	return err
}

package plain

// The rule kept here: a job is taken up or opened, worked until it is signed or left, and let go of in every case.

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/session"
	"fenderside/runner/store"
	"fenderside/ui/bell"
)

// Options is what the line mode works with. Without Start and Resume it asks what is to be done.
type Options struct {
	Home     home.Home
	Start    *Start // a job to open; nil for none
	Resume   string // the id of an open job to take up again
	In       io.Reader
	Out      io.Writer
	Terminal bool // In is a terminal; live work needs one
	Bell     bool // Out is a terminal, which rings when a time is over
	Clock    func() session.Clock
}

// Start is a job to open. What is nil is asked for.
type Start struct {
	Procedure *procedures.Procedure
	Card      *procedures.Card
	NoCard    bool // there is no card, and none is asked for
	Practice  bool
	After     string // the locked job that this one follows
}

// Run works one job. Leaving it open, by the end of the input, ctrl+c or .quit, is no error; leaving before the job that
// Start asks for was opened is one. A *session.Locked error says
// that the job can no longer be written to.
func Run(o Options) error {
	if o.Clock == nil {
		o.Clock = session.MachineClock
	}
	d := newDesk(o)
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(stop)
	d.interrupt = stop
	if o.Terminal {
		ticker := time.NewTicker(time.Second)
		defer ticker.Stop()
		d.ticks = ticker.C
	}
	return d.run()
}

// desk is one person at one job.
type desk struct {
	*console
	opts  Options
	home  home.Home
	store *store.Store
	me    home.Identity
	s     *session.Session // nil until a job is open

	told     string            // what was announced last
	tried    string            // the step whose completing was refused
	focus    string            // the pinned step that is being completed
	ahead    string            // the timed step whose other entries are taken while it waits
	declined map[string]bool   // optional items that were left out
	waits    map[string]string // what was last said of what runs by itself
	bell     bell.Bell
}

func newDesk(o Options) *desk {
	d := &desk{console: newConsole(o.In, o.Out), home: o.Home, opts: o,
		declined: map[string]bool{}, waits: map[string]string{}}
	d.home.Ask = d.passphrase
	d.onTick = d.tick
	return d
}

func (d *desk) run() error {
	err := d.open()
	if err == nil {
		err = d.work()
	}
	if errors.Is(err, errNone) && d.opts.Start == nil {
		err = nil
	}
	if d.s != nil {
		err = errors.Join(err, d.s.Close())
	}
	var locked *session.Locked
	if errors.As(err, &locked) {
		d.gap()
		d.say("LOCKED. %v", locked)
	}
	return errors.Join(err, d.failed)
}

// open finds out which job is meant and takes it up.
func (d *desk) open() (err error) {
	if d.store, err = d.home.Store(); err != nil {
		return err
	}
	var notice string
	if d.me, notice, err = d.home.Identity(); err != nil {
		return err
	}
	d.say("Fenderside, line mode. You are %s. Type .help at any time.", d.me.Person.Name)
	if notice != "" {
		d.sayLines(notice)
	}
	for {
		err := d.openOne()
		var c *commandLine
		if !errors.As(err, &c) {
			return d.notOpened(err)
		}
		if done := d.beforeJob(c); done {
			return d.notOpened(errLeft)
		}
	}
}

func (d *desk) openOne() error {
	id, start := d.opts.Resume, d.opts.Start
	if id == "" && start == nil {
		var err error
		if id, start, err = d.board(); err != nil {
			return err
		}
	}
	if id != "" {
		return d.takeUp(id)
	}
	return d.begin(*start)
}

// notOpened ends the talk before there was a job.
func (d *desk) notOpened(err error) error {
	if errors.Is(err, errLeft) {
		d.say("No job was opened.")
		return errNone
	}
	return err
}

// errNone ends a run in which no job was opened. It is no failure where none was asked for.
var errNone = errors.New("no job was opened: start again, and answer what is asked before the briefing")

// beforeJob answers the commands that make sense without a job.
func (d *desk) beforeJob(c *commandLine) (leave bool) {
	switch c.name {
	case "quit":
		return true
	case "help":
		d.say("No job is open yet. Answer the questions to open one. A command drops what was answered so far.")
		d.help()
	default:
		d.say("There is no job yet for .%s to work on. .quit leaves, .help lists the commands.", c.name)
	}
	return false
}

// takeUp opens a job again.
func (d *desk) takeUp(id string) error {
	if seen, err := d.replay(id); err == nil && seen.Job.Opening.Mode == runner.Live && !d.opts.Terminal {
		return fmt.Errorf("take up job %s: it is live work, and live work needs a terminal on standard input: run this at a terminal", id)
	}
	s, err := session.Resume(d.store, id, d.opts.Clock())
	if err != nil {
		return err
	}
	d.s = s
	if p := s.State().Performer(); p.Fingerprint != d.me.Person.Fingerprint && s.State().Seal() == nil {
		d.say("The work on this job is %s's, and the key here is yours, %s. If they are gone, take the job over with .takeover.", p.Name, d.me.Person.Name)
	}
	return nil
}

// left says how the job is taken up again.
func (d *desk) left() {
	id := d.s.Job().Opening.Job
	d.gap()
	d.say("Job %s stays open as it is written down. What was entered is safe on disk.", id)
	d.say("What lapses when work is broken off will have to be secured again. While you are away, nothing here watches the vehicle.")
	d.say("Take it up again with: fenderside resume %s --plain", id)
}

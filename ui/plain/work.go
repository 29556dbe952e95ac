package plain

// The rule kept here: what is asked next is read off the state afresh before every prompt. Nothing is remembered of a
// question, so that a lapse, a stop or a command in between can leave no stale one behind.

import (
	"errors"

	"fenderside/runner"
	"fenderside/runner/session"
)

// want is what the job waits for next. Key names it; intro is said once when it comes up, prompt every time. Where auto is
// set nothing is left to ask, and it is done without a prompt.
type want struct {
	key    string
	intro  func()
	prompt []string
	take   func(line string) error
	auto   func() error
}

// errDone ends the work: the record is signed.
var errDone = errors.New("signed")

// work goes from want to want until the record is signed or the person leaves.
func (d *desk) work() error {
	d.header()
	for {
		err := d.turn()
		for {
			var c *commandLine
			if !errors.As(err, &c) {
				break
			}
			err = d.command(c)
		}
		switch {
		case err == nil, errors.Is(err, errMoved):
		case errors.Is(err, errLeft):
			d.left()
			return d.failed
		case errors.Is(err, errDone):
			return nil
		default:
			return err
		}
	}
}

// turn asks for the next want and takes the answer.
func (d *desk) turn() error {
	if err := d.tick(); err != nil && !errors.Is(err, errMoved) {
		return err
	}
	w := d.next()
	if w.key != d.told {
		d.told = w.key
		d.gap()
		w.intro()
	}
	if w.auto != nil {
		return w.auto()
	}
	line, err := d.ask(w.prompt...)
	if err != nil {
		return err
	}
	return w.take(line)
}

// next is what the job waits for.
func (d *desk) next() want {
	st := d.s.State()
	switch {
	case st.Phase() == runner.Closed:
		return d.unsigned()
	case st.Phase() == runner.Briefing && st.Hold() == nil:
		return d.briefing()
	case st.Stopped() && st.Phase() != runner.Briefing:
		return d.stopped()
	case st.Hold() != nil:
		return d.held()
	}
	if step := d.focused(); step != "" {
		return d.entry(step)
	}
	switch {
	case st.Current() != nil:
		return d.entry(st.Current().ID)
	case st.Handover() != nil:
		return d.signOver()
	case st.ReadyToSeal():
		return d.signing()
	}
	return d.stuck()
}

// stuck is a state in which only a command leads on; it says why.
func (d *desk) stuck() want {
	return want{
		key:    "stuck",
		intro:  func() { d.say("No step is open.") },
		prompt: append(d.words(d.s.State().Unsafe()), "Type a command; .help lists them."),
		take:   d.notAsked,
	}
}

func (d *desk) notAsked(line string) error {
	if line != "" {
		d.say("Nothing was asked that “%s” answers.", line)
	}
	return nil
}

// tick lets time pass, and says what that changed. It returns errMoved where something did.
func (d *desk) tick() error {
	if d.s == nil || d.s.State().Phase() == runner.Closed {
		return nil
	}
	dec, err := d.s.Do(runner.Tick{})
	d.ring()
	if err != nil || len(dec.Events) > 0 {
		return errors.Join(d.result(dec, err), errMoved)
	}
	if d.timeTold() {
		return errMoved
	}
	return nil
}

// do gives a command to the job and says what came of it.
func (d *desk) do(c runner.Command) error {
	dec, err := d.s.Do(c)
	return d.result(dec, err)
}

// result says what came of a command. Its error is the job's being locked; any other is said, and the work goes on.
func (d *desk) result(dec runner.Decision, err error) error {
	var locked *session.Locked
	switch {
	case errors.As(err, &locked):
		return err
	case errors.Is(err, errLeft):
		return errLeft
	case err != nil:
		d.sayError(err)
		return nil
	}
	d.tell(dec.Events)
	if dec.Refusal != nil {
		d.refused(dec.Refusal.Reasons)
	}
	return nil
}

package plain

// The rule kept here: what the screens can do, a command here can do, and .help lists it.

import (
	"fmt"

	"fenderside/runner"
)

// command is one thing that can be typed in place of an answer.
type command struct {
	name, args, help string
	do               func(d *desk, rest string) error
}

// say1 is a command that only says something.
func say1(f func(*desk)) func(*desk, string) error {
	return func(d *desk, _ string) error { f(d); return nil }
}

// do1 is a command without words of its own.
func do1(f func(*desk) error) func(*desk, string) error {
	return func(d *desk, _ string) error { return f(d) }
}

func commands() []command {
	return []command{
		{"stop", "numbers note", "report at once that safeguards are no longer true", (*desk).stop},
		{"again", "", "say the step and the question once more", say1(func(d *desk) { d.told = "" })},
		{"why", "", "say why the step is there", say1((*desk).why)},
		{"strip", "", "say how every safeguard stands", say1((*desk).strip)},
		{"track", "", "say the last steps, this one and the next", say1((*desk).track)},
		{"wants", "", "say all that the step still waits for", say1((*desk).wants)},
		{"sheet", "", "say the job sheet", say1((*desk).sheetLines)},
		{"workings", "", "say the arithmetic of the step's checks", say1((*desk).workings)},
		{"picture", "", "say in words the picture of the step: its engine, curve or torque window", say1((*desk).picture)},
		{"entries", "", "make the other entries of a timed step while it waits", say1((*desk).entries)},
		{"pinned", "", "turn to a step that runs beside the work, or back", do1((*desk).pinned)},
		{"read", "value", "record a reading of this step out of turn", (*desk).readOutOfTurn},
		{"instrument", "", "name the instrument in your hand", do1((*desk).instrument)},
		{"attach", "path", "bind a photo or file to this step", (*desk).attach},
		{"skip", "reason", "pass over an optional step", (*desk).skip},
		{"correct", "words", "correct an entry; words narrow the list", (*desk).correct},
		{"note", "text", "write a remark into the record", (*desk).note},
		{"witness", "", "have a second person sign for this step", do1((*desk).witnessHere)},
		{"pause", "reason", "break the work off on purpose", (*desk).pause},
		{"resume", "", "take up work that was broken off", do1(func(d *desk) error { return d.do(runner.Resume{}) })},
		{"handover", "", "hand the job to another person who is here", do1((*desk).handOver)},
		{"keep", "reason", "end a handover that does not take place", (*desk).keep},
		{"takeover", "reason", "take on a job whose performer is gone", (*desk).takeOver},
		{"close", "referred|abandoned reason", "end the job early, through the make-safe steps", (*desk).close},
		{"continue", "reason", "withdraw such a close", (*desk).goOn},
		{"left", "state", "write down what cannot be made safe", (*desk).leftState},
		{"follow", "what", "promise work that is still due", (*desk).follow},
		{"review", "all", "read the job back", func(d *desk, rest string) error { d.review(rest); return nil }},
		{"sign", "", "read the job back and sign, once all is done", do1((*desk).signNow)},
		{"help", "", "list the commands", say1((*desk).help)},
		{"quit", "", "leave; the job stays open", do1(func(*desk) error { return errLeft })},
	}
}

// command does what was typed in place of an answer.
func (d *desk) command(c *commandLine) error {
	for _, known := range commands() {
		if known.name == c.name {
			return known.do(d, c.rest)
		}
	}
	d.say("There is no command .%s. Type .help for the list. To enter words that begin with a full stop, type a blank first.", c.name)
	return nil
}

func (d *desk) help() {
	for _, c := range commands() {
		args := ""
		if c.args != "" {
			args = " " + c.args
		}
		d.say(".%s%s: %s", c.name, args, c.help)
	}
	d.say("Words after a command may be left out; they are then asked for.")
}

// wants says all that the open step waits for.
func (d *desk) wants() {
	st := d.here()
	if st == nil {
		d.say("No step is open.")
		return
	}
	v, _ := d.s.State().View(st.ID, d.s.Moment())
	for _, line := range d.words(v.Wants) {
		d.say("%s", line)
	}
	d.say("%s", fmt.Sprintf("Still wanted by this step: %d.", len(v.Wants)))
}

func (d *desk) note(text string) error {
	text, err := d.askWords(text, "What is to be noted?")
	if err != nil {
		return err
	}
	return d.do(runner.Note{Text: text})
}

func (d *desk) witnessHere() error {
	st := d.here()
	if st == nil {
		d.say("No step is open.")
		return nil
	}
	return d.witness(st.ID)
}

func (d *desk) keep(reason string) error {
	reason, err := d.askWords(reason, "Why does the handover not take place?")
	if err != nil {
		return err
	}
	return d.do(runner.KeepJob{Reason: reason})
}

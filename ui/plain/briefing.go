package plain

// The rule kept here: the briefing is read item by item, and an interrupted or stopped job goes on only by a word of its
// own.

import (
	"fmt"
	"strings"
	"time"

	"fenderside/runner"
	"fenderside/ui/reading"
)

// briefing is the first item that was not acknowledged.
func (d *desk) briefing() want {
	st := d.s.State()
	all, seen := runner.Briefs(d.s.Job().Procedure), st.Acknowledged()
	for i, b := range all {
		if seen[i] {
			continue
		}
		return want{
			key: "brief " + b.ID,
			intro: func() {
				d.say("Briefing %d of %d. %s:", i+1, len(all), b.Title)
				if alone := reading.Alone(st, d.s.Moment()); alone != "" && i == 0 {
					d.say("%s", alone)
				}
				for _, line := range b.Lines {
					d.say("%s", line)
				}
			},
			prompt: []string{"When you have read it, type: read"},
			take:   d.word("read", runner.Acknowledge{Item: b.ID}),
		}
	}
	return d.stuck()
}

// word takes one word, which gives a command to the job.
func (d *desk) word(word string, c runner.Command) func(string) error {
	return func(line string) error {
		if !strings.EqualFold(line, word) {
			d.notThat(line, word)
			return nil
		}
		return d.do(c)
	}
}

// notThat answers what was typed in place of a word that the prompt names.
func (d *desk) notThat(line, word string) {
	if line != "" {
		d.say("“%s” is not the word. Type: %s", line, word)
	}
}

// stopped says what to do first after a stop, and waits for that to be done.
func (d *desk) stopped() want {
	return want{
		key:    "stopped",
		intro:  d.getClear,
		prompt: []string{"When all of this is done and everybody is clear, type: clear"},
		take:   d.word("clear", runner.Clear{}),
	}
}

// getClear says what to do first when a safeguard is lost.
func (d *desk) getClear() {
	d.say("WORK IS STOPPED.")
	for _, g := range d.s.State().StopWork() {
		d.say("No longer true: %s.", g.Title)
		for _, line := range g.IfLost {
			d.say("DO THIS FIRST: %s.", strings.TrimRight(line, "."))
		}
	}
}

// held says where the work was broken off, what happened last and what fell, and waits for a deliberate resume.
func (d *desk) held() want {
	return want{
		key:    "held",
		intro:  d.brokenOff,
		prompt: []string{"Look at the vehicle first. To resume, type: resume"},
		take:   d.word("resume", runner.Resume{}),
	}
}

func (d *desk) brokenOff() {
	h := d.s.State().Hold()
	d.say("HELD. %s, %s.", d.s.Job().Tell(runner.Interrupted{Cause: h.Why, Reason: h.Reason}), h.At.Wall.Format(time.DateTime+" MST"))
	for _, id := range h.Fell {
		d.sayFell(id)
	}
	if step, ok := d.s.Job().Procedure.StepByID(h.Step); ok {
		d.say("The work was at: %s.", step.Title)
	}
	d.sayAstray()
	d.say("What happened last:")
	for _, line := range d.lastThree() {
		d.say("%s", line)
	}
	if len(h.Fell) == 0 {
		d.say("No safeguard fell with it.")
	}
}

// sayFell says a safeguard that fell, what is to be done first without it, and how it is secured again.
func (d *desk) sayFell(id string) {
	what, next := d.s.Job().Text(runner.Reason{Code: runner.SafeguardMissing, Item: id})
	d.say("Fell: %s. After the resume, %s.", what, next)
	if g, ok := d.s.Job().Procedure.SafeguardByID(id); ok {
		for _, line := range d.s.Job().Procedure.Safeguards[g].IfLost {
			d.say("DO THIS FIRST: %s.", strings.TrimRight(line, "."))
		}
	}
}

// lastThree words the last three things that happened before the interruption.
func (d *desk) lastThree() []string {
	var out []string
	lines := d.s.Lines()
	for i := len(lines) - 1; i >= 0; i-- {
		for k := len(lines[i].Events) - 1; k >= 0; k-- {
			e := lines[i].Events[k]
			if text := d.s.Job().Tell(e); text != "" && !ofHold(e) {
				out = append([]string{fmt.Sprintf("%s: %s.", lines[i].At.Format("15:04:05"), strings.TrimRight(text, "."))}, out...)
			}
			if len(out) == 3 {
				return out
			}
		}
	}
	return out
}

func ofHold(e runner.Event) bool {
	switch e.(type) {
	case runner.Interrupted, runner.Fell:
		return true
	}
	return false
}

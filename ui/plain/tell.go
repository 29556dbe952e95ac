package plain

// The rule kept here: what happened is said in the words of the core, a line for each event, and a refusal names every
// reason with what to do about it.

import (
	"fmt"
	"strings"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// header names the procedure, its revision, the job and its mode.
func (d *desk) header() {
	j, st := d.s.Job(), d.s.State()
	d.gap()
	d.say("%s. Procedure %s, revision %d.", j.Procedure.Title, j.Procedure.Name, j.Procedure.Revision)
	d.say("Job %s, number %d in this store. %s", j.Opening.Job, j.Opening.Number, modeWords(j.Opening.Mode, j.Card))
	d.say("The work is %s's.", st.Performer().Name)
	if j.Opening.After != "" {
		d.say("This job follows job %s, which is locked. Nothing that was secured there counts here.", j.Opening.After)
	}
	d.say("Type .stop at any time when a safeguard is no longer true. Type .help for every command.")
}

// tell says what happened. A change of a safeguard is followed by how the safeguards stand.
func (d *desk) tell(events []runner.Event) {
	changed := false
	for _, e := range events {
		switch e := e.(type) {
		case runner.Refused:
			continue
		case runner.ReadingTaken:
			d.reading(e)
			continue
		case runner.Computed:
			if d.refusedNow(events, e) {
				continue
			}
		case runner.Affirmed:
			d.say("Affirmed.")
			continue
		case runner.Acknowledged:
			continue
		case runner.Secured, runner.Released, runner.Fell:
			changed = true
		}
		if text := d.s.Job().Tell(e); text != "" {
			d.say("%s.", strings.TrimRight(text, "."))
		}
	}
	if changed {
		d.stripLine()
	}
}

// reading says that a reading was recorded, or why it was not accepted.
func (d *desk) reading(e runner.ReadingTaken) {
	with := ""
	if e.Instrument != "" {
		with = " with " + e.Instrument
	}
	title := d.readingTitle(e)
	if v, r, ok := d.readingOf(e); ok && e.Accepted {
		if c := reading.RefusedBy(v, r); c != nil {
			d.judged(v, r, c, e, with)
			return
		}
	}
	if e.Accepted {
		d.say("Recorded: %s: %s%s.", title, e.Value, with)
		return
	}
	d.say("NOT ACCEPTED: %s: %s%s. It is kept in the record as refused.", title, e.Value, with)
	for _, line := range d.words(e.Reasons) {
		d.say("%s", line)
	}
}

// judged says that a check refused what was read, in its own words, and what is to be done.
func (d *desk) judged(v runner.StepView, r runner.ReadingView, c *runner.CheckView, e runner.ReadingTaken, with string) {
	d.say("NOT ACCEPTED: %s: %s%s. It is kept in the record as refused.", r.Spec.Title, e.Value, with)
	d.say("Because %s.", strings.TrimRight(c.Because, "."))
	if first := reading.Instead(v, c, r.Spec.ID); len(first) > 0 {
		d.say("Correct first, with .correct: %s.", strings.Join(first, "; "))
	}
}

// refusedNow says whether a check's result was told with the reading that it refused.
func (d *desk) refusedNow(events []runner.Event, c runner.Computed) bool {
	for _, e := range events {
		if e, ok := e.(runner.ReadingTaken); ok && e.Accepted {
			v, r, _ := d.readingOf(e)
			if by := reading.RefusedBy(v, r); by != nil && by.Use.Name == c.Check {
				return true
			}
		}
	}
	return false
}

// readingOf is a reading that was taken, as it stands now.
func (d *desk) readingOf(e runner.ReadingTaken) (runner.StepView, runner.ReadingView, bool) {
	v, _ := d.s.State().View(e.Step, d.s.Moment())
	for _, r := range v.Readings {
		if r.Spec.ID == e.Reading {
			return v, r, true
		}
	}
	return v, runner.ReadingView{}, false
}

func (d *desk) readingTitle(e runner.ReadingTaken) string {
	if _, r, ok := d.readingOf(e); ok {
		return r.Spec.Title
	}
	return e.Reading
}

// refused says each reason of a refusal and what to do next.
func (d *desk) refused(reasons []runner.Reason) {
	d.say("REFUSED. Nothing was changed; the refusal is in the record.")
	for _, line := range d.words(reasons) {
		d.say("%s", line)
	}
}

// words is a line for each reason.
func (d *desk) words(reasons []runner.Reason) []string {
	var out []string
	for _, r := range reasons {
		what, next := d.s.Job().Text(r)
		out = append(out, fmt.Sprintf("Because %s. Next: %s.", strings.TrimRight(what, "."), next))
	}
	return out
}

// stripLine says how many safeguards stand, and which do not stand any more.
func (d *desk) stripLine() {
	in := 0
	var fallen []string
	for _, v := range d.s.State().Strip(d.s.Moment()) {
		switch v.State {
		case runner.InPlace:
			in++
		case runner.Lapsed, runner.Lost:
			fallen = append(fallen, v.Safeguard.Title)
		}
	}
	line := fmt.Sprintf("Safeguards in place now: %d.", in)
	if len(fallen) > 0 {
		line += " Lapsed or lost: " + strings.Join(fallen, "; ") + "."
	}
	d.say("%s", line)
}

// strip says how every safeguard stands, one to a line.
func (d *desk) strip() {
	for _, v := range d.s.State().Strip(d.s.Moment()) {
		d.say("Safeguard: %s: %s.", v.Safeguard.Title, d.cell(v))
	}
	for _, p := range d.s.State().Pins(d.s.Moment()) {
		d.say("Beside the work: %s: %s.", p.Step.Title, pinWords(p))
	}
}

func (d *desk) cell(v runner.SafeguardView) string {
	text := string(v.State)
	switch {
	case v.State == runner.InPlace:
		text += " for " + span(v.For)
		if v.Safeguard.After > 0 {
			text += ", lapses in " + span(v.Left)
		}
	case v.Fell != nil:
		text += ": " + d.s.Job().Why(*v.Fell)
	}
	if v.Engaged && v.State != runner.InPlace {
		text += "; it was begun and not released"
	}
	return text
}

func pinWords(p runner.PinView) string {
	if p.Left > 0 {
		return fmt.Sprintf("%s passed, %s to go", span(p.For), span(p.Left))
	}
	return "its time is over; type .pinned to complete it"
}

// track says the last steps, this one and the next.
func (d *desk) track() {
	for _, m := range d.s.State().Track(3) {
		d.say("%s: %s%s.", d.markWords(m), m.Step.Title, gateWords(m))
	}
}

func (d *desk) markWords(m runner.Mark) string {
	switch {
	case m.Here:
		return "Here"
	case m.Status == runner.Finished:
		return "Done"
	case m.Status == runner.Passed:
		return "Passed by"
	case m.Status == runner.SkippedIt:
		return "Skipped"
	}
	return "Ahead"
}

func gateWords(m runner.Mark) string {
	switch {
	case m.Step.Kind != procedures.Gate:
		return ""
	case m.Open:
		return " (gate, its safeguard in place)"
	case m.Step.Secures >= 0:
		return " (gate, its safeguard not in place)"
	}
	return " (gate)"
}

// span words a length of time in whole seconds, rounded up.
func span(t time.Duration) string {
	s := int64((t + time.Second - 1) / time.Second)
	var parts []string
	for _, u := range []struct {
		name string
		size int64
	}{{"hour", 3600}, {"minute", 60}, {"second", 1}} {
		n := s / u.size
		s %= u.size
		switch {
		case n == 1:
			parts = append(parts, "1 "+u.name)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, u.name))
		}
	}
	if len(parts) == 0 {
		return "no time"
	}
	return strings.Join(parts, " ")
}

package plain

// The rule kept here: the review leaves out nothing that was refused, corrected, lost or broken off.

import (
	"strings"
	"time"

	"fenderside/runner"
	"fenderside/ui/reading"
)

// review says what the record tells: readings, checks, answers, refusals, corrections, lapses, interruptions and people.
// With "all" it says every event.
func (d *desk) review(which string) {
	j, st := d.s.Job(), d.s.State()
	d.say("Review of job %s: %s, revision %d, %s.", j.Opening.Job, j.Procedure.Title, j.Procedure.Revision, j.Opening.Mode)
	d.sheetLines()
	day := ""
	for _, l := range d.s.Lines() {
		for _, e := range l.Events {
			text := j.Tell(e)
			if text == "" || which != "all" && !weighs(e) {
				continue
			}
			if at := l.At.Format(time.DateOnly); at != day {
				day = at
				d.say("On %s, times in UTC:", day)
			}
			d.say("%s %s: %s.", l.At.Format(time.TimeOnly), l.By, strings.TrimRight(text, "."))
		}
	}
	d.say("Commands refused in all: %d.", st.Refusals())
	for _, p := range st.Unsigned() {
		d.say("The stretch of %s is unsigned.", p.Name)
	}
	d.sayAstray()
	if which != "all" {
		d.say("Statements affirmed and steps done are not read out here; .review all reads every event.")
	}
}

// sayAstray says which attached files are lost or changed, and what can be done.
func (d *desk) sayAstray() {
	for _, line := range reading.Astray(d.s.State(), d.s.Job(), d.s.Moment(), d.s.Astray()) {
		d.say("%s", strings.TrimPrefix(line, "  - "))
	}
}

// weighs says whether an event belongs in the short review.
func weighs(e runner.Event) bool {
	switch e.(type) {
	case runner.Acknowledged, runner.Began, runner.Affirmed, runner.Done, runner.PassedBy, runner.WaitStarted:
		return false
	}
	return true
}

package plain

// The rule kept here: a wait is told in words, when it is asked for and when it ends; nothing on the screen counts. At a
// terminal the bell rings when it ends, for whoever has turned away to wait.

import (
	"fmt"
	"io"
	"strings"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/bell"
)

// waitWant starts the clock of a timed step and says how long is left.
func (d *desk) waitWant(v runner.StepView) (want, bool) {
	if _, ok := wanted(v, runner.WaitNotStarted); ok {
		return want{prompt: append(timeWords(v), "When the time is to begin, type: start"),
			take: d.word("start", runner.StartWait{Step: v.Step.ID})}, true
	}
	if r, ok := wanted(v, runner.WaitMissed); ok {
		return want{prompt: append(d.words([]runner.Reason{r}), "To start the time again, type: start"),
			take: d.word("start", runner.StartWait{Step: v.Step.ID})}, true
	}
	if _, ok := wanted(v, runner.WaitRunning); ok && d.ahead != v.Step.ID {
		return d.running(v), true
	}
	return want{}, false
}

// lateWaitWant is the wait of a step whose other entries were taken meanwhile.
func (d *desk) lateWaitWant(v runner.StepView) (want, bool) {
	_, ok := wanted(v, runner.WaitRunning)
	if !ok {
		return want{}, false
	}
	return d.running(v), true
}

func (d *desk) running(v runner.StepView) want {
	prompt := []string{span(v.Wait.Left) + " to go. Press Enter to hear it again."}
	if v.Step.Kind != procedures.Pinned && d.ahead == "" && len(v.Wants) > 1 {
		prompt = append(prompt, "To make the other entries of this step meanwhile, type .entries")
	}
	return want{prompt: prompt, take: d.notAsked}
}

// entries has the other entries of a timed step taken while its time runs.
func (d *desk) entries() {
	st := d.here()
	if st == nil || st.Kind == procedures.Pinned || st.Wait == nil {
		d.say("No timed step is open.")
		return
	}
	d.ahead = st.ID
}

// timeWords says how long a timed step takes, and what for.
func timeWords(v runner.StepView) []string {
	var out []string
	for _, part := range []struct {
		what string
		time time.Duration
	}{{"at least", v.Wait.Least}, {"at most", v.Wait.Most}} {
		if part.time > 0 {
			out = append(out, part.what+" "+span(part.time))
		}
	}
	line := "This step is timed: " + strings.Join(out, ", ")
	w := v.Step.Wait
	if w.Title != "" {
		line += ", for " + w.Title
	}
	if w.IfMissed != "" {
		return []string{line + ".", "If its longest time is missed: " + w.IfMissed}
	}
	return []string{line + "."}
}

// latest says by when a timed step is to be completed.
func (d *desk) latest(v runner.StepView) []string {
	if !v.Wait.Started || v.Wait.Most == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%s left to complete this step.", span(max(0, v.Wait.Most-v.Wait.For)))}
}

// timeTold says what time brought: a wait that is over, a pinned step to look after or to complete. It reports whether the
// question that is open may be out of date.
func (d *desk) timeTold() (moved bool) {
	st, now := d.s.State(), d.s.Moment()
	if open := st.Current(); open != nil {
		v, _ := st.View(open.ID, now)
		_, runs := wanted(v, runner.WaitRunning)
		over := d.changed("wait "+open.ID, fmt.Sprint(runs)) && !runs && v.Wait.Started && v.Wait.Least > 0 && !v.Wait.Missed
		if over {
			d.say("The wait of “%s” is over.", open.Title)
		}
		moved = moved || over
	}
	for _, p := range st.Pins(now) {
		if st.Current() == nil || st.Current().ID != p.Step.ID {
			d.remind(p)
		}
	}
	return moved
}

// ring rings the terminal's bell where a time is over. It is no part of what is said, and no file gets it.
func (d *desk) ring() {
	if d.bell.Due(d.s.State(), d.s.Moment()) && d.opts.Bell && d.failed == nil {
		_, d.failed = io.WriteString(d.out, bell.Ring)
	}
}

// remind says how a pinned step stands when it is due to be reminded of, and when its time is over.
func (d *desk) remind(p runner.PinView) {
	state := "over"
	if p.Left > 0 {
		state = "0"
		if every := p.Step.Pin.Remind; every > 0 {
			state = fmt.Sprint(int64(p.For / every))
		}
	}
	if d.changed("pin "+p.Step.ID, state) {
		d.say("Beside the work: %s: %s.", p.Step.Title, pinWords(p))
	}
}

// changed notes what is to be said under a name, and reports whether it is news.
func (d *desk) changed(name, state string) bool {
	old := d.waits[name]
	d.waits[name] = state
	return old != state
}

// focused is the pinned step that is being completed, while it can be.
func (d *desk) focused() string {
	for _, p := range d.s.State().Pins(d.s.Moment()) {
		if p.Step.ID == d.focus {
			return d.focus
		}
	}
	d.focus = ""
	return ""
}

// pinned says how the steps beside the work stand, and turns to one whose time is over.
func (d *desk) pinned() error {
	pins := d.s.State().Pins(d.s.Moment())
	if len(pins) == 0 {
		d.say("Nothing runs beside the work.")
	}
	if d.focused() != "" {
		d.focus = ""
		d.say("Back to the work.")
		return nil
	}
	for _, p := range pins {
		d.say("Beside the work: %s: %s.", p.Step.Title, pinWords(p))
		if p.Left == 0 && d.focus == "" {
			d.focus = p.Step.ID
		}
	}
	return nil
}

//go:build unix

package wholejob

// What is done beside the next entry stands behind F7: passing over a step, closing early, writing down what follows. And an
// instrument with a calibration date is named on a form.

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

// menu opens the list behind F7 and takes a line of it.
func (h *hand) menu(l look, line string) {
	h.keys(l.screen, beat, "F7")
	h.pick("WHAT ELSE", line)
}

// pick takes the line of a list that begins with some words, or with as many of them as a row holds.
func (h *hand) pick(list, line string) {
	for range 30 {
		screen := h.Settled()
		require.Contains(h.t, screen, list)
		if m := marked.FindStringSubmatch(screen); m != nil && (strings.HasPrefix(m[1], line) || strings.HasPrefix(line, strings.TrimSpace(m[1]))) {
			h.keys(screen, beat, "Enter")
			return
		}
		h.keys(screen, 0, "Down")
	}
	require.Failf(h.t, "no such line on the list", "%q; the screen shows:\n%s", line, h.Screen())
}

// form answers the questions of a form, the last of which makes the entry. One character is the number of an answer, and no
// answer leaves a question out.
func (h *hand) form(l look, answers ...string) {
	for i, text := range answers {
		screen, keys := h.Settled(), []string{"Enter"}
		switch len(text) {
		case 0:
		case 1:
			keys = []string{text, "Enter"}
		default:
			keys = []string{"text:" + text, "Enter"}
		}
		if i == len(answers)-1 {
			h.entry(look{screen: screen, length: l.length}, beat, keys...)
			return
		}
		h.keys(screen, beat, keys...)
	}
}

// passOver passes over an optional step.
func (h *hand) passOver(l look) {
	h.menu(l, "Pass over")
	h.form(l, "no camera in the bay today")
}

// optional takes a reading that the step does not ask for by itself, where the book has one. It reports whether there was any.
func (h *hand) optional(l look, step *procedures.Step) bool {
	for _, r := range view(l, step).Readings {
		if r.Spec.Optional && len(r.Values)+len(r.Refused) == 0 && h.book.of(r.Spec.ID) != nil {
			h.menu(l, "Take an optional reading")
			h.pick("READINGS OF THIS STEP", r.Spec.Title)
			h.nameFirst(l, r)
			h.form(l, h.answer(l, r.Spec.ID, 0))
			return true
		}
	}
	return false
}

// nameFirst names the instrument of a reading on the form that comes before it, where none is in hand yet.
func (h *hand) nameFirst(l look, r runner.ReadingView) {
	if r.Spec.Instrument < 0 {
		return
	}
	in := l.state.Job().Procedure.Instruments[r.Spec.Instrument]
	if _, named := l.state.InstrumentOf(in.ID); named {
		return
	}
	due := ""
	if in.Calibration {
		due = inMonths(6)
	}
	h.form(l, h.answer(l, in.ID, 0), due)
}

// closeEarly ends the job as referred or abandoned.
func (h *hand) closeEarly(l look, as procedures.Outcome, why string) {
	number := map[procedures.Outcome]string{procedures.Referred: "1", procedures.Abandoned: "2"}[as]
	h.menu(l, "Close the job early")
	h.form(l, number, why)
}

// leaveAs writes down that a step cannot make safe any more, and what state it leaves.
func (h *hand) leaveAs(l look, step *procedures.Step, state string) {
	i := slices.IndexFunc(l.state.Due(), func(due *procedures.Step) bool { return due.ID == step.ID })
	require.GreaterOrEqual(h.t, i, 0, "%s is due", step.ID)
	h.menu(l, "Write down a state")
	h.form(l, fmt.Sprint(i+1), state)
}

// end writes down what follows, then reads the record to its end and signs it.
func (h *hand) end(l look) {
	if m := signs.FindStringSubmatch(l.shown); m != nil {
		h.keys(l.screen, beat, m[1])
		return
	}
	if len(h.followUps) == 0 {
		h.turn(l)
		return
	}
	next := h.followUps[0]
	h.followUps = h.followUps[1:]
	h.menu(l, "Write down work that is still due")
	h.form(l, next[0], next[1])
}

// name says which instrument is in hand.
func (h *hand) name(l look, in procedures.Instrument) bool {
	if !in.Calibration {
		h.entry(l, beat, "text:"+h.answer(l, in.ID, 0), "Enter")
		return true
	}
	h.keys(l.screen, beat, "text:"+h.answer(l, in.ID, 0), "Enter")
	require.Contains(h.t, h.Settled(), "Calibration due")
	h.form(l, inMonths(6))
	return true
}

// began is when the tests began: a journey may go on past midnight.
var began = time.Now()

// inMonths is a date that is so far off.
func inMonths(n int) string { return began.AddDate(0, n, 0).Format(time.DateOnly) }

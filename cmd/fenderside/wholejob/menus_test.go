//go:build unix

package wholejob

// What is done beside the next entry stands behind F7: passing over a step, closing early, writing down what follows. And an
// instrument with a calibration date is named on a form.

import (
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
)

// menu opens the list behind F7 and takes the line that begins with some words.
func (h *hand) menu(l look, line string) {
	h.keys(l.screen, beat, "F7")
	for range 30 {
		screen := h.settled()
		require.Contains(h.t, screen, "WHAT ELSE")
		if m := marked.FindStringSubmatch(screen); m != nil && strings.HasPrefix(m[1], line) {
			h.keys(screen, beat, "Enter")
			return
		}
		h.keys(screen, 0, "Down")
	}
	require.Failf(h.t, "no such line on the list", "%q; the screen shows:\n%s", line, h.screen())
}

// form answers the questions of a form, the last of which is an entry.
func (h *hand) form(l look, entries ...string) {
	for i, text := range entries {
		screen := h.settled()
		key := "text:" + text
		if len(text) == 1 {
			key = text // the number of an answer
		}
		if i == len(entries)-1 {
			h.entry(look{screen: screen, length: l.length}, beat, key, "Enter")
			return
		}
		h.keys(screen, beat, key, "Enter")
	}
}

// passOver passes over an optional step.
func (h *hand) passOver(l look) {
	h.menu(l, "Pass over")
	h.form(l, "no camera in the bay today")
}

// closeEarly ends the job as referred or abandoned.
func (h *hand) closeEarly(l look, as procedures.Outcome, why string) {
	number := map[procedures.Outcome]string{procedures.Referred: "1", procedures.Abandoned: "2"}[as]
	h.menu(l, "Close the job early")
	h.form(l, number, why)
}

// end writes down what follows, then reads the record to its end and signs it.
func (h *hand) end(l look) {
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
	require.Contains(h.t, h.settled(), "Calibration due")
	h.form(l, inMonths(6))
	return true
}

// inMonths is a date that is so far off.
func inMonths(n int) string { return time.Now().AddDate(0, n, 0).Format(time.DateOnly) }

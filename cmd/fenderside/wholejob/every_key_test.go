//go:build unix

package wholejob

// A gate is tried with every key that does not say what it asks for, and must stay shut.

import (
	"slices"
	"strings"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
)

const (
	printable = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ !\"#$%&'()*+,-./:;<=>@[\\]^_`{|}~0123456789"
	motions   = "Tab BTab Up Down Left Right PageUp PageDown Home End Insert Delete"
	functions = "F1 F2 F3 F4 F5 F6 F7 F10 F11 F12 C-a C-b C-d C-e C-f C-g C-k C-l C-n C-o C-p C-q C-r C-s C-t C-v C-w C-y C-z"
)

// everyKey presses, at a gate that was not tried yet, every key that does not say what the gate asks for. It reports whether
// there was such a gate.
func (h *hand) everyKey(l look) bool {
	step := l.state.Current()
	if step == nil || step.Kind != procedures.Gate || h.tried[step.ID] || l.state.Phase() == runner.Briefing || l.shows("HELD") {
		return false
	}
	h.tried[step.ID] = true
	done, avoid := h.finished(step.ID), ""
	if m := figure.FindStringSubmatch(l.shown); m != nil {
		avoid = m[1]
		h.Press("Enter")
	}
	for _, c := range printable {
		if string(c) != avoid {
			h.Typed(string(c))
		}
	}
	h.Press(strings.Fields(motions)...)
	for _, k := range strings.Fields(functions) {
		h.Press(k)
		h.Until("a screen over the job is closed", func() bool {
			if h.atJob(step) {
				return true
			}
			h.Press("Escape")
			return false
		})
	}
	h.Press(slices.Repeat([]string{"BSpace"}, 120)...)
	require.Equal(h.t, done, h.finished(step.ID), "gate %s was passed without what it asks for", step.ID)
	require.Equal(h.t, step.ID, h.replay.State.Current().ID, "the job moved from gate %s", step.ID)
	return true
}

// atJob says whether the step's own screen is shown.
func (h *hand) atJob(step *procedures.Step) bool {
	screen := h.Screen()
	return strings.Contains(h.flat(screen), step.Title) && strings.Contains(screen, "F4 STOP WORK") && !strings.Contains(screen, "Esc back")
}

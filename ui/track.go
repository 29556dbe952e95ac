package ui

// The rule of this file: the way through the job is one line going down. A gate is a bar across it, and only a secured
// gate has an opening.

import (
	"slices"

	"fenderside/procedures"
	"fenderside/runner"
)

// Pieces of the track, all of one width.
const (
	trackGateShut = "======="
	trackGateOpen = "==   =="
	trackStep     = "   |   "
)

// track is the last n steps, the one at hand, and the next n.
func (w *work) track(look theme, width, n int) []string {
	var rows []string
	for _, mark := range w.state.Track(n) {
		rows = append(rows, trackRow(look, mark, width))
	}
	return rows
}

func trackRow(look theme, mark runner.Mark, width int) string {
	line, status := trackStep, trackWords(mark)
	if mark.Step.Kind == procedures.Gate {
		line = trackGateShut
		if opens(mark) {
			line = trackGateOpen
		}
	}
	text := line + " " + status + mark.Step.Title
	if mark.Here {
		return look.bold.Render(fill(cut(line+" "+"HERE: "+mark.Step.Title, width), width))
	}
	return cut(text, width)
}

// opens says whether the bar of a gate has an opening: what it secures stands, or, where it secures nothing, it was done.
func opens(mark runner.Mark) bool {
	if mark.Step.Secures >= 0 {
		return mark.Open
	}
	return slices.Contains([]runner.Status{runner.Finished}, mark.Status)
}

func trackWords(mark runner.Mark) string {
	gate := mark.Step.Kind == procedures.Gate
	switch {
	case mark.Status == runner.Passed && mark.Why == runner.NotApplicable:
		return "not needed: "
	case mark.Status == runner.Passed && mark.Why == runner.NotDue:
		return "nothing to make safe: "
	case mark.Status == runner.SkippedIt:
		return "skipped: "
	case gate && opens(mark):
		return "gate open: "
	case gate:
		return "gate shut: "
	case mark.Status == runner.Finished:
		return "done: "
	}
	return ""
}

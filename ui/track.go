package ui

// The rule of this file: the way through the job is one line going down. A gate is a bar across it, and only a secured
// gate has an opening. What a step is called is told to its end where there are rows for it.

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

// track is the last n steps, the one at hand, and the next n, each with as many rows as it takes.
func (w *work) track(look theme, width, n int) []string {
	var rows []string
	for _, mark := range w.state.Track(n) {
		line := trackLine(mark)
		for _, text := range wrap(trackText(mark), width-len(line)-1) {
			rows = append(rows, inTrack(look, mark, line+" "+text))
			line = trackStep
		}
	}
	return rows
}

// column is the track in a column of its own, in h rows: each step has one where they are too few.
func (w *work) column(look theme, width, h int) []string {
	rows := w.track(look, width, 3)
	if len(rows) <= h {
		return rows
	}
	rows = nil
	for _, mark := range w.state.Track(3) {
		rows = append(rows, inTrack(look, mark, cutWords(trackLine(mark)+" "+trackText(mark), width)))
	}
	return rows
}

// next is the step that comes next, for a window that has no more room for the track.
func (w *work) next(width int) []string {
	all := w.state.Track(1)
	if i := slices.IndexFunc(all, func(m runner.Mark) bool { return m.Here }); i >= 0 && i+1 < len(all) {
		return hang(trackLine(all[i+1])+" THEN: ", all[i+1].Step.Title, width)
	}
	return nil
}

// inTrack draws a row of the step at hand so that it stands out.
func inTrack(look theme, mark runner.Mark, row string) string {
	if mark.Here {
		return look.bold.Render(row)
	}
	return row
}

// trackLine is the piece of the line that a step is drawn as.
func trackLine(mark runner.Mark) string {
	switch {
	case mark.Step.Kind != procedures.Gate:
		return trackStep
	case opens(mark):
		return trackGateOpen
	}
	return trackGateShut
}

// trackText is a step's title after how it stands.
func trackText(mark runner.Mark) string {
	if mark.Here {
		return "HERE: " + mark.Step.Title
	}
	return trackWords(mark) + mark.Step.Title
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

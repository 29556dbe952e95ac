package ui

// The rule of this file: a job that cannot go on says why, what fell, and the one thing that brings it further.

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// briefingScene shows one item of the briefing.
func (w *work) briefingScene() scene {
	done := w.state.Acknowledged()
	items := runner.Briefs(w.job.Procedure)
	for i, item := range items {
		if done[i] {
			continue
		}
		lines := make([]string, len(item.Lines))
		for k, l := range item.Lines {
			lines[k] = "- " + l
		}
		if alone := reading.Alone(w.state, w.now); alone != "" && i == 0 {
			lines = append([]string{alone, ""}, lines...)
		}
		return scene{banner: []string{fmt.Sprintf("BEFORE THE FIRST STEP: %d of %d", i+1, len(items))}, action: item.Title, must: lines,
			want: want{id: "brief " + item.ID, title: "Read it. It is written down that you did.", enter: "I have read it",
				act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.Acknowledge{Item: item.ID}, nil) }}}
	}
	return scene{action: "The briefing is over."}
}

// brokenOffScene is a job that was interrupted: what happened last, what fell, and a deliberate resume.
func (w *work) brokenOffScene() scene {
	hold := w.state.Hold()
	sc := scene{banner: []string{"THE WORK WAS BROKEN OFF"}, action: "Look at the vehicle before you go on."}
	if st, ok := w.job.Procedure.StepByID(hold.Step); ok {
		sc.must = append(sc.must, "It was at: "+st.Title+".")
	}
	if len(hold.Fell) == 0 {
		sc.must = append(sc.must, "No safeguard fell with it.")
	}
	sc.must = append([]string{w.job.Tell(runner.Interrupted{Cause: hold.Why, Reason: hold.Reason})}, sc.must...)
	sc.must = append(w.fellFirst(hold.Fell), sc.must...)
	if p := w.state.Performer(); p.Fingerprint != w.who.Fingerprint {
		sc.must = append(sc.must, fmt.Sprintf("The work is %s's. Where they are gone, F7 takes the job over.", plaintext.Show(p.Name)))
	}
	sc.must = append(sc.must, reading.Astray(w.state, w.job, w.now, w.astray)...)
	sc.must = append(append(sc.must, "What happened last before that:"), w.lastTold(3, broken)...)
	sc.want = want{id: "resume", title: "Going on moves nothing: every gate that fell is asked for again.", enter: "resumes the job",
		act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.Resume{}, nil) }}
	return sc
}

// fellFirst are safeguards that fell, each with what is to be done first without it.
func (w *work) fellFirst(ids []string) []string {
	var out []string
	for _, id := range ids {
		g, ok := w.job.Procedure.SafeguardByID(id)
		if !ok {
			continue
		}
		lost := w.job.Procedure.Safeguards[g]
		out = append(out, "NO LONGER IN PLACE: "+lost.Title)
		for _, l := range lost.IfLost {
			out = append(out, "  - "+l)
		}
	}
	if len(out) > 0 {
		out = append([]string{"Do this first:"}, out...)
	}
	return out
}

// broken says whether an event is part of a break in the work, and no part of the work.
func broken(e runner.Event) bool {
	switch e.(type) {
	case runner.Interrupted, runner.Resumed, runner.Fell:
		return true
	}
	return false
}

// lastTold are the last n things that happened, in words, without those that are left out.
func (w *work) lastTold(n int, leftOut func(runner.Event) bool) []string {
	var out []string
	for i := len(w.lines) - 1; i >= 0 && len(out) < n; i-- {
		events := w.lines[i].Events
		for k := len(events) - 1; k >= 0 && len(out) < n; k-- {
			if text := w.job.Tell(events[k]); text != "" && !leftOut(events[k]) {
				out = append([]string{w.lines[i].At.Local().Format("15:04") + " " + text}, out...)
			}
		}
	}
	return out
}

// stoppedScene is a stop-work that is not cleared: what to do first, and then one confirmation.
func (w *work) stoppedScene() scene {
	sc := scene{banner: []string{"WORK STOPPED"}, action: "Do this first:"}
	for _, g := range w.state.StopWork() {
		sc.must = append(sc.must, "NO LONGER TRUE: "+g.Title)
		for _, l := range g.IfLost {
			sc.must = append(sc.must, "  - "+l)
		}
	}
	sc.want = want{id: "clear", title: "When that is done:", choices: []string{"It is done, and everybody is clear"}, enter: "says it",
		act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.Clear{}, accepted) }}
	return sc
}

// heldKey names the hold at a gate that stands now; it is empty where the job is not held.
func (w *work) heldKey() string {
	s := w.state
	if s.Phase() != runner.Working || s.Handover() != nil || s.Cursor() == nil || s.Current() == nil || s.Current() == s.Cursor() {
		return ""
	}
	key := s.Cursor().ID
	for _, r := range s.HeldBy() {
		key += " " + r.Item
	}
	return key
}

// heldScene says what is missing and which gate comes first.
func (w *work) heldScene() scene {
	s := w.state
	sc := scene{banner: []string{"HELD AT A GATE"}, action: "Not yet: " + s.Cursor().Title, track: true}
	for _, r := range s.HeldBy() {
		what, next := w.job.Text(r)
		sc.must = append(sc.must, "- "+sentence(what)+" "+sentence(next))
	}
	for _, v := range s.Strip(w.now) {
		if v.Fell != nil && v.State != runner.InPlace && w.holds(v.Safeguard.ID) {
			sc.given = append(sc.given, v.Safeguard.Title+": "+w.job.Why(*v.Fell))
		}
	}
	key := w.heldKey()
	sc.want = want{id: "held " + key, title: "First: " + s.Current().Title, enter: "goes to that step",
		act: func(m *model, _ string, _ int) tea.Cmd { w.seen = key; w.freshen(); return nil }}
	return sc
}

// holds says whether the job is held by a safeguard.
func (w *work) holds(safeguard string) bool {
	for _, r := range w.state.HeldBy() {
		if r.Item == safeguard {
			return true
		}
	}
	return false
}

// lockedScene is a job that nothing more is written to.
func (w *work) lockedScene() scene {
	return scene{banner: []string{"JOB LOCKED"}, action: "Make the vehicle safe. This job goes no further.",
		must: append(strings.Split(w.locked.Error(), "\n"), "Journal: "+w.session.JournalPath(),
			"What was shown as done is on disk; the last entry, which was being saved, may not be."),
		want: want{id: "locked", title: "The board stays usable.", enter: "goes back to the board",
			act: func(m *model, _ string, _ int) tea.Cmd { return m.letGo() }}}
}

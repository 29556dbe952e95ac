package ui

// The rule of this file: how every safeguard stands is said in words on every screen of a job. A window with little room
// gets fewer words, then groups of safeguards; what has lapsed and what the step needs is named to the last.

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"fenderside/runner"
)

// stripLevel is how much the strip says.
type stripLevel int

const (
	fullStrip    stripLevel = iota // titles, each with how it stands
	groupedStrip                   // ids as words, under the words for how they stand
	leastStrip                     // only what lapsed and what the step needs by name
	rowStrip                       // a row for each way that they stand, the rest counted
)

// strip is the safeguards, in rows of w columns.
func (w *work) strip(look theme, width int, level stripLevel) []string {
	all := w.inPlay()
	if level == fullStrip {
		var parts []part
		for _, v := range all {
			parts = append(parts, part{v.Safeguard.Title + ": " + stands(v), look.state(v.State).Render})
		}
		return flow(parts, " | ", width)
	}
	return w.groups(look, width, all, level >= leastStrip, level == rowStrip)
}

// groups are the safeguards in one run of words for each way that they stand.
func (w *work) groups(look theme, width int, all []runner.SafeguardView, least, oneRow bool) []string {
	needed := w.needed()
	var rows []string
	for _, state := range []runner.SafeguardState{runner.Lost, runner.Lapsed, runner.InPlace, runner.NotInPlace} {
		draw := look.state(state).Render
		var parts []part
		more := 0
		for _, v := range all {
			if v.State != state {
				continue
			}
			if least && (state == runner.InPlace || state == runner.NotInPlace) && !slices.Contains(needed, v.Safeguard.ID) {
				more++
				continue
			}
			parts = append(parts, part{w.short(v.Safeguard.ID) + extra(v), draw})
		}
		switch {
		case more > 0 && len(parts) > 0:
			parts = append(parts, part{fmt.Sprintf("%d more (F3)", more), draw})
		case more > 0:
			parts = append(parts, part{fmt.Sprintf("%d (F3)", more), draw})
		}
		if len(parts) > 0 {
			parts[0].text = strings.ToUpper(string(state)) + ": " + parts[0].text
			if oneRow {
				parts = squeezed(parts, width, more)
			}
			rows = append(rows, flow(parts, "; ", width)...)
		}
	}
	return rows
}

// squeezed brings parts into one row: it names as many as fit and counts the others, beside those that the last part counts.
func squeezed(parts []part, width, counted int) []part {
	named := parts
	if counted > 0 {
		named = parts[:len(parts)-1]
	}
	for n := len(named) - 1; n > 0 && len(flow(parts, "; ", width)) > 1; n-- {
		rest := part{fmt.Sprintf("%d more (F3)", len(named)-n+counted), parts[0].draw}
		parts = append(named[:n:n], rest)
	}
	parts[0].text = cut(parts[0].text, width)
	return parts
}

// needed are the safeguards that the step at hand needs or secures.
func (w *work) needed() []string {
	var out []string
	st := w.step()
	if st == nil {
		return nil
	}
	all := w.job.Procedure.Safeguards
	for _, n := range st.Needs {
		if n.Safeguard >= 0 {
			out = append(out, all[n.Safeguard].ID)
		}
	}
	if st.Secures >= 0 {
		out = append(out, all[st.Secures].ID)
	}
	return out
}

// inPlay are the safeguards of this job: without one whose gate was passed by because it does not apply here.
func (w *work) inPlay() []runner.SafeguardView {
	marks := w.state.Marks()
	return slices.DeleteFunc(w.state.Strip(w.now), func(v runner.SafeguardView) bool {
		gate := marks[v.Safeguard.Gate]
		return v.State == runner.NotInPlace && !v.Engaged && gate.Status == runner.Passed && gate.Why == runner.NotApplicable
	})
}

// stands says how a safeguard stands.
func stands(v runner.SafeguardView) string {
	if v.State == runner.NotInPlace {
		return string(v.State)
	}
	return string(v.State) + extra(v)
}

// extra is for how long it has stood, or why it fell.
func extra(v runner.SafeguardView) string {
	switch v.State {
	case runner.InPlace:
		if v.Left > 0 {
			return fmt.Sprintf(" %s, %s left", roughly(v.For), roughly(v.Left))
		}
		return " " + roughly(v.For)
	case runner.Lapsed:
		return " (" + shortWhy(*v.Fell) + ")"
	}
	return ""
}

func shortWhy(f runner.Fell) string {
	switch f.Why {
	case runner.ByTime:
		return "time ran out"
	case runner.ByRest:
		return "rested on " + words(f.Of)
	case runner.ByCorrection:
		return "entry corrected"
	case runner.ByLoss:
		return "reported lost"
	}
	return words(f.Of)
}

// short is the id of a safeguard as words; of two that an included procedure calls the same, each with what the include is
// called.
func (w *work) short(id string) string {
	alike := 0
	for _, g := range w.job.Procedure.Safeguards {
		if words(g.ID) == words(id) {
			alike++
		}
	}
	if of, _, included := strings.Cut(id, "."); included && alike > 1 {
		return words(of) + " " + words(id)
	}
	return words(id)
}

// words is an id as words, without what an include put before it.
func words(id string) string {
	return strings.ReplaceAll(strings.ReplaceAll(id[strings.LastIndex(id, ".")+1:], "-", " "), "_", " ")
}

// roughly is a length of time in one or two words.
func roughly(d time.Duration) string {
	switch {
	case d < time.Minute:
		return fmt.Sprintf("%d s", int(d.Seconds()))
	case d < time.Hour:
		return fmt.Sprintf("%d min", int(d.Minutes()))
	}
	return fmt.Sprintf("%d h %d min", int(d.Hours()), int(d.Minutes())%60)
}

// span is a length of time to the second, rounded up.
func span(d time.Duration) string {
	s := int((d + time.Second - 1) / time.Second)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

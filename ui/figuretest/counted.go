package figuretest

// The rule of this file: what a screen counts and times is counted and timed here again, from the journal.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"fenderside/runner"
)

// counted are the numbers of what the job has come to.
func counted(sc Screen) []string {
	p := sc.State.Job().Procedure
	done := 0
	for _, a := range sc.State.Acknowledged() {
		if a {
			done++
		}
	}
	out := []string{fmt.Sprintf("FIRST STEP: %d of %d", done+1, len(runner.Briefs(p)))}
	if n := len(sc.State.Due()); n > 0 {
		out = append(out, fmt.Sprintf("CLOSING as %s: %d step still", sc.State.Outcome(), n), fmt.Sprintf("CLOSING as %s: %d steps still", sc.State.Outcome(), n))
	}
	for i, st := range sc.State.Due() {
		out = append(out, fmt.Sprintf("%d %s", i+1, st.Title))
	}
	refused := sc.times(func(e runner.Event) bool { _, no := e.(runner.Refused); return no })
	out = append(out, fmt.Sprintf("with %d refused commands", refused), fmt.Sprintf("with %d refused command", refused))
	out = append(out, unnamed(sc)...)
	if sc.Step == nil {
		return out
	}
	v, _ := sc.State.View(sc.Step.ID, sc.Now)
	for i := range v.Statements {
		if !v.Statements[i].Affirmed {
			out = append(out, fmt.Sprintf("Statement %d of %d", i+1, len(v.Statements)))
			break
		}
	}
	if again := sc.Step.Repeat; again != nil {
		n := sc.times(func(e runner.Event) bool { in, ok := e.(runner.Entered); return ok && in.Step == sc.Step.ID })
		out = append(out, fmt.Sprintf("Time %d of at most %d, until %s.", n, again.AtMost, again.Until))
	}
	return out
}

// unnamed are the safeguards that a strip counts where it has no room to name them, by how they stand: those that the step at hand
// has nothing to do with, and in a window with little room more of them, up to all but the one that is named.
func unnamed(sc Screen) []string {
	p := sc.State.Job().Procedure
	var needed []int
	if sc.Step != nil {
		needed = append(needed, sc.Step.Secures)
		for _, n := range sc.Step.Needs {
			needed = append(needed, n.Safeguard)
		}
	}
	marks, n, all := sc.State.Marks(), map[runner.SafeguardState]int{}, map[runner.SafeguardState]int{}
	for i, v := range sc.State.Strip(sc.Now) {
		gate := marks[p.Safeguards[i].Gate]
		away := v.State == runner.NotInPlace && !v.Engaged && gate.Status == runner.Passed && gate.Why == runner.NotApplicable
		if away {
			continue
		}
		all[v.State]++
		if !slices.Contains(needed, i) {
			n[v.State]++
		}
	}
	var out []string
	for state, most := range all {
		out = append(out, fmt.Sprintf("%s: %d", strings.ToUpper(string(state)), n[state]))
		least := n[state]
		if state == runner.Lapsed || state == runner.Lost { // these are named as far as there is room
			least = 1
		}
		for count := least; count < most || count == least; count++ {
			out = append(out, fmt.Sprintf("%d more", count))
		}
	}
	return out
}

func (sc Screen) times(is func(runner.Event) bool) int {
	n := 0
	for _, l := range sc.Lines {
		for _, e := range l.Events {
			if is(e) {
				n++
			}
		}
	}
	return n
}

// timed are the times that are told now: for how long each safeguard has stood, and what is left of each wait.
func timed(sc Screen) []string {
	var out []string
	for _, g := range sc.State.Job().Procedure.Safeguards {
		at, ok := sc.last(func(e runner.Event) bool { s, is := e.(runner.Secured); return is && s.Safeguard == g.ID })
		if !ok {
			continue
		}
		stood := long(sc.passed(at))
		if g.After > 0 {
			stood += ", " + long(max(0, g.After-sc.passed(at))) + " left"
		}
		out = append(out, g.Title+": in place "+stood, short(g.ID)+": in place "+stood, short(g.ID)+" "+stood)
	}
	for _, p := range sc.State.Pins(sc.Now) {
		at, _ := sc.last(func(e runner.Event) bool { s, is := e.(runner.PinStarted); return is && s.Step == p.Step.ID })
		ran := sc.passed(at)
		left := p.For + p.Left - ran
		out = append(out, fmt.Sprintf("running %s, %s to go", units(ran), units(left)), "LEFT "+clock(left))
	}
	if sc.Step != nil {
		out = append(out, sc.waits()...)
	}
	return out
}

// waits are the times of the step: what is waited for, how much of it is left, and when the next value of a series may be taken.
func (sc Screen) waits() []string {
	v, _ := sc.State.View(sc.Step.ID, sc.Now)
	out := []string{"At least " + units(v.Wait.Least), "At most " + units(v.Wait.Most)}
	if at, ok := sc.last(func(e runner.Event) bool { s, is := e.(runner.WaitStarted); return is && s.Step == sc.Step.ID }); ok {
		left := clock(v.Wait.Least - sc.passed(at))
		out = append(out, "LEFT "+left, "has "+left+" to go")
	}
	for _, r := range v.Readings {
		at, ok := sc.last(func(e runner.Event) bool { t, is := e.(runner.ReadingTaken); return is && t.Reading == r.Spec.ID })
		if ok && r.Spec.Series {
			out = append(out, "value in "+units(r.Apart-sc.passed(at)))
		}
	}
	return out
}

// last is when something happened last.
func (sc Screen) last(is func(runner.Event) bool) (runner.Moment, bool) {
	for _, l := range slices.Backward(sc.Lines) {
		if slices.ContainsFunc(l.Events, is) {
			return l.Moment(), true
		}
	}
	return runner.Moment{}, false
}

// passed is how long ago something was: by the running time, and across a restart by the wall clock.
func (sc Screen) passed(at runner.Moment) time.Duration {
	if at.Session != sc.Now.Session {
		return sc.Now.Wall.Sub(at.Wall)
	}
	return sc.Now.Mono - at.Mono
}

// short is the last word or words of an id.
func short(id string) string {
	return strings.ReplaceAll(id[strings.LastIndex(id, ".")+1:], "-", " ")
}

// long is a length of time in whole seconds, minutes, or hours and minutes.
func long(d time.Duration) string {
	s := int(d / time.Second)
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min", s/60)
	}
	return fmt.Sprintf("%d h %d min", s/3600, s%3600/60)
}

// units is a length of time to the second that has begun, each part that is not zero with its unit.
func units(d time.Duration) string {
	begun := (d + time.Second - 1).Truncate(time.Second).String() // such as 1h2m0s
	parts := zero.ReplaceAllString(begun, "$1")
	if parts == "" {
		parts = "0s"
	}
	return strings.TrimSpace(strings.NewReplacer("h", " h ", "m", " min ", "s", " s ").Replace(parts))
}

var zero = regexp.MustCompile(`(^|[hm])0[ms]`)

// clock is a length of time as a clock shows it, to the second that has begun.
func clock(d time.Duration) string {
	s := int((d + time.Second - 1) / time.Second)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

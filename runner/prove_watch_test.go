package runner_test

// A watch keeps the books of one procedure while a job by another is done: what stands in truth, for how long, which pinned work
// runs, and what a close still owes.

import (
	"slices"
	"strings"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
)

// watch keeps the books of the whole procedure while the spoilt one is done.
type watch struct {
	whole, spoilt *procedures.Procedure
	seed, turn    int
	now           time.Duration
	stands        map[string]time.Duration // what stands, and since when
	based         map[string][]int         // what each rests on that stands
	runs          map[string]bool          // pinned steps that run
	owed          map[string]bool          // steps that a close must come to
	choices       map[string]string
	hazard        string
	off           bool            // it takes the answers that lead off the beaten way
	did           map[string]bool // steps completed, where they are counted
}

func newWatch(whole, spoilt *procedures.Procedure, seed int) *watch {
	return &watch{whole: whole, spoilt: spoilt, seed: seed, stands: map[string]time.Duration{}, based: map[string][]int{}, runs: map[string]bool{},
		owed: map[string]bool{}, choices: map[string]string{}}
}

// job does one job, taking answers in turn, and disturbing it now and then where the seed says so.
func (w *watch) job(b *bench, n *spot) string {
	x := &scout{b: b, p: w.spoilt, heed: w.heed}
	for _, item := range runner.Briefs(w.spoilt) {
		n = w.try(x, n, runner.Acknowledge{Item: item.ID})
	}
	for range max(160, 6*len(w.spoilt.Steps)) {
		st := n.state.Current()
		if w.hazard != "" || st == nil {
			break
		}
		if w.turn++; w.seed > 2 && w.turn%(4+w.seed) == 0 {
			n = w.disturb(x, n)
			continue
		}
		next := w.step(x, n, st)
		if next == nil {
			break
		}
		n = next
	}
	if w.hazard == "" && n.state.ReadyToSeal() {
		w.closed()
	}
	return w.hazard
}

// try gives a command, and stays where it is refused.
func (w *watch) try(x *scout, n *spot, c runner.Command) *spot {
	if next, _ := x.give(n, c); next != nil {
		return next
	}
	return n
}

// disturb breaks into the work: a loss, an interruption, a handover, a long while, in turn.
func (w *watch) disturb(x *scout, n *spot) *spot {
	x.at(n)
	other := bryn
	if n.state.Performer() == bryn {
		other = asha
	}
	lost := w.whole.Safeguards[w.turn%len(w.whole.Safeguards)].ID
	all := [][]runner.Command{
		{runner.StopWork{Safeguards: []string{lost}}, runner.Clear{}, runner.Pause{Reason: "tea"}, runner.Resume{}},
		{runner.HandOver{To: other}, runner.KeepJob{Reason: "not yet"}},
		{runner.Tick{}},
		{runner.Pause{Reason: "tea"}, runner.TakeOver{By: other, Reason: "gone", Signature: x.b.stretch(other, "take-over")}, runner.Resume{}},
	}[w.turn/(4+w.seed)%4]
	if len(all) == 1 {
		x.b.pass(2 * time.Hour)
	}
	for _, c := range all {
		n = w.try(x, n, c)
	}
	return n
}

// step completes the open step; the seed chooses among the answers.
func (w *watch) step(x *scout, n *spot, st *procedures.Step) *spot {
	x.at(n)
	full, why := x.fill(n, st)
	switch {
	case why == "it fell meanwhile":
		return w.try(x, n, runner.Tick{})
	case full == nil || why == elsewhere:
		return full
	case st.Ask == nil:
		next, _ := x.give(full, runner.Finish{Step: st.ID})
		return next
	}
	for _, a := range st.Ask.Answers {
		if w.off && offBeat(a.Then.Step) {
			next, _ := x.give(full, runner.Answer{Step: st.ID, Say: a.Say})
			return next
		}
	}
	for k := range st.Ask.Answers {
		a := st.Ask.Answers[(k+w.seed+w.turn*(w.seed%2))%len(st.Ask.Answers)]
		if a.Then.End != "" && k < len(st.Ask.Answers)-1 && w.seed%3 != 1 {
			continue
		}
		if next, _ := x.give(full, runner.Answer{Step: st.ID, Say: a.Say}); next != nil {
			return next
		}
	}
	return nil
}

// offBeat says whether a step leads to work that is done only where findings are open, which those of the other jobs are not.
func offBeat(step string) bool {
	return strings.HasSuffix(step, "more-tests") || strings.HasSuffix(step, "change-sides")
}

// heed keeps the books of what a decision did. Time comes first: what stood as long as it may is gone whatever is done next.
func (w *watch) heed(d runner.Decision, now runner.Moment) {
	w.now = now.Mono
	for _, g := range w.whole.Safeguards {
		if from, ok := w.stands[g.ID]; ok && g.After > 0 && w.now-from >= g.After {
			w.fall(g.ID)
		}
	}
	for _, e := range d.Events {
		w.follow(e)
	}
}

func (w *watch) follow(e runner.Event) {
	switch e := e.(type) {
	case runner.Affirmed:
		w.begun(e.Step)
	case runner.ReadingTaken:
		w.begun(e.Step)
	case runner.Answered:
		w.choices[e.Step] = e.Say
	case runner.Done:
		w.done(e.Step)
	case runner.Fell:
		w.fall(e.Safeguard)
	case runner.Interrupted:
		w.cause(procedures.InterruptionCause)
	case runner.HandoverBegun, runner.TakenOver:
		w.cause(procedures.HandoverCause)
	case runner.Opened:
		if st, ok := w.whole.StepByID(e.Step); ok {
			for _, c := range st.Causes {
				w.cause(c)
			}
		}
	}
}

// begun notes what a close must come to once a step was begun.
func (w *watch) begun(id string) {
	st, ok := w.whole.StepByID(id)
	if !ok {
		return
	}
	for _, safe := range w.whole.MakeSafe {
		if m, _ := w.whole.StepByID(safe); slices.Contains(m.DueAfter, st.Index) {
			w.owed[safe] = true
		}
	}
}

// done holds a completed step against what it needs in truth, and then does to the safeguards what it does in truth.
func (w *watch) done(id string) {
	st, ok := w.whole.StepByID(id)
	if !ok {
		return
	}
	if w.did != nil {
		w.did[id] = true
	}
	for _, n := range st.Needs {
		if what, missing := w.missing(n); missing && w.holds(n.When) && w.hazard == "" {
			w.hazard = id + " without " + what
		}
	}
	w.begun(id)
	delete(w.owed, id)
	delete(w.runs, id)
	for _, g := range st.Releases {
		w.fall(w.whole.Safeguards[g].ID)
	}
	for _, c := range st.Causes {
		w.cause(c)
	}
	if st.Secures >= 0 {
		w.stands[w.whole.Safeguards[st.Secures].ID] = w.now
		w.base(st)
	}
}

// base notes what a safeguard rests on because its gate needed it as things were.
func (w *watch) base(gate *procedures.Step) {
	g := w.whole.Safeguards[gate.Secures]
	delete(w.based, g.ID)
	for _, n := range gate.Needs {
		if !g.Lasting && n.Safeguard >= 0 && w.holds(n.When) {
			w.based[g.ID] = append(w.based[g.ID], n.Safeguard)
		}
	}
}

// missing says whether what is needed does not stand, or still runs.
func (w *watch) missing(n procedures.Need) (what string, is bool) {
	if n.Pin >= 0 {
		what = w.whole.Steps[n.Pin].ID
		return what, w.runs[what]
	}
	what = w.whole.Safeguards[n.Safeguard].ID
	_, stands := w.stands[what]
	return what, !stands
}

// closed holds a job that may be sealed against what it must have made safe.
func (w *watch) closed() {
	for _, g := range w.whole.Safeguards {
		if _, stands := w.stands[g.ID]; stands && !g.Lasting {
			w.hazard = "closed with " + g.ID + " in place"
		}
	}
	for id := range w.owed {
		w.hazard = "closed without " + id
	}
	for id := range w.runs {
		w.hazard = "closed while " + id + " runs"
	}
}

func (w *watch) holds(c procedures.Condition) bool {
	for _, clause := range c {
		if !slices.Contains(clause.In, w.choices[clause.Choice]) {
			return false
		}
	}
	return true
}

func (w *watch) cause(c string) {
	for _, g := range w.whole.Safeguards {
		if slices.Contains(g.LapseOn, c) {
			w.fall(g.ID)
		}
	}
	for _, st := range w.whole.Steps {
		if st.Pin != nil && slices.Contains(st.Pin.On, c) {
			w.runs[st.ID] = true
		}
	}
}

func (w *watch) fall(id string) {
	g, ok := w.whole.SafeguardByID(id)
	if _, stands := w.stands[id]; !ok || !stands {
		return
	}
	delete(w.stands, id)
	for _, other := range w.whole.Safeguards {
		if slices.Contains(other.Rests, g) || slices.Contains(w.based[other.ID], g) {
			w.fall(other.ID)
		}
	}
}

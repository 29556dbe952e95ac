package runner_test

// The proof and the core agree: what is proved has no state in which the core shows the contrary, and what is not proved
// has, at the end of the path that is told, what is told about it.

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/prove"
	"fenderside/runner"
)

func TestExploreWhatIsProvedShowsNothingToTheContraryInTheCore(t *testing.T) {
	var proved, failed, states, shown, hidden int
	kinds := map[prove.Rule]int{}
	rapid.Check(t, func(r *rapid.T) {
		text, _ := written(r)
		p, err := procedures.Parse("made.yaml", []byte(text))
		require.NoError(r, err)
		proof := prove.Procedure(p, prove.Limits{})
		require.Empty(r, proof.Exceeded)
		for _, side := range []string{"left", "right"} {
			x := newScout(open(r, setup{text: text, sheet: map[string]string{"side": side}}), 400, 1)
			x.run()
			states += len(x.seen)
			if len(x.found) > 0 {
				shown++
			}
			for what, way := range x.found {
				require.False(r, proof.Proved(), "proved, and yet %s\n%s\n%s", what, way, text)
			}
		}
		if proof.Proved() {
			proved++
			return
		}
		failed++
		for _, c := range proof.Failures {
			kinds[c.Rule]++
			if !asTold(r, text, c, proof.Failures) {
				hidden++
			}
		}
	})
	t.Logf("%d proved, %d not (%v, %d behind another fault); %d states of the core looked at, the contrary shown in %d",
		proved, failed, kinds, hidden, states, shown)
}

func TestGoldenCounterexamplesAreAsToldInTheCore(t *testing.T) {
	for _, name := range []string{"past-the-gate", "gate-after", "gate-does-not-apply", "released-early", "closing-order", "due-round",
		"undo-each-other", "opened-again", "rests-sometimes", "fells-what-it-rests-on", "undo-sometimes", "not-asked-for", "never-recorded", "due-in-a-close", "stands-already", "endless", "no-way-on", "too-slow", "only-endings", "several"} {
		t.Run(name, func(t *testing.T) {
			text := fileText(t, "../procedures/prove/testdata/"+name+".yaml")
			p, err := procedures.Parse(name, []byte(text))
			require.NoError(t, err)
			failures := prove.Procedure(p, prove.Limits{}).Failures
			for _, c := range failures {
				require.True(t, asTold(t, text, c, failures))
			}
		})
	}
}

// asTold walks the path of a counterexample in the core and holds what is told against it. It reports false where another
// fault of the procedure stops the core on the way.
func asTold(t checker, text string, c prove.Counterexample, all []prove.Counterexample) bool {
	t.Helper()
	sheet := map[string]string{}
	if p, err := procedures.Parse("test.yaml", []byte(text)); err == nil {
		for _, f := range p.Sheet {
			if len(f.Choose) > 0 {
				sheet[f.ID] = f.Choose[0]
			}
		}
	}
	if len(c.Path) > 0 && c.Path[0].Action == prove.Sheet {
		for id, v := range c.Path[0].Chose {
			sheet[id] = v
		}
	}
	f := &follower{bench: open(t, setup{text: text, sheet: sheet}), c: c, text: text, past: map[string]bool{}}
	f.brief()
	for _, other := range all {
		onWay := slices.ContainsFunc(c.Path, func(at prove.PathStep) bool { return at.Action == prove.Done && at.Step == other.Step })
		if other.Rule == prove.Holds || other.Rule == prove.Values || other.Rule == prove.Pins || onWay {
			f.stops = f.stops || other.Place != c.Place
		}
	}
	for _, at := range c.Path {
		if at.Action == prove.Arrived || at.Action == prove.Held || at.Action == prove.Closed {
			break
		}
		if !f.follow(at) {
			return false
		}
	}
	f.holds()
	return true
}

// follow goes one step of the path. It reports false where another fault stops it.
func (f *follower) follow(at prove.PathStep) bool {
	switch at.Action {
	case prove.Done:
		return f.work(at)
	case prove.Again:
		return f.again(at)
	case prove.Lost:
		f.lose(at.Lost)
	case prove.TakenBack:
		if strings.HasPrefix(at.What, "is begun") && f.upTo(at.Step) {
			f.state = runner.Decide(f.state, runner.Affirm{Step: at.Step}, f.now).State
		}
		f.takeBack()
	}
	return true
}

// again does a gate that the job is held for, or sees it opened and gone from.
func (f *follower) again(at prove.PathStep) bool {
	if f.open() != at.Step {
		return true // it was only opened, and another is offered since
	}
	done, _ := f.done(at)
	return done || f.stops
}

// follower follows a path.
type follower struct {
	*bench
	c     prove.Counterexample
	text  string
	stops bool            // another fault can stop the core on the way
	past  map[string]bool // the steps that the line went past
}

// scout is one that keeps where the line goes past.
func (f *follower) scout() *scout {
	return &scout{b: f.bench, p: f.job.Procedure, heed: func(d runner.Decision, _ runner.Moment) { f.heed(d) }}
}

func (f *follower) heed(d runner.Decision) {
	for _, e := range d.Events {
		if e, ok := e.(runner.PassedBy); ok {
			f.past[e.Step] = true
		}
	}
}

func (f *follower) require(ok bool, format string, args ...any) {
	f.t.Helper()
	require.True(f.t, ok, "%s: %s\nat %s (open %s)\n%s\n%s", f.c.Rule, f.c.What, f.cursor(), f.open(), fmt.Sprintf(format, args...), f.text)
}

// upTo does the gates of a hold until the main line's own step is open.
func (f *follower) upTo(id string) bool {
	from := f.cursor()
	for range 60 {
		if f.open() == id || f.open() == "" || f.cursor() != from {
			break
		}
		if !f.one() {
			return false
		}
	}
	return f.open() == id
}

// one completes the open step in the first way that is taken.
func (f *follower) one() bool {
	st := f.state.Current()
	x := f.scout()
	next, _ := x.any(&spot{state: f.state, now: f.now}, st)
	if next == nil {
		return false
	}
	f.state = next.state
	return true
}

// work does one step of the path, with its answer and its choices. It reports false where another fault stops it.
func (f *follower) work(at prove.PathStep) bool {
	if f.cursor() != at.Step && f.past[at.Step] {
		return true // a gate whose safeguard stood already, from a hold
	}
	f.timed(at.Step)
	f.require(f.cursor() == at.Step, "the path comes to %s", at.Step)
	for id, v := range at.Chose {
		f.values[id], f.ways[id] = v, v
	}
	if len(at.Lost) > 0 {
		f.lose(at.Lost)
	}
	why := ""
	for range 3 { // time may fell something while it is done
		done, reason := f.done(at)
		if done {
			return true
		}
		why = reason
		f.state = runner.Decide(f.state, runner.Tick{}, f.now).State
	}
	if f.stops {
		return false
	}
	f.require(false, "%s is completed: %s", at.Step, why)
	return false
}

// timed does the gates on the line, before a step, of what stood as long as it may: the path is told as if no time passed.
func (f *follower) timed(id string) {
	for range f.job.Procedure.Steps {
		st := f.state.Cursor()
		if st == nil || st.ID == id || st.Secures < 0 || f.job.Procedure.Safeguards[st.Secures].After == 0 || !f.one() {
			return
		}
	}
}

// takeBack closes the job, does what is due, and takes the close back.
func (f *follower) takeBack() {
	f.do(runner.Close{Outcome: procedures.Referred, Reason: "cracked"})
	for range 60 {
		if f.open() == "" || !f.one() {
			break
		}
	}
	f.do(runner.Continue{Reason: "after all"})
}

// lose reports safeguards lost, and clears the stop-work.
func (f *follower) lose(ids []string) {
	if len(ids) == 0 {
		return // none named is every one
	}
	f.state = runner.Decide(f.state, runner.StopWork{Safeguards: ids}, f.now).State
	f.state = runner.Decide(f.state, runner.Clear{}, f.now).State
}

// done tries to complete one step of the path.
func (f *follower) done(at prove.PathStep) (ok bool, why string) {
	if !f.upTo(at.Step) {
		return false, "it does not open"
	}
	x := f.scout()
	st := f.state.Current()
	full, why := x.fill(&spot{state: f.state, now: f.now}, st)
	if full == nil {
		return false, why
	}
	f.state = full.state
	c := runner.Command(runner.Finish{Step: at.Step})
	if st.Ask != nil {
		c = runner.Answer{Step: at.Step, Say: at.Answer}
	}
	d := runner.Decide(f.state, c, f.now)
	if d.Refusal == nil {
		f.state = d.State
		f.heed(d)
	}
	return d.Refusal == nil, told(d.Refusal)
}

// holds is what each rule's counterexample says of the place the path leads to.
func (f *follower) holds() {
	switch f.c.Rule {
	case prove.Secured:
		f.secured()
	case prove.Holds, prove.Pins:
		f.neverOpens()
	case prove.Safe:
		f.close()
	case prove.Values:
		f.unrecorded()
	case prove.Repeats:
		f.round()
	case prove.Ends:
		f.noEnd()
	case prove.Protects:
		for _, st := range f.job.Procedure.Steps {
			for _, n := range st.Needs {
				f.require(n.Pin >= 0 || f.job.Procedure.Safeguards[n.Safeguard].ID != f.c.Missing, "%s needs it", st.ID)
			}
		}
	}
}

// secured: the main line is at the step, what it needs does not stand, and the core refuses the step.
func (f *follower) secured() {
	f.require(f.cursor() == f.c.Step, "the line comes to %s", f.c.Step)
	f.require(slices.ContainsFunc(f.state.HeldBy(), func(r runner.Reason) bool { return r.Item == f.c.Missing }), "the step is held for %s", f.c.Missing)
	d := runner.Decide(f.state, runner.Finish{Step: f.c.Step}, f.now)
	f.require(d.Refusal != nil && strings.Contains(told(d.Refusal), f.c.Missing), "the core names %s", f.c.Missing)
}

// neverOpens: whatever is done, the step does not come to be done.
func (f *follower) neverOpens() {
	var lost []string
	for _, at := range f.c.Path {
		for _, id := range at.Lost {
			if _, ok := f.job.Procedure.SafeguardByID(id); ok {
				lost = append(lost, id)
			}
		}
	}
	x := f.scout()
	closes := slices.ContainsFunc(f.c.Path, func(at prove.PathStep) bool { return at.Action == prove.Closed })
	if closes {
		f.beginTold()
		f.do(runner.Close{Outcome: procedures.Referred, Reason: "cracked"})
	}
	n := &spot{state: f.state, now: f.now}
	if len(lost) > 0 {
		n, _ = x.give(n, runner.StopWork{Safeguards: lost})
		n = x.settle(n)
	}
	for range 80 {
		st := n.state.Current()
		f.require(st != nil, "something is open")
		next, why := x.any(n, st)
		fell := why == "it fell meanwhile" || strings.Contains(why, string(runner.NotCurrent))
		if next == nil && !fell {
			return // stuck at a gate: as told
		}
		if next == nil {
			d := runner.Decide(n.state, runner.Tick{}, f.now)
			next = &spot{state: d.State, now: f.now}
		}
		f.require(closes && !next.state.ReadyToSeal() || next.state.Phase() == runner.Working, "the job goes on to its end")
		if v, _ := next.state.View(st.ID, n.now); st.ID == f.c.Step && (closes || n.state.Cursor() == st) {
			f.require(v.Status != runner.Finished || !closes && next.state.Cursor() == st, "%s is completed", st.ID)
		}
		n = next
		f.now = n.now
		x.at(n)
	}
}

// close: the close that is told never ends, or does not ask for what it should.
func (f *follower) close() {
	x := f.scout()
	n := &spot{state: f.state, now: f.now}
	if strings.Contains(f.c.What, "never due") {
		for range 60 {
			for _, st := range n.state.Due() {
				f.require(st.ID != f.c.Step, "it is due")
			}
			st := n.state.Current()
			if st == nil {
				return
			}
			f.require(st.ID != f.c.Step || n.state.Cursor() != st, "the line stops at it")
			if n, _ = x.any(n, st); n == nil {
				return
			}
			f.now = n.now
		}
		return
	}
	f.beginTold()
	n = &spot{state: f.state, now: f.now}
	n, _ = x.give(n, runner.Close{Outcome: procedures.Referred, Reason: "cracked"})
	f.require(n != nil, "the job is closed early")
	for range 80 {
		st := n.state.Current()
		if st == nil {
			break
		}
		if strings.Contains(f.c.What, "does not ask") {
			f.require(!strings.Contains(f.c.What, "ask for \""+st.ID+"\""), "it is asked for")
		}
		next, _ := x.any(n, st)
		if next == nil {
			return
		}
		n = next
		f.now = n.now
		x.at(n)
	}
	if strings.Contains(f.c.What, "never ends") {
		f.require(!n.state.ReadyToSeal(), "the close comes to its end")
	}
}

// beginTold makes the first entry at the step that the path arrives at.
func (f *follower) beginTold() {
	for _, at := range f.c.Path {
		if at.Action == prove.Arrived {
			if v, _ := f.state.View(at.Step, f.now); v.Status == runner.Passed || v.Status == runner.Finished {
				return // done before, in a hold
			}
			opens := f.upTo(at.Step)
			f.require(opens || f.stops, "%s opens", at.Step)
			f.state = runner.Decide(f.state, runner.Affirm{Step: at.Step}, f.now).State
			return
		}
	}
}

// unrecorded: the step takes entries, and what it uses is not known.
func (f *follower) unrecorded() {
	if strings.Contains(f.c.What, "only in some cases") {
		return
	}
	p := f.job.Procedure
	last := f.c.Path[len(f.c.Path)-1]
	if len(f.c.Path) > 1 && f.c.Path[len(f.c.Path)-2].Action == prove.Arrived {
		f.beginTold()
		if strings.Contains(f.c.Path[len(f.c.Path)-2].What, "closed early") {
			f.state = runner.Decide(f.state, runner.Close{Outcome: procedures.Referred, Reason: "cracked"}, f.now).State
		}
		for range 60 {
			if f.open() == last.Step || !f.one() {
				break
			}
		}
	}
	_, step := p.StepByID(f.c.Missing)
	if step {
		v, _ := f.state.View(f.c.Missing, f.now)
		f.require(v.Answer == "" && v.Way == "", "%s is not known", f.c.Missing)
		return
	}
	x := &scout{b: f.bench, p: p}
	n := &spot{state: f.state, now: f.now}
	for range 60 {
		st := n.state.Current()
		f.require(st != nil, "something is open")
		next, why := x.any(n, st)
		if next == nil {
			f.require(st.ID == last.Step || f.stops, "stuck at %s", st.ID)
			return
		}
		f.require(st.ID != last.Step || why == elsewhere, "it is completed without %s", f.c.Missing)
		n = next
		f.now = n.now
	}
}

// round: the line goes round as often as one likes, or a step has no way on.
func (f *follower) round() {
	if strings.Contains(f.c.What, "no way on") {
		f.require(f.cursor() == f.c.Step && f.upTo(f.c.Step), "the line comes to it")
		f.spent()
		return
	}
	last := len(f.c.Path) - 1
	f.require(f.c.Round > 0, "it is told where the round begins")
	for range 5 {
		for _, at := range f.c.Path[last-f.c.Round : last] {
			if !f.follow(at) {
				return
			}
		}
	}
}

// spent: whatever is done at the step, the line may go nowhere, for rounds are spent.
func (f *follower) spent() {
	x := f.scout()
	next, why := x.any(&spot{state: f.state, now: f.now}, f.state.Current())
	f.require(next == nil && strings.Contains(why, string(runner.RoundsSpent)), "it is stopped by %q", why)
}

func (f *follower) noEnd() {
	if !strings.Contains(f.c.What, "no end") {
		return
	}
	for range 80 {
		f.require(f.state.Phase() == runner.Working, "an end is reached")
		if !f.one() {
			return
		}
	}
}

func fileText(t checker, file string) string {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.NotEmpty(t, text)
	return string(text)
}

package runner_test

// Every state of a procedure that the real core can be brought to, within a bound, and every transition of it held against
// the oracle. A state is told from another by where the cursor is, which step is open, the phase, interruption, stop and
// handover, what stands and is engaged, which pinned steps run, what a close owes, and the choices that conditions name.
// Disturbances (a loss, a pause, a restart, a moved clock, a handover, a correction, an early close, a line left) are
// counted, and states with fewer of them are seen first. From every state the job can be brought to its end.

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
)

// node is one state to look at, with how it was reached.
type node struct {
	state runner.State
	books *oracle
	now   runner.Moment
	way   *way
}

// way is how a state was reached. It holds no state, for there are many.
type way struct {
	from *way
	by   runner.Command
}

type explorer struct {
	b       *bench
	plain   *plainProcedure
	matters []string                   // ids that conditions name
	seen    map[[sha256.Size]byte]bool // by the digest of their key
	queue   []*node
	states  int // that were expanded
	moves   int
	refused int
	limit   int
	most    int // disturbances
}

func newExplorer(b *bench, limit, most int) *explorer {
	plain, err := decode(b.job.Procedure.Text)
	require.NoError(b.t, err)
	x := &explorer{b: b, plain: plain, seen: map[[sha256.Size]byte]bool{}, limit: limit, most: most}
	x.matters = named(plain)
	return x
}

// named lists the ids that conditions of the main line name.
func named(p *plainProcedure) []string {
	all := map[string]bool{}
	add := func(w when) {
		for id := range w {
			all[id] = true
		}
	}
	for i := range p.at {
		s := p.named(i)
		add(s.When)
		for _, n := range s.Needs {
			add(n.When)
		}
	}
	var out []string
	for id := range all {
		out = append(out, id)
	}
	sort.Strings(out)
	return out
}

// run looks at every state without a disturbance, then at all that one of them leads to from each of those, and so on.
func (x *explorer) run(root *node) {
	x.push(root)
	level := x.drain(x.most > 0)
	for cost := 1; cost <= x.most; cost++ {
		var next []*node
		for _, n := range level {
			x.disturb(n)
			next = append(next, x.drain(cost < x.most)...)
		}
		level = next
	}
}

// drain expands what is in the queue until nothing is left, and gives it back where it is wanted again.
func (x *explorer) drain(again bool) []*node {
	var out []*node
	for len(x.queue) > 0 {
		n := x.queue[0]
		x.queue[0] = nil
		x.queue = x.queue[1:]
		x.states++
		require.LessOrEqual(x.b.t, x.states, x.limit, "every state that is met is looked at")
		x.expand(n)
		if again {
			out = append(out, n)
		}
	}
	return out
}

func (x *explorer) key(n *node) string {
	var k strings.Builder
	s := n.state
	name := func(st *procedures.Step) string {
		if st == nil {
			return "-"
		}
		return st.ID
	}
	fmt.Fprintf(&k, "%s %s %s %s hold=%v stop=%v", name(s.Cursor()), name(s.Current()), s.Phase(), s.Outcome(), s.Hold() != nil, s.Stopped())
	if h := s.Handover(); h != nil {
		fmt.Fprintf(&k, " to=%v %v", h.Owed, h.SignedOn)
	}
	for _, g := range s.Strip(n.now) {
		fmt.Fprintf(&k, " %v%v", g.State == runner.InPlace, g.Engaged)
	}
	for _, p := range s.Pins(n.now) {
		fmt.Fprintf(&k, " %s", p.Step.ID)
	}
	for _, d := range s.Due() {
		fmt.Fprintf(&k, " !%s", d.ID)
	}
	for _, id := range x.matters {
		fmt.Fprintf(&k, " %s=%s", id, n.books.kept[id])
	}
	return k.String()
}

func (x *explorer) push(n *node) {
	if k := sha256.Sum256([]byte(x.key(n))); !x.seen[k] {
		x.seen[k] = true
		x.queue = append(x.queue, n)
	}
}

// at puts the bench into a state.
func (x *explorer) at(n *node) { x.b.state, x.b.now = n.state, n.now }

// give gives a command in a state; the result is nil where it was refused.
func (x *explorer) give(n *node, c runner.Command) *node {
	x.moves++
	d := runner.Decide(n.state, c, x.b.now)
	if d.Refusal != nil && len(d.Events) <= 1 {
		x.refused++
		if len(d.Refusal.Reasons) == 0 {
			x.fail(n, c, []string{"refused without a reason"})
		}
		return nil
	}
	next := &node{state: d.State, books: n.books.copy(), now: x.b.now, way: &way{n.way, c}}
	if faults := next.books.follow(c, d, x.b.now); len(faults) > 0 {
		x.fail(n, c, append(faults, fmt.Sprintf("%v", kindsOf(d))))
	}
	if d.Refusal != nil {
		x.refused++
		x.push(next) // time had its effect
		return nil
	}
	return next
}

// fail tells the way to a fault.
func (x *explorer) fail(n *node, c runner.Command, faults []string) {
	var told []string
	for at := n.way; at != nil && len(told) < 60; at = at.from {
		told = append(told, fmt.Sprintf("%s %+v", runner.CommandName(at.by), at.by))
	}
	slices.Reverse(told)
	require.Fail(x.b.t, "the core and the oracle part", "%s\nafter %s %+v:\n%s", strings.Join(told, "\n"), runner.CommandName(c), c, strings.Join(faults, "\n"))
}

// expand gives every command that makes sense in a state, and many that do not.
func (x *explorer) expand(n *node) {
	x.at(n)
	x.nonsense(n)
	if st := n.state.Current(); st != nil {
		x.work(n, st)
	}
	for _, pin := range n.state.Pins(n.now) {
		if st := n.state.Current(); st == nil || st.ID != pin.Step.ID {
			x.fill(n, pin.Step)
		}
	}
	x.recover(n)
	x.escape(n)
	if n.state.Phase() == runner.Briefing && n.state.Hold() == nil {
		next := n
		for _, item := range runner.Briefs(x.b.job.Procedure) {
			if after := x.give(next, runner.Acknowledge{Item: item.ID}); after != nil {
				next = after
			}
		}
		x.keep(next)
	}
}

// keep puts a state that was reached into the queue.
func (x *explorer) keep(n *node) {
	if n != nil {
		x.push(n)
	}
}

// nonsense gives commands that must be refused here.
func (x *explorer) nonsense(n *node) {
	for i := range x.b.job.Procedure.Steps {
		st := &x.b.job.Procedure.Steps[i]
		if n.state.Current() == st || i%5 != x.states%5 {
			continue
		}
		for _, c := range []runner.Command{runner.Finish{Step: st.ID}, runner.Skip{Step: st.ID, Reason: "no"}, runner.Affirm{Step: st.ID}} {
			if after := x.give(n, c); after != nil {
				require.True(x.b.t, st.Kind == procedures.Pinned, "%s taken at %s", runner.CommandName(c), st.ID)
			}
		}
	}
}

// work does the open step in every way it may be done, each answer included.
func (x *explorer) work(n *node, st *procedures.Step) {
	if after := x.give(n, runner.Skip{Step: st.ID, Reason: "not today"}); after != nil {
		x.keep(after)
	}
	for _, w := range st.Ways {
		x.b.ways[st.ID] = w.ID
		x.fill(n, st)
	}
	if len(st.Ways) == 0 {
		x.fill(n, st)
	}
	for _, r := range st.Readings {
		for _, v := range r.Choose {
			if !asksMore(st, r.ID) && !slices.Contains(x.matters, r.ID) {
				break
			}
			x.b.values[r.ID] = v
			x.fill(n, st)
			delete(x.b.values, r.ID)
		}
		if r.Kind == procedures.TakesQuantity {
			x.at(n)
			if after := x.give(n, runner.Read{Step: st.ID, Reading: r.ID, Value: "9999 " + r.Unit}); after != nil {
				x.push(after)
				require.Nil(x.b.t, x.give(after, runner.Finish{Step: st.ID}))
			}
		}
	}
}

// asksMore says whether a choice decides what else its step asks for.
func asksMore(st *procedures.Step, choice string) bool {
	names := func(c procedures.Condition) bool {
		return slices.ContainsFunc(c, func(k procedures.Clause) bool { return k.Choice == choice })
	}
	return slices.ContainsFunc(st.Readings, func(r procedures.Reading) bool { return names(r.When) }) ||
		slices.ContainsFunc(st.Statements, func(s procedures.Statement) bool { return names(s.When) })
}

// fill enters what a step asks for, one thing after another. Before the last of them it must not be done.
func (x *explorer) fill(n *node, st *procedures.Step) {
	x.at(n)
	for range 80 {
		if _, is := judgedBefore(n.state.Wants(st.ID, x.b.now), st); is {
			require.Nil(x.b.t, x.give(n, runner.Finish{Step: st.ID}), "a check that does not pass holds its step")
			return
		}
		c := x.b.next(st.ID)
		if c == nil {
			break
		}
		if after := x.give(n, runner.Finish{Step: st.ID}); after != nil {
			x.fail(n, runner.Finish{Step: st.ID}, []string{"done though it wants " + runner.CommandName(c)})
		}
		after := x.give(n, c)
		if after == nil {
			return // time had its effect
		}
		n = after
		x.push(n)
		x.b.state = n.state
	}
	if st.Ask == nil {
		x.keep(x.give(n, runner.Finish{Step: st.ID}))
		return
	}
	require.Nil(x.b.t, x.give(n, runner.Finish{Step: st.ID}))
	for _, a := range st.Ask.Answers {
		x.keep(x.give(n, runner.Answer{Step: st.ID, Say: a.Say}))
	}
}

// recover gives what takes a job up again, and what ends it.
func (x *explorer) recover(n *node) {
	x.at(n)
	s := n.state
	all := []runner.Command{runner.Resume{}, runner.Clear{}, runner.Seal{By: s.Performer()}}
	if h := s.Handover(); h != nil {
		all = append(all, runner.SignOn{Signature: x.b.stretch(h.To, "sign-on")}, runner.SignOff{Signature: x.b.stretch(s.Performer(), "sign-off")},
			runner.KeepJob{Reason: "not today"})
	}
	if s.Phase() == runner.Closing {
		all = append(all, runner.Continue{Reason: "after all"})
	}
	for _, c := range all {
		x.keep(x.give(n, c))
	}
}

// escape ends the job from here, whatever is the matter: no job is ever stranded.
func (x *explorer) escape(n *node) {
	s := n.state
	for range 30 {
		if s.Phase() == runner.Closed {
			return
		}
		var c runner.Command = runner.Seal{By: s.Performer()}
		switch due := s.Due(); {
		case s.Stopped():
			c = runner.Clear{}
		case s.Hold() != nil:
			c = runner.Resume{}
		case s.Handover() != nil:
			c = runner.KeepJob{Reason: "not today"}
		case s.Phase() != runner.Closing || len(due) > 0 && s.Outcome() == procedures.Complete:
			c = runner.Close{Outcome: procedures.Abandoned, Reason: "enough"}
		case len(due) > 0:
			c = runner.Leave{Step: due[0].ID, State: "as it is"}
		}
		d := runner.Decide(s, c, n.now)
		if d.Refusal != nil {
			x.fail(n, c, []string{"stranded", fmt.Sprint(d.Refusal.Reasons)})
		}
		s = d.State
	}
	x.fail(n, runner.Seal{}, []string{"stranded"})
}

func (x *explorer) disturb(n *node) {
	x.at(n)
	s := n.state
	other := bryn
	if s.Performer() == bryn {
		other = asha
	}
	all := []runner.Command{runner.Pause{Reason: "tea"}, runner.StopWork{}, runner.HandOver{To: other},
		runner.Close{Outcome: procedures.Referred, Reason: "cracked"}}
	if s.Hold() != nil {
		all = append(all, runner.TakeOver{By: other, Reason: "gone home", Signature: x.b.stretch(other, "take-over")})
	}
	for _, g := range x.b.job.Procedure.Safeguards {
		all = append(all, runner.StopWork{Safeguards: []string{g.ID}})
	}
	for _, st := range s.Due() {
		all = append(all, runner.Leave{Step: st.ID, State: "as it is"})
	}
	for _, c := range append(all, x.corrections(n)...) {
		x.keep(x.give(n, c))
	}
	x.b.pass(2 * time.Hour)
	x.keep(x.give(n, runner.Tick{}))
	x.at(n)
	x.b.now.Wall = x.b.now.Wall.Add(time.Minute)
	x.keep(x.give(n, runner.Tick{}))
	x.at(n)
	x.b.now.Session, x.b.now.Mono = n.now.Session+1, 0
	x.keep(x.give(n, runner.Reopen{}))
	x.at(n)
}

// corrections takes back answers, ways and statements, and puts readings outside their limits.
func (x *explorer) corrections(n *node) []runner.Command {
	var all []runner.Command
	for i := range x.b.job.Procedure.Steps {
		st := &x.b.job.Procedure.Steps[i]
		in := n.books.in[st.ID]
		if in.answer+in.way != "" {
			all = append(all, answerOf(st.ID))
		}
		if in.affirmed[0] {
			all = append(all, statement(st.ID, 0))
		}
		for _, r := range st.Readings {
			if _, ok := in.values[r.ID]; ok && r.Kind == procedures.TakesQuantity {
				all = append(all, reading(r.ID, "9999 "+r.Unit))
			}
		}
	}
	return all
}

// explore explores one job and tells how much of it.
func explore(t *testing.T, b *bench, limit, most int) {
	t.Helper()
	x := newExplorer(b, limit, most)
	b.tighten()
	start := time.Now()
	x.run(&node{state: b.state, now: b.now, books: newOracle(x.plain, b.job.Opening.Sheet)})
	t.Logf("%s: %d states (%d disturbances at most), %d commands, %d of them refused, in %v",
		b.job.Procedure.Name, x.states, most, x.moves, x.refused, time.Since(start).Round(time.Millisecond))
}

// disturbed is how many disturbances are tried on one way through a job.
func disturbed(full int) int {
	if testing.Short() || raced {
		return full - 1
	}
	return full
}

func TestExploreTheHeaterJob(t *testing.T) {
	for _, reach := range []string{"above", "beneath"} {
		t.Run(reach, func(t *testing.T) {
			explore(t, open(t, setup{text: heater(t), sheet: map[string]string{"reach": reach, "longest": "50 mm"}}), 20_000, disturbed(2))
		})
	}
}

func TestExploreAJobThatFollowsAnother(t *testing.T) {
	b := open(t, setup{text: heater(t), after: "millbrook-0000", sheet: map[string]string{"reach": "beneath", "longest": "50 mm"}})
	x := newExplorer(b, 20_000, disturbed(1))
	books := newOracle(x.plain, b.job.Opening.Sheet)
	for g, spec := range x.plain.Safeguards {
		books.engaged[g] = !spec.Lasting
	}
	for _, id := range x.plain.MakeSafe {
		books.owed[id] = true
	}
	for i := range x.plain.Pinned {
		books.running[x.plain.Pinned[i].Pin] = b.now
	}
	x.run(&node{state: b.state, now: b.now, books: books})
	t.Logf("%d states, %d commands", x.states, x.moves)
}

// crowded are the procedures that take many minutes once they are disturbed, in every place. The parts that they are made of
// are disturbed one by one.
var crowded = map[string]bool{"oxygen-sensor": true, "swap-sides": true}

var everyState = flag.Bool("every-state", false, "disturb the crowded procedures too")

func TestExploreEveryShippedProcedure(t *testing.T) {
	t.Parallel()
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	for _, p := range shipped(t) {
		t.Run(p.Name, func(t *testing.T) {
			most := disturbed(1)
			if crowded[p.Name] && !*everyState {
				most = 0
			}
			explore(t, open(t, setup{text: string(p.Text), card: card, sheet: typed(p)}), 2_000_000, most)
		})
	}
}

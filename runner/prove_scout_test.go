package runner_test

// A scout explores the real core and knows nothing of the proof: it looks for steps that the main line comes to without what
// they need, for places a job cannot be brought on from, and for closes that leave something as it should not be left.

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"fenderside/procedures"
	"fenderside/runner"
)

type scout struct {
	b       *bench
	p       *procedures.Procedure
	named   []string
	seen    map[string]bool
	queue   []*spot
	limit   int
	most    int
	found   map[string]string // what is wrong, and the way there
	visited map[string]bool   // steps that were opened
	calm    map[string][]string
	onLine  map[string]bool
	heed    func(runner.Decision, runner.Moment) // told of what is done, where somebody keeps books of it
	dangers *dangerBooks                         // those of the beginning, where books of dangers are kept
}

func newScout(b *bench, limit, most int) *scout {
	x := &scout{b: b, p: b.job.Procedure, limit: limit, most: most, seen: map[string]bool{}, found: map[string]string{},
		visited: map[string]bool{}, calm: map[string][]string{}}
	if plain, err := decode(b.job.Procedure.Text); err == nil {
		x.named = named(plain)
	}
	x.onLine = reachable(x.p)
	return x
}

func (x *scout) key(n *spot) string {
	var k strings.Builder
	s := n.state
	cursor, current := "-", "-"
	if st := s.Cursor(); st != nil {
		cursor = st.ID
	}
	if st := s.Current(); st != nil {
		current = st.ID
	}
	fmt.Fprint(&k, cursor, current, s.Phase(), s.Outcome(), s.Hold() != nil, s.Stopped(), n.broken, n.turned, n.books.key())
	for _, g := range s.Strip(n.now) {
		id := g.Safeguard.ID
		fmt.Fprint(&k, " ", g.State == runner.InPlace, g.Engaged, n.ever[id], n.gone[id], n.undone[id])
	}
	for _, pin := range s.Pins(n.now) {
		fmt.Fprint(&k, " ", pin.Step.ID)
	}
	for _, d := range s.Due() {
		fmt.Fprint(&k, " !", d.ID)
	}
	for i := range x.p.Steps {
		st := &x.p.Steps[i]
		if st.Repeat == nil && !slices.Contains(x.named, st.ID) && len(st.Readings) == 0 {
			continue
		}
		v, _ := s.View(st.ID, n.now)
		fmt.Fprint(&k, " ", v.Status == runner.Untouched, v.Answer, v.Way, len(v.Readings) > 0 && len(v.Readings[0].Values) > 0)
		if st.Repeat != nil {
			fmt.Fprint(&k, min(v.Rounds, st.Repeat.AtMost+1))
		}
	}
	for _, e := range s.Sheet() {
		fmt.Fprint(&k, e.Value)
	}
	return k.String()
}

func (x *scout) run() {
	root := &spot{state: x.b.state, now: x.b.now, ever: map[string]bool{}, gone: map[string]bool{}, undone: map[string]bool{}, books: x.dangers}
	for _, item := range runner.Briefs(x.p) {
		if next, _ := x.give(root, runner.Acknowledge{Item: item.ID}); next != nil {
			root = next
		}
	}
	x.push(root)
	for i := 0; i < len(x.queue) && i < x.limit; i++ {
		n := x.queue[i]
		x.queue[i] = nil
		x.look(n)
		x.expand(n)
	}
	x.rounds()
}

func (x *scout) push(n *spot) bool {
	k := x.key(n)
	if x.seen[k] || n.broken > x.most {
		return false
	}
	x.seen[k] = true
	x.queue = append(x.queue, n)
	return true
}

func (x *scout) wrong(n *spot, format string, args ...any) {
	what := fmt.Sprintf(format, args...)
	if _, told := x.found[what]; told {
		return
	}
	var way []string
	for at := n; at != nil && at.by != ""; at = at.way {
		way = append(way, at.by)
	}
	slices.Reverse(way)
	x.found[what] = strings.Join(way, "\n")
}

// give gives one command; the result is nil where it was refused.
func (x *scout) give(n *spot, c runner.Command) (*spot, *runner.Refused) {
	d := runner.Decide(n.state, c, x.b.now)
	if d.Refusal != nil {
		return nil, d.Refusal
	}
	if x.heed != nil {
		x.heed(d, x.b.now)
	}
	next := &spot{state: d.State, now: x.b.now, broken: n.broken, turned: n.turned, way: n, by: fmt.Sprintf("%s %+v", runner.CommandName(c), c),
		ever: n.ever, gone: n.gone, undone: n.undone}
	next.keep(x.p, n, d)
	if n.books != nil {
		if next.books = n.books.after(d, x.b.now); next.books.wrong != "" {
			x.wrong(next, facesOpen+"%s", next.books.wrong)
		}
	}
	return next, nil
}

// look looks at a state for what must not be.
func (x *scout) look(n *spot) {
	s := n.state
	if st := s.Current(); st != nil {
		x.visited[st.ID] = true
		x.unasked(n, st)
	}
	if at := s.Cursor(); at != nil && s.Phase() == runner.Working && n.broken == 0 {
		for _, r := range s.HeldBy() {
			g, ok := x.p.SafeguardByID(r.Item)
			if !ok || r.Code != runner.SafeguardMissing {
				continue
			}
			gate := x.p.Steps[x.p.Safeguards[g].Gate].ID
			if n.gone[r.Item] || !n.ever[r.Item] && x.onLine[gate] {
				x.wrong(n, "secured: %s without %s", at.ID, r.Item)
			}
		}
	}
	x.free(n)
	x.closes(n)
}

// unasked looks for a need that turns on a choice nobody made, because the line went past it.
func (x *scout) unasked(n *spot, st *procedures.Step) {
	if slices.Contains(x.p.MakeSafe, st.ID) {
		return
	}
	for _, need := range st.Needs {
		for _, clause := range need.When {
			if owner, ok := x.p.StepByID(clause.Choice); ok {
				if v, _ := n.state.View(owner.ID, n.now); v.Status == runner.Untouched && !n.ever["asked "+owner.ID] && !n.turned {
					x.wrong(n, "values: %s turns on %s", st.ID, clause.Choice)
				}
			}
		}
	}
}

// settle gives what takes a job up again.
func (x *scout) settle(n *spot) *spot {
	for _, c := range []runner.Command{runner.Clear{}, runner.Resume{}} {
		if next, _ := x.give(n, c); next != nil {
			n = next
		}
	}
	return n
}

// free: the job comes out of any hold.
func (x *scout) free(n *spot) {
	x.at(n)
	n = x.settle(n)
	for range 8*len(x.p.Steps) + 20 {
		st, cursor := n.state.Current(), n.state.Cursor()
		if n.state.Phase() != runner.Working || st == nil || st == cursor {
			return
		}
		next, why := x.any(n, st)
		if next == nil {
			x.wrong(n, "held: stuck at %s: %s", st.ID, why)
			return
		}
		n = next
	}
	x.wrong(n, "held: %s is never come to", n.state.Cursor().ID)
}

// closes: the job can be closed from here, and leaves nothing as it should not be left.
func (x *scout) closes(n *spot) {
	x.at(n)
	n = x.settle(n)
	if n.state.Phase() == runner.Working {
		if n, _ = x.give(n, runner.Close{Outcome: procedures.Referred, Reason: "cracked"}); n == nil {
			return
		}
	}
	for range 8*len(x.p.Steps) + 20 {
		if n.state.ReadyToSeal() {
			x.sealed(n)
			return
		}
		st := n.state.Current()
		if st == nil {
			x.wrong(n, "close: nothing is open and the job cannot be sealed")
			return
		}
		next, why := x.any(n, st)
		if next == nil {
			x.wrong(n, "close: stuck at %s: %s", st.ID, why)
			return
		}
		n = next
	}
	x.wrong(n, "close: never ends")
}

func (x *scout) sealed(n *spot) {
	next, no := x.give(n, runner.Seal{By: n.state.Performer()})
	if next == nil {
		x.wrong(n, "close: not sealed: %+v", no.Reasons)
		return
	}
	for _, g := range next.state.Strip(next.now) {
		if !g.Safeguard.Lasting && g.Engaged {
			x.wrong(next, "close: %s is still engaged", g.Safeguard.ID)
		}
		gate := x.p.Steps[g.Safeguard.Gate].ID
		if slices.Contains(x.p.MakeSafe, gate) && n.undone[g.Safeguard.ID] {
			x.wrong(next, "close: %s was undone, and %s not asked for", g.Safeguard.ID, gate)
		}
	}
	if len(next.state.Pins(next.now)) > 0 {
		x.wrong(next, "close: a pinned step runs")
	}
}

func (x *scout) at(n *spot) { x.b.state, x.b.now = n.state, n.now }

// any completes a step in the first way that is taken.
func (x *scout) any(n *spot, st *procedures.Step) (*spot, string) {
	full, why := x.fill(n, st)
	if full == nil || why == elsewhere {
		return full, why
	}
	if st.Ask == nil {
		next, no := x.give(full, runner.Finish{Step: st.ID})
		return next, told(no)
	}
	for _, a := range st.Ask.Answers {
		next, no := x.give(full, runner.Answer{Step: st.ID, Say: a.Say})
		if next != nil {
			return next, ""
		}
		why = told(no)
	}
	return nil, why
}

func told(no *runner.Refused) string {
	if no == nil {
		return ""
	}
	var out []string
	for _, r := range no.Reasons {
		out = append(out, string(r.Code)+" "+r.Item)
	}
	return strings.Join(out, ", ")
}

// elsewhere says that an entry made another step due first: the job goes on there.
const elsewhere = "the job goes on elsewhere"

// fill enters what a step asks for but its answer; nil where it cannot be had.
func (x *scout) fill(n *spot, st *procedures.Step) (*spot, string) {
	x.at(n)
	for range 120 {
		wants := n.state.Wants(st.ID, x.b.now)
		if check, is := judgedBefore(wants, st); is {
			return nil, "its check " + check + " is about what was recorded before"
		}
		for _, r := range wants {
			if r.Code == runner.ReadingMissing && !slices.ContainsFunc(st.Readings, func(v procedures.Reading) bool { return v.ID == r.Item }) {
				return nil, "wants " + r.Item
			}
		}
		c := x.b.next(st.ID)
		if c == nil {
			return n, ""
		}
		next, no := x.give(n, c)
		if next == nil {
			// time may have felled something: then the step is no longer open, and the job goes on elsewhere
			d := runner.Decide(n.state, runner.Tick{}, x.b.now)
			if d.State.Current() != n.state.Current() {
				return nil, "it fell meanwhile"
			}
			return nil, told(no)
		}
		n = next
		x.at(n)
		if n.state.Current() != st && st.Kind != procedures.Pinned {
			return n, elsewhere
		}
	}
	return nil, "is never full"
}

// expand goes on from a state in every way.
func (x *scout) expand(n *spot) {
	x.at(n)
	n = x.settle(n)
	if st := n.state.Current(); st != nil {
		x.work(n, st)
	}
	if n.broken >= x.most {
		return
	}
	x.at(n)
	all := []runner.Command{runner.StopWork{}, runner.Pause{Reason: "tea"}}
	for _, g := range x.p.Safeguards {
		all = append(all, runner.StopWork{Safeguards: []string{g.ID}})
	}
	for i := range x.p.Steps {
		id := x.p.Steps[i].ID
		all = append(all, answerOf(id), statement(id, 0))
		for _, r := range x.p.Steps[i].Readings {
			all = append(all, reading(r.ID, "1 mm"))
		}
	}
	for _, c := range all {
		if next, _ := x.give(n, c); next != nil {
			_, turned := c.(runner.Correct)
			next.broken++
			next.turned = next.turned || turned
			x.push(x.settle(next))
		}
	}
	if next, _ := x.give(n, runner.HandOver{To: bryn}); next != nil {
		next.broken++
		next, _ = x.give(next, runner.KeepJob{Reason: "not yet"})
		x.push(next)
	}
	x.b.pass(2 * time.Hour)
	if next, _ := x.give(n, runner.Tick{}); next != nil {
		next.broken++
		x.push(next)
	}
	x.at(n)
}

// work does the open step in every way, and tells where none is taken.
func (x *scout) work(n *spot, st *procedures.Step) {
	ways := []string{""}
	for _, w := range st.Ways {
		ways = append(ways, w.ID)
	}
	moved := false
	why := ""
	for _, way := range ways[min(1, len(ways)-1):] {
		x.b.ways[st.ID] = way
		full, no := x.fill(n, st)
		if full == nil {
			why = no
			continue
		}
		if no == elsewhere {
			moved = true
			x.push(full)
			continue
		}
		ends := []runner.Command{runner.Finish{Step: st.ID}}
		if st.Ask != nil {
			ends = nil
			for _, a := range st.Ask.Answers {
				ends = append(ends, runner.Answer{Step: st.ID, Say: a.Say})
			}
		}
		for _, c := range ends {
			next, no := x.give(full, c)
			if next == nil {
				why = told(no)
				continue
			}
			moved = true
			if n.broken == 0 && n.state.Phase() == runner.Working {
				x.calm[x.key(n)] = append(x.calm[x.key(n)], x.key(next))
			}
			x.push(next)
		}
	}
	if !moved && !(n.turned && strings.Contains(why, string(runner.RoundsSpent))) {
		x.wrong(n, "stuck at %s: %s", st.ID, why)
	}
}

// rounds: without a disturbance, no state is come to twice on one way, for every round uses up a bound.
func (x *scout) rounds() {
	colour := map[string]int{}
	var visit func(k string) bool
	visit = func(k string) bool {
		colour[k] = 1
		for _, to := range x.calm[k] {
			if colour[to] == 1 || colour[to] == 0 && visit(to) {
				return true
			}
		}
		colour[k] = 2
		return false
	}
	for k := range x.calm {
		if colour[k] == 0 && visit(k) {
			x.found["round: the line goes round without end"] = ""
			return
		}
	}
}

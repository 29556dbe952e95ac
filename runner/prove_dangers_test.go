package runner_test

// Whoever faces a danger has it kept off: over made-up procedures whose two statements agree, or do not. Books that read the
// YAML by themselves, each statement as it stands, say what keeps each danger off at any moment, and where the two differ; the
// core is held to the one and the proof to the other.

import (
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/prove"
	"fenderside/runner"
)

func TestExploreWhoeverFacesADangerHasItKeptOffWhateverOneStatementForgot(t *testing.T) {
	var proved, apart, states, faced int
	rules := map[prove.Rule]int{}
	rapid.Check(t, func(r *rapid.T) {
		text := writtenTwice(r)
		plain, err := decodeAsStated([]byte(text))
		require.NoError(r, err)
		p, err := procedures.Parse("made.yaml", []byte(text))
		require.NoError(r, err)
		proof := prove.Procedure(p, prove.Limits{})
		require.Empty(r, proof.Exceeded)
		differ := differences(r, text)
		require.Equal(r, differ, disagreed(proof), "the places where the two statements differ\n%s", text)
		if len(differ) > 0 {
			apart++
		}
		if proof.Proved() {
			proved++
		}
		for rule := range failedBy(proof) {
			rules[rule]++
		}
		for _, side := range []string{"left", "right"} {
			x := newScout(open(r, setup{text: text, sheet: map[string]string{"side": side}}), 300, 1)
			x.dangers = &dangerBooks{p: plain, sheet: map[string]string{"side": side}, faced: &faced}
			x.run()
			states += len(x.seen)
			for what, way := range x.found {
				require.False(r, proof.Proved(), "proved, and yet %s\n%s\n%s", what, way, text)
				require.NotContains(r, what, facesOpen, "the core lets it by\n%s\n%s", way, text)
			}
		}
	})
	t.Logf("%d proved; refused by rule %v; %d with statements that differ; %d states of the core looked at, a danger faced and kept off %d times",
		proved, rules, apart, states, faced)
	require.NotZero(t, faced)
	require.NotZero(t, rules[prove.Agree])
	require.NotZero(t, proved)
}

func failedBy(proof prove.Proof) map[prove.Rule]bool {
	out := map[prove.Rule]bool{}
	for _, c := range proof.Failures {
		out[c.Rule] = true
	}
	return out
}

// disagreed lists where the proof tells that the two statements differ.
func disagreed(proof prove.Proof) []string {
	out := map[string]bool{}
	for _, c := range proof.Failures {
		if c.Rule == prove.Agree {
			out[c.Step+": "+c.Missing] = true
		}
	}
	return slices.Sorted(maps.Keys(out))
}

const facesOpen = "danger: "

// dangerBooks say what keeps each danger off. They are never changed, only replaced.
type dangerBooks struct {
	p      *plainProcedure // each statement as it stands
	sheet  map[string]string
	kept   map[string]string        // answers
	stands map[string]time.Duration // safeguards, since when
	runs   map[string]bool          // pinned steps
	owed   map[string]bool          // gates that a close must come to
	open   string
	wrong  string // the first danger that was faced and not kept off
	faced  *int   // how often one was faced, over all books
}

func (b *dangerBooks) key() string {
	if b == nil {
		return ""
	}
	return fmt.Sprint(slices.Sorted(maps.Keys(b.stands)), slices.Sorted(maps.Keys(b.runs)), slices.Sorted(maps.Keys(b.owed)))
}

// after is the books after one decision.
func (b *dangerBooks) after(d runner.Decision, now runner.Moment) *dangerBooks {
	n := *b
	n.kept, n.stands, n.runs = copied(b.kept), copied(b.stands), copied(b.runs)
	n.owed = copied(b.owed)
	for id, from := range n.stands {
		if most := n.atMost(id); most > 0 && now.Mono-from >= most {
			delete(n.stands, id)
		}
	}
	for _, e := range d.Events {
		n.follow(e, now)
	}
	return &n
}

// atMost is how long a safeguard may stand by either statement; 0 is for ever.
func (b *dangerBooks) atMost(id string) time.Duration {
	most, _ := span(b.p.Safeguards[id].Lapses.After)
	for _, d := range b.p.Dangers {
		if after, ok := span(d.After); ok && slices.Contains(d.KeptOff, id) && (most == 0 || after < most) {
			most = after
		}
	}
	return most
}

func (b *dangerBooks) follow(e runner.Event, now runner.Moment) {
	switch e := e.(type) {
	case runner.Answered:
		b.kept[e.Step] = e.Say
	case runner.Interrupted:
		b.happens("interruption")
	case runner.HandoverBegun, runner.TakenOver:
		b.happens("handover")
	case runner.Opened:
		b.work(b.open)
		b.open = e.Step
		b.work(b.open)
	case runner.Fell:
		delete(b.stands, e.Safeguard)
	case runner.Done:
		b.done(e.Step, now)
	case runner.Sealed:
		for gate := range b.owed {
			if b.holds(b.p.named(gate).When) {
				b.wrong = "a close leaves open what " + gate + " keeps off"
			}
		}
	}
}

// done holds a completed step to what it faces, and then does what it does to what keeps dangers off.
func (b *dangerBooks) done(id string, now runner.Moment) {
	s := b.p.named(id)
	for _, f := range s.Faces {
		if b.holds(f.When) {
			b.keptOff(id, f.Danger, b.p.Dangers[f.Danger].KeptOff)
		}
	}
	for _, n := range s.Needs {
		if b.holds(n.When) {
			b.keptOff(id, "what it needs "+n.Safeguard+" for", []string{n.Safeguard})
		}
	}
	b.owes(s)
	delete(b.owed, id)
	delete(b.runs, id)
	for _, g := range s.Releases {
		delete(b.stands, g)
	}
	if s.Secures != "" {
		b.stands[s.Secures] = now.Mono
	}
}

func (b *dangerBooks) keptOff(step, what string, by []string) {
	for _, k := range by {
		_, stands := b.stands[k]
		if pin := b.p.gate[k] == ""; !pin && !stands || pin && b.runs[k] {
			b.wrong = step + " faces " + what + ", and " + k + " does not keep it off"
		}
		*b.faced++
	}
}

func (b *dangerBooks) holds(w when) bool {
	for id, in := range w {
		made, known := b.sheet[id]
		if !known {
			made = b.kept[id]
		}
		if !slices.Contains(in, made) {
			return false
		}
	}
	return true
}

// owes notes the gates that a close must come to after a step: those that name it, and those whose safeguard it fells.
func (b *dangerBooks) owes(s *plainStep) {
	for _, id := range b.p.MakeSafe {
		gate := b.p.named(id)
		fells := slices.ContainsFunc(b.causedBy(s), func(c string) bool { return b.fells(gate.Secures, c) })
		if slices.Contains(gate.DueAfter, s.id()) || fells {
			b.owed[id] = true
		}
	}
}

// fells says whether by either statement a cause fells a safeguard.
func (b *dangerBooks) fells(guard, cause string) bool {
	for _, d := range b.p.Dangers {
		if slices.Contains(d.KeptOff, guard) && slices.Contains(d.ComesWith, cause) {
			return true
		}
	}
	return slices.Contains(b.p.Safeguards[guard].Lapses.On, cause)
}

// work lets happen what a step causes.
func (b *dangerBooks) work(id string) {
	if id != "" {
		for _, c := range b.causedBy(b.p.named(id)) {
			b.happens(c)
		}
	}
}

// causedBy is what a step says it causes, and what the dangers come with that it brings on and names no cause of.
func (b *dangerBooks) causedBy(s *plainStep) []string {
	out := slices.Clone(s.Causes)
	for _, d := range s.Brings {
		if on := b.p.Dangers[d].ComesWith; !meet(on, s.Causes) {
			out = append(out, fromWithin(on)...)
		}
	}
	return out
}

func fromWithin(causes []string) []string {
	return slices.DeleteFunc(slices.Clone(causes), func(c string) bool { return c == "interruption" || c == "handover" })
}

func meet(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// happens fells, by either statement, what keeps off the dangers that come with a cause, and starts what watches for them.
func (b *dangerBooks) happens(cause string) {
	for id := range b.p.Safeguards {
		if b.fells(id, cause) {
			delete(b.stands, id)
		}
	}
	for i := range b.p.Pinned {
		pin := &b.p.Pinned[i]
		within := cause != "interruption" && cause != "handover"
		if slices.Contains(pin.StartsOn, cause) || within && b.fells(pin.Pin, cause) {
			b.runs[pin.Pin] = true
		}
	}
}

// comparison finds where the two statements of one page differ, by what the format says of them.
type comparison struct {
	p, united *plainProcedure
	out       map[string]bool
}

// differences lists them, each as the step where it shows and what one of the two lacks.
func differences(t checker, text string) []string {
	p, err := decodeAsStated([]byte(text))
	require.NoError(t, err)
	united, err := decode([]byte(text))
	require.NoError(t, err)
	c := &comparison{p: p, united: united, out: map[string]bool{}}
	for i := range p.at {
		c.needs(p.named(i))
		c.causes(p.named(i))
	}
	for id := range p.Safeguards {
		c.lapses(id)
	}
	for i := range p.Pinned {
		c.starts(&p.Pinned[i])
	}
	for _, id := range p.MakeSafe {
		c.dues(id)
	}
	return slices.Sorted(maps.Keys(c.out))
}

func (c *comparison) differs(at, missing string) { c.out[at+": "+missing] = true }

func (c *comparison) needs(s *plainStep) {
	for _, f := range s.Faces {
		keepers := c.p.Dangers[f.Danger].KeptOff
		if len(keepers) == 0 {
			c.differs(s.id(), f.Danger)
		}
		for _, k := range keepers {
			if !slices.ContainsFunc(s.Needs, func(n need) bool { return n.Safeguard == k && n.When.holdsIn(f.When) }) {
				c.differs(s.id(), k)
			}
		}
	}
	for _, n := range s.Needs {
		if !slices.ContainsFunc(s.Faces, func(f faced) bool {
			return slices.Contains(c.p.Dangers[f.Danger].KeptOff, n.Safeguard) && f.When.holdsIn(n.When)
		}) {
			c.differs(s.id(), n.Safeguard)
		}
	}
}

// causes: what is brought on has a cause, what is caused brings on every danger that is kept off and comes with it, and each
// cause has a danger of its own.
func (c *comparison) causes(s *plainStep) {
	for _, d := range s.Brings {
		if !meet(s.Causes, c.p.Dangers[d].ComesWith) {
			c.differs(s.id(), d)
		}
	}
	for _, cause := range s.Causes {
		own, told := false, false
		for id, d := range c.p.Dangers {
			switch comes := slices.Contains(d.ComesWith, cause); {
			case !comes:
			case !slices.Contains(s.Brings, id) && len(d.KeptOff) > 0:
				c.differs(s.id(), id)
				told = true
			case slices.Contains(s.Brings, id):
				others := slices.DeleteFunc(slices.Clone(s.Causes), func(o string) bool { return o == cause })
				own = own || !meet(others, d.ComesWith)
			}
		}
		if !own && !told {
			c.differs(s.id(), cause)
		}
	}
}

// keptBy is the dangers that a safeguard or pinned step keeps off.
func (c *comparison) keptBy(id string) (out map[string]plainDanger) {
	out = maps.Clone(c.p.Dangers)
	maps.DeleteFunc(out, func(_ string, d plainDanger) bool { return !slices.Contains(d.KeptOff, id) })
	return out
}

func (c *comparison) lapses(id string) {
	g, gate, dangers := c.p.Safeguards[id], c.p.gate[id], c.keptBy(id)
	var comes []string
	after, timed := span(g.Lapses.After)
	back := false
	for d, is := range dangers {
		comes = append(comes, is.ComesWith...)
		most, by := span(is.After)
		back = back || by
		if by && (!timed || most < after) {
			c.differs(gate, d)
		}
	}
	c.listsDiffer(gate, g.Lapses.On, comes)
	if timed && !back {
		c.differs(gate, "after")
	}
}

func (c *comparison) starts(pin *plainStep) {
	var comes []string
	for _, d := range c.keptBy(pin.Pin) {
		comes = append(comes, fromWithin(d.ComesWith)...)
	}
	c.listsDiffer(pin.Pin, pin.StartsOn, comes)
}

func (c *comparison) listsDiffer(at string, a, b []string) {
	for _, cause := range append(slices.Clone(a), b...) {
		if slices.Contains(a, cause) != slices.Contains(b, cause) {
			c.differs(at, cause)
		}
	}
}

// dues: a gate that makes safe is due after what fells its safeguard, and after nothing else.
func (c *comparison) dues(id string) {
	gate := c.p.named(id)
	if gate.Secures == "" {
		return
	}
	on := c.united.Safeguards[gate.Secures].Lapses.On
	for step := range c.p.at {
		if step != id && c.united.fells(step, on) != slices.Contains(gate.DueAfter, step) {
			c.differs(id, step)
		}
	}
}

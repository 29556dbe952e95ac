package runner_test

// Every shipped procedure, spoilt in every way that a careless author could. Two layers must each hold with the other removed.
// The loader or the proof tells the mutant, or it is harmless. And whatever these two say, a job by it is done in the core,
// watched with the books of the unspoilt procedure: no step is done without what it needs in truth.

import (
	"flag"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/prove"
)

var everyMutant = flag.Bool("every-mutant", false, "take every mutant of the whole job too")

// seeds is how many jobs are done with each spoilt procedure; those after the third are disturbed.
const seeds = 6

// sampled says that of the mutants of a procedure each so-and-so-many-th is taken: all of a short one, some of a long one, and
// few under the race detector, which has nothing to see here that it does not see in a few.
func sampled(p *procedures.Procedure) int {
	whole := p.MainLine() > 60 || crowded[p.Name]
	switch {
	case *everyMutant:
		return 1
	case whole && testing.Short():
		return 96
	case whole:
		return 48
	case raced:
		return 32
	case p.MainLine() > 25:
		return 4
	}
	return 1
}

// tally is what became of the mutants of one kind.
type tally struct{ all, loader, proof, held, harmless, beyond int }

func TestExploreEverySpoiltProcedureIsCaughtAndHeldByTheCore(t *testing.T) {
	t.Parallel()
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	for _, p := range shipped(t) {
		t.Run(p.Name, func(t *testing.T) {
			t.Parallel()
			spoilAll(t, p, card)
		})
	}
}

// spoilAll tries the mutants of one procedure and tells what became of them.
func spoilAll(t *testing.T, p *procedures.Procedure, card *procedures.Card) {
	did := map[string]bool{}
	require.Empty(t, hazardIn(t, p, p, card, did), "the procedure itself")
	require.Greater(t, 10*len(did), 9*p.MainLine(), "these jobs do too few of the steps to show anything: %v", did)
	counts := map[string]*tally{}
	for i, m := range mutants(p) {
		if i%sampled(p) != 0 {
			continue
		}
		if counts[m.kind] == nil {
			counts[m.kind] = &tally{}
		}
		judge(t, p, m, card, counts[m.kind], testing.Short() && i%8 != 0)
	}
	all, beyond := 0, 0
	for _, kind := range slices.Sorted(maps.Keys(counts)) {
		c := counts[kind]
		all, beyond = all+c.all, beyond+c.beyond
		t.Logf("%-27s %3d: %3d the loader, %3d the proof (%d of them given up); of those that load, %3d done in the core, which lets no hazard by; %2d of them harmless",
			kind+":", c.all, c.loader, c.proof, c.beyond, c.held, c.harmless)
	}
	require.LessOrEqual(t, 50*beyond, all, "a proof that gives up shows nothing")
}

// judge holds one mutant to both layers, each without the other: the loader or the proof tells it, or else no job by it comes to
// a hazard; and whatever the proof says, no job by it in the core does a step without what the unspoilt procedure asks for.
func judge(t *testing.T, whole *procedures.Procedure, m mutant, card *procedures.Card, c *tally, skip bool) {
	c.all++
	spoilt, err := procedures.Parse("spoilt.yaml", m.text())
	if err != nil {
		c.loader++
		return
	}
	proof := prove.Procedure(spoilt, prove.Limits{})
	if !proof.Proved() {
		c.proof++
	}
	if proof.Exceeded != "" { // not shown, so no live job either; the core is held to it all the same
		c.beyond++
		t.Logf("%s (%s): %s", m.kind, m.what, proof.Exceeded)
	}
	if statedTwice(m.kind) {
		assert.Empty(t, lacking(whole, spoilt), "%s, %s (%s): what is worked by lost what one of the two statements still has", whole.Name, m.kind, m.what)
	}
	if skip {
		return
	}
	c.held++
	hazard := hazardIn(t, whole, spoilt, card, nil)
	assert.Empty(t, hazard, "%s, %s (%s): the core lets a step be done without what it needs", whole.Name, m.kind, m.what)
	if proof.Proved() && hazard == "" {
		c.harmless++
	}
}

// statedTwice says whether a mutant of a kind lacks one entry, or has one too late, that the other statement still has right.
func statedTwice(kind string) bool {
	return slices.Contains([]string{"drop a need", "drop a face", "drop a cause", "drop a brings", "drop a due after", "drop a lapse", "drop every lapse",
		"lapse too late", "drop a keeper", "drop a comes with", "drop a comes back after", "come back too late", "drop a start"}, kind)
}

// lacking tells what a spoilt procedure, as it is worked by, lacks of the whole one.
func lacking(whole, spoilt *procedures.Procedure) (out []string) {
	lost := func(what string, has bool) {
		if !has {
			out = append(out, what)
		}
	}
	for i, a := range whole.Steps {
		b := spoilt.Steps[i]
		for _, n := range a.Needs {
			lost(a.ID+" needs", slices.ContainsFunc(b.Needs, func(other procedures.Need) bool {
				return n.Safeguard == other.Safeguard && n.Pin == other.Pin && fmt.Sprint(within(n.When)) == fmt.Sprint(within(other.When))
			}))
		}
		for _, cause := range a.Causes {
			lost(a.ID+" causes "+cause, slices.Contains(b.Causes, cause))
		}
		for _, due := range a.DueAfter {
			lost(a.ID+" is due after "+whole.Steps[due].ID, slices.Contains(b.DueAfter, due))
		}
		if a.Pin != nil {
			for _, on := range a.Pin.On {
				lost(a.ID+" starts on "+on, slices.Contains(b.Pin.On, on))
			}
		}
	}
	for g, a := range whole.Safeguards {
		b := spoilt.Safeguards[g]
		for _, on := range a.LapseOn {
			lost(a.ID+" lapses on "+on, slices.Contains(b.LapseOn, on))
		}
		lost(a.ID+" lapses in time", a.After == 0 || b.After > 0 && b.After <= a.After)
		lost(a.ID+" rests", fmt.Sprint(slices.Sorted(slices.Values(a.Rests))) == fmt.Sprint(slices.Sorted(slices.Values(b.Rests))))
	}
	return out
}

// within is a condition without its places.
func within(c procedures.Condition) (out []string) {
	for _, clause := range c {
		out = append(out, fmt.Sprint(clause.Choice, clause.In))
	}
	return out
}

// hazardIn does the spoilt procedure in the core, with answers, losses and interruptions, and keeps the books of the whole
// one. It tells the first step that is done without what the whole procedure says it needs.
func hazardIn(t *testing.T, whole, spoilt *procedures.Procedure, card *procedures.Card, did map[string]bool) string {
	b := open(t, setup{text: string(spoilt.Text), card: card, sheet: typed(spoilt)})
	b.tighten()
	b.values["ambient"], b.values["surface"] = "20 °C", "20 °C"
	for seed := range seeds {
		w := newWatch(whole, spoilt, seed)
		w.did = did
		start := &spot{state: b.state, now: b.now}
		if what := w.job(b, start); what != "" {
			return what
		}
		b.state, b.now = start.state, start.now
	}
	if !slices.ContainsFunc(whole.Steps, func(st procedures.Step) bool { return offBeat(st.ID) }) {
		return ""
	}
	b.values["rich"], b.values["lean"] = "not tested", "not tested" // which leaves the findings open
	w := newWatch(whole, spoilt, seeds)
	w.did, w.off = did, true
	return w.job(b, &spot{state: b.state, now: b.now})
}

// What an include gives to each of its steps is one entry in the file, and is stated twice there as well.
func TestExploreWhatAnIncludeGivesIsStatedTwice(t *testing.T) {
	tried := 0
	for _, whole := range library.Procedures() {
		for i, n := range field(plant(whole.Text).root, "steps").Content {
			if field(n, "include") == nil {
				continue
			}
			for _, key := range []string{"needs", "faces"} {
				for k := range length(n, key) {
					spoilt := plant(whole.Text)
					drop(field(spoilt.root, "steps").Content[i], key, k)
					p, err := procedures.ParseWith("spoilt.yaml", spoilt.text(), library.Shelf)
					require.NoError(t, err)
					assert.Empty(t, lacking(whole, p), "%s, %s %d", whole.Name, key, k)
					assert.False(t, prove.Procedure(p, prove.Limits{}).Proved(), "%s, %s %d", whole.Name, key, k)
					tried++
				}
			}
		}
	}
	assert.Greater(t, tried, 20)
}

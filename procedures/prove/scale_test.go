package prove_test

// How the proof grows: procedures of any size, made as Go values, for the loader takes 500 steps at most.

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks/quantity"
	"fenderside/procedures"
	"fenderside/procedures/prove"
)

// long is a sound procedure of n steps and 8 safeguards: gates that rest on one another, conditions, questions that lead on
// and back within bounds, causes, limits on what earlier steps recorded, and the steps that make safe.
func long(n int) *procedures.Procedure {
	const guards = 8
	p := &procedures.Procedure{Name: "long", File: "long.yaml"}
	p.Sheet = []procedures.Field{{ID: "side", Kind: procedures.TakesChoice, Choose: []string{"left", "right"}}}
	left := procedures.Condition{{Choice: "side", In: []string{"left"}}}
	add := func(s procedures.Step) int {
		s.Index, s.Place = len(p.Steps), procedures.Place{Line: 10 * (len(p.Steps) + 1), Column: 5}
		p.Steps = append(p.Steps, s)
		return s.Index
	}
	for g := range guards {
		spec := procedures.Safeguard{ID: fmt.Sprintf("g%d", g), LapseOn: []string{procedures.HandoverCause}, Place: procedures.Place{Line: g + 1, Column: 3}}
		s := procedures.Step{ID: fmt.Sprintf("gate%d", g), Kind: procedures.Gate, Secures: g}
		if g > 0 {
			s.Needs = []procedures.Need{{Safeguard: g - 1, Pin: -1}}
			spec.Rests = []int{g - 1}
		}
		spec.Gate = add(s)
		p.Safeguards = append(p.Safeguards, spec)
	}
	first := len(p.Steps)
	for k := 0; len(p.Steps) < n-1; k++ {
		add(work(k, guards, left))
	}
	all := procedures.Step{ID: "undo", Kind: procedures.Gate, Secures: -1, DueAfter: []int{first}}
	for g := range guards {
		all.Releases = append(all.Releases, g)
	}
	add(all)
	p.MakeSafe = []string{"undo"}
	return p
}

// work is the k-th step of a long procedure: in every ten, one asks the way into a circle of two, one is bounded, one asks
// whether to go round again, and one applies on the left alone and records nothing.
func work(k, guards int, left procedures.Condition) procedures.Step {
	s := procedures.Step{ID: fmt.Sprintf("do%d", k), Kind: procedures.Do, Secures: -1}
	for g := range guards {
		need := procedures.Need{Safeguard: g, Pin: -1}
		if (k+g)%3 == 0 {
			need.When = left
		}
		s.Needs = append(s.Needs, need)
	}
	r := procedures.Reading{ID: fmt.Sprintf("r%d", k), Kind: procedures.TakesQuantity, Quantity: quantity.Length, Instrument: -1}
	if k > 1 && (k/2)%10 != 3 {
		r.AtMost = procedures.Bound{Ref: fmt.Sprintf("r%d", k/2), Set: true}
	}
	s.Readings = []procedures.Reading{r}
	refer := procedures.Target{End: procedures.Referred}
	switch k % 10 {
	case 3:
		s.Readings, s.When = nil, left
	case 5: // so that a spent bound leaves a way on
		s.Ask = &procedures.Ask{Answers: []procedures.Answer{{Say: "on"}, {Say: "no", Then: refer}}}
	case 6:
		s.Repeat = &procedures.Repeat{AtMost: 3}
	case 7:
		s.Ask = &procedures.Ask{Answers: []procedures.Answer{{Say: "on"}, {Say: "again", Then: procedures.Target{Step: fmt.Sprintf("do%d", k-1)}},
			{Say: "no", Then: refer}}}
	}
	return s
}

func TestALongProcedureIsProved(t *testing.T) {
	proof := prove.Procedure(long(1000), prove.Limits{})
	assert.Empty(t, proof.Failures)
	assert.Empty(t, proof.Exceeded)
	assert.Equal(t, 1000, proof.Steps)
}

// tangled is a procedure whose safeguards undo one another: the gate of each fells those that fells lists.
func tangled(guards int, fells func(g int) []int) *procedures.Procedure {
	p := &procedures.Procedure{Name: "tangled", File: "tangled.yaml", MakeSafe: []string{"undo"}}
	var needs []procedures.Need
	var release []int
	for g := range guards {
		cause := fmt.Sprintf("c%d", g)
		p.Safeguards = append(p.Safeguards, procedures.Safeguard{ID: fmt.Sprintf("g%d", g), Gate: g, LapseOn: []string{cause}})
		s := procedures.Step{ID: fmt.Sprintf("gate%d", g), Kind: procedures.Gate, Secures: g, Index: g}
		for _, h := range fells(g) {
			s.Causes = append(s.Causes, fmt.Sprintf("c%d", h))
		}
		p.Steps = append(p.Steps, s)
		needs, release = append(needs, procedures.Need{Safeguard: g, Pin: -1}), append(release, g)
	}
	p.Steps = append(p.Steps, procedures.Step{ID: "work", Kind: procedures.Do, Secures: -1, Needs: needs, Index: guards},
		procedures.Step{ID: "undo", Kind: procedures.Gate, Secures: -1, Releases: release, Index: guards + 1})
	return p
}

// before has each gate of so many fell the one before it, and the first the last: a hold for all of them never ends.
func before(guards int) func(int) []int {
	return func(g int) []int { return []int{(g + guards - 1) % guards} }
}

// after has each gate of so many fell all that come after it: a hold ends, and every state of them can be.
func after(guards int) func(int) []int {
	return func(g int) (out []int) {
		for h := g + 1; h < guards; h++ {
			out = append(out, h)
		}
		return out
	}
}

func TestAProcedureMadeToExplodeEndsAtTheLimit(t *testing.T) {
	proof := prove.Procedure(tangled(40, before(40)), prove.Limits{})
	assert.False(t, proof.Proved())
	assert.Contains(t, proof.Exceeded, "40 safeguards that undo one another")
	assert.Contains(t, proof.Exceeded, "take the procedure apart")
	require.Len(t, proof.Faults(), len(proof.Failures)+1)

	proof = prove.Procedure(tangled(18, after(18)), prove.Limits{States: 100_000})
	assert.Contains(t, proof.Exceeded, "100000 states")

	choosy := long(200) // every step turns on its own choices
	for i := range 40 {
		id := fmt.Sprintf("choice%d", i)
		choosy.Sheet = append(choosy.Sheet, procedures.Field{ID: id, Kind: procedures.TakesChoice, Choose: []string{"a", "b", "c"}})
		for k := range choosy.Steps {
			for n := range choosy.Steps[k].Needs {
				need := &choosy.Steps[k].Needs[n]
				need.When = append(need.When[:len(need.When):len(need.When)], procedures.Clause{Choice: id, In: []string{"a"}})
			}
		}
	}
	assert.Contains(t, prove.Procedure(choosy, prove.Limits{}).Exceeded, "choices decide together")
}

func TestAFewSafeguardsThatUndoOneAnotherAreFollowedInEveryState(t *testing.T) {
	for _, guards := range []int{5, 18} { // a hold that never ends is found before every state is followed
		proof := prove.Procedure(tangled(guards, before(guards)), prove.Limits{States: 100_000})
		require.NotEmpty(t, proof.Failures)
		assert.Equal(t, prove.Holds, proof.Failures[0].Rule)
		assert.Empty(t, proof.Exceeded)
	}
	proof := prove.Procedure(tangled(5, after(5)), prove.Limits{})
	assert.NotContains(t, fmt.Sprint(proof.Faults()), "never ends")
}

// BenchmarkProve tells the time for each step, and how much longer ten times the steps take (x-ten); near-linear is about 10.
// Ten proofs of the short procedure and one of the long take turns, so that what else the machine does slows both alike.
func BenchmarkProve(b *testing.B) {
	const steps = 1000
	short, tall := long(steps), long(10*steps)
	var shorts, talls []time.Duration
	for b.Loop() {
		shorts = append(shorts, taken(b, short, 10))
		talls = append(talls, taken(b, tall, 1))
	}
	ten, one := float64(median(shorts)), float64(median(talls))
	b.ReportMetric(ten/(10*steps), "ns/step-1000")
	b.ReportMetric(one/(10*steps), "ns/step-10000")
	b.ReportMetric(10*one/ten, "x-ten")
}

func taken(b *testing.B, p *procedures.Procedure, times int) time.Duration {
	start := time.Now()
	for range times {
		if proof := prove.Procedure(p, prove.Limits{}); !proof.Proved() {
			b.Fatal(proof.Failures, proof.Exceeded)
		}
	}
	return time.Since(start)
}

func median(times []time.Duration) time.Duration {
	slices.Sort(times)
	return times[len(times)/2]
}

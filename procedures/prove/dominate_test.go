package prove

// The tree of dominators against its definition: a step is over another when the other is not come to without it.

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
)

func TestAStepIsOverAnotherWhenNoPathGoesWithoutIt(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := newModel(jumps(r))
		d := m.dominate()
		for a := range m.main {
			without := m.comeTo(a)
			for b := range m.main {
				if a != b && m.line[a] && m.line[b] {
					require.Equal(r, !without[b], d.over(a, b), "%d over %d", a, b)
				}
			}
		}
	})
}

// jumps is a procedure of steps that lead anywhere.
func jumps(r *rapid.T) *procedures.Procedure {
	n := rapid.IntRange(1, 12).Draw(r, "steps")
	p := &procedures.Procedure{}
	for i := range n {
		s := procedures.Step{ID: fmt.Sprint(i), Kind: procedures.Do, Secures: -1, Index: i}
		if rapid.Bool().Draw(r, "asks") {
			s.Ask = &procedures.Ask{}
			for range rapid.IntRange(1, 3).Draw(r, "answers") {
				to := rapid.IntRange(0, n-1).Draw(r, "to")
				s.Ask.Answers = append(s.Ask.Answers, procedures.Answer{Say: fmt.Sprint(to), Then: procedures.Target{Step: fmt.Sprint(to)}})
			}
		}
		p.Steps = append(p.Steps, s)
	}
	return p
}

// comeTo marks the steps that are come to without one.
func (m *model) comeTo(without int) []bool {
	seen := make([]bool, m.main)
	var visit func(i int)
	visit = func(i int) {
		if i == without || seen[i] {
			return
		}
		seen[i] = true
		for _, to := range m.then[i] {
			visit(to)
		}
	}
	visit(0)
	return seen
}

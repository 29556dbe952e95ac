package prove_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fenderside/procedures/prove"
)

func TestALongProofTellsHowFarItIsAndShowsTheSame(t *testing.T) {
	p := long(2000)
	silent := prove.Procedure(p, prove.Limits{})
	var states []int
	rules := map[prove.Rule]bool{}
	loud := prove.Procedure(p, prove.Limits{Told: func(rule prove.Rule, n int) { states, rules[rule] = append(states, n), true }})
	assert.Equal(t, silent, loud, "telling bears on nothing that is shown")
	assert.IsNonDecreasing(t, states)
	assert.Greater(t, len(states), len(rules)+2, "it is told between the rules too: %v", states)
	assert.True(t, rules[prove.Ends] && rules[prove.Protects])
}

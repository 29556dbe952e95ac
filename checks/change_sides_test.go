package checks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
)

// What may change places, and when, is common practice of the trade.
func TestOnlySensorsOfOnePartChangePlacesAndOnlyWhileNothingIsSettled(t *testing.T) {
	c := find(t, "change-sides")
	for _, x := range []struct {
		changes checks.Arguments
		want    checks.Verdict
		says    string
	}{
		{nil, checks.Pass, "one place on two banks"},
		{checks.Arguments{"fellow": words("none")}, checks.Fail, "no fellow"},
		{checks.Arguments{"fellow": words("B1S1")}, checks.Fail, "not the place of B1S2"},
		{checks.Arguments{"fellow": words("B2S1")}, checks.Fail, "not the place of B1S2"},
		{checks.Arguments{"verdict": choice("this sensor")}, checks.Fail, "settled"},
		{checks.Arguments{"verdict": choice("look elsewhere")}, checks.Fail, "settled"},
		{checks.Arguments{"fellow-part": words("MM-6121")}, checks.Fail, `"MM-6120" and at B2S2 "MM-6121"`},
		{checks.Arguments{"fellow-part": words("mm-6120 ")}, checks.Pass, ""},
		{checks.Arguments{"kind": words("titania"), "fellow-kind": words("switching zirconia")}, checks.Fail, "the kind at B1S2"},
	} {
		r, err := c.Run(with(c.Example, x.changes))
		require.NoError(t, err)
		assert.Equal(t, x.want, r.Verdict, r.Because)
		assert.Contains(t, r.Because, x.says)
	}
	assert.Equal(t, checks.Pass, run(t, "change-sides", without(c.Example, "verdict", "part", "fellow-part")).Verdict)
	assert.Contains(t, refusal(t, "change-sides", without(c.Example, "part")), "give both, or neither")
	assert.Contains(t, refusal(t, "change-sides", with(c.Example, checks.Arguments{"position": words("rear")})), "position")
	assert.Contains(t, refusal(t, "change-sides", with(c.Example, checks.Arguments{"fellow": words("front")})), "fellow")
}

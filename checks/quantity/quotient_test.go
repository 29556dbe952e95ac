package quantity

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// anyQuantity is a quantity as it is typed, with up to 17 digits, or as arithmetic leaves it.
func anyQuantity(t *rapid.T, of *unit) Quantity {
	value := rapid.Float64Range(-Largest, Largest).Draw(t, "any value")
	if rapid.Bool().Draw(t, "typed") {
		digits := rapid.Int64Range(-1e17, 1e17).Draw(t, "digits") / int64(math.Pow10(rapid.IntRange(0, 16).Draw(t, "fewer")))
		value, _ = strconv.ParseFloat(strconv.FormatInt(digits, 10)+"e-"+strconv.Itoa(rapid.IntRange(0, 18).Draw(t, "decimals")), 64)
	}
	q, err := build(value, of, 0)
	if err != nil {
		t.Skip("no quantity of this unit")
	}
	return q
}

func TestWholeNumbersGiveWhatFractionsOfAnySizeGive(t *testing.T) {
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(table()).Draw(t, "unit")
		into := rapid.SampledFrom(table()).Filter(func(o *unit) bool { return o.dim == u.dim }).Draw(t, "into")
		q := anyQuantity(t, u)
		want, _ := q.exact().Float64()
		assert.Equal(t, want, q.Base())
		want, _ = q.in(into).Float64()
		got, err := q.In(into.name)
		assert.NoError(t, err)
		assert.Equal(t, want, got)
		decimals := rapid.IntRange(0, 12).Draw(t, "shown")
		if text, ok := q.quotientIn(into).fixed(decimals); ok {
			assert.Equal(t, fixed(q.in(into), decimals), text)
			held++
		}
		other := anyQuantity(t, into)
		if order, ok := q.quotient().compare(other.quotient()); ok {
			assert.Equal(t, q.exact().Cmp(other.exact()), order)
		}
	})
	assert.Positive(t, held, "the quick way was taken")
}

func TestHalvesGoAwayFromZeroInWholeNumbersToo(t *testing.T) {
	for _, c := range []struct {
		x        quotient
		decimals int
		want     string
	}{{quotient{1, 4}, 1, "0.3"}, {quotient{-1, 4}, 1, "-0.3"}, {quotient{-1, 25}, 1, "0.0"}, {quotient{5, 2}, 0, "3"},
		{quotient{-5, 2}, 0, "-3"}, {quotient{1, 20}, 2, "0.05"}, {quotient{12, 1}, 0, "12"}} {
		got, ok := c.x.fixed(c.decimals)
		assert.True(t, ok)
		assert.Equal(t, c.want, got)
	}
}

func TestNoSpellingHasALookalikeInIt(t *testing.T) {
	for s := range spellings() {
		assert.Equal(t, s, lookalikes().Replace(s))
	}
}

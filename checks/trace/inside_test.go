package trace

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestANumberIsReadToTheNearestFloat(t *testing.T) {
	// Oracle: strconv.ParseFloat, which rounds to the nearest.
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[+-]?([0-9]{1,20}(\.[0-9]{1,20})?|\.[0-9]{1,20})([eE][+-]?[0-9]{1,3})?`).Draw(t, "text")
		want, wrong := strconv.ParseFloat(text, 64)
		got, _, ok := number([]byte(text), 0)
		require.Equal(t, wrong == nil, ok, text)
		if ok {
			assert.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
		}
	})
}

func TestAsManyDigitsAsAFloatHoldsAreRoundedOnce(t *testing.T) {
	// Oracle: strconv.ParseFloat. Beyond 2^53 a division of the digits would round twice.
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[1-9][0-9]{7,8}\.[0-9]{8,9}`).Draw(t, "text")
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		got, _, ok := number([]byte(text), 0)
		require.True(t, ok)
		assert.Equal(t, want, got)
	})
}

func TestMilliIsRoundedOnce(t *testing.T) {
	// Oracle: strconv.ParseFloat of the same digits with the exponent written out.
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?[0-9]{1,8}(\.[0-9]{1,7})?`).Draw(t, "text")
		want, err := strconv.ParseFloat(text+"e-3", 64)
		require.NoError(t, err)
		got, _, ok := number([]byte(text), 3)
		require.True(t, ok)
		assert.Equal(t, want, got)
	})
}

func TestADecimalCommaReadsAsAPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?[0-9]{0,9}\.[0-9]{1,9}`).Draw(t, "text")
		want, mark, ok := number([]byte(text), 0)
		require.True(t, ok)
		assert.Equal(t, byte('.'), mark)
		got, mark, ok := number([]byte(strings.Replace(text, ".", ",", 1)), 0)
		require.True(t, ok)
		assert.Equal(t, byte(','), mark)
		assert.Equal(t, want, got)
	})
}

func TestWhatIsNotWhollyANumberIsNone(t *testing.T) {
	for _, text := range []string{"", "-", "+", ".", "1.", "1.2.3", "1,2,3", "1,234.5", "1.234,5", "e5", "1e", "1e+", "--1", "1-", "0x10", "inf", "NaN",
		"1_000", "1 2", "٣", "1e5.5", "1e400", strings.Repeat("1", 65), "1\x00"} {
		_, _, ok := number([]byte(text), 0)
		assert.False(t, ok, "%q", text)
	}
}

func FuzzNumberAgreesWithTheStandardReader(f *testing.F) {
	for _, text := range []string{"1.5", "-0", "1e5", "00000000000000000000000.1", "9007199254740993", "1,5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, mark, ok := number([]byte(text), 0)
		if !ok {
			return
		}
		if mark == ',' {
			text = strings.Replace(text, ",", ".", 1)
		}
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got))
	})
}

func TestTheMedianOfFewIsExactAndOfManyNear(t *testing.T) {
	// Oracle: the middle of the sorted values.
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{1, 2, 7, exactFew, exactFew + 1, 5000}).Draw(t, "n")
		seed := rapid.Uint64().Draw(t, "seed")
		var s spread
		var all []float64
		for range n {
			seed = seed*6364136223846793005 + 1442695040888963407
			v := math.Exp(float64(seed>>40)/float64(1<<24)*20 - 12) // from 6 µs to 3000 s
			s.add(v)
			all = append(all, v)
		}
		slices.Sort(all)
		want := (all[(n-1)/2] + all[n/2]) / 2
		if n <= exactFew {
			assert.Equal(t, want, s.median())
		}
		assert.InEpsilon(t, want, s.median(), 1.0/64)
		assert.Equal(t, all[n-1], s.greatest)
		assert.Equal(t, n, s.count)
	})
}

func TestEqualValuesHaveThatMedian(t *testing.T) {
	for _, v := range []float64{1e-12, 0.001, 0.02, 1, 3600, 1e11} {
		var s spread
		for range 3 * exactFew {
			s.add(v)
		}
		assert.InEpsilon(t, v, s.median(), 1e-12)
	}
	assert.Zero(t, new(spread).median())
}

func TestTheQueueGivesBackWhatItTookInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.SliceOfN(rapid.IntRange(0, 50), 0, 400).Draw(t, "times")
		var q queue
		var in, out []float64
		take := func() {
			if s, ok := q.pop(); ok {
				out = append(out, s.At)
			}
		}
		for i, at := range times {
			s := Sample{At: float64(at + i/2)}
			if q.push(s) != nil {
				require.Less(t, s.At, out[len(out)-1], "refused only what would have to go before what has left")
				continue
			}
			in = append(in, s.At)
			if q.full() {
				take()
			}
			require.LessOrEqual(t, q.tail-q.head, Window)
		}
		for q.head < q.tail {
			take()
		}
		slices.Sort(in)
		assert.Equal(t, in, out)
	})
}

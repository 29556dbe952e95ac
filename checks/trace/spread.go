// The rule of this file: a median is exact while the values are few, and within
// 0.8 % of a value near the middle once they are many, in fixed memory.

package trace

import (
	"math"
	"slices"
)

// Values are counted in bins that divide each doubling into 64, from 2^-30
// (about 1 ns) to 2^34; what lies outside is counted in the first or last bin.
const (
	binBits  = 6
	lowest   = -30
	highest  = 34
	bins     = (highest - lowest) << binBits
	exactFew = 1024
)

// spread gathers positive values for their count, greatest and median.
type spread struct {
	few      []float64 // all of them, while they are few
	count    int
	greatest float64
	counts   []int
	sums     []float64
}

func (s *spread) add(v float64) {
	s.count++
	if v > s.greatest {
		s.greatest = v
	}
	if s.counts == nil && len(s.few) < exactFew {
		s.few = append(s.few, v)
		return
	}
	if s.counts == nil {
		s.spill()
	}
	s.bin(v)
}

// spill goes over from the values themselves to bins.
func (s *spread) spill() {
	s.counts, s.sums = make([]int, bins), make([]float64, bins)
	for _, each := range s.few {
		s.bin(each)
	}
}

// bin counts v by the exponent and the first bits of its binary form.
func (s *spread) bin(v float64) {
	const bias = (1023 + lowest) << binBits
	i := min(max(int(math.Float64bits(v)>>(52-binBits))-bias, 0), bins-1)
	s.counts[i]++
	s.sums[i] += v
}

// median is the middle value, or the mean of the two in the middle; 0 for none.
func (s *spread) median() float64 {
	if s.count == 0 {
		return 0
	}
	return (s.ranked((s.count-1)/2) + s.ranked(s.count/2)) / 2
}

// ranked is the value with that many others below it; of many values, the mean
// of the bin it lies in.
func (s *spread) ranked(rank int) float64 {
	if s.counts == nil {
		return slices.Sorted(slices.Values(s.few))[rank]
	}
	for i, n := range s.counts {
		if rank < n {
			return s.sums[i] / float64(n)
		}
		rank -= n
	}
	return s.greatest
}

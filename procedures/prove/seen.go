package prove

// The places of a walk, in the order in which they were met. They are looked for step by step: a walk goes along the line, so
// what it asks for lies together, however long the line is.

// place is a place that was met, and which one it was come to from.
type place struct {
	at
	from int32 // its number, or -1 where the walk began
	next int32 // 1 + the number of another place of the same step, or 0
}

// seen numbers places as they are met.
type seen struct {
	places []place
	first  []int32      // for each step, 1 + the number of the last of its first few places, or 0
	count  []int32      // for each step, how many places it has
	crowd  map[at]int32 // the numbers of all further places of a step
}

// few is how many places of one step are looked through one by one.
const few = 16

// empty forgets all places; their room is used again.
func (s *seen) empty(steps int) {
	s.places, s.crowd = s.places[:0], nil
	if len(s.first) != steps {
		s.places, s.first, s.count = make([]place, 0, 2*steps), make([]int32, steps), make([]int32, steps)
	}
	clear(s.first)
	clear(s.count)
}

// number is which place it is; false where it was not met.
func (s *seen) number(p at) (int32, bool) {
	for i := s.first[p.step]; i > 0; i = s.places[i-1].next {
		if s.places[i-1].at == p {
			return i - 1, true
		}
	}
	if s.count[p.step] <= few {
		return 0, false
	}
	n, met := s.crowd[p]
	return n, met
}

// add takes a place that was not met before.
func (s *seen) add(p at, from int32) {
	n := int32(len(s.places))
	s.places = append(s.places, place{at: p, from: from})
	if s.count[p.step]++; s.count[p.step] <= few {
		s.places[n].next, s.first[p.step] = s.first[p.step], n+1
		return
	}
	if s.crowd == nil {
		s.crowd = map[at]int32{}
	}
	s.crowd[p] = n
}

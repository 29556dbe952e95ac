package prove

// Sets of safeguards and of steps are bits, so that a rule about all of them costs little more than one about one.

type set []uint64

func newSet(n int) set { return make(set, (n+63)/64) }

func (s set) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }

func (s set) add(i int) { s[i/64] |= 1 << (i % 64) }

// join adds every member of t; it reports whether s grew.
func (s set) join(t set) bool {
	grew := false
	for i, w := range t {
		grew = grew || w&^s[i] != 0
		s[i] |= w
	}
	return grew
}

func (s set) clone() set { return append(set(nil), s...) }

package prove

// Sets of safeguards and of steps are bits, so that a rule about all of them costs little more than one about one.

import "math/bits"

type set []uint64

func newSet(n int) set { return make(set, (n+63)/64) }

func (s set) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }

func (s set) add(i int) { s[i/64] |= 1 << (i % 64) }

func (s set) drop(i int) { s[i/64] &^= 1 << (i % 64) }

// join adds every member of t; it reports whether s grew.
func (s set) join(t set) bool {
	grew := false
	for i, w := range t {
		grew = grew || w&^s[i] != 0
		s[i] |= w
	}
	return grew
}

// without takes every member of t away.
func (s set) without(t set) {
	for i, w := range t {
		s[i] &^= w
	}
}

func (s set) meets(t set) bool {
	for i, w := range t {
		if s[i]&w != 0 {
			return true
		}
	}
	return false
}

func (s set) empty() bool {
	for _, w := range s {
		if w != 0 {
			return false
		}
	}
	return true
}

func (s set) clone() set { return append(set(nil), s...) }

// members lists what is in s, in order.
func (s set) members() []int {
	var out []int
	for k, w := range s {
		for ; w != 0; w &= w - 1 {
			out = append(out, k*64+bits.TrailingZeros64(w))
		}
	}
	return out
}

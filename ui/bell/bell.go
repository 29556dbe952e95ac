// Package bell says when the terminal's bell rings, in the screens and in the line mode alike.
//
// The rule kept here: it rings once for a time that ran when it was last looked at and is over now. What was entered
// meanwhile does not swallow it, and a time that was never seen to run rings nothing.
package bell

import (
	"time"

	"fenderside/runner"
)

// Ring is the character at which a terminal rings.
const Ring = "\a"

// Bell remembers the times that ran. The zero value has seen none.
type Bell struct{ ran map[string]time.Duration }

// Due looks at the times of a job, and says whether one of them has ended since it last did.
func (b *Bell) Due(s runner.State, now runner.Moment) bool {
	before := b.ran
	b.ran = running(s, now)
	for id, left := range b.ran {
		if left == 0 && before[id] > 0 {
			return true
		}
	}
	return false
}

// running is what is left of each time, by its step: of those beside the work and of the step at hand.
func running(s runner.State, now runner.Moment) map[string]time.Duration {
	left := map[string]time.Duration{}
	for _, p := range s.Pins(now) {
		left[p.Step.ID] = p.Left
	}
	if st := s.Current(); st != nil {
		if v, ok := s.View(st.ID, now); ok && v.Wait.Timed && v.Wait.Started {
			left[st.ID] = v.Wait.Left
		}
	}
	return left
}

// The rule of this file: samples leave in order of time. One that comes later
// than Window others that followed it is refused, because sorting it would take
// memory without bound.

package trace

import "fmt"

// Window is how many later samples may come before a sample.
const Window = 64

// Late is the refusal of a sample that is further out of order than Window.
type Late struct {
	At, Newest float64 // s
}

// Error says how far back the sample lies.
func (l *Late) Error() string {
	return fmt.Sprintf("time %g s: more than %d samples back (the newest is %g s); sort the file by time, or split it where the clock was set back",
		l.At, Window, l.Newest)
}

// queue sorts within the window. Samples of equal time keep their order.
type queue struct {
	held       [2 * Window]Sample
	head, tail int
	left       float64 // time of the newest sample that left
	began      bool    // one has left
	sorted     int     // samples that were out of order
}

func (q *queue) full() bool { return q.tail-q.head > Window }

func (q *queue) push(s Sample) error {
	if q.began && s.At < q.left {
		return &Late{At: s.At, Newest: q.held[q.tail-1].At}
	}
	if q.tail == len(q.held) {
		q.tail = copy(q.held[:], q.held[q.head:q.tail])
		q.head = 0
	}
	i := q.tail
	for i > q.head && q.held[i-1].At > s.At {
		q.held[i] = q.held[i-1]
		i--
	}
	if i < q.tail {
		q.sorted++
	}
	q.held[i] = s
	q.tail++
	return nil
}

func (q *queue) pop() (Sample, bool) {
	if q.head == q.tail {
		return Sample{}, false
	}
	s := q.held[q.head]
	q.head++
	q.left, q.began = s.At, true
	return s, true
}

// typical is the median of the intervals now held, repeated times left out; 0
// where there is none.
func (q *queue) typical() float64 {
	var steps spread
	for i := q.head + 1; i < q.tail; i++ {
		if step := q.held[i].At - q.held[i-1].At; step > 0 {
			steps.add(step)
		}
	}
	return steps.median()
}

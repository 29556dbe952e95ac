package session

import "time"

// Clock tells wall time and the time since the job was opened in this process. A live job has the machine's; a rehearsal
// brings its own.
type Clock interface {
	Now() (wall time.Time, mono time.Duration)
}

// machine is the machine's clock. Its monotonic part stands still while the machine sleeps, which is how a sleep shows.
type machine struct{ start time.Time }

// MachineClock starts counting now.
func MachineClock() Clock { return machine{time.Now()} }

func (m machine) Now() (time.Time, time.Duration) {
	now := time.Now()
	return now.Round(0).UTC(), now.Sub(m.start)
}

package rehearsal

// A rehearsal's clock stands still until its script moves it.

import "time"

// clock is a session.Clock that only a script moves.
type clock struct {
	wall time.Time
	mono time.Duration
}

// Now is where the script has moved the clock to.
func (c *clock) Now() (time.Time, time.Duration) { return c.wall, c.mono }

// advance lets time pass while the program runs.
func (c *clock) advance(d time.Duration) { c.wall, c.mono = c.wall.Add(d), c.mono+d }

// sleep lets time pass of which the running program knows nothing.
func (c *clock) sleep(d time.Duration) { c.wall = c.wall.Add(d) }

// restart is the clock of the next run of the program, so much later.
func (c *clock) restart(off time.Duration) { c.wall, c.mono = c.wall.Add(off), 0 }

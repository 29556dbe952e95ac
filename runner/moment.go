package runner

import (
	"fmt"
	"strings"
	"time"
)

// Moment is the time at which a command is given, and the place in the journal it would be written at. The core learns
// of both from nowhere else.
type Moment struct {
	Wall    time.Time     // UTC; recorded and shown, and compared only with calibration and roster dates
	Mono    time.Duration // since the job was opened in this process, at millisecond precision; waits are counted in this
	Session int           // counts the processes that opened the job, from 1
	Head    string        // hex SHA-256 of the journal's last line; what witness and stretch signatures cover
}

// DriftAllowed is how far wall and monotonic time may part before it counts as an interruption: the machine slept, or
// somebody moved the clock. A clock that is slewed by its time service stays well within it.
const DriftAllowed = 2 * time.Second

// driftShare is the part of the time passed that is allowed on top, for a clock that runs fast or slow.
const driftShare = 1000

// drift is how far wall time ran ahead of (positive) or behind monotonic time between two moments of one session.
func drift(from, to Moment) time.Duration {
	return to.Wall.Sub(from.Wall) - (to.Mono - from.Mono)
}

// apart says whether the two clocks disagree about how long it was from one moment to the next.
func apart(from, to Moment) bool {
	d := drift(from, to)
	if d < 0 {
		d = -d
	}
	passed := to.Mono - from.Mono
	return passed < 0 || d > DriftAllowed+passed/driftShare
}

// since is how long ago from was, by monotonic time. A moment of an earlier session earns no credit.
func since(from, now Moment) time.Duration {
	if from.Session != now.Session || now.Mono < from.Mono {
		return 0
	}
	return now.Mono - from.Mono
}

// InWords is a length of time to the second, rounded up, as people write it: with its units, and without those it has none of.
func InWords(d time.Duration) string {
	s := int((d + time.Second - 1) / time.Second)
	var out []string
	for _, u := range []struct {
		seconds int
		name    string
	}{{3600, "h"}, {60, "min"}, {1, "s"}} {
		if n := s / u.seconds; n > 0 || u.seconds == 1 && len(out) == 0 {
			out, s = append(out, fmt.Sprintf("%d %s", n, u.name)), s%u.seconds
		}
	}
	return strings.Join(out, " ")
}

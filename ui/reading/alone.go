package reading

// The rule of this file: what cannot be done alone is said before the work begins.

import (
	"fmt"

	"fenderside/runner"
)

// Alone says that a job wants a witness whom its roster does not have; empty where it has one, or wants none.
func Alone(s runner.State, now runner.Moment) string {
	steps := s.Unwitnessed(now)
	switch len(steps) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("NOBODY CAN WITNESS: a second person signs “%s”, and nobody else on this job's roster may. %s", steps[0].Title, addThem)
	}
	return fmt.Sprintf("NOBODY CAN WITNESS: a second person signs %d steps, the first “%s”, and nobody else on this job's roster may. %s", len(steps), steps[0].Title, addThem)
}

const addThem = "Close this job as abandoned, add them with “fenderside roster add”, and open it anew: a job keeps the roster it was opened with."

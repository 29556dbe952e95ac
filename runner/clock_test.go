package runner

// A time to wait is written with a space between number and symbol, as the SI brochure (9th edition, 5.4.3) has it; min, h
// and s are its symbols (table 8; section and table numbers from memory).

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestATimeToWaitIsWrittenInWholeSecondsWithSpaces(t *testing.T) {
	for d, want := range map[time.Duration]string{
		time.Nanosecond:                   "1 s",
		22 * time.Second:                  "22 s",
		22*time.Second + time.Millisecond: "23 s",
		59*time.Second + time.Millisecond: "1 min",
		62 * time.Second:                  "1 min 2 s",
		10 * time.Minute:                  "10 min",
		63 * time.Minute:                  "1 h 3 min",
		time.Hour + 5*time.Second:         "1 h 5 s",
		0:                                 "0 s",
	} {
		assert.Equal(t, want, clock(d), d.String())
	}
}

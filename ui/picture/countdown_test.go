package picture_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"fenderside/ui/picture"
)

func TestTheBarOfACountdownFillsAsTheTimePasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := time.Duration(rapid.IntRange(1, 7200).Draw(t, "whole")) * time.Second
		passed := time.Duration(rapid.IntRange(0, 7200).Draw(t, "passed")) * time.Second
		rows := picture.Countdown("1:23", passed, whole, picture.Form{Width: rapid.IntRange(32, 200).Draw(t, "width")}).Rows
		bar := rows[5]
		done, room := strings.Count(bar, "="), len(bar)-2
		share := min(1, passed.Seconds()/whole.Seconds())
		assert.InDelta(t, share*float64(room), float64(done), 1)
		assert.Equal(t, "["+strings.Repeat("=", done), strings.TrimRight(strings.TrimSuffix(bar, "]"), " "))
		assert.Equal(t, done == room, share == 1, "full only when it is over")
	})
}

func TestEveryFigureOfACountdownIsTheOnlyOneOfItsShape(t *testing.T) {
	shapes := map[string]rune{}
	for _, c := range "0123456789:" {
		p := picture.Countdown(string(c), 0, 0, picture.Form{Width: 60})
		shape := strings.Join(p.Rows[:5], "\n")
		assert.Zero(t, shapes[shape], "%c", c)
		shapes[shape] = c
		assert.Equal(t, "TIME LEFT "+string(c), p.Rows[5])
	}
}

func TestACountdownTooWideForItsFormIsWritten(t *testing.T) {
	p := picture.Countdown("12:34:56", time.Second, time.Minute, picture.Form{Width: 30})
	assert.Equal(t, []string{"Time left: 12:34:56."}, p.Rows)
}

package runner

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestNoTimeIsCreditedFromOneProcessToAnother(t *testing.T) {
	from := Moment{Session: 1, Mono: time.Minute}
	assert.Equal(t, time.Hour, since(from, Moment{Session: 1, Mono: time.Hour + time.Minute}))
	assert.Zero(t, since(from, Moment{Session: 2, Mono: time.Hour}), "its time counts from its own start")
	assert.Zero(t, since(from, Moment{Session: 1, Mono: time.Second}))
}

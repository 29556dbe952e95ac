package ui

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func bells(r *rig) int { return strings.Count(r.m.opt.Out.(*strings.Builder).String(), "\a") }

func TestTheBellRingsOnceWhenAWaitIsOver(t *testing.T) {
	r := newRig(t)
	screens["wait-running"](r)
	for range 4 {
		r.pass(30 * time.Second)
		assert.Zero(t, bells(r), "the time runs")
	}
	r.pass(60 * time.Second)
	assert.Equal(t, 1, bells(r))
	assert.NotContains(t, r.m.View(), "TIME LEFT")
	for range 4 {
		r.pass(time.Second)
	}
	assert.Equal(t, 1, bells(r), "once")
}

func TestTheBellRingsForATimeThatRunsBesideTheWork(t *testing.T) {
	r := newRig(t)
	screens["fire-watch"](r)
	before := bells(r) // the waits on the way here
	r.pass(29 * time.Minute)
	assert.Equal(t, before, bells(r))
	r.pass(2 * time.Minute)
	assert.Equal(t, before+1, bells(r))
	r.pass(time.Minute)
	assert.Equal(t, before+1, bells(r))
}

func TestTheBellIsNotSwallowedByAnEntryAtThatMoment(t *testing.T) {
	r := newRig(t)
	screens["wait-running"](r)
	r.pass(time.Second)
	r.clock.move(10 * time.Minute)
	r.key("f6").typed("somebody came by") // written down after the time ran out, and before the next tick
	assert.Zero(t, bells(r))
	r.pass(time.Second)
	assert.Equal(t, 1, bells(r))
}

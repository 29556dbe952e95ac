package home_test

// A list of jobs says of each where its work is, also where it was broken off or stopped.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
)

func TestAJobThatWasBrokenOffOrStoppedIsListedAtTheStepWhereItWas(t *testing.T) {
	clock := sessiontest.NewClock()
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Practice, sessiontest.Person("asha"))
	assert.Equal(t, "briefing", only(t, st).At)
	sessiontest.Brief(t, s)
	at := s.State().Current().Title
	assert.Equal(t, at, only(t, st).At)
	sessiontest.Unplug(t, s)
	next := s.State().Current().Title
	require.NotEqual(t, at, next)
	sessiontest.Do(t, s, runner.StopWork{Safeguards: []string{"unplugged"}})
	assert.Equal(t, next, only(t, st).At, "stopped")
	sessiontest.Do(t, s, runner.Clear{})
	require.NoError(t, s.Close())
	back, err := session.Resume(st, s.Job().Opening.Job, clock)
	require.NoError(t, err)
	require.NoError(t, back.Close())
	one := only(t, st)
	assert.Equal(t, home.Held, one.Stage)
	assert.Equal(t, at, one.At, "broken off at the gate that came first again")
}

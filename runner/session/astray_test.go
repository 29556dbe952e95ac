package session_test

// Whoever takes a job up is told which attached file is not as it was, for what was judged from it still stands.

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
)

func TestAFileThatWasLostOrChangedIsToldWithItsStepAndItsCheckUntilItIsPutBack(t *testing.T) {
	clock := sessiontest.NewClock()
	st, s := sessiontest.StartDrive(t, t.TempDir(), clock, runner.Practice, sessiontest.Person("asha"))
	sessiontest.ToProof(t, s, clock)
	sessiontest.Proved(t, s, clock)
	assert.Empty(t, s.Astray())
	job := s.Job().Opening.Job
	require.NoError(t, s.Close())

	files := map[string]string{} // each copy with what was attached
	for _, path := range sessiontest.Copies(t, st.JobDir(job), ".csv") {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		files[string(text)] = path
	}
	before, after := files[sessiontest.Weak()], files[sessiontest.Healthy()]
	require.NoError(t, os.Remove(before))
	write(t, after, strings.Replace(sessiontest.Healthy(), "0.850", "0.851", 1))

	back, err := session.Resume(st, job, clock)
	require.NoError(t, err)
	astray := back.Astray()
	require.Len(t, astray, 2)
	assert.Equal(t, "listen", astray[0].Step)
	assert.Equal(t, "before.csv", astray[0].File.Name)
	assert.False(t, astray[0].Changed, "it is gone")
	assert.Equal(t, before, astray[0].Copy, "where it is to be put back")
	assert.Equal(t, "can-log", astray[0].Check)
	assert.Equal(t, "prove", astray[1].Step)
	assert.True(t, astray[1].Changed, "of the same size, and another file")
	assert.Equal(t, "sensor-trace", astray[1].Check)
	assert.Len(t, back.Astray(), 2, "and it says so again")

	write(t, before, sessiontest.Weak())
	write(t, after, sessiontest.Healthy())
	require.NoError(t, os.Chtimes(after, clock.Wall, clock.Wall.Add(time.Hour)))
	assert.Empty(t, back.Astray(), "what was put back is the file again")
	require.NoError(t, os.Remove(after))
	require.NoError(t, os.Mkdir(after, 0o700))
	require.Len(t, back.Astray(), 1, "a folder is no file")
	assert.True(t, back.Astray()[0].Changed)
}

func write(t *testing.T, path, text string) {
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
}

package rehearsal_test

// A script attaches files that lie beside it, and the gates of its job are passed or held by what is in them.

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
)

// driven plays the script of two drives, with these logs beside it.
func driven(t *testing.T, files, before, after string) (session.Finished, error) {
	text, err := os.ReadFile("testdata/drive.yaml")
	require.NoError(t, err)
	p, err := procedures.Parse("drive.yaml", []byte(sessiontest.Drive()))
	require.NoError(t, err)
	if files != "" {
		require.NoError(t, os.Mkdir(filepath.Join(files, "logs"), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(files, "logs", "before.csv"), []byte(before), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(files, "logs", "after.csv"), []byte(after), 0o600))
	}
	var beside fs.FS
	if files != "" {
		beside = os.DirFS(files)
	}
	return rehearsal.Run(rehearsal.Options{Script: text, ScriptName: "drive.yaml", Files: beside, Out: t.TempDir(), Program: "test",
		Procedures: func(string) (*procedures.Procedure, bool) { return p, true }})
}

func TestAScriptAttachesFilesThatLieBesideIt(t *testing.T) {
	done, err := driven(t, t.TempDir(), sessiontest.Weak(), sessiontest.Healthy())
	require.NoError(t, err)
	lines, _ := replayed(t, done.Record)
	var verdicts []checks.Verdict
	for _, l := range lines {
		for _, e := range l.Events {
			if e, ok := e.(runner.Computed); ok && e.Check == "sensor-trace" {
				verdicts = append(verdicts, e.Verdict)
			}
		}
	}
	assert.Equal(t, []checks.Verdict{checks.Fail, checks.Pass}, verdicts, "the log from before the work does not pass for one from after it")
	assert.Len(t, sessiontest.Copies(t, done.Dir, ".csv"), 2)
}

func TestAScriptWhoseFileShowsAFaultEndsAtItsGate(t *testing.T) {
	_, err := driven(t, t.TempDir(), sessiontest.Weak(), sessiontest.Weak())
	var failure *rehearsal.Failure
	require.ErrorAs(t, err, &failure)
	assert.Equal(t, runner.CheckNotPassed, failure.Reasons[0].Code)
}

func TestAScriptWithoutAFolderHasNoFiles(t *testing.T) {
	_, err := driven(t, "", "", "")
	assert.ErrorContains(t, err, "logs/before.csv")
	assert.ErrorContains(t, err, "play it from its file")
}

func TestAScriptReachesNoFileOutsideItsFolder(t *testing.T) {
	for _, path := range []string{"../secret", "/etc/passwd", "logs/../../x"} {
		_, err := rehearsal.Parse("script.yaml", []byte(`fenderside-script: 1
title: x
procedure: drive-trace
begin: 2026-03-14T09:00:00Z
people: [{name: asha@millbrook.example, roles: all}]
acknowledge: all
do:
  - {step: listen, evidence: {before: {file: `+path+`}}}
  - sign: true
`))
		assert.ErrorContains(t, err, "leads out of the folder of the script", path)
	}
}

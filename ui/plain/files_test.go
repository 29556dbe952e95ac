package plain

// Files are given by their path, as a terminal or a file manager writes it, and a gate is passed by what is in them.

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/session/sessiontest"
)

func TestAGateIsPassedByAFileThatIsDroppedOnTheTerminal(t *testing.T) {
	b := newBench(t)
	p, err := procedures.Parse("drive.yaml", []byte(sessiontest.Drive()))
	require.NoError(t, err)
	dir := filepath.Join(b.dir, "two drives (1)")
	require.NoError(t, os.Mkdir(dir, 0o700))
	for name, text := range map[string]string{"before.csv": sessiontest.Weak(), "after.csv": sessiontest.Healthy(), "note.csv": "nothing of use\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	escaped := strings.NewReplacer(" ", `\ `, "(", `\(`, ")", `\)`).Replace(filepath.Join(dir, "before.csv"))
	address := (&url.URL{Scheme: "file", Path: filepath.Join(dir, "after.csv")}).String()
	require.NoError(t, b.run(Options{Start: &Start{Procedure: p, NoCard: true, Practice: true}},
		"open", "read", "read",
		"'"+filepath.Join(dir, "before.csv")+"' ",
		"true",
		"B1S1",
		"~/two drives (1)/gone.csv", escaped, "~/two drives (1)/before.csv",
		`"`+filepath.Join(dir, "note.csv")+`"`,
		address+" ", ".quit"))
	said := strings.ReplaceAll(b.transcript(), "\n  ", " ")
	assert.Contains(t, said, "Check sensor-trace: fail.", "the log from before the work")
	assert.Contains(t, said, "Check sensor-trace: more.", "a file with no signal in it")
	assert.Contains(t, said, "Check sensor-trace: pass.")
	var names []string
	for _, e := range b.events() {
		if e, ok := e.(runner.Attached); ok {
			names = append(names, e.File.Name)
		}
	}
	assert.Equal(t, []string{"before.csv", "before.csv", "before.csv", "note.csv", "after.csv"}, names)
}

func TestAFigureThatACheckPassedOnIsSaidWithWhereItIsFrom(t *testing.T) {
	b := newBench(t)
	p, err := procedures.Parse("drive.yaml", []byte(sessiontest.Weighed()))
	require.NoError(t, err)
	path := filepath.Join(b.dir, "healthy.csv")
	require.NoError(t, os.WriteFile(path, []byte(sessiontest.Healthy()), 0o600))
	require.NoError(t, b.run(Options{Start: &Start{Procedure: p, NoCard: true, Practice: true}},
		"open", "read", "read", path, "true", "B1S1", path, ".quit"))
	assert.Contains(t, strings.ReplaceAll(b.transcript(), "\n  ", " "), "Found before: trace: healthy, from “Prove the sensor from a drive”.")
}

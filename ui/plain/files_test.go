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
	said := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	assert.Contains(t, said, "Check sensor-trace: not passed.", "the log from before the work")
	assert.Contains(t, said, "Check sensor-trace: cannot judge yet.", "a file with no signal in it")
	assert.Contains(t, said, "Check sensor-trace: passed.")
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
	assert.Contains(t, strings.ReplaceAll(b.dialogue(), "\n  ", " "), "Found before: trace: healthy, from “Prove the sensor from a drive”.")
}

func TestWhoeverResumesOrSignsIsToldWhichFileIsNotAsItWasAndCanHaveAnotherJudged(t *testing.T) {
	b := newBench(t)
	text := strings.Replace(sessiontest.Drive(), "    secures: proved\n", "    secures: proved\n    affirm: [The log is of this minibus]\n", 1)
	text = strings.Replace(text, "steps:\n", `steps:
  - do: warm-up
    title: Warm the engine up
    ask: {question: "Is it warm?", answers: [{say: It is}, {say: It is not, then: referred}]}
`, 1)
	p, err := procedures.Parse("drive.yaml", []byte(text))
	require.NoError(t, err)
	log := filepath.Join(b.dir, "healthy.csv")
	require.NoError(t, os.WriteFile(log, []byte(sessiontest.Healthy()), 0o600))
	require.NoError(t, b.run(Options{Start: &Start{Procedure: p, NoCard: true, Practice: true}},
		"open", "read", "read", "1", log, "true", "minibus", "B1S1", log, "true", ".quit"))
	copies, err := filepath.Glob(filepath.Join(b.home.DataDir, "open", "*", "evidence", "*.csv"))
	require.NoError(t, err)
	require.Len(t, copies, 1)
	require.NoError(t, os.Remove(copies[0]))

	another := filepath.Join(b.dir, "again.csv")
	require.NoError(t, os.WriteFile(another, []byte(sessiontest.Trace(0.12, 0.84)), 0o600))
	from := len(b.dialogue())
	require.NoError(t, b.run(Options{Resume: b.only()}, "resume", ".correct of this minibus", "1", "its log was lost", "minibus", another, ".quit"))
	said := strings.ReplaceAll(b.dialogue()[from:], "\n  ", " ")
	held, on, _ := strings.Cut(said, "> resume")
	assert.Contains(t, held, "FILE LOST: the copy of “healthy.csv”")
	assert.Contains(t, held, "Or correct the answer of “Warm the engine up”, from which the job comes to that step again")
	assert.Contains(t, held, "Or take a statement of that step back by a correction")
	assert.Contains(t, held, "Put the file back as it was attached: ")
	assert.Contains(t, held, "the audit then asks for a look")
	assert.Contains(t, on, "Check sensor-trace: passed.", "another was judged in its place")
	assert.Contains(t, on, "Read it back before it is signed.")
	assert.Contains(t, on, "FILE LOST", "the review still says that one is lost")
}

package ui

// A file is given by its path as a terminal writes it when it is dropped there; what a check makes of it stands on the
// screen, and another is asked for until one will do.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner/session/sessiontest"
)

// dropped pastes a line, as a terminal does with a file that is dropped on it, and presses Enter.
func (r *rig) dropped(line string) *rig {
	r.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(line), Paste: true})
	return r.key("enter")
}

// wants is what the step at hand asks next.
func (r *rig) wants() string { return r.m.work.scene().want.id }

func TestAGateAsksForFilesUntilOneOfThemWillDo(t *testing.T) {
	r := newRig(t)
	p, err := procedures.Parse("drive.yaml", []byte(sessiontest.Drive()))
	require.NoError(t, err)
	dir := filepath.Join(r.root, "two drives")
	require.NoError(t, os.Mkdir(dir, 0o700))
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	weak, healthy, note := file("weak.csv", sessiontest.Weak()), file("healthy.csv", sessiontest.Healthy()), file("note.csv", "nothing of use\n")
	r.m.prepare(Start{Procedure: p, Practice: true})
	for range 5 {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	require.NotNil(t, r.m.work, r.m.message)
	r.to("attach before", nil).dropped("'" + weak + "' ")
	r.to("read column", map[string][]string{}).typed("B1S1")
	require.Equal(t, "attach after", r.wants(), r.m.message)
	r.dropped(strings.ReplaceAll(note, " ", `\ `) + " ")
	require.Equal(t, "attach after", r.wants(), r.m.message)
	assert.Contains(t, r.view(), "CANNOT JUDGE YET")
	t.Setenv("HOME", r.root)
	r.dropped("~/two drives/gone.csv")
	assert.Contains(t, r.flat(), "there is no such file", "a path that leads nowhere is kept, to be mended")
	r.key("ctrl+u").dropped("~/two drives/weak.csv")
	assert.Contains(t, r.view(), "NOT PASSED", "the own folder of whoever types it")
	r.dropped("file://" + strings.ReplaceAll(weak, " ", "%20"))
	require.Equal(t, "attach after", r.wants(), r.m.message)
	assert.Contains(t, r.view(), "NOT PASSED")
	r.dropped(`"` + healthy + `"`)
	assert.Contains(t, r.view(), "PASSED. Every limit given is met")
	assert.Equal(t, "finish prove", r.wants())
	r.key("enter")
	assert.Equal(t, "hand-back", r.m.work.step().ID)
}

func TestAFigureThatACheckPassedOnSaysWhereItIsFrom(t *testing.T) {
	r := newRig(t)
	p, err := procedures.Parse("drive.yaml", []byte(sessiontest.Weighed()))
	require.NoError(t, err)
	path := filepath.Join(r.root, "healthy.csv")
	require.NoError(t, os.WriteFile(path, []byte(sessiontest.Healthy()), 0o600))
	r.m.prepare(Start{Procedure: p, Practice: true})
	for range 5 {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	r.to("attach before", nil).dropped(path)
	r.to("read column", map[string][]string{}).typed("B1S1").dropped(path)
	r.key("enter")
	require.Equal(t, "hand-back", r.m.work.step().ID)
	assert.Contains(t, r.m.work.scene().given, "found: trace: healthy, from “Prove the sensor from a drive”")
	assert.Contains(t, r.size(100, 40).flat(), "trace: healthy, from “Prove the sensor from a drive”")
}

func TestTheKeyFileOfAWitnessIsGivenAsAnyPath(t *testing.T) {
	r := rigFor(t, "apprentice-witness")
	screens["apprentice-witness"](r)
	t.Setenv("HOME", r.root)
	r.key("enter", "1", "enter").typed("'~/" + filepath.Base(r.key2) + "' ").typed(brynsWords)
	assert.Equal(t, "Witnessed.", r.m.message)
}

// proven is a drive job that waits for its signature; its gate has a statement, which can be taken back.
func (r *rig) proven() *rig {
	p, err := procedures.Parse("drive.yaml", []byte(strings.Replace(sessiontest.Drive(), "    secures: proved\n", "    secures: proved\n    affirm: [The log is of this minibus]\n", 1)))
	require.NoError(r.t, err)
	file := func(name, text string) string {
		path := filepath.Join(r.root, name)
		require.NoError(r.t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	weak, healthy := file("weak.csv", sessiontest.Weak()), file("healthy.csv", sessiontest.Healthy())
	r.m.prepare(Start{Procedure: p, Practice: true})
	for range 5 {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	r.to("attach before", nil).dropped(weak)
	r.to("read column", nil).typed("B1S1")
	return r.dropped(healthy).to("review", nil)
}

// copyOf is the copy of a file that was attached.
func (r *rig) copyOf(text string) string {
	all, err := filepath.Glob(filepath.Join(filepath.Dir(r.m.work.session.JournalPath()), "evidence", "*"))
	require.NoError(r.t, err)
	for _, path := range all {
		if kept, err := os.ReadFile(path); err == nil && string(kept) == text {
			return path
		}
	}
	require.Fail(r.t, "no such copy")
	return ""
}

// pages is all that a job's screen says, page by page.
func (r *rig) pages() string {
	var all []string
	for range 40 {
		all = append(all, r.flat())
		if !strings.Contains(r.m.View(), "Enter turns the page") {
			break
		}
		r.key("enter")
	}
	return strings.Join(all, " ")
}

func TestWhoeverResumesOrSignsIsToldWhichFileIsNotAsItWasAndWhatToDo(t *testing.T) {
	r := newRig(t).proven()
	weak, healthy := r.copyOf(sessiontest.Weak()), r.copyOf(sessiontest.Healthy())
	require.NoError(t, os.Remove(weak))
	require.NoError(t, os.WriteFile(healthy, []byte("time (s),B1S1 (V)\n"), 0o600))
	id, h := r.m.work.job.Opening.Job, r.m.home
	require.NoError(t, r.m.work.session.Close())
	r.open(h, Options{Resume: id})
	said := r.size(100, 40).pages()
	assert.Contains(t, said, "THE WORK WAS BROKEN OFF")
	assert.Contains(t, said, "FILE LOST: the copy of “weak.csv” (Log of the drive before, at “Log a drive before the work”) is not there any more.")
	assert.Contains(t, said, "FILE CHANGED: the copy of “healthy.csv” (Log of the drive after, at “Prove the sensor from a drive”) is not the file that was attached.")
	assert.Contains(t, said, filepath.Base(weak), "where it is to be put back")
	assert.Contains(t, said, "take a statement of that step back by a correction, then attach another there")
	assert.Contains(t, said, "the audit then rejects the record, for check sensor-trace judged another file")
	assert.Contains(t, said, "the audit then asks for a look, for what check can-log found cannot be reckoned again")

	r.key("enter").to("review", nil)
	said = r.pages()
	assert.Contains(t, said, "END OF THE JOB", "it is not stopped, and not hidden")
	assert.Contains(t, said, "FILE LOST")
	require.NoError(t, os.WriteFile(weak, []byte(sessiontest.Weak()), 0o600))
	require.NoError(t, os.WriteFile(healthy, []byte(sessiontest.Healthy()), 0o600))
	said = r.pass(time.Second).pages()
	assert.NotContains(t, said, "FILE ", "both were put back")
	require.NoError(t, os.Remove(healthy))
	r.pass(time.Second).pages()
	r.key("enter")
	assert.Contains(t, r.m.work.state.Outcome(), procedures.Complete)
	assert.Contains(t, strings.Join(r.m.review().drawn(200), " "), "FILE LOST: the copy of “healthy.csv”", "the review before the signature says it too")
}

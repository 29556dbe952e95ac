package ui

// A file is given by its path as a terminal writes it when it is dropped there; what a check makes of it stands on the
// screen, and another is asked for until one will do.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

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
	assert.Contains(t, r.view(), "HEALTHY: every limit given is met")
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

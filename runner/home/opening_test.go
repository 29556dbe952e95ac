package home_test

// The rule tested here: a procedure that is not proved opens no live job, and may be practised.

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/home"
)

func TestNoLiveJobIsOpenedOnAProcedureThatIsNotProved(t *testing.T) {
	h := home.Home{ConfigDir: t.TempDir(), DataDir: t.TempDir()}
	text, err := os.ReadFile("../../procedures/prove/testdata/past-the-gate.yaml")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "past the gate.yaml")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	p, err := home.ReadProcedure(file)
	require.NoError(t, err, "the loader takes it: only the proof sees the way past its gate")
	id, _, err := h.Identity()
	require.NoError(t, err)

	_, err = h.Opening(p, nil, nil, runner.Live, true, id.Person, "")
	require.ErrorIs(t, err, home.ErrUnproved)
	assert.ErrorContains(t, err, file+":")
	assert.ErrorContains(t, err, "fenderside procedures prove '"+file+"'")
	_, err = h.Opening(p, nil, nil, runner.Practice, true, id.Person, "")
	require.NoError(t, err)

	for _, p := range library.Procedures() {
		_, err = h.Opening(p, nil, nil, runner.Live, true, id.Person, "")
		assert.NoError(t, err, p.Name)
	}
}

package prove_test

// Every kind of counterexample, told whole. UPDATE=1 writes the golden files anew; read what changed before keeping it.

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/prove"
)

func read(t testing.TB, file string) *procedures.Procedure {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := procedures.Parse(filepath.Base(file), text)
	require.NoError(t, err)
	return p
}

func golden(t *testing.T, file, got string) {
	if os.Getenv("UPDATE") != "" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run once with UPDATE=1")
	assert.Equal(t, string(want), got)
}

// What a walk alone would refuse and no job comes to.
func TestWhatNoTrialComesToIsNotTold(t *testing.T) {
	files, err := filepath.Glob("testdata/fine/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			proof := prove.Procedure(read(t, file), prove.Limits{})
			assert.True(t, proof.Proved(), "%v", proof.Faults())
		})
	}
}

func TestEveryKindOfCounterexampleIsToldWithItsShortestPath(t *testing.T) {
	files, err := filepath.Glob("testdata/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	broken := map[prove.Rule]bool{}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			p := read(t, file)
			proof := prove.Procedure(p, prove.Limits{})
			require.NotEmpty(t, proof.Failures)
			assert.False(t, proof.Proved())
			var b strings.Builder
			for _, c := range proof.Failures {
				broken[c.Rule] = true
				require.NoError(t, c.Text(&b, proof.File))
				assert.NotEmpty(t, c.Hint)
				placed(t, p, c)
			}
			golden(t, strings.TrimSuffix(file, ".yaml")+".golden", b.String())
		})
	}
	assert.Len(t, broken, 8, "rules broken by these procedures: %v", broken)
}

// placed holds every step of a path to the line it stands on.
func placed(t *testing.T, p *procedures.Procedure, c prove.Counterexample) {
	assert.Positive(t, c.Place.Line)
	for _, at := range c.Path {
		if at.Step == "" {
			continue
		}
		s, ok := p.StepByID(at.Step)
		require.True(t, ok)
		assert.Equal(t, s.Place, at.Place)
	}
}

func TestShippedProceduresAreProved(t *testing.T) {
	for _, p := range library.Procedures() {
		proof := prove.Procedure(p, prove.Limits{})
		var b strings.Builder
		require.NoError(t, proof.Text(&b))
		assert.True(t, proof.Proved(), "%s", b.String())
		assert.Len(t, proof.Shown, 9)
		assert.Equal(t, len(p.Safeguards), len(proof.Gates))
	}
}

func TestAProofIsTheSameEachTimeAndReadsBackFromJSON(t *testing.T) {
	p := read(t, "testdata/several.yaml")
	first, second := prove.Procedure(p, prove.Limits{}), prove.Procedure(p, prove.Limits{})
	require.Equal(t, first, second)
	data, err := json.Marshal(first)
	require.NoError(t, err)
	var back prove.Proof
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, first, back)
	assert.Len(t, first.Faults(), len(first.Failures))
}

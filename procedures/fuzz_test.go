package procedures

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/procedures/plaintext"
)

// seed gives a fuzz target every file of testdata and every card of the library; a whole procedure is too slow to vary.
func seed(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "library/cards/*.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			text, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(text)
		}
	}
	for _, text := range []string{"", "a", "{", "- [", "? a\n: b", "&a [*a]", "<<: {}", "a: !!binary x", "%YAML 1.2\n---\na: 1",
		"a: |\n b\n", "\xff\xfe", "{}: {}", "fenderside: 1\nsteps: [{gate: a, either: [{}]}]", "steps: [{do: a, check: {touch-safe: {}}}]",
		"sheet: [{id: a, propose: {of: [x]}}, {id: b, choose: [a], propose: {output: {}, of: {vin: x}}}, {id: c, text: true, propose: []}]",
		"card: a\nengine: {banks: {B2: {}}}\nsensors: {B1S1: {hex: {value: 1}}}"} {
		f.Add([]byte(text))
	}
}

// told looks at the faults of a file: there are some, in order, each at a place of the file and fit to print.
func told(t *testing.T, err error) {
	var faults Faults
	require.ErrorAs(t, err, &faults)
	require.NotEmpty(t, faults)
	for i, f := range faults {
		require.GreaterOrEqual(t, f.Place.Line, 1)
		require.GreaterOrEqual(t, f.Place.Column, 1)
		require.NoError(t, plaintext.Check(f.Error()), "%q", f.Error())
		if i > 0 {
			require.False(t, f.Place.before(faults[i-1].Place))
		}
	}
}

// shelf lets what is made up include the procedures of testdata.
func shelf(name string) (string, []byte, error) {
	file := filepath.Join("testdata", filepath.Base(name)+".yaml")
	text, err := os.ReadFile(file)
	return file, text, err
}

func FuzzAProcedureIsReadOrItsFaultsAreTold(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ParseWith("fuzz.yaml", text, shelf)
		if err != nil {
			told(t, err)
			return
		}
		again, err := ParseWith("fuzz.yaml", p.Text, shelf)
		require.NoError(t, err)
		for i := range p.Steps {
			for j := range p.Steps[i].Checks { // functions do not compare
				p.Steps[i].Checks[j].Check.Run, again.Steps[i].Checks[j].Check.Run = nil, nil
			}
		}
		require.Equal(t, p, again)
		flat, err := p.Flat()
		require.NoError(t, err)
		_, err = Parse("flat.yaml", flat)
		require.NoError(t, err, "what is written flat is sound too:\n%s", flat)
	})
}

func FuzzACardIsReadOrItsFaultsAreTold(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := ParseCard("fuzz.yaml", text)
		if err != nil {
			told(t, err)
			return
		}
		again, err := ParseCard("fuzz.yaml", c.Text)
		require.NoError(t, err)
		require.Equal(t, c, again)
	})
}

package procedures

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func oven(t testing.TB) []byte {
	text, err := os.ReadFile("testdata/oven-element.yaml")
	require.NoError(t, err)
	return text
}

func TestAGoodFileIsRead(t *testing.T) {
	p, err := Parse("oven-element.yaml", oven(t))
	require.NoError(t, err)
	assert.Equal(t, "oven-element", p.Name)
	assert.Equal(t, 6, p.MainLine())
	assert.Equal(t, []string{"plug-in"}, p.MakeSafe)
}

// The outside oracle is yaml.v3 decoding the same file into plain maps, which shares nothing with the reader but the
// parser.
func TestAPlainDecodeFindsTheSameSteps(t *testing.T) {
	files, err := filepath.Glob("library/procedures/*.yaml")
	require.NoError(t, err)
	for _, file := range append(files, "testdata/oven-element.yaml", "testdata/base.yaml") {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := ParseWith(file, text, func(name string) (string, []byte, error) {
			part := "library/procedures/" + name + ".yaml"
			text, err := os.ReadFile(part)
			return part, text, err
		})
		require.NoError(t, err)
		var plain struct{ Steps, Pinned []map[string]any }
		require.NoError(t, yaml.Unmarshal(text, &plain))
		var want, got []string
		for _, s := range append(plain.Steps, plain.Pinned...) {
			for _, key := range []string{"gate", "do", "pin"} {
				if id, ok := s[key].(string); ok {
					want = append(want, key+" "+id)
				}
			}
		}
		for _, s := range p.Steps {
			if !strings.Contains(s.ID, ".") { // those of included procedures are in files of their own
				got = append(got, string(s.Kind)+" "+s.ID)
			}
		}
		assert.Equal(t, want, got, file)
	}
}

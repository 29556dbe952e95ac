package skeleton_test

import (
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/prove"
	"fenderside/procedures/skeleton"
	"fenderside/procedures/writing"
)

func TestASkeletonIsSoundWellWrittenAndProved(t *testing.T) {
	text, err := skeleton.New("belt-swap")
	require.NoError(t, err)
	p, err := procedures.Parse("belt-swap.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, "belt-swap", p.Name)
	assert.Empty(t, writing.Check(p))
	proof := prove.Procedure(p, prove.Limits{})
	assert.True(t, proof.Proved(), "%v", proof.Faults())
	assert.Empty(t, proof.Doubts)
}

func TestASkeletonNamesEveryFieldOfTheFormat(t *testing.T) {
	text, err := skeleton.New("belt-swap")
	require.NoError(t, err)
	for group, names := range procedures.Grammar() {
		for _, name := range names {
			field := regexp.MustCompile(`(?m)(^|[ {#-])` + regexp.QuoteMeta(name) + `:? `)
			assert.True(t, field.Match(append(text, ' ')) || strings.Contains(string(text), name+":\n"), "it does not name %q of %q", name, group)
		}
	}
}

// The figures of the beginning of a card are nobody's: it must not make live jobs before its author says that they are.
func TestASkeletonOfACardIsSoundAndADemonstration(t *testing.T) {
	text, err := skeleton.Card("depot-bus-3")
	require.NoError(t, err)
	c, err := procedures.ParseCard("depot-bus-3.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, "depot-bus-3", c.Name)
	assert.True(t, c.Demonstration)
	for group, names := range procedures.CardGrammar() {
		for _, name := range names {
			assert.Regexp(t, `(?m)(^|[ {])`+regexp.QuoteMeta(name)+`:`, string(text), "it does not name %q of %q", name, group)
		}
	}
}

func TestOnlyANameMakesACard(t *testing.T) {
	for _, name := range []string{"", "Bus", "bus 3", "../bus", "bus: x", "bus # x", "bus\ntitle: x", "null", "'bus'", "bus\u202e"} {
		_, err := skeleton.Card(name)
		assert.ErrorContains(t, err, "lower-case", "%q", name)
	}
}

func TestOnlyANameIsTaken(t *testing.T) {
	for _, name := range []string{"", "Belt", "belt swap", "../belt", "belt--swap", "belt: x", "belt # x", "belt\nrevision: 2", "ä", "-belt",
		"'belt'", strings.Repeat("b", 65), "belt\u202e"} {
		_, err := skeleton.New(name)
		assert.ErrorContains(t, err, "lower-case", "%q", name)
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[a-z][a-z0-9]{0,9}([-_][a-z0-9]{1,9}){0,3}`).Draw(t, "name")
		if name == "null" {
			return // the empty value of YAML
		}
		text, err := skeleton.New(name)
		require.NoError(t, err)
		p, err := procedures.Parse("x.yaml", text)
		require.NoError(t, err)
		assert.Equal(t, name, p.Name)
	})
}

// Another reader of YAML takes the file too: the one that Python programs use, where it is there.
func TestAnotherYAMLReaderTakesASkeleton(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("wants python3 to compare with")
	}
	text, err := skeleton.New("belt-swap")
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", "import sys\ntry:\n import yaml\nexcept ImportError:\n sys.exit(77)\nd=yaml.safe_load(sys.stdin)\nprint(len(d['steps']), d['procedure'])")
	cmd.Stdin = strings.NewReader(string(text))
	out, err := cmd.CombinedOutput()
	if cmd.ProcessState != nil && cmd.ProcessState.ExitCode() == 77 {
		t.Skip("wants PyYAML to compare with")
	}
	require.NoError(t, err, string(out))
	assert.Equal(t, "8 belt-swap\n", string(out))
}

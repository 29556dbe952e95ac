package schema_test

// An independent validator (github.com/santhosh-tekuri/jsonschema, which is held to the test suite of json-schema.org)
// reads the schema, and the loader says what the schema must refuse.

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/schema"
)

var update = flag.Bool("update", false, "write procedure.schema.json anew")

const checkedIn = "procedure.schema.json"

func TestTheSchemaThatIsCheckedInIsTheOneOfTheGrammar(t *testing.T) {
	text, err := schema.Procedure()
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile(checkedIn, text, 0o644))
	}
	kept, err := os.ReadFile(checkedIn)
	require.NoError(t, err)
	require.True(t, bytes.Equal(kept, text),
		"%s is stale: write it anew with: go generate ./procedures/schema", checkedIn)
}

// validator compiles the schema; compiling also holds it to the meta-schema of its draft.
func validator(t testing.TB) *jsonschema.Schema {
	text, err := schema.Procedure()
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("procedure.schema.json", doc))
	compiled, err := c.Compile("procedure.schema.json")
	require.NoError(t, err)
	return compiled
}

// data is a YAML node as JSON data, typed as the YAML 1.2 core schema types it.
func data(n *yaml.Node) any {
	switch {
	case n.Kind == yaml.DocumentNode:
		return data(n.Content[0])
	case n.Kind == yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = data(n.Content[i+1])
		}
		return m
	case n.Kind == yaml.SequenceNode:
		all := []any{}
		for _, c := range n.Content {
			all = append(all, data(c))
		}
		return all
	}
	return scalar(n)
}

func scalar(n *yaml.Node) any {
	switch n.Tag {
	case "!!null":
		return nil
	case "!!bool":
		return n.Value == "true"
	case "!!int", "!!float":
		if f, err := strconv.ParseFloat(n.Value, 64); err == nil {
			return f
		}
	}
	return n.Value
}

func tree(t testing.TB, text []byte) *yaml.Node {
	var n yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &n))
	return &n
}

// samples are sound procedures that use, together, every field of the grammar.
func samples(t testing.TB) map[string][]byte {
	all := map[string][]byte{}
	for _, p := range library.Procedures() {
		all[p.Name] = p.Text
	}
	for _, file := range []string{"../testdata/oven-element.yaml", "../testdata/base.yaml", "testdata/every-field.yaml"} {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		all[filepath.Base(file)] = text
	}
	return all
}

func TestEverySoundProcedureIsValid(t *testing.T) {
	s := validator(t)
	for name, text := range samples(t) {
		_, err := procedures.Parse(name, text)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(data(tree(t, text))), name)
	}
}

func TestTheSamplesUseEveryFieldOfTheGrammar(t *testing.T) {
	used := map[string]bool{}
	for _, text := range samples(t) {
		each(tree(t, text), func(n *yaml.Node) {
			for i := 0; n.Kind == yaml.MappingNode && i < len(n.Content); i += 2 {
				used[n.Content[i].Value] = true
			}
		})
	}
	for group, names := range procedures.Grammar() {
		for _, name := range names {
			assert.True(t, used[name], "no sample has the field %q of %q", name, group)
		}
	}
}

// each visits every node.
func each(n *yaml.Node, visit func(*yaml.Node)) {
	visit(n)
	for _, c := range n.Content {
		each(c, visit)
	}
}

// aboutShape picks the loader's faults of shape: what stands where, not what it means. They are the sentences of its
// reader.
var aboutShape = regexp.MustCompile(`has no field "|has no "|(values belong|text belongs|list belongs|line belongs) here$|is neither true nor false|is no whole number|is empty$|is an empty list|` +
	`says neither|has only one of "at most"|does not say what it takes|at once$|is false$|has no id$|leaves no choice|is no id$|only a gate secures|` +
	`its answers say where it leads|there is no check "|there is no quantity "|word of .* is "|takes no quantity|it has between too|does not say because`)

func shapeless(err error) procedures.Faults {
	var faults, shape procedures.Faults
	if errors.As(err, &faults) {
		for _, f := range faults {
			if aboutShape.MatchString(f.What) {
				shape = append(shape, f)
			}
		}
	}
	return shape
}

// A mutant is a sample with one thing wrong, or still sound.
type mutant struct {
	what string
	root *yaml.Node
}

func TestTheSchemaRefusesWhatTheLoaderRefusesForItsShape(t *testing.T) {
	s := validator(t)
	refused, sound, elsewhere := 0, 0, 0
	const name = "every-field.yaml"
	mutants(tree(t, samples(t)[name]), func(m mutant) {
		written, err := yaml.Marshal(m.root)
		require.NoError(t, err)
		_, loading := procedures.Parse(name, written)
		valid := s.Validate(data(tree(t, written)))
		shape := shapeless(loading)
		switch {
		case loading == nil:
			sound++
			assert.NoError(t, valid, "%s: the loader takes it", m.what)
		case len(shape) > 0:
			refused++
			assert.Error(t, valid, "%s: the loader says %v", m.what, shape[0])
		default:
			elsewhere++
		}
	})
	t.Logf("%d mutants wrong in shape, all refused; %d sound, all valid; %d wrong in meaning", refused, sound, elsewhere)
	assert.Greater(t, refused, 300)
	assert.Greater(t, sound, 20)
}

// mutants takes out each field of each group, puts a strange one beside it, and gives its value each other kind, once for
// each way down to that field.
func mutants(text *yaml.Node, try func(mutant)) {
	tried := map[string]bool{}
	walk(text, "", func(path string, n *yaml.Node) {
		kept := n.Content
		for i := 0; i+1 < len(kept); i += 2 {
			at := path + "/" + kept[i].Value
			if tried[at] {
				continue
			}
			tried[at] = true
			n.Content = append(append([]*yaml.Node{}, kept[:i]...), kept[i+2:]...)
			try(mutant{"without " + at, text})
			n.Content = append(append([]*yaml.Node{}, kept...), word("strange"), word("thing"))
			try(mutant{"a strange field beside " + at, text})
			n.Content = kept
			value := kept[i+1]
			for k, other := range kinds() {
				if testing.Short() && k%4 != 0 {
					continue
				}
				kept[i+1] = other
				try(mutant{at + " is " + strings.TrimSpace(string(must(yaml.Marshal(other)))), text})
			}
			kept[i+1] = value
		}
	})
}

// walk visits every group of fields with the names of the fields that lead to it.
func walk(n *yaml.Node, path string, visit func(path string, n *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		for _, c := range n.Content {
			walk(c, path, visit)
		}
		return
	}
	visit(path, n)
	for i := 0; i+1 < len(n.Content); i += 2 {
		walk(n.Content[i+1], path+"/"+n.Content[i].Value, visit)
	}
}

func must(text []byte, _ error) []byte { return text }

func word(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s} }

// kinds is a value of each kind.
func kinds() []*yaml.Node {
	return []*yaml.Node{
		{Kind: yaml.ScalarNode, Tag: "!!null", Value: "null"},
		{Kind: yaml.ScalarNode, Tag: "!!bool", Value: "true"},
		{Kind: yaml.ScalarNode, Tag: "!!bool", Value: "false"},
		{Kind: yaml.ScalarNode, Tag: "!!int", Value: "3"},
		{Kind: yaml.ScalarNode, Tag: "!!int", Value: "-1"},
		{Kind: yaml.ScalarNode, Tag: "!!float", Value: "1.5"},
		word("Some words, and more"),
		word(" space"),
		{Kind: yaml.SequenceNode},
		{Kind: yaml.SequenceNode, Content: []*yaml.Node{word("one")}},
		{Kind: yaml.SequenceNode, Content: []*yaml.Node{{Kind: yaml.MappingNode, Content: []*yaml.Node{word("a"), word("b")}}}},
		{Kind: yaml.MappingNode},
		{Kind: yaml.MappingNode, Content: []*yaml.Node{word("a"), word("b")}},
	}
}

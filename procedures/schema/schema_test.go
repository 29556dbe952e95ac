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

var update = flag.Bool("update", false, "write the schemas anew")

// kind is a kind of file: its schema, where that is checked in, its strict reader, sound samples, and the sample that is
// changed in every way. That one uses every field, for each change is read anew.
type kind struct {
	schema  func() ([]byte, error)
	file    string
	grammar map[string][]string
	parse   func(file string, text []byte) error
	samples map[string][]byte
	changed string
}

func kinds(t testing.TB) []kind {
	samples := map[string][]byte{}
	for _, p := range library.Procedures() {
		samples[p.Name] = p.Text
	}
	cards := map[string][]byte{}
	for _, c := range library.Cards() {
		cards[c.Name] = c.Text
	}
	for file, into := range map[string]map[string][]byte{"../testdata/oven-element.yaml": samples, "../testdata/base.yaml": samples,
		"testdata/every-field.yaml": samples, "testdata/every-fact.yaml": cards} {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		into[filepath.Base(file)] = text
	}
	return []kind{
		{schema.Procedure, "procedure.schema.json", procedures.Grammar(),
			func(f string, text []byte) error { _, err := procedures.ParseWith(f, text, shelf); return err }, samples, "every-field.yaml"},
		{schema.Card, "card.schema.json", procedures.CardGrammar(),
			func(f string, text []byte) error { _, err := procedures.ParseCard(f, text); return err }, cards, "every-fact.yaml"},
	}
}

// shelf gives the procedures that the samples include.
func shelf(name string) (string, []byte, error) {
	file := "../testdata/" + name + ".yaml"
	text, err := os.ReadFile(file)
	if err != nil {
		return library.Shelf(name)
	}
	return file, text, nil
}

func TestTheSchemaThatIsCheckedInIsTheOneOfTheGrammar(t *testing.T) {
	for _, k := range kinds(t) {
		text, err := k.schema()
		require.NoError(t, err)
		if *update {
			require.NoError(t, os.WriteFile(k.file, text, 0o644))
		}
		kept, err := os.ReadFile(k.file)
		require.NoError(t, err)
		require.True(t, bytes.Equal(kept, text), "%s is stale: write it anew with: go generate ./procedures/schema", k.file)
	}
}

// validator compiles a schema; compiling also holds it to the meta-schema of its draft.
func validator(t testing.TB, k kind) *jsonschema.Schema {
	text, err := k.schema()
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource(k.file, doc))
	compiled, err := c.Compile(k.file)
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

func TestEverySoundFileIsValid(t *testing.T) {
	for _, k := range kinds(t) {
		v := validator(t, k)
		for name, text := range k.samples {
			require.NoError(t, k.parse(name, text))
			assert.NoError(t, v.Validate(data(tree(t, text))), name)
		}
	}
}

func TestTheSamplesUseEveryFieldOfTheGrammar(t *testing.T) {
	for _, k := range kinds(t) {
		used := map[string]bool{}
		each(tree(t, k.samples[k.changed]), func(n *yaml.Node) {
			for i := 0; n.Kind == yaml.MappingNode && i < len(n.Content); i += 2 {
				used[n.Content[i].Value] = true
			}
		})
		for group, names := range k.grammar {
			for _, name := range names {
				assert.True(t, used[name], "%s has no field %q of %q", k.changed, name, group)
			}
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
	`says neither|has only one of|does not say what it takes|at once$|is false$|has no id$|leaves no choice|is no id$|only a gate secures|` +
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
	for _, k := range kinds(t) {
		v := validator(t, k)
		refused, sound, elsewhere := 0, 0, 0
		mutants(tree(t, k.samples[k.changed]), func(m mutant) {
			written, err := yaml.Marshal(m.root)
			require.NoError(t, err)
			loading := k.parse(k.changed, written)
			valid := v.Validate(data(tree(t, written)))
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
		t.Logf("%s: %d mutants wrong in shape, all refused; %d sound, all valid; %d wrong in meaning", k.changed, refused, sound, elsewhere)
		assert.Greater(t, refused, 100)
		assert.Greater(t, sound, 20)
	}
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
			for k, other := range values() {
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

// values is a value of each kind.
func values() []*yaml.Node {
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

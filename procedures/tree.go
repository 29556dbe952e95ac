package procedures

// What a strict file may not hold anywhere in its tree: anchors, aliases, merge keys, tags, keys that are no words,
// the same key twice, escapes that make forbidden characters, and too much nesting.

import (
	"errors"
	"strings"

	"gopkg.in/yaml.v3"

	"fenderside/procedures/plaintext"
)

func placeOf(n *yaml.Node) Place {
	return Place{Line: max(1, n.Line), Column: max(1, n.Column), File: n.HeadComment}
}

// kindOf names a node's kind for a sentence.
func kindOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a group of fields"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Kind == yaml.AliasNode:
		return "an alias"
	case n.Tag == "!!null":
		return "empty"
	}
	return "a single value"
}

// inspect tells what no file may hold, in n and everything under it.
func (r *reader) inspect(n *yaml.Node, depth int) {
	if depth > MaxDepth {
		r.spoil(n, "take it apart", "more than %d groups and lists stand inside one another", MaxDepth)
		n.Content = nil
		return
	}
	if n.Anchor != "" {
		r.fault(placeOf(n), "write the value out wherever it is needed", "anchors are not taken: %s", quote("&"+n.Anchor))
	}
	if n.Style&yaml.TaggedStyle != 0 {
		r.spoil(n, "take it out; put quotes around a text", "tags are not taken: %s", quote(n.Tag))
	}
	switch n.Kind {
	case yaml.AliasNode:
		r.spoil(n, "write the value out, in quotes where it begins with *", "aliases are not taken")
		return
	case yaml.ScalarNode:
		r.characters(n)
	case yaml.MappingNode:
		r.keys(n)
	}
	r.crowd(n)
	for _, c := range n.Content {
		r.inspect(c, depth+1)
	}
}

// spoil tells a fault of a node and keeps readers from telling another of it.
func (r *reader) spoil(n *yaml.Node, hint, sentence string, args ...any) {
	r.fault(placeOf(n), hint, sentence, args...)
	r.spoilt[n] = true
}

// crowd keeps the first entries of a list or group that is too long.
func (r *reader) crowd(n *yaml.Node) {
	most := MaxEntries
	if n.Kind == yaml.MappingNode {
		most = 2 * MaxEntries // each field is a name and a value
	}
	if len(n.Content) > most {
		r.fault(placeOf(n.Content[most]), "take it apart", "more than %d entries stand in one list or group", MaxEntries)
		n.Content = n.Content[:most]
	}
}

// characters looks at a scalar as it reads once its escapes are undone.
func (r *reader) characters(n *yaml.Node) {
	var bad *plaintext.Error
	if errors.As(plaintext.Check(strings.ReplaceAll(n.Value, "\n", " ")), &bad) {
		r.spoil(n, "take it out", "%s", describe(bad))
	}
}

// keys looks at the keys of a mapping.
func (r *reader) keys(n *yaml.Node) {
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		switch {
		case key.Kind == yaml.ScalarNode && key.Tag == "!!merge":
			r.spoil(key, "write the fields out", "merge keys are not taken")
		case key.Kind == yaml.AliasNode:
			continue
		case key.Kind != yaml.ScalarNode:
			r.spoil(key, "put a word before the colon", "a field's name is %s", kindOf(key))
		case first[key.Value] != nil:
			r.spoil(key, "keep one of the two", "the field %s stands here twice, first on line %d", quote(key.Value), first[key.Value].Line)
		default:
			first[key.Value] = key
		}
	}
}

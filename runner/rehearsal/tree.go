package rehearsal

// A script's text becomes a tree only through here. What a strict file may not hold is a fault at its place: anchors,
// aliases, tags, a field twice, a second document, characters that cannot be seen.

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// LargestScript is how many bytes a script may have.
const LargestScript = 256 << 10

// deepest is how many lists and groups may stand inside one another.
const deepest = 8

// reader collects the faults of one script.
type reader struct {
	file   string
	faults procedures.Faults
}

func (r *reader) faultAt(p procedures.Place, hint, sentence string, args ...any) {
	r.faults = append(r.faults, procedures.Fault{File: r.file, Place: p, What: fmt.Sprintf(sentence, args...), Hint: hint})
}

func (r *reader) fault(n *yaml.Node, hint, sentence string, args ...any) {
	r.faultAt(placeOf(n), hint, sentence, args...)
}

func placeOf(n *yaml.Node) procedures.Place {
	return procedures.Place{Line: max(1, n.Line), Column: max(1, n.Column)}
}

// err is every fault, sorted by place, or nil.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	slices.SortStableFunc(r.faults, func(a, b procedures.Fault) int {
		return cmp.Or(cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Column, b.Place.Column))
	})
	return r.faults
}

// quote puts untrusted text into a message: visible, and short.
func quote(s string) string {
	const most = 60
	if c := []rune(s); len(c) > most {
		s = string(c[:most]) + "…"
	}
	return `"` + plaintext.Show(s) + `"`
}

// document returns the tree of the only document, or nil where nothing more can be read.
func (r *reader) document(text []byte) *yaml.Node {
	start := procedures.Place{Line: 1, Column: 1}
	if len(text) > LargestScript {
		r.faultAt(start, "split it into several jobs", "the script has %d bytes; at most %d are read", len(text), LargestScript)
		return nil
	}
	d := yaml.NewDecoder(bytes.NewReader(text))
	var doc, second yaml.Node
	switch err := decode(d, &doc); {
	case errors.Is(err, io.EOF) || err == nil && len(doc.Content) == 0:
		r.faultAt(start, "begin with fenderside-script: 1", "the script is empty")
		return nil
	case err != nil:
		r.syntax(err)
		return nil
	}
	switch err := decode(d, &second); {
	case err == nil:
		r.fault(&second, "put it in a file of its own", "a second document begins here")
		return nil
	case !errors.Is(err, io.EOF):
		r.syntax(err)
		return nil
	}
	before := len(r.faults)
	r.inspect(doc.Content[0], 0)
	if len(r.faults) > before {
		return nil
	}
	return doc.Content[0]
}

// decode turns a panic of the YAML parser into an error.
func decode(d *yaml.Decoder, into *yaml.Node) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("yaml: the parser gave up: %v", p)
		}
	}()
	return d.Decode(into)
}

var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

func (r *reader) syntax(err error) {
	said, line := err.Error(), 1
	if m := syntaxLine.FindStringSubmatch(strings.ReplaceAll(said, "\n", " ")); m != nil {
		said = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = max(1, n)
		}
	}
	r.faultAt(procedures.Place{Line: line, Column: 1}, "look at the indentation, the quotes and the brackets of this line",
		"this is not YAML: %s", plaintext.Show(said))
}

// inspect tells what no script may hold, in n and everything under it.
func (r *reader) inspect(n *yaml.Node, depth int) {
	switch {
	case depth > deepest:
		r.fault(n, "take it apart", "more than %d groups and lists stand inside one another", deepest)
		return
	case n.Kind == yaml.AliasNode:
		r.fault(n, "write the value out, in quotes where it begins with *", "aliases are not taken")
		return
	case n.Anchor != "":
		r.fault(n, "write the value out wherever it is needed", "anchors are not taken: %s", quote("&"+n.Anchor))
	case n.Style&yaml.TaggedStyle != 0:
		r.fault(n, "take it out; put quotes around a text", "tags are not taken: %s", quote(n.Tag))
	}
	if n.Kind == yaml.ScalarNode {
		r.characters(n)
	}
	if n.Kind == yaml.MappingNode {
		r.names(n)
	}
	for _, c := range n.Content {
		r.inspect(c, depth+1)
	}
}

func (r *reader) characters(n *yaml.Node) {
	if strings.Contains(strings.TrimRight(n.Value, "\n"), "\n") {
		r.fault(n, "write it folded, with > instead of |", "the text has several lines; one line belongs here")
		return
	}
	if err := plaintext.Check(strings.TrimRight(n.Value, "\n")); err != nil {
		r.fault(n, "take it out", "the text cannot be taken: %v", err)
	}
}

// names looks at the names of a group's fields.
func (r *reader) names(n *yaml.Node) {
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		switch name := n.Content[i]; {
		case name.Kind == yaml.AliasNode:
		case name.Kind != yaml.ScalarNode || name.Tag == "!!merge":
			r.fault(name, "put a word before the colon", "a field's name is %s", kindOf(name))
		case first[name.Value] != 0:
			r.fault(name, "keep one of the two", "the field %s stands here twice, first on line %d", quote(name.Value), first[name.Value])
		default:
			first[name.Value] = name.Line
		}
	}
}

// kindOf names a node's kind for a sentence.
func kindOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a group of fields"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Tag == "!!merge":
		return "a merge"
	case n.Tag == "!!null" || n.Value == "":
		return "empty"
	}
	return "a single value"
}

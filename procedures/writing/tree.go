package writing

// A procedure that was loaded is sound in shape, so its tree is walked without asking again.

import (
	"strings"

	"gopkg.in/yaml.v3"

	"fenderside/procedures/plaintext"
)

// get is the value of a field, or nil.
func get(n *yaml.Node, name string) *yaml.Node {
	for i := 0; n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}

// entries is what a list holds; a value that stands alone is a list of one.
func entries(n *yaml.Node) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind == yaml.SequenceNode:
		return append([]*yaml.Node(nil), n.Content...)
	}
	return []*yaml.Node{n}
}

// quote is a text in a message: visible, and short.
func quote(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return `"` + plaintext.Show(s) + `"`
}

// words are the words of a text in lower case, without the signs around them.
func words(s string) []string {
	all := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,;:.!?()\"“”/", r) })
	return all
}

// first is the first word of a text, or "".
func first(s string) string {
	if w := words(s); len(w) > 0 {
		return w[0]
	}
	return ""
}

// sentences splits a line at each full stop that a capital follows.
func sentences(line string) []string {
	var all []string
	for {
		at := stop(line)
		if at < 0 {
			return append(all, strings.TrimSuffix(strings.TrimSpace(line), "."))
		}
		all, line = append(all, strings.TrimSpace(line[:at])), line[at+1:]
	}
}

func stop(line string) int {
	for i := 0; i+2 < len(line); i++ {
		if line[i] == '.' && line[i+1] == ' ' && line[i+2] >= 'A' && line[i+2] <= 'Z' {
			return i
		}
	}
	return -1
}

// clauses splits a sentence at its semicolons.
func clauses(sentence string) []string { return strings.Split(sentence, ";") }

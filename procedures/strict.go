package procedures

// What readers of other strict files share with the reader of procedures and cards, so that strict means one thing.

import "gopkg.in/yaml.v3"

// Tree reads the text of a strict file: its bytes, its only document, and everything such a file may not hold. It returns
// the mapping at the root. The error is Faults: every fault at once, sorted by place. The file's name is used in messages
// only.
func Tree(file string, text []byte) (*yaml.Node, error) {
	r := newReader(file)
	root, _ := r.document(text)
	if err := r.err(); err != nil {
		return nil, err
	}
	return root, nil
}

// PlaceOf is where a node begins in its file.
func PlaceOf(n *yaml.Node) Place { return placeOf(n) }

// KindOf names a node's kind for a sentence: a group of fields, a list, empty, a single value.
func KindOf(n *yaml.Node) string { return kindOf(n) }

// Quote puts untrusted text into a message: visible, and short.
func Quote(s string) string { return quote(s) }

// DidYouMean is a hint for a word that is not known: the nearest of the known words, or else the first of them.
func DidYouMean(word string, known []string) string { return didYouMean(word, known) }

package procedures

// Values are taken out of the tree only through here: each is of the kind its field says, or it is a fault.

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
)

// table is a group of fields while it is read.
type table struct {
	*reader
	what  string // how a sentence names the group
	place Place
	order []string // the fields, as they stand in the file
	keys  map[string]*yaml.Node
	vals  map[string]*yaml.Node
}

// table reads a mapping whose fields must be among the known ones; a nil list knows every field.
func (r *reader) table(n *yaml.Node, what string, known []string) (*table, bool) {
	if r.spoilt[n] {
		return nil, false
	}
	if n.Kind != yaml.MappingNode {
		r.spoil(n, fieldsHint(known), "%s is %s; fields and their values belong here", what, kindOf(n))
		return nil, false
	}
	t := &table{reader: r, what: what, place: placeOf(n), keys: map[string]*yaml.Node{}, vals: map[string]*yaml.Node{}}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		if r.spoilt[key] || key.Kind != yaml.ScalarNode || t.keys[key.Value] != nil {
			continue
		}
		if known != nil && !slices.Contains(known, key.Value) {
			r.spoil(key, didYouMean(key.Value, known), "%s has no field %s", what, quote(key.Value))
			continue
		}
		t.order = append(t.order, key.Value)
		t.keys[key.Value], t.vals[key.Value] = key, val
	}
	return t, true
}

func fieldsHint(known []string) string {
	if known == nil {
		return ""
	}
	return "its fields: " + strings.Join(known, ", ")
}

func (t *table) has(name string) bool { return t.vals[name] != nil }

// at is the place of a field's value, or of the group where there is no such field.
func (t *table) at(name string) Place {
	if n := t.vals[name]; n != nil {
		return placeOf(n)
	}
	return t.place
}

// keyAt is the place of a field's name, or of the group where there is no such field.
func (t *table) keyAt(name string) Place {
	if n := t.keys[name]; n != nil {
		return placeOf(n)
	}
	return t.place
}

// require tells which of the fields are missing.
func (t *table) require(names ...string) {
	for _, name := range names {
		if !t.has(name) {
			t.fault(t.place, "add "+name+": ...", "%s has no %s", t.what, quote(name))
		}
	}
}

// refuse tells which of the fields stand here although they do not belong, and why.
func (t *table) refuse(why, hint string, names ...string) {
	for _, name := range names {
		if t.has(name) {
			t.fault(t.keyAt(name), hint, "%s has %s, but %s", t.what, quote(name), why)
		}
	}
}

// text returns a field of one line of text, "" where it is absent or faulty.
func (t *table) text(name string) string {
	if !t.has(name) {
		return ""
	}
	return t.scalar(t.vals[name], name+" of "+t.what)
}

// scalar returns a single value as one line of text, or "" with its fault told.
func (r *reader) scalar(n *yaml.Node, what string) string {
	if r.spoilt[n] {
		return ""
	}
	if n.Kind != yaml.ScalarNode {
		r.spoil(n, "write one text", "%s is %s; one text belongs here", what, kindOf(n))
		return ""
	}
	text := strings.TrimRight(n.Value, "\n")
	switch {
	case n.Tag == "!!null", strings.TrimSpace(text) == "":
		r.spoil(n, "write it, or take the field out", "%s is empty", what)
		return ""
	case strings.Contains(text, "\n"):
		r.spoil(n, "write it folded, with > instead of |", "%s has several lines; one line belongs here", what)
		return ""
	case text != strings.TrimSpace(text):
		r.spoil(n, "take them out", "%s begins or ends with spaces", what)
		return ""
	}
	return text
}

// items returns the entries of a list field; a list that stands here is not empty.
func (t *table) items(name string) []*yaml.Node {
	n := t.vals[name]
	if n == nil || t.spoilt[n] {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		t.spoil(n, "put a - before each entry, or write [ ... ] around them", "%s of %s is %s; a list belongs here", name, t.what, kindOf(n))
		return nil
	}
	if len(n.Content) == 0 {
		t.spoil(n, "write its entries, or take the field out", "%s of %s is an empty list", name, t.what)
	}
	return n.Content
}

// word is a text with its place.
type word struct {
	Text  string
	Place Place
}

// words returns a list of texts; none may stand in it twice.
func (t *table) words(name string) []word {
	var all []word
	for _, n := range t.items(name) {
		text := t.scalar(n, "an entry of "+name+" of "+t.what)
		if text == "" {
			continue
		}
		if slices.ContainsFunc(all, func(w word) bool { return w.Text == text }) {
			t.fault(placeOf(n), "keep one of the two", "%s stands in %s of %s twice", quote(text), name, t.what)
			continue
		}
		all = append(all, word{text, placeOf(n)})
	}
	return all
}

// texts is words without their places.
func (t *table) texts(name string) []string {
	var all []string
	for _, w := range t.words(name) {
		all = append(all, w.Text)
	}
	return all
}

// textOrTexts also takes a single text for a list of one.
func (t *table) textOrTexts(name string) []string {
	if n := t.vals[name]; n != nil && n.Kind == yaml.ScalarNode {
		if text := t.text(name); text != "" {
			return []string{text}
		}
		return nil
	}
	return t.texts(name)
}

// flag returns a field that is true or false; absent is false.
func (t *table) flag(name string) bool {
	n := t.vals[name]
	if n == nil || t.spoilt[n] {
		return false
	}
	if n.Kind != yaml.ScalarNode || n.Tag != "!!bool" || n.Value != "true" && n.Value != "false" {
		t.spoil(n, "write true or false", "%s of %s is neither true nor false", name, t.what)
		return false
	}
	return n.Value == "true"
}

// whole returns a whole number that is at least least; absent is 0.
func (t *table) whole(name string, least int) int {
	n := t.vals[name]
	if n == nil || t.spoilt[n] {
		return 0
	}
	i, err := strconv.Atoi(n.Value)
	if n.Kind != yaml.ScalarNode || n.Tag != "!!int" || err != nil || strconv.Itoa(i) != n.Value {
		t.spoil(n, "write a whole number such as "+strconv.Itoa(max(1, least)), "%s of %s is no whole number", name, t.what)
		return 0
	}
	if i < least || i > maxWhole {
		t.spoil(n, "write a number from "+strconv.Itoa(least)+" to "+strconv.Itoa(maxWhole), "%s of %s is %d", name, t.what, i)
		return 0
	}
	return i
}

const maxWhole = 1_000_000

// oneOf returns a text that is one of the options, or "".
func (t *table) oneOf(name string, options ...string) string {
	text := t.text(name)
	if text == "" || slices.Contains(options, text) {
		return text
	}
	t.fault(t.at(name), didYouMean(text, options), "%s of %s is %s", name, t.what, quote(text))
	return ""
}

var idPattern = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[a-z][a-z0-9]*(?:[-_][a-z0-9]+)*(?:\.[a-z][a-z0-9]*(?:[-_][a-z0-9]+)*)*$`)
})

const idHint = "lower-case letters and digits, with single - or _ between them, beginning with a letter"

// isID says whether a text has the form of an id. Including a procedure puts a name and a point before its ids.
func isID(s string) bool { return len(s) <= 64 && idPattern().MatchString(s) }

// id returns an id as it stands, with a fault where its form is wrong.
func (t *table) id(name string) word {
	w := word{t.text(name), t.at(name)}
	t.form(w)
	return w
}

// ids returns a list of ids.
func (t *table) ids(name string) []word {
	all := t.words(name)
	for _, w := range all {
		t.form(w)
	}
	return all
}

func (r *reader) form(w word) {
	if w.Text != "" && !isID(w.Text) {
		r.fault(w.Place, idHint, "%s is no id", quote(w.Text))
	}
}

// quantity reads a figure of dimension d.
func (r *reader) quantity(w word, d quantity.Dimension) (quantity.Quantity, bool) {
	q, err := quantity.ParseAs(w.Text, d)
	if err == nil {
		return q, true
	}
	hint := "write it as " + unitsOf(d)
	other, otherErr := quantity.Parse(w.Text)
	switch {
	case otherErr == nil && other.Dimension() == quantity.Number:
		r.fault(w.Place, hint, "%s is a bare number; a %s belongs here", quote(w.Text), d)
	case otherErr == nil:
		r.fault(w.Place, hint, "%s is a %s; a %s belongs here", quote(w.Text), other.Dimension(), d)
	default:
		r.fault(w.Place, hint, "%s is no %s: %s", quote(w.Text), d, reason(err))
	}
	return quantity.Quantity{}, false
}

// reason is what a quantity's error says, without the advice for a person who types.
func reason(err error) string {
	if inner, ok := err.(interface{ Unwrap() error }); ok && inner.Unwrap() != nil {
		err = inner.Unwrap()
	}
	what, _, _ := strings.Cut(err.Error(), "; ")
	return what
}

func unitsOf(d quantity.Dimension) string {
	units := quantity.Units(d)
	if d == quantity.Number || len(units) == 0 {
		return "a bare number"
	}
	return "a number and a unit: " + strings.Join(units, ", ")
}

// duration returns a time that is longer than none; absent is 0.
func (t *table) duration(name string) time.Duration {
	w := word{t.text(name), t.at(name)}
	if w.Text == "" {
		return 0
	}
	q, ok := t.quantity(w, quantity.Time)
	if !ok {
		return 0
	}
	d, err := q.Duration()
	if err != nil || d <= 0 {
		t.fault(w.Place, "write a time such as 30 min", "%s of %s is %s", name, t.what, quote(w.Text))
		return 0
	}
	return d
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

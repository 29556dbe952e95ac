package procedures

// What an include gives must be taken as the included procedure would have taken it: the same kind of value, no choice it
// does not know, and within the limits it sets. It was found sound for no others.

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
)

// lends holds a value of the whole, given in the place of a sheet field of the part, to that field. What is neither a
// sheet field nor a reading is left to the places that use it.
func (f *fitting) lends(field *yaml.Node, id word) {
	given := f.taker(id.Text)
	if given == nil || field == nil {
		return
	}
	name := fieldOf(field, "id").Value
	for _, kind := range []FieldKind{TakesQuantity, TakesText, TakesDate} {
		a, b := fieldOf(field, string(kind)), fieldOf(given, string(kind))
		if (a == nil) != (b == nil) || a != nil && a.Value != b.Value {
			f.fault(id.Place, "give what takes the same", "%s is not of the kind that %s of %s takes", quote(id.Text), quote(name), quote(f.p.as))
			return
		}
	}
	if isTrue(fieldOf(given, "optional")) && !isTrue(fieldOf(field, "optional")) {
		f.fault(id.Place, "take optional from it", "%s may be left out, and %s of %s must be given", quote(id.Text), quote(name), quote(f.p.as))
	}
	var known []string
	for _, n := range items(field, "choose") {
		known = append(known, n.Value)
	}
	for _, n := range items(given, "choose") {
		if !slices.Contains(known, n.Value) {
			f.fault(id.Place, didYouMean(n.Value, known), "%s may be %s, which %s of %s does not take", quote(id.Text), quote(n.Value), quote(name), quote(f.p.as))
		}
	}
	low, high := limits(given)
	f.inside(field, id, low, high)
}

// inside holds the least and the greatest value that may be given to the limits that the field sets in figures.
func (f *fitting) inside(field *yaml.Node, id word, low, high string) {
	d := fieldOf(field, string(TakesQuantity))
	if d == nil {
		return
	}
	parse := func(text string) (quantity.Quantity, bool) {
		q, err := quantity.ParseAs(text, quantity.Dimension(d.Value))
		return q, text != "" && err == nil
	}
	least, most := limits(field)
	if want, limited := parse(least); limited {
		if got, ok := parse(low); !ok || less(got, want) {
			f.beyond(field, id, "less than "+least, "at least: "+least)
		}
	}
	if want, limited := parse(most); limited {
		if got, ok := parse(high); !ok || less(want, got) {
			f.beyond(field, id, "more than "+most, "at most: "+most)
		}
	}
}

func (f *fitting) beyond(field *yaml.Node, id word, by, write string) {
	f.fault(id.Place, "limit it with "+write, "%s may be %s, which %s of %s does not take",
		quote(id.Text), by, quote(fieldOf(field, "id").Value), quote(f.p.as))
}

func less(a, b quantity.Quantity) bool {
	is, err := a.Less(b)
	return err == nil && is
}

// limits returns the least and the greatest value of a sheet field or reading, as written.
func limits(n *yaml.Node) (low, high string) {
	if pair := items(n, "between"); len(pair) == 2 {
		return pair[0].Value, pair[1].Value
	}
	text := func(field string) string {
		if limit := fieldOf(n, field); limit != nil {
			return strings.TrimSpace(limit.Value)
		}
		return ""
	}
	return text("at least"), text("at most")
}

// taker finds the sheet field or reading of the whole that has an id.
func (f *fitting) taker(id string) *yaml.Node {
	steps := items(f.whole, "steps")
	for _, p := range f.others {
		steps = slices.Concat(steps, p.before, p.after)
	}
	asked := slices.Clone(items(f.whole, "sheet"))
	for _, n := range steps {
		asked = append(asked, items(n, "readings")...)
		for _, way := range items(n, "either") {
			asked = append(asked, items(way, "readings")...)
		}
	}
	for _, n := range asked {
		if name := fieldOf(n, "id"); name != nil && name.Value == id {
			return n
		}
	}
	return nil
}

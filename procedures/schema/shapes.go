package schema

// The shapes that values have. A YAML file gives 5, true and "5" different types, and the loader reads each of them as one
// line of text; so a text here may be a string, a number or true or false, and never empty.

import (
	"maps"
	"strings"

	"fenderside/checks"
	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// field is one field of a group: its shape, what it means, and whether it must stand.
type field struct {
	shape object
	doc   string
	must  bool
}

func (f field) described() object {
	shape := maps.Clone(f.shape)
	shape["description"] = f.doc
	return shape
}

// may is a field that can be left out, must one that has to stand.
func may(shape object, doc string) field { return field{shape, doc, false} }

func must(shape object, doc string) field { return field{shape, doc, true} }

// slug names a group in the schema.
func slug(group string) string { return strings.ReplaceAll(group, " ", "-") }

// to points at a shape that is written once.
func to(name string) object { return object{"$ref": "#/$defs/" + slug(name)} }

// list is a list of at least least entries.
func list(entry object, least int) object {
	return object{"type": "array", "items": entry, "minItems": least, "maxItems": procedures.MaxEntries}
}

// either is one of several shapes.
func either(shapes ...object) object { return object{"anyOf": shapes} }

// each is a group of groups, each under an id.
func each(entry object) object {
	return object{"type": "object", "propertyNames": to("id"), "additionalProperties": entry}
}

// oneOf is a text that is one of these.
func oneOf(words ...string) object { return object{"enum": words} }

// The plain shapes are made when they are asked for, here and in cards.go: they would slow every start.

func text() object  { return to("text") }
func texts() object { return list(text(), 1) }
func id() object    { return to("id") }
func ids() object   { return list(id(), 1) }
func flag() object  { return object{"type": "boolean"} }
func yes() object   { return object{"const": true} }

func when() object {
	return object{"type": "object", "minProperties": 1, "additionalProperties": either(text(), texts())}
}

// oneCheck is a group of checks with one check in it.
func oneCheck() object { return object{"$ref": "#/$defs/checks", "maxProperties": 1} }

func pair() object {
	return object{"type": "array", "items": text(), "minItems": 2, "maxItems": 2}
}

// whole is a whole number from least up.
func whole(least int) object {
	return object{"type": "integer", "minimum": least, "maximum": 1_000_000}
}

// addWords adds the shapes of a text, an id, and the word that names a quantity.
func addWords(defs object) {
	defs["text"] = object{"type": []string{"string", "number", "boolean"}, "pattern": `^\S(.*\S)?\n*$`,
		"description": "one line of text"}
	defs["id"] = object{"type": []string{"string", "boolean"}, "pattern": `^[a-z][a-z0-9]*([-_][a-z0-9]+)*(\.[a-z][a-z0-9]*([-_][a-z0-9]+)*)*\n*$`, "maxLength": 64,
		"description": "lower-case letters and digits, with single - or _ between them, beginning with a letter; an id of an included procedure has its name and a point before it"}
	var dimensions []string
	for _, d := range quantity.Dimensions() {
		dimensions = append(dimensions, string(d))
	}
	defs["dimension"] = oneOf(dimensions...)
}

// addChecks adds the checks that a step may name, with the inputs of each, from the register of checks.
func addChecks(defs object) {
	names := object{}
	for _, c := range checks.All() {
		inputs, required := object{}, []string{}
		for _, in := range c.Inputs {
			inputs[in.Name] = inputShape(in)
			if !in.Optional {
				required = append(required, in.Name)
			}
		}
		names[c.Name] = object{"type": "object", "description": c.Title, "additionalProperties": false,
			"properties": inputs, "required": required}
	}
	defs["given"], defs["given-words"] = either(text(), to("found")), either(text(), to("written out"), to("found"))
	defs["checks"] = object{"type": "object", "minProperties": 1, "additionalProperties": false, "properties": names,
		"description": "named checks with their inputs: a figure, a choice, words, the id of a sheet field, a reading or evidence, or what a check of an earlier step found"}
}

// inputShape is what one input takes: one text or what a check found, and where it is words, words of any form. A file and a
// series are always named.
func inputShape(in checks.Input) object {
	switch in.Kind {
	case checks.KindText:
		return object{"$ref": "#/$defs/given-words", "description": in.Doc}
	case checks.KindChoice, checks.KindQuantity:
		return object{"$ref": "#/$defs/given", "description": in.Doc}
	}
	return object{"$ref": "#/$defs/text", "description": in.Doc}
}

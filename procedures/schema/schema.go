// Package schema says the shape of a procedure file as JSON Schema (draft 2020-12), so that an editor can complete and
// check a procedure while it is written.
//
// The rule kept here: the fields are those of the loader's own grammar, none more and none less, and the schema refuses
// nothing that the loader takes. It is laxer than the loader: it knows which fields there are, which must stand, what kind
// of value each has, and which exclude each other. It knows nothing of references, of quantities inside a text, or of
// safety; for those there is `procedures check`.
package schema

import (
	"encoding/json"
	"fmt"
	"slices"

	"fenderside/procedures"
)

//go:generate go run fenderside/cmd/fenderside procedures schema --out procedure.schema.json

// Draft is the dialect that the schema is written in.
const Draft = "https://json-schema.org/draft/2020-12/schema"

// object is one JSON object of a schema.
type object = map[string]any

// Procedure returns the schema of a procedure file as indented JSON that ends with a line feed. Its error says which
// field of the grammar this package has no shape for.
func Procedure() ([]byte, error) {
	defs := object{}
	for group, names := range procedures.Grammar() {
		def, err := define(group, names)
		if err != nil {
			return nil, err
		}
		defs[slug(group)] = def
	}
	addChecks(defs)
	addWords(defs)
	whole := object{
		"$schema":     Draft,
		"title":       "Fenderside procedure",
		"description": "One procedure. The loader is stricter: hold a file to it with `fenderside procedures check FILE`.",
		"$ref":        "#/$defs/procedure",
		"$defs":       defs,
	}
	text, err := json.MarshalIndent(whole, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write the schema as JSON: %w", err)
	}
	return append(text, '\n'), nil
}

// define is the shape of one group of fields.
func define(group string, names []string) (object, error) {
	known, ok := groups[group]
	if !ok {
		return nil, fmt.Errorf("describe the group %q of the grammar: it has no shape: add it to the table of groups", group)
	}
	properties, required := object{}, []string{}
	for _, name := range names {
		f, ok := known.fields[name]
		if !ok {
			return nil, fmt.Errorf("describe the field %q of %q: it has no shape: add it to the table of groups", name, group)
		}
		properties[name] = f.described()
		if f.must {
			required = append(required, name)
		}
	}
	for name := range known.fields {
		if !slices.Contains(names, name) {
			return nil, fmt.Errorf("describe the field %q of %q: the grammar has no such field: take it out of the table of groups", name, group)
		}
	}
	def := object{"type": "object", "additionalProperties": false, "properties": properties}
	if len(required) > 0 {
		def["required"] = required
	}
	for key, rule := range known.rules {
		def[key] = rule
	}
	return def, nil
}

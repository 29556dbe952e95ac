// Package schema says the shape of a procedure file and of a vehicle card as JSON Schema (draft 2020-12), so that an editor
// can complete and check them while they are written.
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
//go:generate go run fenderside/cmd/fenderside procedures schema --card --out card.schema.json

// Draft is the dialect that the schema is written in.
const Draft = "https://json-schema.org/draft/2020-12/schema"

// object is one JSON object of a schema.
type object = map[string]any

// format is one kind of file.
type format struct {
	root, title, check string // the group at its root, what it is called, and the command that reads it strictly
	grammar            map[string][]string
	groups             map[string]group
}

// Procedure returns the schema of a procedure file as indented JSON that ends with a line feed. Its error says which
// field of the grammar this package has no shape for.
func Procedure() ([]byte, error) {
	return format{"procedure", "procedure", "fenderside procedures check FILE", procedures.Grammar(), groups()}.write(addChecks)
}

// Card returns the schema of a vehicle card, in the same form.
func Card() ([]byte, error) {
	return format{"card", "vehicle card", "fenderside cards check FILE", procedures.CardGrammar(), cardGroups()}.write()
}

func (f format) write(also ...func(defs object)) ([]byte, error) {
	defs := object{}
	for name, fields := range f.grammar {
		def, err := define(f.groups, name, fields)
		if err != nil {
			return nil, err
		}
		defs[slug(name)] = def
	}
	addWords(defs)
	for _, add := range also {
		add(defs)
	}
	text, err := json.MarshalIndent(object{
		"$schema":     Draft,
		"title":       "Fenderside " + f.title,
		"description": "One " + f.title + ". The reader of the program is stricter: hold a file to it with `" + f.check + "`.",
		"$ref":        "#/$defs/" + f.root,
		"$defs":       defs,
	}, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write the schema as JSON: %w", err)
	}
	return append(text, '\n'), nil
}

// define is the shape of one group of fields.
func define(groups map[string]group, group string, names []string) (object, error) {
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

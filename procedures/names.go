package procedures

// Where in a procedure's tree ids are defined and used. Including renames them; nothing else asks.

import (
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/checks"
)

// role is what an id does at one place.
type role int

const (
	definesValue  role = iota // a sheet field, reading, evidence or step
	definesGuard              // a safeguard
	definesDanger             // a danger
	refersValue               // a value or step
	refersKey                 // a choice, as the name of a condition
	refersGuard               // a safeguard
	refersDanger              // a danger
	refersEither              // a safeguard or pinned step
	refersTarget              // where a step leads
	refersSlots               // a path with ids in braces
	refersCause               // what happens in the world
)

// naming walks a tree.
type naming struct{ visit func(role, *yaml.Node) }

// eachName calls visit with every place in the tree at which an id may stand. What stands there may be no id: a figure
// where a bound may name a value, say.
func eachName(root *yaml.Node, visit func(role, *yaml.Node)) {
	w := naming{visit}
	for _, n := range items(root, "sheet") {
		w.asked(n)
		w.one(refersSlots, fieldOf(n, "card"))
		w.checks(fieldOf(fieldOf(n, "propose"), "of"))
	}
	if guards := fieldOf(root, "safeguards"); guards != nil && guards.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(guards.Content); i += 2 {
			w.one(definesGuard, guards.Content[i])
			w.list(refersCause, fieldOf(fieldOf(guards.Content[i+1], "lapses"), "on"))
		}
	}
	if dangers := fieldOf(root, "dangers"); dangers != nil && dangers.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(dangers.Content); i += 2 {
			w.one(definesDanger, dangers.Content[i])
			w.list(refersEither, fieldOf(dangers.Content[i+1], "kept off by"))
			w.list(refersCause, fieldOf(dangers.Content[i+1], "comes with"))
		}
	}
	w.list(refersCause, fieldOf(root, "outside causes"))
	for _, n := range slices.Concat(items(root, "steps"), items(root, "pinned")) {
		w.step(n)
	}
}

func (w naming) one(r role, n *yaml.Node) {
	if n != nil && n.Kind == yaml.ScalarNode {
		w.visit(r, n)
	}
}

func (w naming) list(r role, n *yaml.Node) {
	if n != nil && n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			w.one(r, c)
		}
	}
}

func (w naming) step(n *yaml.Node) {
	for _, kind := range []StepKind{Gate, Do, Pinned} {
		w.one(definesValue, fieldOf(n, string(kind)))
	}
	w.when(n)
	w.list(refersValue, fieldOf(n, "shows"))
	for _, need := range items(n, "needs") {
		w.one(refersEither, need)
		w.one(refersEither, fieldOf(need, "safeguard"))
		w.when(need)
	}
	for _, face := range items(n, "faces") {
		w.one(refersDanger, face)
		w.one(refersDanger, fieldOf(face, "danger"))
		w.when(face)
	}
	w.list(refersDanger, fieldOf(n, "brings"))
	w.one(refersGuard, fieldOf(n, "secures"))
	w.list(refersGuard, fieldOf(n, "releases"))
	w.list(refersValue, fieldOf(n, "due after"))
	w.list(refersCause, fieldOf(n, "causes"))
	w.list(refersCause, fieldOf(n, "starts on"))
	w.one(refersTarget, fieldOf(n, "then"))
	w.one(refersValue, fieldOf(n, "at least"))
	for _, a := range items(fieldOf(n, "ask"), "answers") {
		w.one(refersTarget, fieldOf(a, "then"))
	}
	w.bounds(fieldOf(n, "wait"))
	w.asks(n)
	for _, way := range items(n, "either") {
		w.asks(way)
	}
}

// asks visits what a step or way asks for.
func (w naming) asks(n *yaml.Node) {
	for _, s := range items(n, "affirm") {
		w.when(s)
	}
	for _, field := range []string{"readings", "evidence"} {
		for _, asked := range items(n, field) {
			w.asked(asked)
		}
	}
	w.checks(fieldOf(n, "check"))
	w.checks(fieldOf(n, "advise"))
}

// asked visits one sheet field, reading or evidence.
func (w naming) asked(n *yaml.Node) {
	w.one(definesValue, fieldOf(n, "id"))
	w.one(refersValue, fieldOf(n, "same as"))
	w.bounds(n)
	w.when(n)
}

func (w naming) bounds(n *yaml.Node) {
	for _, field := range []string{"at least", "at most", "apart"} {
		w.one(refersValue, fieldOf(n, field))
	}
	w.list(refersValue, fieldOf(n, "between"))
}

func (w naming) when(n *yaml.Node) {
	if when := fieldOf(n, "when"); when != nil && when.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(when.Content); i += 2 {
			w.one(refersKey, when.Content[i])
		}
	}
}

// checks visits the inputs of checks; a word that is one of the choices of an input is no id.
func (w naming) checks(n *yaml.Node) {
	if n == nil || n.Kind != yaml.MappingNode {
		return
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		check, _ := checks.Find(n.Content[i].Value)
		inputs := n.Content[i+1]
		for k := 0; inputs.Kind == yaml.MappingNode && k+1 < len(inputs.Content); k += 2 {
			name, given := inputs.Content[k].Value, inputs.Content[k+1]
			w.one(refersValue, fieldOf(given, "at"))
			if !slices.ContainsFunc(check.Inputs, func(in checks.Input) bool {
				return in.Name == name && slices.Contains(in.Options, given.Value)
			}) {
				w.one(refersValue, given)
			}
		}
	}
}

// Package writing reads a procedure as a writers' guide would: it warns where the words make the work harder to do right.
//
// The rule kept here: every warning names its place and its source, and none of them is a fault. What makes a procedure
// unsafe or unreadable is refused by the loader; what is told here is good practice, judged by word lists. The lists are
// modest. A first word that is on no list is told as such, though it may be a verb; a noun that is also a verb ("light",
// "ring") passes; a condition that is put without if or when is not seen. Silence is no proof of good writing.
package writing

import (
	"cmp"
	"fmt"
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Warning is one place where the writing can be better.
type Warning struct {
	File   string
	Place  procedures.Place
	What   string // a sentence without capital or full stop
	Hint   string // what to write instead
	Source string // who asks for it
}

// String is file:line:column: warning: what (hint) [source].
func (w Warning) String() string {
	return fmt.Sprintf("%s:%d:%d: warning: %s (%s) [%s]", plaintext.Show(w.File), w.Place.Line, w.Place.Column, w.What, w.Hint, w.Source)
}

// Where each rule is from. "From memory" marks what was not looked up in the document itself.
const (
	sourceBefore    = "INL/EXT-16-39808, 2.1.5 and 2.2.6: a warning stands immediately before its step"
	sourceNoAction  = "DOE-STD-1029-92, from memory: a warning holds no action"
	sourceAction    = "writers' guides such as DOE-STD-1029-92, from memory: a verb first, active and positive"
	sourceCondition = "writers' guides such as DOE-STD-1029-92, from memory: IF or WHEN, then THEN"
	sourceAnswer    = "Degani and Wiener, NASA CR-177549, from memory: answer with what is seen, never with OK"
	sourceWord      = "ANSI Z535.4, second-hand: the signal word follows the severity"
	sourceFew       = "ANSI Z535.4, second-hand: DANGER only for the most extreme situations; how many is this program's own figure"
	sourceParts     = "ANSI Z535.6, from memory: word, hazard, consequence, avoidance"
	sourceProtect   = "29 CFR 1910.132(d): protective equipment is selected for each hazard"
	sourceTwice     = "this program's own: double entry, as in bookkeeping; 29 CFR 1910.132(d): what is worn and done follows from the hazards of a step"
	sourceWhy       = "this program's own: people get round a gate that gives no reason"
)

// Check reads the text of a sound procedure and returns its warnings in order of place.
func Check(p *procedures.Procedure) []Warning {
	var doc yaml.Node
	if err := yaml.Unmarshal(p.Text, &doc); err != nil || len(doc.Content) == 0 {
		return nil // the loader has read it, so this does not happen
	}
	r := &reading{file: p.File, root: doc.Content[0]}
	r.steps()
	r.dangers()
	r.equipment()
	if guards := get(r.root, "safeguards"); guards != nil && len(p.Dangers) == 0 {
		r.warn(guards, sourceTwice, "add dangers: what each safeguard keeps off, and faces: to the steps", "needs and lapses are stated once, so that a forgotten one is seen by nobody")
	}
	slices.SortStableFunc(r.found, func(a, b Warning) int {
		return cmp.Or(cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Column, b.Place.Column))
	})
	return r.found
}

// reading is a procedure while it is read.
type reading struct {
	file     string
	root     *yaml.Node
	count    int          // steps on the main line
	warnings []*yaml.Node // the warnings of all steps
	found    []Warning
}

func (r *reading) warn(n *yaml.Node, source, hint, what string, args ...any) {
	r.found = append(r.found, Warning{File: r.file, Place: procedures.Place{Line: n.Line, Column: n.Column},
		What: fmt.Sprintf(what, args...), Hint: hint, Source: source})
}

// steps reads each step of the main line and each pinned one.
func (r *reading) steps() {
	main := entries(get(r.root, "steps"))
	r.count = len(main)
	for _, step := range append(main, entries(get(r.root, "pinned"))...) {
		r.step(step)
	}
}

func (r *reading) step(step *yaml.Node) {
	if title := get(step, "title"); title != nil {
		r.action(title, title.Value)
	}
	for _, line := range entries(get(step, "how")) {
		r.line(line)
	}
	if why := get(step, "why"); why != nil {
		r.hidden(why)
	} else if gate := get(step, "gate"); gate != nil {
		r.warn(gate, sourceWhy, "add why: what happens without it", "gate %s does not say why", quote(gate.Value))
	}
	for _, w := range entries(get(step, "warning")) {
		r.warning(w)
	}
	r.answers(step)
}

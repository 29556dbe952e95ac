package procedures

// Another procedure's steps are put in their places before anything is read, so that the loader, the proof and the engine
// see one procedure and know nothing of parts.

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Shelf gives the text of the procedure of that name, and the file it is from, to those that include it. The error says
// why there is none.
type Shelf func(name string) (file string, text []byte, err error)

// expander puts what one file includes into its tree.
type expander struct {
	*reader
	shelf Shelf
	chain []string // the procedures that are being read, outermost first
	parts []Part   // those included so far
}

// part is one included procedure, renamed for the procedure that includes it.
type part struct {
	at       Place
	as       string
	before   []*yaml.Node // its steps up to where it makes way
	after    []*yaml.Node // its steps behind that
	split    bool         // it makes way somewhere
	makeSafe []*yaml.Node
	toWork   []*yaml.Node // targets that lead to where it makes way
	toEnd    []*yaml.Node // targets that lead out of it
	resumed  bool
	work     int // how many steps of the whole stand before what it makes way for
	end      int // and before what follows it
}

// expand puts the steps of every included procedure into root. It returns false where the order of steps is not known.
func (x *expander) expand(root *yaml.Node) bool {
	steps := fieldOf(root, "steps")
	if steps == nil || steps.Kind != yaml.SequenceNode {
		return true
	}
	whole := true
	var line []*yaml.Node
	var parts []*part
	for _, n := range steps.Content {
		switch {
		case fieldOf(n, "include") != nil:
			p := x.include(root, n, parts)
			if p == nil {
				whole = false
				continue
			}
			parts = append(parts, p)
			line = append(line, p.before...)
			p.work, p.end = len(line), len(line)
		case fieldOf(n, "rest of") != nil:
			p := x.rest(n, parts)
			if p == nil {
				whole = false
				continue
			}
			line = append(line, p.after...)
			p.end = len(line)
		default:
			line = append(line, n)
		}
	}
	for _, p := range parts {
		x.join(root, line, p)
	}
	steps.Content = line
	if len(parts) > 0 {
		inOrder(fieldOf(root, "safeguards"), line)
	}
	return whole
}

// inOrder puts safeguards in the order of their gates, as a person meets them, whichever file they are from.
func inOrder(guards *yaml.Node, line []*yaml.Node) {
	if guards == nil || guards.Kind != yaml.MappingNode {
		return
	}
	turn := func(guard *yaml.Node) int {
		i := slices.IndexFunc(line, func(n *yaml.Node) bool { s := fieldOf(n, "secures"); return s != nil && s.Value == guard.Value })
		if i < 0 {
			return len(line)
		}
		return i
	}
	pairs := slices.Collect(slices.Chunk(guards.Content, 2))
	slices.SortStableFunc(pairs, func(a, b []*yaml.Node) int { return turn(a[0]) - turn(b[0]) })
	guards.Content = slices.Concat(pairs...)
}

// rest finds the part whose remaining steps belong here.
func (x *expander) rest(n *yaml.Node, parts []*part) *part {
	t, ok := x.table(n, "the rest of an included procedure", restFields)
	if !ok {
		return nil
	}
	as := t.id("rest of")
	i := slices.IndexFunc(parts, func(p *part) bool { return p.as == as.Text })
	switch {
	case i < 0:
		var known []string
		for _, p := range parts {
			known = append(known, p.as)
		}
		x.fault(as.Place, didYouMean(as.Text, known), "nothing is included above as %s", quote(as.Text))
	case !parts[i].split:
		x.fault(as.Place, "take this out, or give one of its steps makes way: true", "%s makes way nowhere, so it has no rest", quote(as.Text))
	case parts[i].resumed:
		x.fault(as.Place, "keep one of the two", "the rest of %s stands here already", quote(as.Text))
	default:
		parts[i].resumed = true
		return parts[i]
	}
	return nil
}

// join leads the targets of a part to where it stands in the line, and puts its make-safe steps in their place.
func (x *expander) join(root *yaml.Node, line []*yaml.Node, p *part) {
	if len(p.after) > 0 && !p.resumed {
		x.fault(p.at, "add - rest of: "+p.as, "the steps of %s behind where it makes way stand nowhere", quote(p.as))
	}
	lead := func(targets []*yaml.Node, to int) {
		for _, n := range targets {
			n.Value = string(Complete)
			if to < len(line) {
				n.Value = stepID(line[to])
			}
		}
	}
	lead(p.toWork, p.work)
	lead(p.toEnd, p.end)
	if len(p.makeSafe) == 0 {
		return
	}
	list := fieldOf(root, "make safe")
	if list != nil && list.Kind == yaml.SequenceNode {
		for i, n := range list.Content {
			switch {
			case n.Value == p.as:
				list.Content = slices.Replace(list.Content, i, i+1, p.makeSafe...)
				return
			case strings.HasPrefix(n.Value, p.as+"."):
				return // the steps are named one by one; the proof shows whether one is missing
			}
		}
	}
	x.fault(p.at, "add "+p.as+" to make safe", "make safe does not say where the make-safe steps of %s come", quote(p.as))
}

// include reads one entry that includes, and the procedure it names, renamed. Nil is an entry with faults.
func (x *expander) include(root, n *yaml.Node, others []*part) *part {
	t, ok := x.table(n, "an include", includeFields)
	if !ok {
		return nil
	}
	t.require("as")
	name, as := t.id("include"), t.id("as")
	if name.Text == "" || as.Text == "" {
		return nil
	}
	if i := slices.IndexFunc(others, func(p *part) bool { return p.as == as.Text }); i >= 0 {
		x.fault(as.Place, "give each its own", "%s is what the include on %s is called", quote(as.Text), others[i].at)
		return nil
	}
	other := x.open(name)
	if other == nil {
		return nil
	}
	return x.fit(root, others, t, other, as.Text)
}

// open returns the whole tree of a procedure, its own includes expanded.
func (x *expander) open(name word) *yaml.Node {
	if i := slices.Index(x.chain, name.Text); i >= 0 {
		x.fault(name.Place, "take one of the includes out", "%s includes itself: %s", quote(name.Text), strings.Join(append(x.chain[i:], name.Text), " includes "))
		return nil
	}
	if len(x.parts) >= MaxParts {
		x.fault(name.Place, "take the procedure apart", "more than %d procedures are included", MaxParts)
		return nil
	}
	file, text, err := x.shelf(name.Text)
	if err != nil {
		x.fault(name.Place, "`fenderside procedures list` lists those there are", "%s cannot be included: %v", quote(name.Text), err)
		return nil
	}
	inner := &expander{reader: newReader(file), shelf: x.shelf, chain: append(slices.Clone(x.chain), name.Text), parts: x.parts}
	inner.within, inner.spoilt = true, x.spoilt
	root, ok := inner.document(text)
	if ok {
		root, ok = inner.named(root, name.Text, file, text)
	}
	if ok {
		ok = inner.expand(root)
	}
	x.parts, x.faults = inner.parts, append(x.faults, inner.faults...)
	if !ok {
		return nil
	}
	return root
}

// named holds a part to the name it was asked for by, and keeps its text.
func (x *expander) named(root *yaml.Node, name, file string, text []byte) (*yaml.Node, bool) {
	t, ok := x.table(root, "the procedure", procedureFields)
	if !ok {
		return nil, false
	}
	if id := t.id("procedure"); id.Text != name {
		x.fault(id.Place, "name the file after the id in it", "the procedure here is %s, not %s", quote(id.Text), quote(name))
		return nil, false
	}
	p := Part{Name: name, Revision: t.whole("revision", 1), File: file, Text: slices.Clone(text), Digest: digest(text)}
	if !slices.ContainsFunc(x.parts, func(q Part) bool { return q.Name == name }) {
		x.parts = append(x.parts, p)
	}
	return root, true
}

// fieldOf returns the value of a field, or nil.
func fieldOf(n *yaml.Node, field string) *yaml.Node {
	if n == nil || n.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == field {
			return n.Content[i+1]
		}
	}
	return nil
}

// stepID returns the id of a step.
func stepID(n *yaml.Node) string {
	for _, kind := range []StepKind{Gate, Do, Pinned} {
		if id := fieldOf(n, string(kind)); id != nil {
			return id.Value
		}
	}
	return ""
}

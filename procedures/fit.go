package procedures

// An included procedure is made to fit: the steps it does only on its own are left out, what it is given takes the place
// of its sheet fields and of the safeguards those steps secured, and every id that is left gets the include's name before
// it.

import (
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
)

// fitting is one included procedure while it is made to fit.
type fitting struct {
	*expander
	whole  *yaml.Node // the procedure that includes it
	others []*part    // what that one includes above
	root   *yaml.Node // the included procedure
	t      *table     // the entry that includes it
	p      *part
	values map[string]string // what becomes of its sheet fields, readings, evidence and steps
	guards map[string]string // what becomes of its safeguards
	leads  map[string]string // for a step left out: the step that follows it, or "" for where the part makes way
	gone   map[string]bool   // ids of steps left out
	ends   map[string]string // where its early ends lead in the whole
	causes map[string]string // what the causes are called that it shares with the world
}

const (
	toWork = " work" // no id has a space in it
	toEnd  = " end"
)

// fit makes a part of the tree of an included procedure and joins what is no step of it with the whole.
func (x *expander) fit(whole *yaml.Node, others []*part, t *table, root *yaml.Node, as string) *part {
	f := &fitting{expander: x, whole: whole, others: others, root: root, t: t, p: &part{at: t.place, as: as},
		values: map[string]string{}, guards: map[string]string{}, leads: map[string]string{}, gone: map[string]bool{}}
	f.leaveOut()
	f.prefix()
	f.given()
	f.used()
	f.endings()
	f.happenings()
	f.rename()
	if list := fieldOf(root, "make safe"); list != nil {
		f.p.makeSafe = slices.DeleteFunc(slices.Clone(list.Content), func(n *yaml.Node) bool { return f.gone[n.Value] })
		for _, n := range f.p.makeSafe {
			f.value(n)
		}
	}
	f.each("needs")
	f.each("faces")
	f.merge(whole)
	return f.p
}

// endings reads where the early ends of the part lead in the whole; those not named are ends of the whole.
func (f *fitting) endings() {
	f.ends = map[string]string{}
	if !f.t.has("ends") {
		return
	}
	if ends, ok := f.table(f.t.vals["ends"], "ends of "+quote(f.p.as), endFields); ok {
		for _, end := range ends.order {
			if to := ends.id(end); to.Text != "" {
				f.ends[end] = to.Text
			}
		}
	}
}

// happenings finds what becomes of the causes of the part: its own get its name before them, and those that it shares with
// the world keep theirs, or get the one that the include gives.
func (f *fitting) happenings() {
	f.causes = map[string]string{InterruptionCause: InterruptionCause, HandoverCause: HandoverCause}
	shared := fieldOf(f.root, "outside causes")
	for _, n := range items(f.root, "outside causes") {
		f.causes[n.Value] = n.Value
	}
	given, ok := f.group("causes")
	if !ok {
		return
	}
	for _, id := range given.order {
		if _, shares := f.causes[id]; !shares || fromOutside(id) {
			f.fault(given.keyAt(id), didYouMean(id, sortedKeys(f.causes)), "%s has no outside cause %s", quote(f.p.as), quote(id))
			continue
		}
		f.causes[id] = given.id(id).Text
		shared.Content = slices.DeleteFunc(shared.Content, func(n *yaml.Node) bool { return n.Value == id })
	}
}

// each gives each step of the part what the include says that all of them need, or face. What makes safe must always be
// possible, and gets none.
func (f *fitting) each(field string) {
	entries := f.t.items(field)
	for _, step := range slices.Concat(f.p.before, f.p.after) {
		if slices.ContainsFunc(f.p.makeSafe, func(n *yaml.Node) bool { return n.Value == stepID(step) }) || len(entries) == 0 {
			continue
		}
		list := f.section(step, field, yaml.SequenceNode)
		for _, n := range entries {
			list.Content = append(list.Content, clone(n))
		}
	}
}

// clone copies a tree, so that a fault of one copy is told of that copy.
func clone(n *yaml.Node) *yaml.Node {
	m := *n
	m.Content = nil
	for _, c := range n.Content {
		m.Content = append(m.Content, clone(c))
	}
	return &m
}

// leaveOut parts the steps: those done only on its own go, and one that makes way splits the line.
func (f *fitting) leaveOut() {
	var waiting []string // steps left out since the last one kept
	lead := func(to string) {
		for _, id := range waiting {
			f.leads[id] = to
		}
		waiting = nil
	}
	for _, n := range items(f.root, "steps") {
		id := stepID(n)
		switch {
		case isTrue(fieldOf(n, "makes way")):
			lead(toWork)
			f.leads[id], f.gone[id] = toWork, true
			if f.p.split {
				f.fault(placeOf(n), "keep one of the two", "%s makes way in a second place", quote(id))
			}
			f.p.split = true
		case isTrue(fieldOf(n, "alone")):
			waiting, f.gone[id] = append(waiting, id), true
		default:
			lead(id)
			if f.p.split {
				f.p.after = append(f.p.after, n)
			} else {
				f.p.before = append(f.p.before, n)
			}
		}
	}
	lead(toEnd)
	if steps := fieldOf(f.root, "steps"); steps != nil {
		steps.Content = slices.Concat(f.p.before, f.p.after)
	}
}

// prefix finds every id that the procedure defines and puts the include's name before it.
func (f *fitting) prefix() {
	eachName(f.root, func(r role, n *yaml.Node) {
		switch r {
		case definesValue:
			f.values[n.Value] = f.p.as + "." + n.Value
		case definesGuard:
			f.guards[n.Value] = f.p.as + "." + n.Value
		}
	})
	for id := range f.gone {
		delete(f.values, id)
	}
}

// given puts what the include gives in the place of sheet fields, and of what the steps left out would have recorded.
func (f *fitting) given() {
	with, ok := f.group("with")
	if !ok {
		return
	}
	sheet := map[string]*yaml.Node{}
	for _, n := range items(f.root, "sheet") {
		if id := fieldOf(n, "id"); id != nil {
			sheet[id.Value] = n
		}
	}
	for _, id := range with.order {
		field, value := sheet[id], with.text(id)
		if value == "" {
			continue
		}
		if field == nil && f.values[id] != "" {
			f.fault(with.keyAt(id), "give what it asks for on its sheet", "%s records %s itself", quote(f.p.as), quote(id))
			continue
		}
		if field == nil && !f.refers(id) {
			f.fault(with.keyAt(id), didYouMean(id, sortedKeys(sheet)), "the included procedure has no sheet field %s", quote(id))
			continue
		}
		w := word{value, with.at(id)}
		if isID(value) {
			f.lends(field, w)
		} else if !f.figure(field, w) {
			continue
		}
		f.values[id] = value
		f.drop("sheet", field)
	}
}

// figure says whether a figure may take the place of a sheet field: one that takes such a quantity.
func (f *fitting) figure(field *yaml.Node, w word) bool {
	d := fieldOf(field, "quantity")
	if d == nil {
		f.fault(w.Place, "name a sheet field or an earlier reading", "%s is no id, and no quantity belongs here", quote(w.Text))
		return false
	}
	_, ok := f.quantity(w, quantity.Dimension(d.Value))
	if ok {
		f.inside(field, w, w.Text, w.Text)
	}
	return ok
}

// refers says whether the procedure uses an id that it no longer defines.
func (f *fitting) refers(id string) (found bool) {
	eachName(f.root, func(r role, n *yaml.Node) { found = found || n.Value == id && (r == refersValue || r == refersKey) })
	return found || f.gone[id]
}

// used puts the safeguards that the include lends in the place of those whose gates are left out.
func (f *fitting) used() {
	using, _ := f.group("using")
	secured := map[string]bool{}
	for _, n := range items(f.root, "steps") {
		if s := fieldOf(n, "secures"); s != nil {
			secured[s.Value] = true
		}
	}
	if using != nil {
		for _, id := range using.order {
			switch {
			case f.guards[id] == "":
				f.fault(using.keyAt(id), didYouMean(id, sortedKeys(f.guards)), "the included procedure has no safeguard %s", quote(id))
			case secured[id]:
				f.fault(using.keyAt(id), "mark its gate alone: true, or take this out", "%s has a gate of its own for %s", quote(f.p.as), quote(id))
			default:
				f.guards[id] = f.lent(using, id)
			}
		}
	}
	for _, id := range sortedKeys(f.guards) {
		if lent := using != nil && using.has(id); !secured[id] && !lent {
			f.fault(f.t.place, "add using: {"+id+": ...}", "%s leaves the gate of its safeguard %s to this procedure", quote(f.p.as), quote(id))
		}
		if !secured[id] {
			f.dropKey("safeguards", id)
		}
	}
}

// lent is the safeguard of the whole that stands for one of the part.
func (f *fitting) lent(using *table, id string) string {
	var known []string
	if guards := fieldOf(f.whole, "safeguards"); guards != nil && guards.Kind == yaml.MappingNode {
		for i := 0; i < len(guards.Content); i += 2 {
			known = append(known, guards.Content[i].Value)
		}
	}
	to := using.text(id)
	if to != "" && !slices.Contains(known, to) {
		f.fault(using.at(id), didYouMean(to, known), "there is no safeguard %s to lend", quote(to))
	}
	return to
}

// group reads a field of the include that holds names and what stands for them.
func (f *fitting) group(field string) (*table, bool) {
	if !f.t.has(field) {
		return nil, false
	}
	return f.table(f.t.vals[field], field+" of "+quote(f.p.as), nil)
}

// rename writes the new names into the tree.
func (f *fitting) rename() {
	eachName(f.root, func(r role, n *yaml.Node) {
		switch r {
		case definesGuard, refersGuard:
			f.guard(n)
		case definesDanger, refersDanger:
			n.Value = f.p.as + "." + n.Value
		case refersEither:
			if f.guards[n.Value] != "" {
				f.guard(n)
			} else {
				f.value(n)
			}
		case refersTarget:
			f.target(n)
		case refersCause:
			f.cause(n)
		case refersSlots:
			for id, to := range f.values {
				n.Value = strings.ReplaceAll(n.Value, "{"+id+"}", " {"+to+"} ")
			}
			n.Value = strings.ReplaceAll(n.Value, " ", "")
		case refersKey:
			if to := f.values[n.Value]; to != "" && !isID(to) {
				f.fault(placeOf(n), "give a sheet field that chooses", "a condition rests on %s, for which %s stands", quote(n.Value), quote(to))
				return
			}
			f.value(n)
		default:
			f.value(n)
		}
	})
	f.proposesFromTheSheet()
	for _, n := range items(f.root, "steps") {
		if due := fieldOf(n, "due after"); due != nil {
			due.Content = slices.DeleteFunc(due.Content, func(n *yaml.Node) bool { return f.gone[n.Value] })
		}
		f.showsNoFigure(n)
	}
}

// showsNoFigure takes out of what a step shows the figures that were given: a figure has no title.
func (f *fitting) showsNoFigure(step *yaml.Node) {
	shows := fieldOf(step, "shows")
	if shows == nil {
		return
	}
	given := slices.Collect(maps.Values(f.values))
	shows.Content = slices.DeleteFunc(shows.Content, func(n *yaml.Node) bool { return !isID(n.Value) && slices.Contains(given, n.Value) })
	if i := slices.Index(step.Content, shows); len(shows.Content) == 0 {
		step.Content = slices.Delete(step.Content, i-1, i+1)
	}
}

func (f *fitting) value(n *yaml.Node) {
	if to := f.values[n.Value]; to != "" {
		n.Value = to
	}
}

func (f *fitting) guard(n *yaml.Node) {
	if to := f.guards[n.Value]; to != "" {
		n.Value = to
	}
}

func (f *fitting) cause(n *yaml.Node) {
	to, shared := f.causes[n.Value]
	switch {
	case !shared:
		n.Value = f.p.as + "." + n.Value
	case to != "":
		n.Value = to
	}
}

// target leads where a step that was left out, or the end of the procedure, now is.
func (f *fitting) target(n *yaml.Node) {
	to, moved := f.leads[n.Value]
	switch {
	case n.Value == string(Complete) || moved && to == toEnd:
		f.p.toEnd = append(f.p.toEnd, n)
	case moved && to == toWork:
		f.p.toWork = append(f.p.toWork, n)
	case f.ends[n.Value] != "":
		n.Value = f.ends[n.Value]
	case moved && f.gone[n.Value]:
		n.Value = f.values[to]
	default:
		f.value(n)
	}
}

// merge joins the sections of the included procedure, but for its steps, with those of the whole.
func (f *fitting) merge(root *yaml.Node) {
	for _, list := range []string{"excludes", "hazards", "protective", "tools", "parts", "duties", "sources", "outside causes"} {
		f.add(root, list, func(a, b *yaml.Node) bool { return a.Value == b.Value })
	}
	for _, list := range []string{"sheet", "pinned"} {
		f.add(root, list, func(a, b *yaml.Node) bool { return false })
	}
	f.addKeys(root, "safeguards")
	f.addKeys(root, "dangers")
	f.addKeys(root, "instruments")
}

// add appends the entries of a list that are not there yet.
func (f *fitting) add(root *yaml.Node, field string, same func(a, b *yaml.Node) bool) {
	from := items(f.root, field)
	if len(from) == 0 {
		return
	}
	to := f.section(root, field, yaml.SequenceNode)
	for _, n := range from {
		if !slices.ContainsFunc(to.Content, func(m *yaml.Node) bool { return same(m, n) }) {
			to.Content = append(to.Content, n)
		}
	}
}

// addKeys appends the groups of a field that are not there yet; two under one id must say the same.
func (f *fitting) addKeys(root *yaml.Node, field string) {
	from := fieldOf(f.root, field)
	if from == nil || from.Kind != yaml.MappingNode || len(from.Content) == 0 {
		return
	}
	to := f.section(root, field, yaml.MappingNode)
	for i := 0; i+1 < len(from.Content); i += 2 {
		key, group := from.Content[i], from.Content[i+1]
		switch there := fieldOf(to, key.Value); {
		case there == nil:
			to.Content = append(to.Content, key, group)
		case !alike(there, group):
			f.fault(f.t.place, "describe it in the same words in both", "%s describes %s otherwise than this procedure", quote(f.p.as), quote(key.Value))
		}
	}
}

// section returns a field of the whole, made where it is missing.
func (f *fitting) section(root *yaml.Node, field string, kind yaml.Kind) *yaml.Node {
	if n := fieldOf(root, field); n != nil {
		return n
	}
	n := &yaml.Node{Kind: kind, Line: f.t.place.Line, Column: f.t.place.Column, HeadComment: f.t.place.File}
	key := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: field, Line: n.Line, Column: n.Column, HeadComment: n.HeadComment}
	root.Content = append(root.Content, key, n)
	return n
}

// drop takes an entry out of a list of the included procedure.
func (f *fitting) drop(field string, entry *yaml.Node) {
	if list := fieldOf(f.root, field); list != nil && entry != nil {
		list.Content = slices.DeleteFunc(list.Content, func(n *yaml.Node) bool { return n == entry })
	}
}

func (f *fitting) dropKey(field, key string) {
	group := fieldOf(f.root, field)
	for i := 0; group != nil && i+1 < len(group.Content); i += 2 {
		if group.Content[i].Value == key {
			group.Content = slices.Delete(group.Content, i, i+2)
			return
		}
	}
}

// alike says whether two trees hold the same values.
func alike(a, b *yaml.Node) bool {
	return a.Kind == b.Kind && a.Value == b.Value && slices.EqualFunc(a.Content, b.Content, alike)
}

func isTrue(n *yaml.Node) bool { return n != nil && n.Kind == yaml.ScalarNode && n.Value == "true" }

// items returns the entries of a list, or none.
func items(root *yaml.Node, field string) []*yaml.Node {
	if n := fieldOf(root, field); n != nil && n.Kind == yaml.SequenceNode {
		return n.Content
	}
	return nil
}

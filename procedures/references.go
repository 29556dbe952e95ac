package procedures

// Every name leads to something that is there: what a reference names exists, stands early enough in the file to have
// been recorded, is of the right kind, and cannot be left out.

import (
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// named is what an id names: a sheet field, a reading, evidence, or a step with the choice made under it.
type named struct {
	id       word
	sort     string // what it is, in words
	kind     FieldKind
	dim      quantity.Dimension
	options  []string
	optional bool
	series   bool
	ask      bool   // a step's question: answered last in its step
	step     int    // the step it belongs to, or -1 for the sheet
	way      string // the way it belongs to, or ""
	order    int    // it is the order-th id defined
}

// use is where a name is used.
type use struct {
	as    string // what for, in words
	step  int    // in which step, or -1 for the sheet
	way   string // in which of its ways, or ""
	order int    // how many ids are defined before it
}

func (l *loader) use(step int, way, as string) use {
	return use{as: as, step: step, way: way, order: l.order}
}

// define makes an id known; of two things with one id, the later in the file is at fault.
func (l *loader) define(n *named) {
	l.order++
	n.order = l.order
	if n.id.Text == "" {
		return
	}
	first, twice := l.names[n.id.Text]
	if !twice {
		l.names[n.id.Text] = n
		return
	}
	at, other := n, first
	if n.id.Place.before(first.id.Place) {
		at, other = first, n
	}
	l.fault(at.id.Place, "give each its own id", "the id %s is taken by the %s on %s", quote(n.id.Text), other.sort, other.id.Place)
}

// valueOf finds what a name refers to, or tells why it cannot be used here.
func (l *loader) valueOf(w word, u use, fits func(*named) bool) (*named, bool) {
	n, ok := l.names[w.Text]
	switch {
	case !ok:
		l.fault(w.Place, didYouMean(w.Text, l.candidates(u, fits)), "%s names %s, which is defined nowhere", u.as, quote(w.Text))
	case n.order > u.order, n.ask && n.step == u.step:
		l.fault(w.Place, "use what is recorded earlier, or move it up", "%s names the %s %s, which is recorded later, on %s",
			u.as, n.sort, quote(w.Text), n.id.Place)
	case n.step == u.step && n.way != "" && u.way != "" && n.way != u.way:
		l.fault(w.Place, "use what every way records, or what this way records", "%s names the %s %s, which only the way %s records",
			u.as, n.sort, quote(w.Text), quote(n.way))
	default:
		return n, true
	}
	return nil, false
}

// candidates lists the ids that could have been meant.
func (l *loader) candidates(u use, fits func(*named) bool) []string {
	var ids []string
	for _, id := range sortedKeys(l.names) {
		if n := l.names[id]; n.order <= u.order && fits(n) {
			ids = append(ids, id)
		}
	}
	return ids
}

// certain tells where something that may be left out is depended on.
func (l *loader) certain(n *named, w word, u use) {
	switch {
	case n.optional:
		l.fault(w.Place, "take optional from it, or do not depend on it", "%s depends on the %s %s, which is optional", u.as, n.sort, quote(w.Text))
	case n.step >= 0 && n.step != u.step && l.steps[n.step].Optional:
		l.fault(w.Place, "take optional from the step, or do not depend on it", "%s depends on %s of the step %s, which is optional",
			u.as, quote(w.Text), quote(l.steps[n.step].ID))
	}
}

// condition reads the when of a group.
func (l *loader) condition(g *table, u use) Condition {
	if !g.has("when") {
		return nil
	}
	t, ok := l.table(g.vals["when"], "when of "+g.what, nil)
	if !ok {
		return nil
	}
	if len(t.order) == 0 {
		l.fault(t.place, "write {id: value}, or take when out", "when of %s is empty", g.what)
	}
	var all Condition
	for _, id := range t.order {
		c := Clause{Choice: id, Place: t.keyAt(id)}
		values := []word{}
		if t.vals[id].Kind == yaml.SequenceNode {
			values = t.words(id)
		} else if text := t.text(id); text != "" {
			values = append(values, word{text, t.at(id)})
		}
		for _, v := range values {
			c.In = append(c.In, v.Text)
		}
		all = append(all, c)
		l.settle(func() { l.settleClause(word{id, c.Place}, values, u) })
	}
	return all
}

func isChoice(n *named) bool { return n.kind == TakesChoice }

func (l *loader) settleClause(w word, values []word, u use) {
	n, ok := l.valueOf(w, u, isChoice)
	if !ok {
		return
	}
	if n.kind == "" && n.sort != "step" {
		return // its own fault is told
	}
	if !isChoice(n) {
		l.fault(w.Place, didYouMean(w.Text, l.candidates(u, isChoice)), "when names the %s %s, which is no choice", n.sort, quote(w.Text))
		return
	}
	l.certain(n, w, u)
	for _, v := range values {
		if !slices.Contains(n.options, v.Text) {
			l.fault(v.Place, didYouMean(v.Text, n.options), "%s is no choice of %s", quote(v.Text), quote(w.Text))
		}
	}
}

// bounds reads at least, at most and between.
func (l *loader) bounds(g *table, d quantity.Dimension, u use) (low, high Bound) {
	low, high = l.bound(g, "at least", d, u), l.bound(g, "at most", d, u)
	at := g.at("at most")
	if g.has("between") {
		g.refuse("it has between too", "write one or the other", "at least", "at most")
		at = g.at("between")
		words := g.words("between")
		if len(words) != 2 {
			if !l.spoilt[g.vals["between"]] {
				l.fault(at, "write [low, high]", "between of %s takes two different limits", g.what)
			}
			return low, high
		}
		low, high = l.limit(words[0], d, u), l.limit(words[1], d, u)
	}
	if low.Figure.Valid() && high.Figure.Valid() {
		if less, err := high.Figure.Less(low.Figure); err == nil && less {
			l.fault(at, "write the lower limit first", "%s of %s is more than %s", low.Figure, g.what, high.Figure)
		}
	}
	return low, high
}

func (l *loader) bound(g *table, name string, d quantity.Dimension, u use) Bound {
	w := word{g.text(name), g.at(name)}
	if w.Text == "" {
		return Bound{}
	}
	return l.limit(w, d, u)
}

// limit reads one limit: an id, or a figure.
func (l *loader) limit(w word, d quantity.Dimension, u use) Bound {
	if isID(w.Text) {
		l.settle(func() { l.settleQuantity(w, d, u) })
		return Bound{Ref: w.Text, Set: true}
	}
	if d == "" {
		return Bound{}
	}
	q, ok := l.quantity(w, d)
	return Bound{Figure: q, Set: ok}
}

// settleQuantity holds a name against the dimension that belongs in its place; an unknown dimension fits all.
func (l *loader) settleQuantity(w word, d quantity.Dimension, u use) {
	fits := func(n *named) bool { return n.kind == TakesQuantity && !n.series && (d == "" || n.dim == d) }
	n, ok := l.valueOf(w, u, fits)
	switch {
	case !ok || n.dim == "" && n.kind == TakesQuantity || n.kind == "" && n.sort != "step":
		return
	case n.kind != TakesQuantity:
		l.fault(w.Place, didYouMean(w.Text, l.candidates(u, fits)), "%s names the %s %s, which is no quantity", u.as, n.sort, quote(w.Text))
	case n.series:
		l.fault(w.Place, "name a reading of one value", "%s names the reading %s, which is a series", u.as, quote(w.Text))
	case d != "" && n.dim != d:
		l.fault(w.Place, didYouMean(w.Text, l.candidates(u, fits)), "%s names the %s %s, which is a %s; a %s belongs here", u.as, n.sort, quote(w.Text), n.dim, d)
	default:
		l.certain(n, w, u)
	}
}

func (l *loader) settleSameAs(reading *named, w word, u use) {
	alike := func(n *named) bool {
		return n.kind == reading.kind && n.dim == reading.dim && n.series == reading.series && n.sort != "step"
	}
	n, ok := l.valueOf(w, u, alike)
	switch {
	case !ok || n.kind == "" && n.sort != "step" && n.sort != "evidence" || reading.kind == "":
		return
	case !alike(n):
		l.fault(w.Place, "both must take the same", "same as names the %s %s, which does not take what reading %s takes", n.sort, quote(w.Text), quote(reading.id.Text))
		return
	case isChoice(n) && !slices.Equal(n.options, reading.options):
		l.fault(w.Place, "write the same choices in the same order", "the choices of reading %s are not those of %s", quote(reading.id.Text), quote(w.Text))
	}
	l.certain(n, w, u)
}

// shows reads what is shown beside a step. What a reading of it is compared with is none of that: it would be copied.
func (l *loader) shows(g *table, s *Step, before use) {
	before.as = "shows"
	for _, w := range g.ids("shows") {
		s.Shows = append(s.Shows, w.Text)
		l.settle(func() {
			n, ok := l.valueOf(w, before, holdsValue)
			switch {
			case ok && !holdsValue(n):
				l.fault(w.Place, didYouMean(w.Text, l.candidates(before, holdsValue)), "shows names the %s %s, which holds no value", n.sort, quote(w.Text))
			case slices.ContainsFunc(s.Readings, func(r Reading) bool { return r.SameAs == w.Text }):
				l.fault(w.Place, "take it out: what is to be looked at is not shown first", "%s shows %s, with which a reading of it is compared", g.what, quote(w.Text))
			}
		})
	}
}

// holdsValue says whether a name is that of a sheet field or of a reading.
func holdsValue(n *named) bool {
	return n.sort != "step" && n.sort != "pinned step" && n.sort != "evidence"
}

// settleInput decides whether an input is a figure, a choice, words or a name. Words that have the form of an id are taken
// for a name, so that a name that is written wrongly never passes for words; where they are meant as words, they are
// written {words: ...}. A file is always named: it is evidence, and only what was attached is judged.
func (l *loader) settleInput(input *CheckInput, in checks.Input, w word, u use, advice bool) {
	u.as += " input " + quote(in.Name)
	switch {
	case in.Kind == checks.KindChoice && slices.Contains(in.Options, w.Text):
		if _, also := l.names[w.Text]; also {
			l.fault(w.Place, "give the sheet field, reading or step another id", "%s is a choice of the input %s and an id", quote(w.Text), quote(in.Name))
		}
		input.Literal = checks.Argument{Choice: w.Text}
	case in.Kind == checks.KindQuantity && !isID(w.Text):
		input.Literal = checks.Argument{Quantity: l.figure(w, in.Dimension)}
	case in.Kind == checks.KindText && !isID(w.Text):
		input.Literal = checks.Argument{Text: w.Text}
	default:
		input.Ref = w.Text
		l.settleArgument(in, w, u, advice)
	}
}

// figure reads a quantity of a dimension, or of any where there is none.
func (l *loader) figure(w word, d quantity.Dimension) quantity.Quantity {
	if d != "" {
		q, _ := l.quantity(w, d)
		return q
	}
	q, err := quantity.Parse(w.Text)
	if err != nil {
		l.fault(w.Place, "write a number and its unit", "%s is no quantity: %s", quote(w.Text), reason(err))
	}
	return q
}

// feeds says whether what a name names can be given to an input.
func feeds(in checks.Input, n *named) bool {
	alike := in.Dimension == "" || n.dim == in.Dimension
	switch in.Kind {
	case checks.KindChoice:
		return isChoice(n) && n.sort != "step"
	case checks.KindSeries:
		return n.kind == TakesQuantity && n.series && alike
	case checks.KindData:
		return n.sort == "evidence"
	case checks.KindText:
		return n.sort != "step" && (n.kind == TakesText || n.kind == TakesDate || n.kind == TakesChoice)
	}
	return n.kind == TakesQuantity && !n.series && alike
}

// settleArgument holds a name against the input it feeds. What a step is held to never rests on what may be left out; advice
// may, and is then not given.
func (l *loader) settleArgument(in checks.Input, w word, u use, advice bool) {
	fits := func(n *named) bool { return feeds(in, n) }
	if _, ok := l.names[w.Text]; !ok && in.Kind == checks.KindChoice {
		l.fault(w.Place, didYouMean(w.Text, append(l.candidates(u, fits), in.Options...)), "%s is %s, which is neither a choice nor an id", u.as, quote(w.Text))
		return
	}
	n, ok := l.valueOf(w, u, fits)
	switch {
	case !ok || n.kind == "" && n.sort != "step" && n.sort != "evidence":
		return
	case !fits(n):
		l.fault(w.Place, "give "+wants(in), "%s names the %s %s, which is of another kind", u.as, n.sort, quote(w.Text))
		return
	}
	for _, option := range n.options {
		if in.Kind == checks.KindChoice && !slices.Contains(in.Options, option) {
			l.fault(w.Place, didYouMean(option, in.Options), "%s takes %s from %s, which the check does not know", u.as, quote(option), quote(w.Text))
		}
	}
	if !in.Optional && !advice {
		l.certain(n, w, u)
	}
}

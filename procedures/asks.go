package procedures

// What a step asks for: statements, readings, evidence and checks, its own and those of each of its ways. Those of a
// way stand in the step's lists like all others, each with a clause on the way.

import (
	"slices"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// asks reads everything a step asks for.
func (l *loader) asks(g *table, s *Step) {
	l.askedIn(g, s, "", nil)
	for _, name := range []string{"affirm", "readings", "evidence", "either"} {
		if g.has(name) && l.spoilt[g.vals[name]] {
			l.marks[s.Index].unread = true
		}
	}
	ways := []*table{}
	for _, n := range g.items("either") {
		t, ok := l.table(n, "a way of "+g.what, wayFields)
		if !ok {
			continue
		}
		t.require("way", "say")
		id := t.id("way")
		t.what = "way " + quote(id.Text) + " of " + g.what
		if slices.ContainsFunc(s.Ways, func(w Way) bool { return w.ID == id.Text }) {
			l.fault(id.Place, "give each way its own id", "%s has two ways %s", g.what, quote(id.Text))
		}
		l.saysSomething(word{t.text("say"), t.at("say")}, "way")
		s.Ways = append(s.Ways, Way{ID: id.Text, Say: t.text("say"), Place: t.place})
		l.askedIn(t, s, id.Text, Condition{{Choice: s.ID, In: []string{id.Text}, Place: t.place}})
		ways = append(ways, t)
	}
	if g.has("either") && len(g.items("either")) == 1 {
		l.fault(g.at("either"), "give at least two ways", "either of %s leaves no choice", g.what)
	}
	l.checks(g, s, "", nil)
	for i, t := range ways {
		way := s.Ways[i].ID
		l.checks(t, s, way, Condition{{Choice: s.ID, In: []string{way}, Place: t.place}})
	}
	l.eitherCheckOrAdvice(s)
	if n := len(s.Statements) + len(s.Readings) + len(s.Evidence); n > MaxAsked {
		l.fault(s.Place, "take the step apart", "%s asks for %d things; at most %d are taken", g.what, n, MaxAsked)
	}
}

// askedIn reads the statements, readings and evidence of a step or of one way, each under the condition.
func (l *loader) askedIn(g *table, s *Step, way string, under Condition) {
	for _, n := range g.items("readings") {
		if t, ok := l.table(n, "a reading of "+g.what, readingFields); ok {
			s.Readings = append(s.Readings, l.reading(t, s, way, under))
		}
	}
	var said []Statement
	for _, n := range g.items("affirm") {
		if st, ok := l.statement(n, g.what, l.use(s.Index, way, "when")); ok {
			if slices.ContainsFunc(said, func(x Statement) bool { return x.Text == st.Text && len(x.When)+len(st.When) == 0 }) {
				l.fault(st.Place, "keep one of the two", "%s has the statement %s twice", g.what, quote(st.Text))
			}
			said = append(said, st)
			st.When = join(under, st.When)
			s.Statements = append(s.Statements, st)
		}
	}
	for _, n := range g.items("evidence") {
		if t, ok := l.table(n, "evidence of "+g.what, evidenceFields); ok {
			s.Evidence = append(s.Evidence, l.evidence(t, s, way, under))
		}
	}
}

// join returns a condition that holds when both hold.
func join(a, b Condition) Condition { return append(slices.Clone(a), b...) }

// emptyWords are the statements that say nothing of the work.
var emptyWords = []string{"ok", "okay", "yes", "y", "done", "all done", "true", "confirm", "confirmed", "i confirm", "check", "checked",
	"complete", "completed", "finished", "ready", "understood", "agreed", "good", "fine", "all good", "correct", "continue", "next"}

func (l *loader) statement(n *yaml.Node, what string, u use) (Statement, bool) {
	st := Statement{Place: placeOf(n)}
	if n.Kind == yaml.MappingNode {
		t, ok := l.table(n, "a statement of "+what, statementFields)
		if !ok {
			return st, false
		}
		t.require("say")
		st.Text, st.When = t.text("say"), l.condition(t, u)
	} else {
		st.Text = l.scalar(n, "a statement of "+what)
	}
	l.saysSomething(word{st.Text, st.Place}, "statement")
	return st, st.Text != ""
}

// saysSomething refuses a text that agrees without saying to what.
func (l *loader) saysSomething(w word, what string) {
	said := strings.ToLower(strings.TrimFunc(w.Text, func(r rune) bool { return !unicode.IsLetter(r) }))
	if slices.Contains(emptyWords, said) || w.Text != "" && said == "" {
		l.fault(w.Place, "state what is seen, such as: The plug is in my pocket", "the %s %s says nothing of the work", what, quote(w.Text))
	}
}

func (l *loader) reading(g *table, s *Step, way string, under Condition) Reading {
	id := g.id("id")
	g.what = "reading " + quote(id.Text)
	g.require("id", "title")
	k := l.takes(g)
	rd := Reading{ID: id.Text, Title: g.text("title"), Kind: k.kind, Quantity: k.dim, Unit: k.unit, Choose: k.options,
		Magnitude: g.flag("magnitude"), SameAs: g.text("same as"), Instrument: l.instrument(g), Series: g.flag("series"),
		Optional: g.flag("optional"), Place: g.place}
	rd.When = join(under, l.condition(g, l.use(s.Index, way, "when")))
	before := l.use(s.Index, way, "a bound")
	rd.AtLeast, rd.AtMost = l.bounds(g, rd.Quantity, before)
	rd.Apart = l.bound(g, "apart", quantity.Time, before)
	if !rd.Series {
		g.refuse("it takes one value", "take it out, or add series: true", "apart")
	} else if rd.Kind != TakesQuantity && rd.Kind != "" {
		g.refuse("it takes no quantity", "take it out, or add quantity: ...", "series")
	}
	n := &named{id: id, sort: "reading", kind: rd.Kind, dim: rd.Quantity, options: rd.Choose, optional: rd.Optional,
		series: rd.Series, step: s.Index, way: way}
	if rd.SameAs != "" {
		u := l.use(s.Index, way, "same as")
		l.settle(func() { l.settleSameAs(n, word{rd.SameAs, g.at("same as")}, u) })
	}
	l.define(n)
	return rd
}

func (l *loader) evidence(g *table, s *Step, way string, under Condition) Evidence {
	id := g.id("id")
	g.what = "evidence " + quote(id.Text)
	g.require("id", "title")
	e := Evidence{ID: id.Text, Title: g.text("title"), Optional: g.flag("optional"), Place: g.place}
	e.When = join(under, l.condition(g, l.use(s.Index, way, "when")))
	l.define(&named{id: id, sort: "evidence", optional: e.Optional, step: s.Index, way: way})
	return e
}

// checks reads the named checks of a step or of one way: those that hold it, and those that only advise.
func (l *loader) checks(g *table, s *Step, way string, under Condition) {
	for _, field := range []string{"check", "advise"} {
		if g.has(field) {
			l.checksUnder(field, g, s, way, under)
		}
	}
}

// eitherCheckOrAdvice: what a check says at a step either holds it or does not.
func (l *loader) eitherCheckOrAdvice(s *Step) {
	holds := map[string]bool{}
	for _, c := range s.Checks {
		if before, ok := holds[c.Name]; ok && before != c.Advice {
			l.fault(c.Place, "keep one of the two", "step %s both asks check %s and takes its advice", quote(s.ID), quote(c.Name))
		}
		holds[c.Name] = c.Advice
	}
}

func (l *loader) checksUnder(field string, g *table, s *Step, way string, under Condition) {
	t, ok := l.table(g.vals[field], field+" of "+g.what, nil)
	if !ok {
		return
	}
	if len(t.order) == 0 {
		l.fault(t.place, "write {check-name: {input: value}}", "%s of %s names no check", field, g.what)
	}
	for _, name := range t.order {
		check, inputs, ok := l.checkOf(t, name)
		if !ok {
			continue
		}
		if check.Reckons && field == "check" {
			l.fault(t.keyAt(name), "write it under advise", "check %s judges nothing, so no step can be held to it", quote(name))
		}
		c := CheckUse{Name: name, Advice: field == "advise", Check: check, When: under, Place: t.keyAt(name)}
		k := len(s.Checks)
		l.inputs(inputs, l.use(s.Index, way, "check "+quote(name)), &c, func(i int) *CheckInput { return &s.Checks[k].Inputs[i] })
		s.Checks = append(s.Checks, c)
	}
}

// checkOf finds the check of a name in a group of them, and its inputs.
func (l *loader) checkOf(t *table, name string) (checks.Check, *table, bool) {
	check, ok := checks.Find(name)
	if !ok {
		l.fault(t.keyAt(name), didYouMean(name, checkNames()), "there is no check %s", quote(name))
		return check, nil, false
	}
	inputs, ok := l.table(t.vals[name], "check "+quote(name), inputNames(check))
	return check, inputs, ok
}

// inputs reads the inputs of one check. Once every id is known each is settled where at says that it is kept.
func (l *loader) inputs(t *table, u use, c *CheckUse, at func(i int) *CheckInput) {
	for _, in := range c.Check.Inputs {
		if !t.has(in.Name) {
			if !in.Optional {
				l.fault(t.place, "add "+in.Name+": "+wants(in), "%s has no %s", t.what, quote(in.Name))
			}
			continue
		}
		if namesFound(t.vals[in.Name]) {
			l.foundInput(t, in, u, c, at)
			continue
		}
		if in.Kind == checks.KindText && t.vals[in.Name].Kind == yaml.MappingNode {
			l.wordsInput(t, in, c)
			continue
		}
		w := word{t.text(in.Name), t.at(in.Name)}
		if w.Text == "" {
			continue
		}
		i := len(c.Inputs)
		c.Inputs = append(c.Inputs, CheckInput{Name: in.Name, Place: w.Place})
		l.settle(func() { l.settleInput(at(i), in, w, u, c.Advice) })
	}
}

// wordsInput reads words that are written out, whatever their form: {words: time}.
func (l *loader) wordsInput(t *table, in checks.Input, c *CheckUse) {
	g, ok := l.table(t.vals[in.Name], "input "+quote(in.Name)+" of "+t.what, wordsFields)
	if !ok {
		return
	}
	g.require(wordsFields...)
	if text := g.text("words"); text != "" {
		c.Inputs = append(c.Inputs, CheckInput{Name: in.Name, Literal: checks.Argument{Text: text}, Place: g.at("words")})
	}
}

func checkNames() []string {
	var names []string
	for _, c := range checks.All() {
		names = append(names, c.Name)
	}
	return names
}

func inputNames(c checks.Check) []string {
	names := []string{}
	for _, in := range c.Inputs {
		names = append(names, in.Name)
	}
	return names
}

// wants says in words what an input takes.
func wants(in checks.Input) string {
	switch in.Kind {
	case checks.KindSeries:
		return "the id of a series of " + string(in.Dimension)
	case checks.KindChoice:
		return "one of " + strings.Join(in.Options, ", ") + ", or an id"
	case checks.KindText:
		return "words, or the id of a text, a date or a choice"
	case checks.KindData:
		return "the id of evidence"
	}
	if in.Dimension == "" {
		return "a quantity, or an id"
	}
	return "a " + string(in.Dimension) + ", or an id"
}

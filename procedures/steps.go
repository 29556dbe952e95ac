package procedures

// The steps of the main line and the pinned steps, field by field. What a step asks for is read in asks.go.

import (
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
)

func (l *loader) mainLine(t *table) {
	for _, n := range t.items("steps") {
		if !l.room(n) {
			return
		}
		if g, ok := l.table(n, "a step", stepFields); ok {
			l.step(g)
		} else {
			l.lost = true
		}
	}
}

func (l *loader) pinned(t *table) {
	for _, n := range t.items("pinned") {
		if !l.room(n) {
			return
		}
		if g, ok := l.table(n, "a pinned step", pinFields); ok {
			l.pin(g)
		}
	}
}

// room says whether one more step may be read.
func (l *loader) room(n *yaml.Node) bool {
	if len(l.steps) < MaxSteps {
		return true
	}
	l.lost = true
	l.spoil(n, "take the procedure apart", "there are more than %d steps", MaxSteps)
	return false
}

// begin reads what a main-line step and a pinned step have in common before anything they ask for.
func (l *loader) begin(g *table, kind StepKind) (*Step, *marks) {
	id := g.id(string(kind))
	g.what = "step " + quote(id.Text)
	if id.Text == "" {
		l.lost = true
	}
	s := &Step{ID: id.Text, Kind: kind, Index: len(l.steps), Place: g.place, Secures: -1}
	m := &marks{id: id.Place, secures: g.at("secures"), optional: g.keyAt("optional"), then: g.at("then")}
	l.steps, l.marks = append(l.steps, s), append(l.marks, m)
	if slices.Contains([]Outcome{Complete, Referred, Abandoned}, Outcome(s.ID)) {
		l.fault(id.Place, "choose another id", "%s is an end of the job, no id", quote(s.ID))
	}
	g.require("title")
	s.Title, s.How, s.Why = g.text("title"), g.texts("how"), g.text("why")
	s.Warnings = l.warnings(g)
	return s, m
}

func (l *loader) step(g *table) {
	kind := Do
	switch {
	case g.has(string(Gate)) && g.has(string(Do)):
		l.fault(g.place, "keep one of the two", "a step is a gate and a do at once")
		kind = Gate
	case g.has(string(Gate)):
		kind = Gate
	case !g.has(string(Do)):
		l.fault(g.place, "begin it with gate: id or do: id", "a step has no id")
	}
	s, m := l.begin(g, kind)
	before := l.use(s.Index, "", "when")
	l.defineStep(g, s, m)
	s.When = l.condition(g, before)
	l.shows(g, s, before)
	l.needs(g, s, before)
	l.safeguardsOf(g, s, m)
	l.exposes(g, s, m, before)
	s.Wait = l.wait(g, s)
	l.asks(g, s)
	s.Ask = l.ask(g)
	s.Repeat = l.repeat(g)
	s.Witness, s.Optional = g.flag("witness"), g.flag("optional")
	g.flag("alone")
	if g.flag("makes way") && kind == Gate {
		l.fault(g.at("makes way"), "let a do step make way", "gate %s makes way; a gate is never left out for other work", quote(s.ID))
	}
	s.Then = l.target(g, s.Index)
	if s.Ask != nil {
		g.refuse("its answers say where it leads", "write then beside each answer", "then")
	}
}

// defineStep makes the step's id known, with the choices made under it: its ways, or the answers to its question.
func (l *loader) defineStep(g *table, s *Step, m *marks) {
	n := &named{id: word{s.ID, m.id}, sort: "step", step: s.Index}
	if g.has("either") && g.has("ask") {
		l.fault(g.keyAt("ask"), "ask in a step of its own", "%s has ways and a question; both would be recorded under its id", g.what)
	}
	l.define(n)
	l.settle(func() {
		for _, w := range s.Ways {
			n.kind, n.options = TakesChoice, append(n.options, w.ID)
		}
		if s.Ask != nil && len(s.Ways) == 0 {
			n.kind, n.ask = TakesChoice, true
			for _, a := range s.Ask.Answers {
				n.options = append(n.options, a.Say)
			}
		}
	})
}

func (l *loader) warnings(g *table) []Warning {
	n := g.vals["warning"]
	if n == nil {
		return nil
	}
	parts := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		parts = g.items("warning")
	}
	var all []Warning
	for _, part := range parts {
		t, ok := l.table(part, "warning of "+g.what, warningFields)
		if !ok {
			continue
		}
		t.require(warningFields...)
		all = append(all, Warning{
			Word:   SignalWord(t.oneOf("word", string(DangerWord), string(Warn), string(Caution), string(Notice))),
			Hazard: t.text("hazard"), Consequence: t.text("consequence"), Avoid: t.text("avoid"), Place: t.place})
	}
	return all
}

// needs reads the list of what must stand; each entry is an id, or an id with a condition.
func (l *loader) needs(g *table, s *Step, before use) {
	l.conditional(g, "needs", "a need", needFields, before, func(w word, when Condition, at Place) {
		i := len(s.Needs)
		s.Needs = append(s.Needs, Need{Safeguard: -1, Pin: -1, When: when, Place: at})
		l.settle(func() { l.settleNeed(s, i, w) })
	})
}

// conditional reads a list whose entries are an id, or a group of the id and the condition under which it stands there.
func (l *loader) conditional(g *table, list, what string, fields []string, before use, take func(w word, when Condition, at Place)) {
	for _, n := range g.items(list) {
		w := word{Place: placeOf(n)}
		var when Condition
		if n.Kind == yaml.MappingNode {
			t, ok := l.table(n, what+" of "+g.what, fields)
			if !ok {
				continue
			}
			t.require(fields...)
			w = t.id(fields[0])
			when = l.condition(t, before)
		} else {
			w.Text = l.scalar(n, what+" of "+g.what)
			l.form(w)
		}
		if w.Text != "" {
			take(w, when, placeOf(n))
		}
	}
}

func (l *loader) safeguardsOf(g *table, s *Step, m *marks) {
	m.secured = g.id("secures").Text
	if s.Kind != Gate {
		g.refuse("only a gate secures", "make it a gate that asks for evidence", "secures")
	} else if m.secured != "" {
		l.settle(func() { s.Secures = l.settleSafeguard(word{m.secured, m.secures}) })
	}
	m.releases = g.ids("releases")
	for _, w := range m.releases {
		l.settle(func() {
			if i := l.settleSafeguard(w); i >= 0 {
				s.Releases = append(s.Releases, i)
			}
		})
	}
	m.causes = g.ids("causes")
	for _, w := range m.causes {
		s.Causes = append(s.Causes, w.Text)
		l.settle(func() { l.settleEffect(w) })
	}
	m.due = g.ids("due after")
	for _, w := range m.due {
		l.settle(func() { l.settleDueAfter(s, w) })
	}
}

func (l *loader) wait(g *table, s *Step) *Wait {
	if !g.has("wait") {
		return nil
	}
	what := "wait of " + g.what
	t, ok := l.table(g.vals["wait"], what, waitFields)
	if !ok {
		return nil
	}
	t.require("for")
	if !t.has("at least") && !t.has("at most") {
		l.fault(t.place, "add at least: ... or at most: ...", "%s says neither at least nor at most", what)
	}
	if t.has("at most") != t.has("if missed") {
		l.fault(t.place, "write both or neither", "%s has only one of \"at most\" and \"if missed\"", what)
	}
	w := &Wait{Title: t.text("for"), IfMissed: t.text("if missed"), Place: t.place}
	w.AtLeast, w.AtMost = l.bounds(t, quantity.Time, l.use(s.Index, "", "a bound"))
	return w
}

func (l *loader) ask(g *table) *Ask {
	if !g.has("ask") {
		return nil
	}
	what := "ask of " + g.what
	t, ok := l.table(g.vals["ask"], what, askFields)
	if !ok {
		return nil
	}
	t.require(askFields...)
	ask := &Ask{Question: t.text("question"), Place: t.place}
	nodes := t.items("answers")
	for _, n := range nodes {
		if a, ok := l.answer(n, what, len(l.steps)-1); ok {
			ask.Answers = append(ask.Answers, a)
		}
	}
	if len(nodes) == 1 {
		l.fault(t.at("answers"), "give at least two answers", "%s leaves no choice", what)
	}
	l.saidTwice(ask.Answers, what)
	return ask
}

func (l *loader) answer(n *yaml.Node, what string, step int) (Answer, bool) {
	t, ok := l.table(n, "an answer to "+what, answerFields)
	if !ok {
		l.lost = true
		return Answer{}, false
	}
	t.require("say")
	a := Answer{Say: t.text("say"), Then: l.target(t, step), Place: t.place}
	return a, a.Say != ""
}

func (l *loader) saidTwice(answers []Answer, what string) {
	seen := map[string]bool{}
	for _, a := range answers {
		if seen[a.Say] {
			l.fault(a.Place, "say what differs", "%s has the answer %s twice", what, quote(a.Say))
		}
		seen[a.Say] = true
	}
}

// target reads where a step or an answer leads.
func (l *loader) target(t *table, step int) Target {
	w := t.id("then")
	if w.Text == "" {
		l.lost = l.lost || t.has("then")
		return Target{}
	}
	switch end := Outcome(w.Text); end {
	case Complete, Referred, Abandoned:
		return Target{End: end, Place: w.Place}
	}
	l.settle(func() { l.settleTarget(w) })
	return Target{Step: w.Text, Place: w.Place}
}

func (l *loader) repeat(g *table) *Repeat {
	if !g.has("repeat") {
		return nil
	}
	t, ok := l.table(g.vals["repeat"], "repeat of "+g.what, repeatFields)
	if !ok {
		return nil
	}
	t.require(repeatFields...)
	return &Repeat{AtMost: t.whole("at most", 1), Until: t.text("until"), Place: t.place}
}

func (l *loader) pin(g *table) {
	s, m := l.begin(g, Pinned)
	g.require("pin", "starts on", "at least")
	l.define(&named{id: word{s.ID, m.id}, sort: "pinned step", step: s.Index})
	s.Pin = &Pin{Remind: g.duration("remind"), Place: g.place}
	s.Pin.AtLeast, _ = l.bounds(g, quantity.Time, l.use(s.Index, "", "a bound"))
	m.starts = g.ids("starts on")
	for _, w := range m.starts {
		s.Pin.On = append(s.Pin.On, w.Text)
		l.settle(func() { l.settleCause(w, false) })
	}
	l.asks(g, s)
}

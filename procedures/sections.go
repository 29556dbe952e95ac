package procedures

// The sections above the steps: the header, the instruments, the job sheet and the safeguards.

import (
	"fmt"

	"fenderside/checks/quantity"
)

const formatVersion = 1

func (l *loader) header(t *table) {
	t.require("fenderside", "procedure", "revision", "title", "scope", "steps")
	if v := t.whole("fenderside", 1); t.has("fenderside") && v != formatVersion && !l.spoilt[t.vals["fenderside"]] {
		l.fault(t.at("fenderside"), fmt.Sprintf("this program reads format %d", formatVersion), "the file has format %d", v)
	}
	p := l.p
	p.Name = t.id("procedure").Text
	p.Revision = t.whole("revision", 1)
	p.Title, p.Scope = t.text("title"), t.text("scope")
	p.Excludes, p.Hazards, p.Protective = t.texts("excludes"), t.texts("hazards"), t.texts("protective")
	p.Tools, p.Parts, p.Duties, p.Sources = t.texts("tools"), t.texts("parts"), t.texts("duties"), t.texts("sources")
}

// groups reads a field whose value gives a group of fields to each of several ids.
func (t *table) groups(name string, known []string, what string, read func(id word, group *table)) {
	if !t.has(name) {
		return
	}
	all, ok := t.table(t.vals[name], name, nil)
	if !ok {
		return
	}
	for _, id := range all.order {
		w := word{id, all.keyAt(id)}
		t.form(w)
		if group, ok := t.table(all.vals[id], what+" "+quote(id), known); ok {
			read(w, group)
		}
	}
}

func (l *loader) instruments(t *table) {
	t.groups("instruments", instrumentFields, "instrument", func(id word, g *table) {
		g.require("title")
		l.p.Instruments = append(l.p.Instruments, Instrument{
			ID: id.Text, Title: g.text("title"), Calibration: g.flag("calibration"), Place: id.Place})
	})
}

// instrument returns the index of an instrument, or -1.
func (l *loader) instrument(t *table) int {
	id := t.text("instrument")
	if id == "" {
		return -1
	}
	var known []string
	for i, instrument := range l.p.Instruments {
		if instrument.ID == id {
			return i
		}
		known = append(known, instrument.ID)
	}
	l.fault(t.at("instrument"), didYouMean(id, known), "there is no instrument %s", quote(id))
	return -1
}

func (l *loader) sheet(t *table) {
	for _, n := range t.items("sheet") {
		g, ok := l.table(n, "a sheet field", sheetFields)
		if !ok {
			continue
		}
		l.p.Sheet = append(l.p.Sheet, l.field(g))
	}
}

func (l *loader) field(g *table) Field {
	id := g.id("id")
	g.what = "sheet field " + quote(id.Text)
	g.require("id", "title")
	k := l.takes(g)
	f := Field{ID: id.Text, Title: g.text("title"), Kind: k.kind, Quantity: k.dim, Unit: k.unit, Choose: k.options,
		Optional: g.flag("optional"), Card: g.text("card"), Among: l.among(g, k.kind), Hint: g.text("hint"), Place: g.place}
	l.cardPath(g, f.Card)
	u := l.use(-1, "", "a bound")
	l.define(&named{id: id, sort: "sheet field", kind: f.Kind, dim: f.Quantity, options: f.Choose, optional: f.Optional, step: -1})
	f.AtLeast, f.AtMost = l.bounds(g, f.Quantity, u)
	f.Propose = l.proposal(g, k, u)
	return f
}

// taken is what a sheet field or reading takes.
type taken struct {
	kind    FieldKind
	dim     quantity.Dimension
	unit    string
	options []string
}

// takes reads the one of quantity, choose, text and date that stands in a group, and refuses what does not go with it.
func (l *loader) takes(g *table) taken {
	kinds := []FieldKind{TakesQuantity, TakesChoice, TakesText, TakesDate}
	var k taken
	for _, kind := range kinds {
		switch {
		case !g.has(string(kind)):
		case k.kind != "":
			l.fault(g.keyAt(string(kind)), "keep one of the two", "%s takes %s and %s at once", g.what, quote(string(k.kind)), quote(string(kind)))
		default:
			k.kind = kind
		}
	}
	switch k.kind {
	case "":
		l.fault(g.place, "add one of: quantity, choose, text: true, date: true", "%s does not say what it takes", g.what)
	case TakesQuantity:
		k.dim, k.unit = l.dimension(g)
	case TakesChoice:
		k.options = l.options(g)
	default:
		if !g.flag(string(k.kind)) && !l.spoilt[g.vals[string(k.kind)]] {
			l.fault(g.at(string(k.kind)), "write true", "%s of %s is false", k.kind, g.what)
		}
	}
	if k.kind != "" && k.kind != TakesQuantity {
		g.refuse("it takes no quantity", "take it out, or add quantity: ...", "unit", "at least", "at most", "between", "magnitude")
	}
	return k
}

func (l *loader) dimension(g *table) (quantity.Dimension, string) {
	name := g.text("quantity")
	if name == "" {
		return "", ""
	}
	d := quantity.Dimension(name)
	if !d.Known() {
		var known []string
		for _, k := range quantity.Dimensions() {
			known = append(known, string(k))
		}
		hint := didYouMean(name, known)
		if hint == "" {
			hint = fmt.Sprint("known: ", known)
		}
		l.fault(g.at("quantity"), hint, "there is no quantity %s", quote(name))
		return "", ""
	}
	return d, l.unit(g, d)
}

// unit returns the unit that a prompt suggests: the one written, or the customary one of the dimension.
func (l *loader) unit(g *table, d quantity.Dimension) string {
	if !g.has("unit") {
		return quantity.Units(d)[0]
	}
	unit := g.text("unit")
	q, err := quantity.New(0, unit)
	switch {
	case unit == "":
		return ""
	case err != nil:
		l.fault(g.at("unit"), "write "+unitsOf(d), "there is no unit %s", quote(unit))
		return ""
	case q.Dimension() != d:
		l.fault(g.at("unit"), "write "+unitsOf(d), "%s is a unit of %s; %s takes a %s", quote(unit), q.Dimension(), g.what, d)
		return ""
	}
	return q.Unit()
}

func (l *loader) options(g *table) []string {
	options := g.texts("choose")
	if n := g.vals["choose"]; len(options) < 2 && !l.spoilt[n] && len(n.Content) < 2 {
		l.fault(g.at("choose"), "give at least two", "choose of %s leaves no choice", g.what)
	}
	return options
}

func (l *loader) safeguards(t *table) {
	t.groups("safeguards", safeguardFields, "safeguard", func(id word, g *table) {
		g.require("title")
		s := Safeguard{ID: id.Text, Title: g.text("title"), IfLost: g.textOrTexts("if lost"), Lasting: g.flag("lasting"),
			Place: id.Place, Gate: -1}
		on := l.lapses(g, &s)
		if len(l.p.Safeguards) == MaxSafeguards {
			l.fault(id.Place, "take the procedure apart", "there are more than %d safeguards", MaxSafeguards)
		}
		if len(l.p.Safeguards) < MaxSafeguards {
			l.p.Safeguards, l.lapsed = append(l.p.Safeguards, s), append(l.lapsed, on)
		}
	})
}

// lapses reads what fells a safeguard by itself, and returns the causes with their places.
func (l *loader) lapses(g *table, s *Safeguard) []word {
	if !g.has("lapses") {
		return nil
	}
	what := "lapses of " + g.what
	t, ok := l.table(g.vals["lapses"], what, lapseFields)
	if !ok {
		return nil
	}
	if !t.has("on") && !t.has("after") {
		l.fault(t.place, "add on: [...] or after: 30 min, or take lapses out", "%s says neither on what nor after how long", what)
	}
	if !t.has("because") {
		l.fault(t.place, "add because: the physical cause", "%s does not say because of what", what)
	}
	on := t.ids("on")
	for _, w := range on {
		s.LapseOn = append(s.LapseOn, w.Text)
		l.settle(func() { l.settleCause(w, true) })
	}
	s.After, s.Because = t.duration("after"), t.text("because")
	return on
}

package procedures

// A sheet field may name the check that proposes its value, out of fields that stand before it. What the check must be given, and
// what of it the field takes, is held to both here; proposed.go asks the check.

import (
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/checks"
)

// proposal reads what is proposed for a sheet field: {output: sensor, of: {sensor-position: {words: told}}}.
func (l *loader) proposal(g *table, field taken, before use) *Proposal {
	if !g.has("propose") {
		return nil
	}
	t, ok := l.table(g.vals["propose"], "propose of "+g.what, proposeFields)
	if !ok {
		return nil
	}
	t.require(proposeFields...)
	if g.flag("optional") {
		l.fault(g.keyAt("propose"), "take out one of the two", "%s may be left out, so an empty answer could not take what is proposed", g.what)
	}
	if !t.has("of") {
		return nil
	}
	of, ok := l.table(t.vals["of"], "of in "+t.what, nil)
	if !ok {
		return nil
	}
	if len(of.order) != 1 {
		l.fault(of.place, "write {check-name: {input: value}}", "%s names %d checks; one proposes", t.what, len(of.order))
		return nil
	}
	name := of.order[0]
	check, inputs, ok := l.checkOf(of, name)
	if !ok {
		return nil
	}
	p := &Proposal{Output: t.text("output"), By: CheckUse{Name: name, Advice: true, Check: check, Place: of.keyAt(name)}}
	before.as = "check " + quote(name)
	l.inputs(inputs, before, &p.By, func(i int) *CheckInput { return &p.By.Inputs[i] })
	l.proposable(t, field, p)
	return p
}

// proposable holds the output to what the field takes.
func (l *loader) proposable(t *table, field taken, p *Proposal) {
	if p.Output == "" || field.kind == "" {
		return
	}
	o, ok := p.By.Check.Output(checks.Figure{Name: p.Output})
	if !ok {
		l.fault(t.at("output"), didYouMean(p.Output, outputNames(p.By.Check)), "check %s gives no %s", quote(p.By.Name), quote(p.Output))
		return
	}
	if why, hint := field.refuses(o); why != "" {
		l.fault(t.at("output"), hint, "%s takes %s, which %s", t.what, quote(o.Name), why)
	}
}

// refuses says why a field cannot take an output; empty where it can. Where nothing says beforehand which words an output may be,
// they are held to the field when they are there.
func (k taken) refuses(o checks.Output) (why, hint string) {
	alike := false
	switch k.kind {
	case TakesQuantity:
		alike = !o.Words && dimensionOf(o) == k.dim
	case TakesChoice:
		alike = o.Words
	case TakesText:
		alike = true
	}
	switch {
	case o.Many:
		return "is any number of figures", "name an output of one figure"
	case !alike:
		return "is of another kind", "name an output that the field takes"
	case k.kind != TakesChoice:
		return "", ""
	}
	for _, option := range o.Options {
		if !slices.Contains(k.options, option) {
			return "may be " + quote(option) + ", and that is no choice of the field", didYouMean(option, k.options)
		}
	}
	return "", ""
}

// proposesFromTheSheet takes out of what a part proposes what the whole gives it as readings: those are taken after the sheet is
// filled. Where the check cannot do without one, nothing is proposed.
func (f *fitting) proposesFromTheSheet() {
	for _, n := range items(f.root, "sheet") {
		propose := fieldOf(n, "propose")
		of := fieldOf(propose, "of")
		if of == nil || of.Kind != yaml.MappingNode || len(of.Content) != 2 {
			continue // its fault is told by the loader
		}
		if !f.withoutReadings(of.Content[0].Value, of.Content[1]) {
			i := slices.Index(n.Content, propose)
			n.Content = slices.Delete(n.Content, i-1, i+1)
		}
	}
}

// withoutReadings takes out the inputs that readings of the whole would feed; false where the check must have one of them.
func (f *fitting) withoutReadings(name string, inputs *yaml.Node) bool {
	check, known := checks.Find(name)
	if !known || inputs.Kind != yaml.MappingNode {
		return true
	}
	does := true
	var kept []*yaml.Node
	for i := 0; i+1 < len(inputs.Content); i += 2 {
		from := f.taker(inputs.Content[i+1].Value)
		if from == nil || slices.Contains(items(f.whole, "sheet"), from) {
			kept = append(kept, inputs.Content[i:i+2]...)
			continue
		}
		in, _ := check.Input(inputs.Content[i].Value)
		does = does && in.Optional
	}
	inputs.Content = kept
	return does
}

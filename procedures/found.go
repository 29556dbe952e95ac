package procedures

// What a check of an earlier step found may feed a check, so that nobody types it again. It is named by its output, its
// check and its step, held to the input that it feeds, and rests on nothing that may not have been found.

import (
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// namesFound says whether an input is written as what a check found.
func namesFound(n *yaml.Node) bool {
	return slices.ContainsFunc(foundFields, func(name string) bool { return fieldOf(n, name) != nil })
}

// foundInput reads what a check found: {output: shows, of: sensor-trace, at: save-trace}.
func (l *loader) foundInput(t *table, in checks.Input, u use, c *CheckUse, at func(i int) *CheckInput) {
	g, ok := l.table(t.vals[in.Name], "input "+quote(in.Name)+" of "+t.what, foundFields)
	if !ok {
		return
	}
	g.require(foundFields...)
	found := &Found{Output: g.text("output"), Check: g.text("of"), Step: g.id("at").Text}
	if found.Output == "" || found.Check == "" || found.Step == "" {
		return
	}
	i := len(c.Inputs)
	c.Inputs = append(c.Inputs, CheckInput{Name: in.Name, Found: found, Place: g.place})
	u.as += " input " + quote(in.Name)
	l.settle(func() { l.settleFound(at(i), g, in, u, c.Advice) })
}

// settleFound finds the step, the check of it and the output of that, and holds the output to the input.
func (l *loader) settleFound(input *CheckInput, g *table, in checks.Input, u use, advice bool) {
	from, ok := l.foundBy(input.Found, g, u)
	if !ok {
		return
	}
	o, ok := from.Check.Output(checks.Figure{Name: input.Found.Output})
	if !ok {
		l.fault(g.at("output"), didYouMean(input.Found.Output, outputNames(from.Check)), "check %s gives no %s", quote(from.Name), quote(input.Found.Output))
		return
	}
	if why, hint := unfit(o, in); why != "" {
		l.fault(g.at("output"), hint, "%s takes %s, which %s", u.as, quote(o.Name), why)
		return
	}
	if advice {
		return
	}
	step := word{input.Found.Step, g.at("at")}
	l.certain(l.names[step.Text], step, u)
	if !in.Optional && (from.Advice || o.Maybe || len(from.When) > 0) {
		l.fault(g.place, "hold that step to the check in every way of it, or feed an input that may be left out",
			"%s depends on %s of check %s, which may not be found", u.as, quote(o.Name), quote(from.Name))
	}
}

// foundBy is the check of an earlier step that is named, or tells why there is none.
func (l *loader) foundBy(found *Found, g *table, u use) (CheckUse, bool) {
	n, ok := l.valueOf(word{found.Step, g.at("at")}, u, func(n *named) bool { return n.sort == "step" && l.makes(n.step, found.Check) >= 0 })
	if !ok {
		return CheckUse{}, false
	}
	if n.sort != "step" || n.step == u.step {
		l.fault(g.at("at"), "name a step of the line that stands before this one", "%s names the %s %s, which is no earlier step", u.as, n.sort, quote(found.Step))
		return CheckUse{}, false
	}
	if k := l.makes(n.step, found.Check); k >= 0 {
		return l.steps[n.step].Checks[k], true
	}
	var known []string
	for _, c := range l.steps[n.step].Checks {
		known = append(known, c.Name)
	}
	l.fault(g.at("of"), didYouMean(found.Check, known), "%s takes what check %s found, which the step %s does not make", u.as, quote(found.Check), quote(found.Step))
	return CheckUse{}, false
}

// makes is the place of a check among those of a step, or -1.
func (l *loader) makes(step int, check string) int {
	return slices.IndexFunc(l.steps[step].Checks, func(c CheckUse) bool { return c.Name == check })
}

// unfit says why an output cannot be given to an input; empty where it can.
func unfit(o checks.Output, in checks.Input) (why, hint string) {
	alike := false
	switch in.Kind {
	case checks.KindChoice:
		alike = len(o.Options) > 0
	case checks.KindText:
		alike = true
	case checks.KindQuantity:
		alike = !o.Words && dimensionOf(o) != "" && (in.Dimension == "" || dimensionOf(o) == in.Dimension)
	}
	switch {
	case o.Many:
		return "is any number of figures", "name an output of one figure"
	case !alike:
		return "is of another kind", "give " + wants(in)
	case in.Kind != checks.KindChoice:
		return "", ""
	}
	for _, option := range o.Options {
		if !slices.Contains(in.Options, option) {
			return "may be " + quote(option) + ", and the check does not know that", didYouMean(option, in.Options)
		}
	}
	return "", ""
}

// dimensionOf is the dimension of an output that is a quantity: of one without a unit, a number. Empty where its unit is
// one that no quantity has.
func dimensionOf(o checks.Output) quantity.Dimension {
	if o.Dimension == "" && o.Unit == "" {
		return quantity.Number
	}
	return o.Dimension
}

func outputNames(c checks.Check) []string {
	var names []string
	for _, o := range c.Outputs {
		names = append(names, o.Name)
	}
	return names
}

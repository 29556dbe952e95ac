package procedures

// An engine on a card is one that can be built: its cylinders are numbered from 1, each stands in one bank, and
// cylinder 1 stands in bank 1 (SAE J1979 names the bank that holds cylinder 1 bank 1).

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// has says whether the engine has a bank of that name.
func (e Engine) has(bank string) bool {
	return slices.ContainsFunc(e.Banks, func(b Bank) bool { return b.Name == bank })
}

func (l *cardLoader) engine(t *table) {
	g, ok := l.group(t, "engine", "the engine", engineFields)
	if !ok {
		return
	}
	g.require("arrangement", "cylinders", "mounting", "cylinder_1", "banks")
	e := &l.c.Engine
	e.Arrangement = l.choice(g, "engine", "arrangement", "in-line", "V", "flat")
	e.Cylinders = l.number(g, "engine", "cylinders", 1, 16)
	e.Mounting = l.choice(g, "engine", "mounting", "lengthwise", "crosswise")
	ends, sides := []string{"front", "rear"}, []string{"left", "right"}
	if e.Mounting == "crosswise" {
		ends, sides = sides, ends
	}
	if e.Mounting != "" {
		e.CylinderOne = l.choice(g, "engine", "cylinder_1", ends...)
	}
	l.banks(g, sides)
	l.firingOrder(g)
}

func (l *cardLoader) banks(g *table, sides []string) {
	all, ok := l.group(g, "banks", "banks", []string{"B1", "B2"})
	if !ok {
		return
	}
	all.require("B1")
	e := &l.c.Engine
	for _, name := range slices.Sorted(slices.Values(all.order)) {
		t, ok := l.table(all.vals[name], "bank "+name, bankFields)
		if !ok {
			continue
		}
		b := Bank{Name: name}
		t.require("cylinders")
		path := "engine.banks." + name
		if e.Mounting != "" {
			b.Side = l.choice(t, path, "side", sides...)
		}
		b.Cylinders = l.numbers(t, path, "cylinders")
		e.Banks = append(e.Banks, b)
	}
	// An in-line engine has one bank, or two where its maker splits the manifold: the exhaust, not the block, makes them.
	if e.Arrangement != "" && e.Arrangement != "in-line" {
		all.require("B2")
		l.twoSides(all)
	}
	l.eachInOneBank(all)
}

// twoSides: the banks of a V or flat engine lie on two sides.
func (l *cardLoader) twoSides(all *table) {
	for i, b := range l.c.Engine.Banks {
		t := all.vals[b.Name]
		if b.Side == "" && !slices.ContainsFunc(t.Content, func(n *yaml.Node) bool { return n.Value == "side" }) {
			l.fault(placeOf(t), "add side: ...", "bank %s has no \"side\"", b.Name)
		}
		if i == 1 && b.Side != "" && b.Side == l.c.Engine.Banks[0].Side {
			l.fault(placeOf(t), "give each its own side", "both banks lie on the %s", b.Side)
		}
	}
}

// eachInOneBank: each cylinder stands in one bank, and cylinder 1 in B1.
func (l *cardLoader) eachInOneBank(all *table) {
	e := l.c.Engine
	bank := map[int]string{}
	for _, b := range e.Banks {
		at := placeOf(all.vals[b.Name])
		for _, c := range b.Cylinders {
			switch {
			case bank[c] != "":
				l.fault(at, "put it in one bank", "cylinder %d stands in %s and in %s", c, bank[c], b.Name)
			case e.Cylinders > 0 && c > e.Cylinders:
				l.fault(at, "look at cylinders", "there is no cylinder %d in an engine of %d", c, e.Cylinders)
			case c == 1 && b.Name != "B1":
				l.fault(at, "the bank with cylinder 1 is B1", "cylinder 1 stands in %s", b.Name)
			}
			bank[c] = b.Name
		}
	}
	for c := 1; c <= e.Cylinders && len(e.Banks) == len(all.order); c++ {
		if bank[c] == "" {
			l.fault(all.place, "put it in a bank", "cylinder %d stands in no bank", c)
		}
	}
}

func (l *cardLoader) firingOrder(g *table) {
	e := &l.c.Engine
	e.FiringOrder = l.numbers(g, "engine", "firing_order")
	if !g.has("firing_order") || e.Cylinders == 0 || e.FiringOrder == nil {
		return
	}
	var each []int
	for c := 1; c <= e.Cylinders; c++ {
		each = append(each, c)
	}
	if !slices.Equal(slices.Sorted(slices.Values(e.FiringOrder)), each) {
		l.fault(g.at("firing_order"), fmt.Sprintf("write each of 1 to %d once", e.Cylinders), "firing_order does not hold each cylinder once")
	}
}

// numbers reads a list of cylinder numbers, alone or as {value, source}, and keeps it as a fact.
func (l *cardLoader) numbers(t *table, path, name string) []int {
	if !t.has(name) {
		return nil
	}
	at, source, field := t.at(name), l.c.Source, name
	if t.vals[name].Kind == yaml.MappingNode {
		own, ok := l.table(t.vals[name], name+" of "+t.what, factFields)
		if !ok {
			return nil
		}
		own.require(factFields...)
		t, field, source = own, "value", own.text("source")
	}
	var all []int
	var texts []string
	for _, w := range t.words(field) {
		i, err := strconv.Atoi(w.Text)
		if err != nil || i < 1 || strconv.Itoa(i) != w.Text {
			l.fault(w.Place, "write a whole number from 1", "%s is no cylinder", quote(w.Text))
			continue
		}
		all, texts = append(all, i), append(texts, w.Text)
	}
	if len(all) > 0 {
		l.c.facts[path+"."+name] = Fact{strings.Join(texts, ", "), source, at}
	}
	return all
}

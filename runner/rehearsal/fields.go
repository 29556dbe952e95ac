package rehearsal

// Values are taken out of the tree only through here: each is of the kind that its field says, or it is a fault.

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// group is the fields of one mapping.
type group struct {
	*reader
	node  *yaml.Node
	what  string // how a sentence names it
	order []string
	vals  map[string]*yaml.Node
}

// group reads a mapping whose fields are among the known ones; nil knows every field. It returns nil where n is none.
func (r *reader) group(n *yaml.Node, what string, known []string) *group {
	if n.Kind != yaml.MappingNode {
		r.fault(n, listed(known), "%s is %s; fields and their values belong here", what, procedures.KindOf(n))
		return nil
	}
	g := &group{reader: r, node: n, what: what, vals: map[string]*yaml.Node{}}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name := n.Content[i]
		if known != nil && !slices.Contains(known, name.Value) {
			r.fault(name, procedures.DidYouMean(name.Value, known), "%s has no field %s", what, quote(name.Value))
			continue
		}
		g.order = append(g.order, name.Value)
		g.vals[name.Value] = n.Content[i+1]
	}
	return g
}

func listed(known []string) string {
	if known == nil {
		return "write fields and their values"
	}
	return "its fields: " + strings.Join(known, ", ")
}

func (g *group) has(name string) bool { return g.vals[name] != nil }

// require tells which fields are missing.
func (g *group) require(names ...string) {
	for _, name := range names {
		if !g.has(name) {
			g.fault(g.node, "add "+name+": ...", "%s has no %s", g.what, quote(name))
		}
	}
}

// alone tells where more than one of the fields stands.
func (g *group) alone(names ...string) {
	found := ""
	for _, name := range g.order {
		if !slices.Contains(names, name) {
			continue
		}
		if found != "" {
			g.fault(g.vals[name], "keep one of the two", "%s has both %s and %s", g.what, quote(found), quote(name))
		}
		found = name
	}
}

// text is a field of one line of text; empty where it is absent or faulty.
func (g *group) text(name string) string {
	if !g.has(name) {
		return ""
	}
	return g.scalar(g.vals[name], name+" of "+g.what)
}

func (r *reader) scalar(n *yaml.Node, what string) string {
	text := strings.TrimSpace(n.Value)
	switch {
	case n.Kind != yaml.ScalarNode:
		r.fault(n, "write one text", "%s is %s; one text belongs here", what, procedures.KindOf(n))
		return ""
	case n.Tag == "!!null" || text == "":
		r.fault(n, "write it, or take the field out", "%s is empty", what)
		return ""
	case strings.Contains(text, "\n"):
		r.fault(n, "write it folded, with > instead of |", "%s has several lines; one line belongs here", what)
		return ""
	}
	return text
}

// list is the entries of a list field, which is not empty.
func (g *group) list(name string) []*yaml.Node {
	n := g.vals[name]
	if n == nil {
		return nil
	}
	if n.Kind != yaml.SequenceNode || len(n.Content) == 0 {
		g.fault(n, "put a - before each entry, or write [ ... ] around them", "%s of %s is %s; a list with entries belongs here", name, g.what, procedures.KindOf(n))
		return nil
	}
	return n.Content
}

// texts is a field that is one text or a list of texts.
func (g *group) texts(name string) []string {
	n := g.vals[name]
	if n == nil {
		return nil
	}
	entries := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		entries = g.list(name)
	}
	var out []string
	for _, e := range entries {
		if text := g.scalar(e, "an entry of "+name+" of "+g.what); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// yes is a field that may only say true; absent is false.
func (g *group) yes(name string) bool {
	n := g.vals[name]
	if n == nil {
		return false
	}
	if n.Kind != yaml.ScalarNode || n.Value != "true" || n.Tag != "!!bool" {
		g.fault(n, "write true, or take the field out", "%s of %s is not true", name, g.what)
		return false
	}
	return true
}

// whole is a whole number from least on; absent is least.
func (g *group) whole(name string, least int) int {
	if !g.has(name) {
		return least
	}
	text := g.text(name)
	if text == "" {
		return least
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < least {
		g.fault(g.vals[name], "write a whole number", "%s of %s is %s; a whole number from %d on belongs here", name, g.what, quote(text), least)
		return least
	}
	return n
}

// span is a length of time longer than none; absent is 0.
func (g *group) span(name string) time.Duration {
	text := g.text(name)
	if text == "" {
		return 0
	}
	q, err := quantity.ParseAs(text, quantity.Time)
	if err == nil {
		var d time.Duration
		if d, err = q.Duration(); err == nil && d > 0 {
			return d
		}
	}
	g.fault(g.vals[name], "write a time with its unit, such as 15 s or 5 min", "%s of %s is %s, which is no length of time", name, g.what, quote(text))
	return 0
}

// instant is a point in time, RFC 3339 in UTC; absent is the zero time.
func (g *group) instant(name string) time.Time {
	text := g.text(name)
	if text == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil || !strings.HasSuffix(text, "Z") {
		g.fault(g.vals[name], "write it such as 2026-03-14T09:00:00Z", "%s of %s is %s, which is no time in UTC", name, g.what, quote(text))
		return time.Time{}
	}
	return t
}

package procedures

// A sheet field may name where in a vehicle card its value stands. The path is dotted; {field} in it stands for the
// value of an earlier sheet field.

import (
	"regexp"
	"strings"
	"sync"
)

var (
	pathPattern = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^(?:[A-Za-z0-9_-]+|\{[a-z0-9_.-]+\})(?:\.(?:[A-Za-z0-9_-]+|\{[a-z0-9_.-]+\}))*$`)
	})
	slotPattern = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\{([^{}]*)\}`) })
)

// cardPath looks at the form of a path and at the fields named in it.
func (l *loader) cardPath(g *table, path string) {
	if path == "" {
		return
	}
	at := g.at("card")
	if !pathPattern().MatchString(path) {
		l.fault(at, "write words with points between them, such as sensors.{position}.hex", "card of %s is no path: %s", g.what, quote(path))
		return
	}
	u := l.use(-1, "", "card")
	named := func(n *named) bool { return n.kind == TakesChoice || n.kind == TakesText }
	for _, slot := range slotPattern().FindAllStringSubmatch(path, -1) {
		w := word{slot[1], at}
		l.settle(func() {
			n, ok := l.valueOf(w, u, named)
			if !ok {
				return
			}
			if n.kind != "" && !named(n) {
				l.fault(at, "name a field that chooses", "card names the %s %s, which takes a %s", n.sort, quote(w.Text), n.kind)
				return
			}
			l.certain(n, w, u)
		})
	}
}

// among reads the path to the list of a card that narrows a choice.
func (l *loader) among(g *table, kind FieldKind) string {
	path := g.text("among")
	switch at := g.at("among"); {
	case path == "":
	case kind != TakesChoice:
		l.fault(g.keyAt("among"), "take it out, or let the field choose", "among narrows a choice, and %s makes none", g.what)
	case !pathPattern().MatchString(path) || slotPattern().MatchString(path):
		l.fault(at, "write words with points between them, such as sensors.fitted", "among of %s is no path: %s", g.what, quote(path))
	}
	return path
}

// slots returns path with each {field} replaced by what value gives; false where one has none yet.
func slots(path string, value func(id string) string) (string, bool) {
	whole := true
	filled := slotPattern().ReplaceAllStringFunc(path, func(slot string) string {
		v := value(strings.Trim(slot, "{}"))
		whole = whole && v != ""
		return v
	})
	return filled, whole
}

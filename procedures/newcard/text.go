package newcard

// The card as text: one fact a line, with its source where that is not the card's own, and what is not known as a remark to
// be filled in later.

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"sync"
)

const heading = `# A vehicle card, written from the service information of this vehicle. A figure with a source of its own stands as
# {value: ..., source: ...}; every other one comes from the source of the card. What was not known stands behind a #.
# After a change, read it with: fenderside cards check FILE
`

// Text is the card as it was answered.
func (d *Draft) Text() []byte { return d.written(false) }

// written is the card, with stand-ins for what was not asked yet where the reader is to judge it.
func (d *Draft) written(standIns bool) []byte {
	w := &writer{card: d.text("source")}
	w.out.WriteString(heading)
	w.line(0, "fenderside-card: 1")
	w.line(0, "card: "+d.name)
	w.line(0, "demonstration: false")
	for _, q := range d.plan() {
		g, asked := d.given(q.id)
		if !asked && standIns {
			g.text = q.standIn
		}
		switch {
		case q.id == "fitted":
			w.fitted(g, d.described)
		case g.text != "":
			w.known(q, g)
		case asked:
			w.unknown(q)
		}
	}
	return w.out.Bytes()
}

// described says whether anything is known of the sensor at a position.
func (d *Draft) described(at string) bool {
	return slices.ContainsFunc(d.answers, func(g given) bool { return g.text != "" && strings.HasPrefix(g.id, "sensors."+at+".") })
}

// fact is a value as YAML, with its source where that is not the card's own.
func fact(value, source string, list bool, card string) string {
	text := scalar(value)
	if list {
		var all []string
		for _, one := range split(value) {
			all = append(all, scalar(one))
		}
		text = "[" + strings.Join(all, ", ") + "]"
	}
	if source == "" || source == card {
		return text
	}
	return "{value: " + text + ", source: " + scalar(source) + "}"
}

// simple is what YAML takes for the same text without quotes, within a list too.
var simple = sync.OnceValue(func() *regexp.Regexp { // made when it is needed: it would slow every start
	return regexp.MustCompile(`^[\p{L}\p{N}](?:[\p{L}\p{N}_ .·×°/+-]*[\p{L}\p{N}°])?$`)
})

// scalar is one text as YAML, in quotes where it needs them. JSON's quotes are YAML's too.
func scalar(text string) string {
	if simple().MatchString(text) && !strings.EqualFold(text, "null") {
		return text
	}
	var quoted bytes.Buffer
	to := json.NewEncoder(&quoted)
	to.SetEscapeHTML(false)
	if err := to.Encode(text); err != nil {
		panic(err) // a string always encodes
	}
	return strings.TrimSpace(quoted.String())
}

// writer writes fields under the groups that their paths name.
type writer struct {
	out   bytes.Buffer
	card  string   // the source of the card
	group []string // that is open
}

func (w *writer) line(depth int, text string) {
	w.out.WriteString(strings.Repeat("  ", depth) + text + "\n")
}

// known writes the fields of one answer.
func (w *writer) known(q question, g given) {
	for i, path := range q.paths {
		value := g.text
		if low, high, two := strings.Cut(g.text, " to "); two && len(q.paths) == 2 {
			value = strings.TrimSpace([]string{low, high}[i])
		}
		w.field(path, fact(value, g.source, q.list, w.card))
	}
}

// unknown leaves a remark where the fields would stand.
func (w *writer) unknown(q question) {
	for _, path := range q.paths {
		w.line(strings.Count(path, "."), "# "+path+": not known")
	}
}

// fitted names the sensors of which nothing else is known; every other one has a group of its own further on.
func (w *writer) fitted(g given, described func(at string) bool) {
	for _, at := range split(g.text) {
		if !described(at) {
			w.field("sensors."+at, "{}")
		}
	}
}

// field opens the groups of a path and writes its value.
func (w *writer) field(path, value string) {
	words := strings.Split(path, ".")
	groups, name := words[:len(words)-1], words[len(words)-1]
	same := 0
	for same < len(groups) && same < len(w.group) && groups[same] == w.group[same] {
		same++
	}
	for i := same; i < len(groups); i++ {
		w.line(i, scalar(groups[i])+":")
	}
	w.group = groups
	w.line(len(groups), scalar(name)+": "+value)
}

package runner_test

// Made-up procedures that state their dangers too: at first both sides say the same, then a few entries of one side are lost,
// added or changed, as by somebody who works on one side and forgets the other.

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"

	"fenderside/procedures"
)

// madeDanger is a danger being written.
type madeDanger struct {
	id          string
	kept, comes []string
	after       string
}

// writtenTwice is a procedure with dangers that the loader takes.
func writtenTwice(t *rapid.T) string {
	for range 200 {
		p := &page{t: t, guards: rapid.IntRange(1, 3).Draw(t, "guards")}
		p.sound()
		for range max(0, rapid.IntRange(-2, 2).Draw(t, "edits")) {
			p.careless()
		}
		p.perilous()
		p.second()
		for range []int{0, 1, 1, 2, 3}[p.pick("forgotten", 5)] {
			p.forget()
		}
		text := p.text()
		if _, err := procedures.Parse("made.yaml", []byte(text)); err == nil {
			return text
		}
	}
	t.Skip("the loader takes none of these")
	return ""
}

// perilous has more of the safeguards fall, and some step wait for what is watched.
func (p *page) perilous() {
	for g := range p.lapses {
		if len(p.lapses[g].on) == 0 && p.chance("falls", 2) {
			p.lapses[g] = []madeLapse{{on: []string{"flame"}}, {after: "20 min"}, {on: []string{"interruption", "flame"}}}[p.pick("how", 3)]
		}
	}
	for _, s := range p.steps {
		if p.pin && s["kind"] == "do" && s["causes"] == "" && p.chance("watched", 3) {
			p.add(s, "needs", "watch")
		}
	}
}

// second states by dangers what the steps and safeguards say.
func (p *page) second() {
	p.steps = append(p.steps, map[string]string{"id": "burn", "kind": "do", "causes": "flame, draught"})
	p.dangers = []madeDanger{{id: "blaze", comes: []string{"flame"}}, {id: "gust", comes: []string{"draught"}}}
	for g, l := range p.lapses {
		p.dangers = append(p.dangers, madeDanger{fmt.Sprintf("d%d", g), []string{fmt.Sprintf("g%d", g)}, slices.Clone(l.on), l.after})
	}
	if g := p.pick("joined", 2*p.guards); g+1 < p.guards && p.lapses[g].after == "" && slices.Equal(p.lapses[g].on, p.lapses[g+1].on) {
		p.dangers = append(p.dangers, madeDanger{"joint", []string{fmt.Sprintf("g%d", g), fmt.Sprintf("g%d", g+1)}, slices.Clone(p.lapses[g].on), ""})
	}
	if p.starts = "flame"; p.pin {
		p.dangers = append(p.dangers, madeDanger{id: "ember", kept: []string{"watch"}, comes: []string{"flame"}})
	}
	if p.chance("tidy", 2) {
		p.tidied()
	}
	for _, s := range p.steps {
		s["faces"], s["brings"] = p.faced(items(s["needs"])), p.brought(items(s["causes"]))
	}
}

// tidied adds a lasting safeguard whose gate makes safe.
func (p *page) tidied() {
	var due []string
	for _, s := range p.steps {
		if slices.Contains(items(s["causes"]), "flame") {
			due = append(due, s["id"])
		}
	}
	at := len(p.steps) - 1 // before the last thing that is burnt, which no close may forget
	gate := map[string]string{"id": "tidy", "kind": "gate", "secures": "tidied", "due after": strings.Join(due, ", ")}
	p.steps = slices.Insert(p.steps, at, gate)
	p.tidy, p.safe = []string{"flame"}, append(p.safe, "tidy")
	p.dangers = append(p.dangers, madeDanger{"mess", []string{"tidied"}, []string{"flame"}, ""})
}

// items splits a list of words and mappings as YAML writes them.
func items(list string) (out []string) {
	depth, from := 0, 0
	for i, c := range list + "," {
		switch {
		case c == '{':
			depth++
		case c == '}':
			depth--
		case c == ',' && depth == 0:
			if item := strings.TrimSpace(list[from:i]); item != "" {
				out = append(out, item)
			}
			from = i + 1
		}
	}
	return out
}

// faced is the dangers that what a step needs keeps off; one danger of two keepers stands for both of them.
func (p *page) faced(needs []string) string {
	var out []string
	joint := slices.IndexFunc(p.dangers, func(d madeDanger) bool { return d.id == "joint" })
	joined := func(need string) bool { return joint >= 0 && slices.Contains(p.dangers[joint].kept, need) }
	if joint >= 0 && !slices.ContainsFunc(p.dangers[joint].kept, func(k string) bool { return !slices.Contains(needs, k) }) {
		out = append(out, "joint")
		needs = slices.DeleteFunc(slices.Clone(needs), joined)
	}
	for _, n := range needs {
		for _, d := range p.dangers {
			if len(d.kept) != 1 || !slices.Contains(strings.FieldsFunc(n, apartFrom), d.kept[0]) {
				continue
			}
			out = append(out, strings.Replace(strings.Replace(n, d.kept[0], d.id, 1), "safeguard:", "danger:", 1))
		}
	}
	return strings.Join(out, ", ")
}

func apartFrom(c rune) bool { return strings.ContainsRune("{}:, ", c) }

// brought is the dangers that come with what a step causes.
func (p *page) brought(causes []string) string {
	var out []string
	for _, d := range p.dangers {
		if slices.ContainsFunc(causes, func(c string) bool { return slices.Contains(d.comes, c) }) {
			out = append(out, d.id)
		}
	}
	return strings.Join(out, ", ")
}

// forget makes one change on one side alone.
func (p *page) forget() {
	s := p.steps[p.pick("at", len(p.steps))]
	d := &p.dangers[p.pick("danger", len(p.dangers))]
	l := p.lapsing()
	other := []string{"flame", "draught", "handover"}[p.pick("what", 3)]
	switch p.pick("forgotten of", 15) {
	case 0, 1:
		p.lose(s, "needs")
	case 2:
		p.starts = "draught"
	case 3:
		p.lose(s, "faces")
	case 4:
		p.lose(p.with("causes", s), []string{"causes", "causes", "brings"}[p.pick("list", 3)])
	case 5:
		d.kept = p.fewer(d.kept)
	case 6:
		d.comes = p.fewer(d.comes)
	case 7:
		l.on = p.fewer(l.on)
	case 8:
		l.after = []string{"", "30 min", "1 min"}[p.pick("after", 3)]
	case 9:
		d.after = []string{"", "90 min", "5 min"}[p.pick("comes back", 3)]
	case 10:
		p.add(s, "faces", d.id)
	case 11:
		p.add(s, "brings", d.id)
	case 12:
		l.on, d.comes = p.one(l.on, other), p.one(d.comes, other)
	case 13:
		p.lose(p.with("due after", s), "due after")
	case 14:
		if id, plain := p.first(s["needs"]); plain {
			s["needs"] = strings.Replace(s["needs"], id, "{safeguard: "+id+", when: {side: left}}", 1)
		}
	}
}

// lapsing is what one of the safeguards lapses on; one that does not lapse only where none does.
func (p *page) lapsing() *madeLapse {
	k := p.pick("guard", p.guards)
	for range p.guards {
		if l := p.lapses[k]; len(l.on) > 0 || l.after != "" {
			break
		}
		k = (k + 1) % p.guards
	}
	return &p.lapses[k]
}

// with is one of the steps that have a list, or else the step that is given.
func (p *page) with(key string, s map[string]string) map[string]string {
	var some []map[string]string
	for _, other := range p.steps {
		if other[key] != "" {
			some = append(some, other)
		}
	}
	if len(some) == 0 {
		return s
	}
	return some[p.pick("with", len(some))]
}

// first is the first need of a list, and whether it is one without a condition.
func (p *page) first(needs string) (string, bool) {
	all := items(needs)
	return strings.Join(all[:min(1, len(all))], ""), len(all) > 0 && strings.HasPrefix(all[0], "g")
}

func (p *page) lose(s map[string]string, key string) {
	s[key] = strings.Join(p.fewer(items(s[key])), ", ")
}

func (p *page) add(s map[string]string, key, item string) {
	s[key] = strings.Join(p.one(items(s[key]), item), ", ")
}

// fewer is a list without one of its items.
func (p *page) fewer(list []string) []string {
	if len(list) == 0 {
		return nil
	}
	k := p.pick("fewer", len(list))
	return slices.Delete(slices.Clone(list), k, k+1)
}

// one is a list with an item, once.
func (p *page) one(list []string, item string) []string {
	if slices.Contains(list, item) {
		return list
	}
	return append(slices.Clone(list), item)
}

// stated writes what the page says of dangers.
func (p *page) stated(line func(string, ...any)) {
	if p.tidy != nil {
		line("  tidied:\n    title: Tidied up\n    lasting: true\n%s", madeLapse{on: p.tidy}.text())
	}
	if len(p.dangers) == 0 {
		return
	}
	line("dangers:")
	for _, d := range p.dangers {
		line("  %s:\n    title: Danger %s", d.id, d.id)
		for _, list := range []struct {
			key   string
			items []string
		}{{"kept off by", d.kept}, {"comes with", d.comes}} {
			if len(list.items) > 0 {
				line("    %s: %s", list.key, flow(list.items))
			}
		}
		if d.after != "" {
			line("    comes back after: %s", d.after)
		}
	}
}

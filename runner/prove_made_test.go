package runner_test

// Procedures as authors write them, sound at first, then with a few careless edits: steps that change places, needs that go
// missing, answers that lead past a gate or round, releases in another order, causes and limits in odd places.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"

	"fenderside/procedures"
)

// page is a procedure being written; a step is its lines by field.
type page struct {
	t      *rapid.T
	guards int
	steps  []map[string]string
	lapses []madeLapse
	safe   []string
	pin    bool

	dangers []madeDanger // none where needs, lapses and causes stand once
	starts  string       // the cause that the pinned step starts on
	tidy    []string     // what the safeguard lapses on whose gate makes safe; nil where there is none
}

// madeLapse is what a safeguard lapses on.
type madeLapse struct {
	on    []string
	after string
}

func (p *page) chance(label string, in int) bool { return rapid.IntRange(1, in).Draw(p.t, label) == 1 }

func (p *page) pick(label string, n int) int { return rapid.IntRange(0, n-1).Draw(p.t, label) }

// written is a procedure that the loader takes, and how many careless edits it has.
func written(t *rapid.T) (text string, edits int) {
	for range 200 {
		p := &page{t: t, guards: rapid.IntRange(1, 3).Draw(t, "guards")}
		p.sound()
		edits = rapid.IntRange(0, 3).Draw(t, "edits")
		for range edits {
			p.careless()
		}
		text = p.text()
		if _, err := procedures.Parse("made.yaml", []byte(text)); err == nil {
			return text, edits
		}
	}
	t.Skip("the loader takes none of these")
	return "", 0
}

func (p *page) sound() {
	for g := range p.guards {
		lapse := madeLapse{}
		switch p.pick("lapse", 5) {
		case 0:
			lapse.on = []string{"flame"}
		case 1:
			lapse.on = []string{"handover"}
		case 2:
			lapse = madeLapse{[]string{"draught"}, "20 min"}
		}
		p.lapses = append(p.lapses, lapse)
		s := map[string]string{"id": fmt.Sprintf("gate%d", g), "kind": "gate", "secures": fmt.Sprintf("g%d", g)}
		if g > 0 && p.chance("rests", 2) {
			s["needs"] = fmt.Sprintf("g%d", g-1)
			if p.chance("sometimes", 3) {
				s["needs"] = fmt.Sprintf("{safeguard: g%d, when: {side: left}}", g-1)
			}
		}
		if g > 0 && p.chance("applies", 5) {
			s["when"] = "{side: left}"
		}
		p.steps = append(p.steps, s)
		if p.chance("work", 2) {
			p.work(g + 1)
		}
	}
	p.work(p.guards)
	if p.chance("more", 2) {
		p.work(p.guards)
	}
	p.undo()
}

// work adds a step that needs some of the first safeguards.
func (p *page) work(guards int) {
	n := len(p.steps)
	s := map[string]string{"id": fmt.Sprintf("do%d", n), "kind": "do"}
	var needs []string
	for g := range guards {
		if !p.chance("spared", 4) {
			need := fmt.Sprintf("g%d", g)
			if p.steps[p.at("gate"+need[1:])]["when"] != "" {
				need = fmt.Sprintf("{safeguard: g%d, when: {side: left}}", g)
			}
			needs = append(needs, need)
		}
	}
	s["needs"] = strings.Join(needs, ", ")
	switch p.pick("sort", 9) {
	case 0:
		s["ask"] = "{say: On}, {say: Off, then: referred}"
	case 1:
		s["ask"] = "{say: On}, {say: Off, then: complete}"
	case 2:
		s["wait"] = []string{"{at least: 30 min, for: it}", "{at least: 2 min, for: it}", "{at least: 2 min, for: it}"}[p.pick("long", 3)]
	case 3, 4, 5:
		s["reading"] = fmt.Sprintf("r%d", n)
		if last := p.recorded(); last != "" && p.chance("limit", 2) {
			s["limit"] = last
		}
	}
	if p.chance("flame", 4) {
		s["causes"] = "flame"
	}
	p.steps = append(p.steps, s)
}

func (p *page) recorded() string {
	for _, s := range p.steps {
		if s["reading"] != "" {
			return s["reading"]
		}
	}
	return ""
}

func (p *page) at(id string) int {
	return slices.IndexFunc(p.steps, func(s map[string]string) bool { return s["id"] == id })
}

// undo adds the steps that make safe, the last safeguard first.
func (p *page) undo() {
	var work []string
	for _, s := range p.steps {
		if s["kind"] == "do" {
			work = append(work, s["id"])
		}
	}
	if p.chance("count", 2) {
		p.steps = append(p.steps, map[string]string{"id": "count", "kind": "gate", "due after": strings.Join(work, ", ")})
		p.safe = append(p.safe, "count")
	}
	for g := p.guards - 1; g >= 0; g-- {
		s := map[string]string{"id": fmt.Sprintf("undo%d", g), "kind": "gate", "releases": fmt.Sprintf("g%d", g)}
		if g > 0 && p.chance("still needs", 3) && p.steps[p.at("gate0")]["when"] == "" {
			s["needs"] = "g0"
		}
		p.steps = append(p.steps, s)
		p.safe = append(p.safe, s["id"])
	}
	p.pin = p.chance("pin", 3)
}

// careless makes one edit.
func (p *page) careless() {
	s := p.steps[p.pick("step", len(p.steps))]
	other := p.steps[p.pick("other", len(p.steps))]
	switch p.pick("edit", 16) {
	case 0:
		i := p.pick("swap", len(p.steps)-1)
		p.steps[i], p.steps[i+1] = p.steps[i+1], p.steps[i]
	case 1:
		i, j := p.pick("from", len(p.steps)), p.pick("to", len(p.steps))
		moved := p.steps[i]
		p.steps = slices.Insert(slices.Delete(slices.Clone(p.steps), i, i+1), j, moved)
	case 2:
		_, s["needs"], _ = strings.Cut(s["needs"], ", ")
	case 3:
		s["needs"] = strings.Trim(s["needs"]+", g"+fmt.Sprint(p.pick("need", p.guards)), ", ")
	case 4:
		s["ask"], s["wait"] = "{say: On}, {say: Over, then: "+other["id"]+"}", ""
	case 5:
		s["ask"], s["repeat"] = "{say: On, then: "+other["id"]+"}, {say: Again, then: "+s["id"]+"}", "2"
	case 6:
		i, j := p.pick("safe", len(p.safe)), p.pick("safe", len(p.safe))
		p.safe[i], p.safe[j] = p.safe[j], p.safe[i]
	case 7:
		s["causes"] = []string{"flame", "draught"}[p.pick("cause", 2)]
	case 8:
		s["then"], s["ask"] = other["id"], ""
	case 9:
		s["when"] = fmt.Sprintf("{side: %s}", []string{"left", "right"}[p.pick("side", 2)])
	case 10:
		if s["secures"] == "" || s["due after"] != "" {
			s["due after"] = other["id"]
		}
	case 11:
		s["needs"] = strings.Trim(s["needs"]+", watch", ", ")
	case 12, 13:
		if other["ask"] != "" {
			s["needs"] = strings.Trim(fmt.Sprintf("%s, {safeguard: g%d, when: {%s: On}}", s["needs"], p.pick("need", p.guards), other["id"]), ", ")
		}
	case 14, 15:
		if r := p.recorded(); r != "" && s["reading"] == "" {
			s["reading"], s["limit"] = "late"+s["id"], r
		}
	}
}

func (p *page) text() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("fenderside: 1\nprocedure: made\nrevision: 1\ntitle: Made up\nscope: For tests.")
	line("sheet:\n  - {id: side, title: Side, choose: [left, right]}\nsafeguards:")
	for g := range p.guards {
		line("  g%d:\n    title: Guard %d\n%s", g, g, p.lapses[g].text())
	}
	p.stated(line)
	line("steps:")
	for _, s := range p.steps {
		p.step(line, s)
	}
	if len(p.dangers) == 0 {
		line("  - do: burn\n    title: Burn off the rest\n    causes: [flame, draught]\n    affirm: [It is out]")
	}
	if p.pin {
		line("pinned:\n  - {pin: watch, title: Watch, starts on: [%s], at least: 5 min, affirm: [Nothing glows]}", cmp.Or(p.starts, "flame"))
	} else {
		return strings.ReplaceAll(b.String(), ", watch", "") + "make safe: " + flow(p.safe) + "\n"
	}
	line("make safe: %s", flow(p.safe))
	return b.String()
}

func (l madeLapse) text() string {
	if len(l.on) == 0 && l.after == "" {
		return ""
	}
	var parts []string
	if len(l.on) > 0 {
		parts = append(parts, "on: "+flow(l.on))
	}
	if l.after != "" {
		parts = append(parts, "after: "+l.after)
	}
	return "    lapses: {" + strings.Join(parts, ", ") + ", because: it does}"
}

func (p *page) step(line func(string, ...any), s map[string]string) {
	line("  - %s: %s\n    title: Work at it", s["kind"], s["id"])
	for _, field := range []string{"when", "secures", "then"} {
		if s[field] != "" && (field != "then" || s["ask"] == "") {
			line("    %s: %s", field, s[field])
		}
	}
	for _, field := range []string{"needs", "faces", "releases", "causes", "brings", "due after"} {
		if s[field] != "" {
			line("    %s: [%s]", field, s[field])
		}
	}
	if s["wait"] != "" {
		line("    wait: %s", s["wait"])
	}
	line("    affirm: [It is so]")
	if r := s["reading"]; r != "" {
		limit := ""
		if s["limit"] != "" {
			limit = ", at least: " + s["limit"]
		}
		line("    readings: [{id: %s, title: R, quantity: length, unit: mm%s}]", r, limit)
	}
	if s["ask"] != "" {
		line("    ask: {question: What, answers: [%s]}", s["ask"])
	}
	if s["repeat"] != "" {
		line("    repeat: {at most: %s, until: it is done}", s["repeat"])
	}
}

// reachable is the steps that some path of the main line comes to.
func reachable(p *procedures.Procedure) map[string]bool {
	out := map[string]bool{}
	main := p.MainLine()
	var visit func(i int)
	visit = func(i int) {
		if i >= main || out[p.Steps[i].ID] {
			return
		}
		s := &p.Steps[i]
		out[s.ID] = true
		to := []procedures.Target{s.Then}
		if s.Ask != nil {
			to = nil
			for _, a := range s.Ask.Answers {
				to = append(to, a.Then)
			}
		}
		if len(s.When) > 0 || slices.Contains(p.MakeSafe, s.ID) {
			to = append(to, procedures.Target{})
		}
		for _, t := range to {
			switch next, ok := p.StepByID(t.Step); {
			case t.End != "":
			case ok:
				visit(next.Index)
			default:
				visit(i + 1)
			}
		}
	}
	visit(0)
	return out
}

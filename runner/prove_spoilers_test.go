package runner_test

// The ways in which a careless author could spoil a procedure: each is one change to its tree.

import (
	"fmt"
	"slices"

	"gopkg.in/yaml.v3"

	"fenderside/procedures"
)

// mutant is one spoilt procedure, written when it is asked for: of some, few are.
type mutant struct {
	kind, what string
	text       func() []byte
}

// tree is a procedure as a tree that can be changed.
type tree struct{ root *yaml.Node }

func plant(text []byte) tree {
	var n yaml.Node
	if err := yaml.Unmarshal(text, &n); err != nil {
		panic(err)
	}
	return tree{n.Content[0]}
}

func (t tree) text() []byte {
	out, err := yaml.Marshal(t.root)
	if err != nil {
		panic(err)
	}
	return out
}

// field is the value under a key of a mapping, or nil.
func field(n *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

// cut takes a key out of a mapping.
func cut(n *yaml.Node, key string) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			n.Content = slices.Delete(n.Content, i, i+2)
			return
		}
	}
}

// drop takes the k-th item out of a list under a key, and the key with the last of them.
func drop(n *yaml.Node, key string, k int) {
	list := field(n, key)
	if list.Content = slices.Delete(list.Content, k, k+1); len(list.Content) == 0 {
		cut(n, key)
	}
}

func length(n *yaml.Node, key string) int {
	if list := field(n, key); list != nil && list.Kind == yaml.SequenceNode {
		return len(list.Content)
	}
	return 0
}

func put(n *yaml.Node, key, value string) {
	if old := field(n, key); old != nil {
		old.Value = value
		return
	}
	n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: key}, &yaml.Node{Kind: yaml.ScalarNode, Value: value})
}

// spoiler makes the mutants of one procedure.
type spoiler struct {
	p   *procedures.Procedure
	out []mutant
}

// spoil adds a mutant: the procedure with one change.
func (m *spoiler) spoil(kind, what string, change func(t tree, steps *yaml.Node)) {
	m.out = append(m.out, mutant{kind, what, func() []byte {
		t := plant(m.p.Text)
		change(t, field(t.root, "steps"))
		return t.text()
	}})
}

func mutants(p *procedures.Procedure) []mutant {
	m := &spoiler{p: p}
	t := plant(p.Text)
	steps := field(t.root, "steps").Content
	for i, n := range steps {
		m.items(i, n)
		m.places(i)
	}
	guards := field(t.root, "safeguards")
	for i := 0; i+1 < len(guards.Content); i += 2 {
		m.lapses(guards.Content[i].Value, guards.Content[i+1])
	}
	if dangers := field(t.root, "dangers"); dangers != nil {
		for i := 0; i+1 < len(dangers.Content); i += 2 {
			m.dangers(dangers.Content[i].Value, dangers.Content[i+1])
		}
	}
	if pinned := field(t.root, "pinned"); pinned != nil {
		for i, n := range pinned.Content {
			m.starts(i, n)
		}
	}
	for k, id := range p.MakeSafe {
		m.spoil("remove a closing gate", id, func(t tree, _ *yaml.Node) { drop(t.root, "make safe", k) })
		if k > 0 {
			m.spoil("swap closing gates", id, func(t tree, _ *yaml.Node) {
				list := field(t.root, "make safe").Content
				list[k-1], list[k] = list[k], list[k-1]
			})
		}
	}
	return m.out
}

// items takes one item out of each list of a step.
func (m *spoiler) items(i int, n *yaml.Node) {
	id := m.p.Steps[i].ID
	for _, list := range [][2]string{{"needs", "drop a need"}, {"faces", "drop a face"}, {"causes", "drop a cause"},
		{"brings", "drop a brings"}, {"releases", "drop a release"}, {"due after", "drop a due after"}} {
		key, kind := list[0], list[1]
		for k := range length(n, key) {
			m.spoil(kind, fmt.Sprintf("%s %d", id, k), func(_ tree, steps *yaml.Node) { drop(steps.Content[i], key, k) })
		}
	}
	if m.p.Steps[i].Kind == procedures.Gate {
		m.spoil("drop a gate", id, func(t tree, steps *yaml.Node) {
			steps.Content = slices.Delete(steps.Content, i, i+1)
			for k, safe := range m.p.MakeSafe {
				if safe == id {
					drop(t.root, "make safe", k)
				}
			}
		})
	}
	ask := field(n, "ask")
	if ask == nil {
		return
	}
	for k := range length(ask, "answers") {
		for j := i + 1; j < m.p.MainLine(); j++ {
			if j+1 < m.p.MainLine() && m.p.Steps[j].Secures >= 0 {
				m.spoil("join past a gate", fmt.Sprintf("%s answer %d past %s", id, k, m.p.Steps[j].ID), func(_ tree, steps *yaml.Node) {
					put(field(field(steps.Content[i], "ask"), "answers").Content[k], "then", m.p.Steps[j+1].ID)
				})
			}
		}
	}
}

// places moves step i about.
func (m *spoiler) places(i int) {
	st := &m.p.Steps[i]
	for j := i + 1; j < min(i+3, m.p.MainLine()); j++ {
		m.spoil("swap two steps", st.ID+" "+m.p.Steps[j].ID, func(_ tree, steps *yaml.Node) {
			steps.Content[i], steps.Content[j] = steps.Content[j], steps.Content[i]
		})
	}
	move := func(kind string, from, to int) {
		m.spoil(kind, fmt.Sprintf("%s to %d", m.p.Steps[from].ID, to), func(_ tree, steps *yaml.Node) {
			moved := steps.Content[from]
			steps.Content = slices.Insert(slices.Delete(steps.Content, from, from+1), to, moved)
		})
	}
	for j := range m.p.MainLine() {
		uses := slices.ContainsFunc(m.p.Steps[j].Needs, func(n procedures.Need) bool {
			return n.Safeguard >= 0 && (n.Safeguard == st.Secures || slices.Contains(st.Releases, n.Safeguard))
		})
		switch {
		case uses && j > i && st.Secures >= 0:
			move("move a gate after its step", i, j)
		case uses && j < i && len(st.Releases) > 0:
			move("release early", i, j)
		}
	}
}

func (m *spoiler) lapses(id string, n *yaml.Node) {
	at := func(t tree) *yaml.Node { return field(field(t.root, "safeguards"), id) }
	lapses := field(n, "lapses")
	if lapses == nil {
		return
	}
	m.spoil("drop every lapse", id, func(t tree, _ *yaml.Node) { cut(at(t), "lapses") })
	for k := range length(lapses, "on") {
		if length(lapses, "on") > 1 {
			m.spoil("drop a lapse", fmt.Sprintf("%s %d", id, k), func(t tree, _ *yaml.Node) { drop(field(at(t), "lapses"), "on", k) })
		}
	}
	if field(lapses, "after") != nil {
		m.spoil("lapse too late", id, func(t tree, _ *yaml.Node) { put(field(at(t), "lapses"), "after", "300 h") })
		m.spoil("lapse too early", id, func(t tree, _ *yaml.Node) { put(field(at(t), "lapses"), "after", "1 s") })
	}
}

// dangers takes one entry out of a danger.
func (m *spoiler) dangers(id string, n *yaml.Node) {
	at := func(t tree) *yaml.Node { return field(field(t.root, "dangers"), id) }
	for _, list := range [][2]string{{"kept off by", "drop a keeper"}, {"comes with", "drop a comes with"}} {
		key, kind := list[0], list[1]
		for k := range length(n, key) {
			m.spoil(kind, fmt.Sprintf("%s %d", id, k), func(t tree, _ *yaml.Node) { drop(at(t), key, k) })
		}
	}
	if field(n, "comes back after") != nil {
		m.spoil("drop a comes back after", id, func(t tree, _ *yaml.Node) { cut(at(t), "comes back after") })
		m.spoil("come back too late", id, func(t tree, _ *yaml.Node) { put(at(t), "comes back after", "300 h") })
	}
}

// starts takes a cause out of what a pinned step starts on; a pinned step that starts on nothing is not read.
func (m *spoiler) starts(i int, n *yaml.Node) {
	for k := range length(n, "starts on") {
		m.spoil("drop a start", fmt.Sprintf("%s %d", field(n, "pin").Value, k), func(t tree, _ *yaml.Node) {
			drop(field(t.root, "pinned").Content[i], "starts on", k)
		})
	}
}

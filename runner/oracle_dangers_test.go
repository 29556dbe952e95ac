package runner_test

// The oracle takes both statements of a danger together, from the YAML alone: what a step faces it needs the keepers of, what a
// danger comes with fells its keepers, and what a step brings on it causes.

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/procedures/library"
)

type plainDanger struct {
	KeptOff   []string `yaml:"kept off by"`
	ComesWith []string `yaml:"comes with"`
	After     string   `yaml:"comes back after"`
}

// faced is a danger that a step faces.
type faced struct {
	Danger string
	When   when
}

func (f *faced) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		f.Danger = n.Value
		return nil
	}
	type plain faced
	return n.Decode((*plain)(f))
}

// both joins the two statements.
func (p *plainProcedure) both() {
	for i := range p.at {
		s := p.named(i)
		for _, b := range s.Brings {
			if on := p.Dangers[b].ComesWith; !slices.ContainsFunc(on, func(c string) bool { return slices.Contains(s.Causes, c) }) {
				s.Causes = append(s.Causes, slices.DeleteFunc(slices.Clone(on), func(c string) bool { return c == "interruption" || c == "handover" })...)
			}
		}
		for _, f := range s.Faces {
			for _, k := range p.Dangers[f.Danger].KeptOff {
				if !slices.ContainsFunc(s.Needs, func(n need) bool { return n.Safeguard == k && n.When.holdsIn(f.When) }) {
					s.Needs = append(s.Needs, need{k, f.When})
				}
			}
		}
	}
	for _, d := range p.Dangers {
		for _, k := range d.KeptOff {
			p.keeper(k, d)
		}
	}
	for _, safe := range p.MakeSafe {
		gate := p.named(safe)
		for i := range p.at {
			if on := p.Safeguards[gate.Secures].Lapses.On; i != safe && p.fells(i, on) && !slices.Contains(gate.DueAfter, i) {
				gate.DueAfter = append(gate.DueAfter, i)
			}
		}
	}
}

// holdsIn says whether what is asked holds wherever the other condition does.
func (w when) holdsIn(other when) bool {
	for id, in := range w {
		if len(other[id]) == 0 || slices.ContainsFunc(other[id], func(v string) bool { return !slices.Contains(in, v) }) {
			return false
		}
	}
	return true
}

// keeper lets what keeps a danger off fall, or start, on what the danger comes with.
func (p *plainProcedure) keeper(id string, d plainDanger) {
	g, guards := p.Safeguards[id]
	if !guards {
		pin := p.named(id)
		pin.StartsOn = append(pin.StartsOn, d.ComesWith...)
		return
	}
	g.Lapses.On = append(slices.Clone(g.Lapses.On), d.ComesWith...)
	if after, ok := span(d.After); ok {
		if stated, limited := span(g.Lapses.After); !limited || stated > after {
			g.Lapses.After = d.After
		}
	}
	p.Safeguards[id] = g
}

func (p *plainProcedure) fells(step string, on []string) bool {
	return slices.ContainsFunc(p.named(step).Causes, func(c string) bool { return slices.Contains(on, c) })
}

// oneSided is a procedure without what it says of needs and lapses, which its dangers then say alone.
func oneSided(p *procedures.Procedure) []byte {
	t := plant(p.Text)
	for _, n := range field(t.root, "steps").Content {
		cut(n, "needs")
		cut(n, "due after")
	}
	guards := field(t.root, "safeguards")
	for i := 0; i+1 < len(guards.Content); i += 2 {
		cut(guards.Content[i+1], "lapses")
	}
	return t.text()
}

// A procedure that says nothing of needs, lapses and dues but by its dangers is worked as the whole one is, in every state that
// the core comes to.
func TestExploreWhatIsStatedByDangersAloneIsHeldTo(t *testing.T) {
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	for _, p := range shipped(t) {
		text := oneSided(p)
		alone, err := procedures.Parse("alone.yaml", text)
		require.NoError(t, err, p.Name)
		assert.Empty(t, lacking(p, alone), p.Name)
		assert.NotEmpty(t, alone.Apart, "the proof is told of it")
		most := disturbed(1)
		if p.MainLine() > 16 {
			most = 0 // its states are many, and the rules are the same
		}
		if p.MainLine() < 40 { // what is longer is made of parts that are explored one by one
			explore(t, open(t, setup{text: string(text), card: card, sheet: typed(alone)}), 30_000, most)
		}
	}
}

package runner_test

// Every shipped procedure, spoilt in every way that a careless author could. What the loader and the proof let pass is done in
// the core by a book of the unspoilt procedure: which of its safeguards stand, and what each of its steps needs.

import (
	"fmt"
	"slices"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/prove"
	"fenderside/runner"
)

// mutant is one spoilt procedure.
type mutant struct {
	kind, what string
	text       []byte
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
	p     *procedures.Procedure
	every int // how many changes there are to one that is made
	met   int
	out   []mutant
}

// spoil adds a mutant, where it is its turn: the procedure with one change.
func (m *spoiler) spoil(kind, what string, change func(t tree, steps *yaml.Node)) {
	if m.met++; (m.met-1)%m.every != 0 {
		return
	}
	t := plant(m.p.Text)
	change(t, field(t.root, "steps"))
	m.out = append(m.out, mutant{kind, what, t.text()})
}

func mutants(p *procedures.Procedure) []mutant {
	m := &spoiler{p: p, every: sampled(p)}
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
	for key, kind := range map[string]string{"needs": "drop a need", "causes": "drop a cause", "releases": "drop a release", "due after": "drop a due after"} {
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

// seeds is how many jobs are done with each spoilt procedure; those after the third are disturbed.
const seeds = 6

// sampled says that of the mutants of a procedure each so-and-so-many-th is taken. What is long or crowded is made of parts whose
// own mutants are all taken.
func sampled(p *procedures.Procedure) int {
	switch {
	case p.MainLine() <= 60 && !crowded[p.Name]:
		return 1
	case testing.Short():
		return 96
	}
	return 16
}

// tally is what became of the mutants of one kind.
type tally struct{ all, loader, proof, doubt, held, harmless, unseen, skipped int }

func TestExploreEverySpoiltProcedureIsCaughtOrHeldByTheCore(t *testing.T) {
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	for _, p := range shipped(t) {
		known := map[string]bool{}
		for _, d := range prove.Procedure(p, prove.Limits{}).Doubts {
			known[d.Step+d.What] = true
		}
		did := map[string]bool{}
		require.Empty(t, hazardIn(t, p, p, card, mutant{text: p.Text}, did), "the procedure itself")
		require.Greater(t, 10*len(did), 9*p.MainLine(), "these jobs do too few of the steps to show anything: %v", did)
		counts := map[string]*tally{}
		for i, m := range mutants(p) {
			c := counts[m.kind]
			if c == nil {
				c = &tally{}
				counts[m.kind] = c
			}
			c.all++
			spoilt, err := procedures.Parse("spoilt.yaml", m.text)
			if err != nil {
				c.loader++
				continue
			}
			judge(t, p, spoilt, m, card, known, c, testing.Short() && i*sampled(p)%8 != 0)
		}
		var kinds []string
		for kind := range counts {
			kinds = append(kinds, kind)
		}
		sort.Strings(kinds)
		for _, kind := range kinds {
			c := counts[kind]
			if derivable(kind) {
				assert.Equal(t, c.all, c.loader+c.proof+c.harmless+c.skipped, "%s: something is neither caught nor harmless", kind)
			}
			t.Logf("%s, %-27s %3d: %3d the loader, %3d the proof (%d refused by the core as well), %2d doubted, %3d harmless, %2d not seen",
				p.Name, kind+":", c.all, c.loader, c.proof, c.held, c.doubt, c.harmless, c.unseen)
		}
	}
}

// derivable says whether a mutant of a kind leaves in the procedure what shows it to be wrong. Where a fact about the world
// was never written, nothing can tell.
func derivable(kind string) bool {
	return !slices.Contains([]string{"drop a need", "drop a cause", "drop a lapse", "drop every lapse", "lapse too late", "drop a due after"}, kind)
}

func judge(t *testing.T, whole, spoilt *procedures.Procedure, m mutant, card *procedures.Card, known map[string]bool, c *tally, skip bool) {
	proof := prove.Procedure(spoilt, prove.Limits{})
	require.Empty(t, proof.Exceeded)
	doubted := slices.ContainsFunc(proof.Doubts, func(d prove.Doubt) bool { return !known[d.Step+d.What] })
	if !proof.Proved() {
		c.proof++
	}
	if skip {
		if proof.Proved() {
			c.skipped++
		}
		return
	}
	hazard := hazardIn(t, whole, spoilt, card, m, nil)
	switch {
	case derivable(m.kind):
		assert.Empty(t, hazard, "%s (%s): the core lets a step be done without what it needs", m.kind, m.what)
	case hazard != "" && proof.Proved() && doubted:
		c.doubt++
	case hazard != "" && proof.Proved():
		c.unseen++
	}
	switch {
	case !proof.Proved() && hazard == "":
		c.held++
	case proof.Proved() && hazard == "":
		c.harmless++
	}
}

// hazardIn does the spoilt procedure in the core, with answers, losses and interruptions, and keeps the books of the whole
// one. It tells the first step that is done without what the whole procedure says it needs.
func hazardIn(t *testing.T, whole, spoilt *procedures.Procedure, card *procedures.Card, m mutant, did map[string]bool) string {
	b := open(t, setup{text: string(m.text), card: card, sheet: typed(spoilt)})
	b.tighten()
	b.values["ambient"], b.values["surface"] = "20 °C", "20 °C"
	for seed := range seeds {
		w := newWatch(whole, spoilt, seed)
		w.did = did
		start := &spot{state: b.state, now: b.now}
		if what := w.job(b, start); what != "" {
			return what
		}
		b.state, b.now = start.state, start.now
	}
	if !slices.ContainsFunc(whole.Steps, func(st procedures.Step) bool { return offBeat(st.ID) }) {
		return ""
	}
	b.values["rich"], b.values["lean"] = "not tested", "not tested" // which leaves the findings open
	w := newWatch(whole, spoilt, seeds)
	w.did, w.off = did, true
	return w.job(b, &spot{state: b.state, now: b.now})
}

// watch keeps the books of the whole procedure while the spoilt one is done.
type watch struct {
	whole, spoilt *procedures.Procedure
	seed, turn    int
	stands        map[string]bool
	choices       map[string]string
	hazard        string
	off           bool            // it takes the answers that lead off the beaten way
	did           map[string]bool // steps completed, where they are counted
}

func newWatch(whole, spoilt *procedures.Procedure, seed int) *watch {
	return &watch{whole: whole, spoilt: spoilt, seed: seed, stands: map[string]bool{}, choices: map[string]string{}}
}

// job does one job, taking answers in turn, and disturbing it now and then where the seed says so.
func (w *watch) job(b *bench, n *spot) string {
	x := &scout{b: b, p: w.spoilt}
	for _, item := range runner.Briefs(w.spoilt) {
		if next, _ := w.give(x, n, runner.Acknowledge{Item: item.ID}); next != nil {
			n = next
		}
	}
	for range max(160, 6*len(w.spoilt.Steps)) {
		st := n.state.Current()
		if w.hazard != "" || st == nil {
			break
		}
		if w.turn++; w.seed > 2 && w.turn%(4+w.seed) == 0 {
			n = w.disturb(x, n)
			continue
		}
		next := w.step(x, n, st)
		if next == nil {
			break
		}
		n = next
	}
	return w.hazard
}

func (w *watch) disturb(x *scout, n *spot) *spot {
	g := w.whole.Safeguards[w.turn%len(w.whole.Safeguards)].ID
	x.at(n)
	for _, c := range []runner.Command{runner.StopWork{Safeguards: []string{g}}, runner.Clear{}, runner.Pause{Reason: "tea"}, runner.Resume{}} {
		if next, _ := w.give(x, n, c); next != nil {
			n = next
		}
	}
	return n
}

// step completes the open step; the seed chooses among the answers.
func (w *watch) step(x *scout, n *spot, st *procedures.Step) *spot {
	x.at(n)
	full, why := x.fill(n, st)
	if full == nil || why == elsewhere {
		return full
	}
	if st.Ask == nil {
		next, _ := w.give(x, full, runner.Finish{Step: st.ID})
		return next
	}
	for _, a := range st.Ask.Answers {
		if w.off && offBeat(a.Then.Step) {
			next, _ := w.give(x, full, runner.Answer{Step: st.ID, Say: a.Say})
			return next
		}
	}
	for k := range st.Ask.Answers {
		a := st.Ask.Answers[(k+w.seed+w.turn*(w.seed%2))%len(st.Ask.Answers)]
		if a.Then.End != "" && k < len(st.Ask.Answers)-1 && w.seed%3 != 1 {
			continue
		}
		if next, _ := w.give(x, full, runner.Answer{Step: st.ID, Say: a.Say}); next != nil {
			return next
		}
	}
	return nil
}

// give gives a command and keeps the books of what its events did.
func (w *watch) give(x *scout, n *spot, c runner.Command) (*spot, *runner.Refused) {
	d := runner.Decide(n.state, c, x.b.now)
	if d.Refusal != nil {
		return nil, d.Refusal
	}
	for _, e := range d.Events {
		w.follow(e)
	}
	return &spot{state: d.State, now: x.b.now}, nil
}

func (w *watch) follow(e runner.Event) {
	switch e := e.(type) {
	case runner.Answered:
		w.choices[e.Step] = e.Say
	case runner.Done:
		w.done(e.Step)
	case runner.Fell:
		w.fall(e.Safeguard)
	case runner.Interrupted:
		w.cause(procedures.InterruptionCause)
	case runner.Opened:
		if st, ok := w.whole.StepByID(e.Step); ok {
			for _, c := range st.Causes {
				w.cause(c)
			}
		}
	}
}

// done holds a completed step against what it needs in truth, and then does to the safeguards what it does in truth.
func (w *watch) done(id string) {
	st, ok := w.whole.StepByID(id)
	if !ok {
		return
	}
	if w.did != nil {
		w.did[id] = true
	}
	for _, n := range st.Needs {
		if n.Safeguard >= 0 && w.holds(n.When) && !w.stands[w.whole.Safeguards[n.Safeguard].ID] && w.hazard == "" {
			w.hazard = id + " without " + w.whole.Safeguards[n.Safeguard].ID
		}
	}
	for _, g := range st.Releases {
		w.fall(w.whole.Safeguards[g].ID)
	}
	for _, c := range st.Causes {
		w.cause(c)
	}
	if st.Secures >= 0 {
		w.stands[w.whole.Safeguards[st.Secures].ID] = true
	}
}

func (w *watch) holds(c procedures.Condition) bool {
	for _, clause := range c {
		if !slices.Contains(clause.In, w.choices[clause.Choice]) {
			return false
		}
	}
	return true
}

func (w *watch) cause(c string) {
	for _, g := range w.whole.Safeguards {
		if slices.Contains(g.LapseOn, c) {
			w.fall(g.ID)
		}
	}
}

func (w *watch) fall(id string) {
	g, ok := w.whole.SafeguardByID(id)
	if !ok || !w.stands[id] {
		return
	}
	delete(w.stands, id)
	for _, other := range w.whole.Safeguards {
		if slices.Contains(other.Rests, g) {
			w.fall(other.ID)
		}
	}
}

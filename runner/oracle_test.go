package runner_test

// The oracle: the rules of the interlock a second time, from the YAML alone. It shares nothing with the reader of
// procedures or with the core: it decodes the text into plain structures, keeps its own books from the commands and from
// what the core claims to have happened, and holds every claim against them. It derives by itself:
//
//   - what is needed, lapsed on, caused and due, which one of the two statements of a danger alone may say
//   - which step may take entries: the cursor's step, or the gate of its first missing need, and so on; none while the work
//     is broken off, stopped or sealed; the owed gates in a handover; the next due step in a close
//   - what stands: secured by its gate alone; gone by release, by a cause as a step is entered or left, by time, by
//     interruption, handover, loss, and with whatever its gate needed
//   - what is engaged, and what a close still owes: releases of what is engaged, steps due after work begun, running pins
//   - what a step asks for: statements, readings inside their limits, evidence, a passed check, its time, a witness, its answer
//   - where the main line goes next, and that every step gone by was rightly gone by
//   - how often a step may be entered, and that only what is optional is skipped
//   - that a job is sealed with nothing owed, and complete with nothing engaged and nothing left

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"fenderside/runner"
)

// words is one word or a list of them.
type words []string

func (w *words) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		*w = words{n.Value}
		return nil
	}
	return n.Decode((*[]string)(w))
}

type when map[string]words

type said struct {
	Say  string
	When when
}

func (s *said) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		s.Say = n.Value
		return nil
	}
	type plain said
	return n.Decode((*plain)(s))
}

type need struct {
	Safeguard string
	When      when
}

func (s *need) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		s.Safeguard = n.Value
		return nil
	}
	type plain need
	return n.Decode((*plain)(s))
}

type asked struct {
	Affirm   []said
	Readings []struct {
		ID, Quantity string
		AtMost       string `yaml:"at most"`
		AtLeast      string `yaml:"at least"`
		Between      []string
		SameAs       string `yaml:"same as"`
		Choose       []string
		Magnitude    bool
		Series       bool
		Optional     bool
		When         when
	}
	Evidence []struct {
		ID       string
		Optional bool
		When     when
	}
	Check map[string]map[string]any
}

type plainStep struct {
	Gate, Do, Pin, Secures string
	When                   when
	Needs                  []need
	Faces                  []faced
	Releases, Causes       []string
	Brings                 []string
	DueAfter               []string `yaml:"due after"`
	StartsOn               []string `yaml:"starts on"`
	AtLeast                string   `yaml:"at least"`
	asked                  `yaml:",inline"`
	Either                 []struct {
		Way   string
		asked `yaml:",inline"`
	}
	Wait *struct {
		AtLeast string `yaml:"at least"`
		AtMost  string `yaml:"at most"`
	}
	Ask *struct {
		Answers []struct{ Say, Then string }
	}
	Repeat *struct {
		AtMost int `yaml:"at most"`
	}
	Witness, Optional bool
	Then              string
}

func (s *plainStep) id() string { return s.Gate + s.Do + s.Pin }

type plainGuard struct {
	Lasting bool
	Lapses  struct {
		On    []string
		After string
	}
}

type plainProcedure struct {
	Safeguards map[string]plainGuard
	Dangers    map[string]plainDanger
	Steps      []plainStep
	Pinned     []plainStep
	MakeSafe   []string `yaml:"make safe"`

	at   map[string]int // step by id, pinned ones after the main line
	gate map[string]string
	home map[string]string // step by reading
}

func decode(text []byte) (*plainProcedure, error) {
	p, err := decodeAsStated(text)
	if err == nil {
		p.both()
	}
	return p, err
}

// decodeAsStated leaves the two statements of a danger apart.
func decodeAsStated(text []byte) (*plainProcedure, error) {
	p := &plainProcedure{at: map[string]int{}, gate: map[string]string{}, home: map[string]string{}}
	if err := yaml.Unmarshal(text, p); err != nil {
		return nil, err
	}
	for i := range len(p.Steps) + len(p.Pinned) {
		s := p.step(i)
		p.at[s.id()] = i
		if s.Secures != "" {
			p.gate[s.Secures] = s.id()
		}
		for _, part := range s.parts() {
			for _, r := range part.asked.Readings {
				p.home[r.ID] = s.id()
			}
		}
	}
	return p, nil
}

func (p *plainProcedure) step(i int) *plainStep {
	if i < len(p.Steps) {
		return &p.Steps[i]
	}
	return &p.Pinned[i-len(p.Steps)]
}

func (p *plainProcedure) named(id string) *plainStep { return p.step(p.at[id]) }

// part is what a step asks for itself, or in one of its ways.
type part struct {
	way string
	asked
}

func (s *plainStep) parts() []part {
	out := []part{{"", s.asked}}
	for _, w := range s.Either {
		out = append(out, part{w.Way, w.asked})
	}
	return out
}

// figure splits a quantity as written; ok is false for what is no number with a unit.
func figure(text string) (value float64, unit string, ok bool) {
	number, unit, _ := strings.Cut(strings.ReplaceAll(text, "−", "-"), " ")
	v, err := strconv.ParseFloat(number, 64)
	return v, unit, err == nil
}

func span(text string) (time.Duration, bool) {
	v, unit, ok := figure(text)
	base, known := map[string]time.Duration{"s": time.Second, "min": time.Minute, "h": time.Hour}[unit]
	return time.Duration(v * float64(base)), ok && known
}

// entries is what was entered at a step since it was opened; never changed, only replaced.
type entries struct {
	way, answer string
	affirmed    map[int]bool
	values      map[string]string // accepted
	evidence    map[string]bool
	passed      map[string]bool // checks, by name
	witness     bool
	waiting     bool
	since       runner.Moment
}

func (e entries) copy() entries {
	e.affirmed, e.values = maps.Clone(e.affirmed), maps.Clone(e.values)
	e.evidence, e.passed = maps.Clone(e.evidence), maps.Clone(e.passed)
	if e.affirmed == nil {
		e.affirmed, e.values, e.evidence, e.passed = map[int]bool{}, map[string]string{}, map[string]bool{}, map[string]bool{}
	}
	return e
}

func (e entries) none() bool {
	return e.way == "" && len(e.affirmed) == 0 && len(e.values) == 0 && len(e.evidence) == 0 && !e.waiting && !e.witness
}

// oracle is the books.
type oracle struct {
	p     *plainProcedure
	sheet map[string]string

	in      map[string]entries
	done    map[string]bool
	beside  map[string]bool // of those done, the ones that the main line did not go on from
	rounds  map[string]int
	kept    map[string]string // last choices and values, by id
	stands  map[string]runner.Moment
	based   map[string][]string // what each rests on that stands
	engaged map[string]bool
	owed    map[string]bool
	running map[string]runner.Moment

	phase, open, cursor string // cursor is empty before the first step and at the end
	reached             string
	outcome             string
	held, incoming      bool
	early               bool
	lost                bool
	owes                []string // handover
	left                map[string]bool
	now                 runner.Moment
	faults              []string
}

func newOracle(p *plainProcedure, sheet []runner.Entry) *oracle {
	o := &oracle{p: p, sheet: map[string]string{}, in: map[string]entries{}, done: map[string]bool{}, beside: map[string]bool{}, rounds: map[string]int{},
		kept: map[string]string{}, stands: map[string]runner.Moment{}, engaged: map[string]bool{}, owed: map[string]bool{},
		running: map[string]runner.Moment{}, left: map[string]bool{}, based: map[string][]string{}, phase: "briefing"}
	for _, e := range sheet {
		o.sheet[e.ID] = e.Value
	}
	return o
}

func (o *oracle) copy() *oracle {
	n := *o
	n.sheet, n.in, n.done, n.rounds = maps.Clone(o.sheet), maps.Clone(o.in), maps.Clone(o.done), maps.Clone(o.rounds)
	n.kept, n.stands, n.engaged, n.owed = maps.Clone(o.kept), maps.Clone(o.stands), maps.Clone(o.engaged), maps.Clone(o.owed)
	n.based, n.beside = maps.Clone(o.based), maps.Clone(o.beside)
	n.running, n.left, n.owes = maps.Clone(o.running), maps.Clone(o.left), slices.Clone(o.owes)
	n.faults = nil
	return &n
}

func (o *oracle) fault(format string, args ...any) {
	o.faults = append(o.faults, fmt.Sprintf(format, args...))
}

// holds says whether a condition holds at a step, "" where it is one of a step or a need.
func (o *oracle) holds(at string, w when) bool {
	for id, in := range w {
		made, ok := o.sheet[id]
		switch {
		case ok:
		case id == at:
			made = o.in[at].way
		case at != "" && o.p.home[id] == at:
			made = o.in[at].values[id]
		default:
			made = o.kept[id]
		}
		if !slices.Contains(in, made) {
			return false
		}
	}
	return true
}

func (o *oracle) missing(s *plainStep) []string {
	var out []string
	for _, n := range s.Needs {
		_, up := o.stands[n.Safeguard]
		_, pin := o.p.gate[n.Safeguard]
		_, runs := o.running[n.Safeguard]
		if o.holds("", n.When) && (pin && !up || !pin && runs) {
			out = append(out, n.Safeguard)
		}
	}
	return out
}

// reach is the step to do first.
func (o *oracle) reach(id string) string {
	for range 200 {
		m := o.missing(o.p.named(id))
		if len(m) == 0 {
			return id
		}
		gate, ok := o.p.gate[m[0]]
		if !ok {
			return m[0] // a pinned step
		}
		id = gate
	}
	return "?"
}

// due is what a close waits for.
func (o *oracle) due() []string {
	var out []string
	for _, id := range o.p.MakeSafe {
		if o.isDue(id) && !o.left[id] {
			out = append(out, id)
		}
	}
	for i := range o.p.Pinned {
		id := o.p.Pinned[i].Pin
		if _, runs := o.running[id]; runs && !o.left[id] {
			out = append(out, id)
		}
	}
	return out
}

func (o *oracle) isDue(id string) bool {
	s := o.p.named(id)
	for _, g := range s.Releases {
		if o.engaged[g] && !o.p.Safeguards[g].Lasting {
			return true
		}
	}
	return o.owed[id] && o.holds("", s.When)
}

// current is the step that may take entries.
func (o *oracle) current() string {
	switch {
	case o.held || o.lost || o.phase == "closed" || o.phase == "briefing":
		return ""
	case o.incoming:
		gates := []int{}
		for _, g := range o.owes {
			if _, up := o.stands[g]; !up {
				gates = append(gates, o.p.at[o.p.gate[g]])
			}
		}
		if len(gates) == 0 {
			return ""
		}
		return o.reach(o.p.step(slices.Min(gates)).id())
	case o.phase == "working":
		return o.reach(o.cursor)
	}
	due := o.due()
	if len(due) == 0 {
		return ""
	}
	if o.p.named(due[0]).Pin != "" {
		return due[0]
	}
	return o.reach(due[0])
}

// rests lists what a safeguard rests on, unless it is lasting: what its gate needs in every case, and what it needed as things
// were when it was done; or need now, where it is only begun.
func (o *oracle) rests(g string) []string {
	if o.p.Safeguards[g].Lasting {
		return nil
	}
	if _, up := o.stands[g]; up {
		return o.based[g]
	}
	var out []string
	for _, n := range o.p.named(o.p.gate[g]).Needs {
		if _, is := o.p.gate[n.Safeguard]; is && o.holds("", n.When) {
			out = append(out, n.Safeguard)
		}
	}
	return out
}

// fell takes a safeguard away, with its evidence, the entries of a step under way that needs it, and what rests on it.
func (o *oracle) fell(g string, released bool, cause string) {
	gate := o.p.gate[g]
	_, up := o.stands[g]
	if up || !o.in[gate].none() || released {
		delete(o.stands, g)
		o.wipe(gate)
		delete(o.done, gate)
		if open := o.open; open != "" && open != gate {
			for _, n := range o.p.named(open).Needs {
				if n.Safeguard == g && o.holds("", n.When) {
					o.wipe(open)
				}
			}
		}
		if o.incoming && up && !released && !slices.Contains(o.owes, g) && (!o.p.Safeguards[g].Lasting || cause == "handover") {
			o.owes = append(o.owes, g)
		}
	}
	for r := range o.p.Safeguards {
		if _, up := o.stands[r]; (up || !o.in[o.p.gate[r]].none()) && slices.Contains(o.rests(r), g) {
			o.fell(r, false, "")
		}
	}
}

func (o *oracle) wipe(id string) {
	delete(o.in, id)
}

func (o *oracle) happens(cause string) {
	for g, spec := range o.p.Safeguards {
		if slices.Contains(spec.Lapses.On, cause) {
			o.fell(g, false, cause)
		}
	}
	for i := range o.p.Pinned {
		if pin := &o.p.Pinned[i]; slices.Contains(pin.StartsOn, cause) {
			o.startPin(pin.Pin)
		}
	}
}

func (o *oracle) startPin(id string) {
	o.running[id] = o.now
	delete(o.in, id)
	delete(o.done, id)
	o.begun(id)
}

// begun makes due whatever is due after a step.
func (o *oracle) begun(id string) {
	for _, m := range o.p.MakeSafe {
		if slices.Contains(o.p.named(m).DueAfter, id) {
			o.owed[m] = true
		}
	}
}

// enter opens the books of a step for an entry, and holds the step to being the one that takes entries.
func (o *oracle) enter(id string) entries {
	_, runs := o.running[id]
	if o.held || o.lost || id != o.open && !runs {
		o.fault("entry at %s while %q is open (held %v, stopped %v)", id, o.open, o.held, o.lost)
	}
	if m := o.missing(o.p.named(id)); len(m) > 0 {
		o.fault("entry at %s without %v", id, m)
	}
	o.begun(id)
	if g := o.p.named(id).Secures; g != "" {
		o.engaged[g] = true
	}
	e := o.in[id].copy()
	e.witness = false
	return e
}

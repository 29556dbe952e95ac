package audit

// The rule of this file: what a gate refused for lying above its window is not put right by a lower figure alone. Torque that
// reached a fastener stays in it, whatever the wrench is set to next. It deserves a look where the gate accepted a value
// afterward and nothing between the two undid the work: no cause on which the gate's safeguard lapses.

import (
	"slices"

	"fenderside/checks"
	"fenderside/checks/quantity"
	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
)

// lowering follows what stands refused as above its window, gate by gate and reading or check by reading or check.
type lowering struct {
	c     *examined
	p     *procedures.Procedure
	value map[string]string // the last value of each gate
	above map[place]refusal
}

// place is a reading or a check of a gate.
type place struct{ gate, item string }

type refusal struct {
	line  int
	value string
}

// lowered looks for values above their window that a lower one of the same gate took the place of.
func (c *examined) lowered(job *runner.Job) {
	f := lowering{c, job.Procedure, map[string]string{}, map[place]refusal{}}
	for _, l := range c.lines {
		for _, e := range l.Events {
			f.follow(l, e)
		}
	}
}

func (f *lowering) follow(l record.Line, e runner.Event) {
	switch e := e.(type) {
	case runner.Happened:
		f.undone(e.Cause)
	case runner.ReadingTaken:
		f.value[e.Step] = e.Value
		f.judged(l, place{e.Step, e.Reading}, f.isWindow(e) && !e.Accepted && f.over(e), e.Accepted)
	case runner.Computed:
		f.judged(l, place{e.Step, e.Check}, f.isGate(e.Step) && e.Verdict == checks.Fail && aboveZone(e), e.Verdict == checks.Pass)
	}
}

// judged keeps what is above, and remarks on what was above and is accepted now.
func (f *lowering) judged(l record.Line, at place, above, accepted bool) {
	was, stands := f.above[at]
	switch {
	case above && !stands:
		f.above[at] = refusal{l.Seq + 1, f.value[at.gate]}
	case accepted && stands:
		delete(f.above, at)
		f.c.look(l.Seq+1, "the first value was misread or mistyped, and nothing had been pulled that far", "ask what the first value was; IF it was real, THEN have the part taken out and looked at",
			"gate %s refused %s as above its window (line %d) and then accepted %s; no step between undid the work", at.gate, was.value, was.line, f.value[at.gate])
	}
}

// undone forgets what stands at the gates whose safeguard lapses on a cause: the work is done anew.
func (f *lowering) undone(cause string) {
	for at := range f.above {
		i := f.gate(at.gate)
		if secures := f.p.Steps[i].Secures; secures >= 0 && slices.Contains(f.p.Safeguards[secures].LapseOn, cause) {
			delete(f.above, at)
		}
	}
}

// gate is the index of a gate; -1 for any other step.
func (f *lowering) gate(id string) int {
	return slices.IndexFunc(f.p.Steps, func(st procedures.Step) bool { return st.ID == id && st.Kind == procedures.Gate })
}

func (f *lowering) isGate(id string) bool { return f.gate(id) >= 0 }

// isWindow says whether a reading is a torque of a gate that is limited at both ends. One with an upper limit alone comes down by
// itself, and an emissivity or a number of stands that was mistyped leaves nothing behind.
func (f *lowering) isWindow(e runner.ReadingTaken) bool {
	i := f.gate(e.Step)
	return i >= 0 && slices.ContainsFunc(f.p.Steps[i].Readings, func(r procedures.Reading) bool {
		return r.ID == e.Reading && r.Quantity == quantity.Torque && r.AtLeast.Set && r.AtMost.Set
	})
}

func (f *lowering) over(e runner.ReadingTaken) bool {
	return slices.ContainsFunc(e.Reasons, func(r runner.Reason) bool { return r.Code == runner.AboveLimit })
}

// aboveZone says whether a check found its figure above the zone that it accepts.
func aboveZone(e runner.Computed) bool {
	check, ok := checks.Find(e.Check)
	figures := map[string]float64{}
	for _, g := range e.Figures {
		if v, _, isNumber := check.Number(g); ok && isNumber {
			figures[g.Name] = v
		}
	}
	applied, has := figures["applied"]
	high, limited := figures["accept-high"]
	return has && limited && applied > high
}

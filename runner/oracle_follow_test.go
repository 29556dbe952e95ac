package runner_test

// The oracle at work: it follows one decision, event by event.

import (
	"math"
	"slices"
	"strings"

	"fenderside/checks"
	"fenderside/runner"
)

// follow holds one decision against the books, and the state after it.
func (o *oracle) follow(c runner.Command, d runner.Decision, now runner.Moment) []string {
	o.now = now
	if len(d.Events) > 0 {
		o.lapse()
	}
	line := &walkLine{o: o}
	for _, e := range d.Events {
		if !o.entry(e) && !o.person(e) && !o.closing(e) {
			line.follow(e)
		}
	}
	line.end()
	o.compare(c, d)
	return o.faults
}

// lapse fells what has stood as long as it may.
func (o *oracle) lapse() {
	for g, since := range o.stands {
		after, ok := span(o.p.Safeguards[g].Lapses.After)
		if ok && (since.Session != o.now.Session || o.now.Mono-since.Mono >= after) {
			o.fell(g, false, "")
		}
	}
}

func (o *oracle) entry(e runner.Event) bool {
	switch e := e.(type) {
	case runner.WayChosen:
		in := o.enter(e.Step)
		in.way, o.kept[e.Step] = e.Way, e.Way
		o.in[e.Step] = in
	case runner.Affirmed:
		in := o.enter(e.Step)
		in.affirmed[e.Statement] = true
		o.in[e.Step] = in
	case runner.ReadingTaken:
		in := o.enter(e.Step)
		if e.Accepted {
			if why := o.outside(e.Step, e.Reading, e.Value); why != "" {
				o.fault("%s takes %q as accepted: %s", e.Reading, e.Value, why)
			}
			in.values[e.Reading], o.kept[e.Reading] = e.Value, e.Value
		} else if len(e.Reasons) == 0 {
			o.fault("%s refuses %q without a reason", e.Reading, e.Value)
		}
		o.in[e.Step] = in
	case runner.Computed:
		in := o.in[e.Step].copy()
		in.passed[e.Check] = e.Verdict == checks.Pass
		o.in[e.Step] = in
	case runner.Attached:
		in := o.enter(e.Step)
		in.evidence[e.Item] = true
		o.in[e.Step] = in
	case runner.WaitStarted:
		in := o.enter(e.Step)
		in.waiting, in.since = true, o.now
		o.in[e.Step] = in
	case runner.WitnessSigned:
		in := o.enter(e.Step)
		in.witness = true
		o.in[e.Step] = in
	case runner.WitnessVoided:
		in := o.in[e.Step].copy()
		in.witness = false
		o.in[e.Step] = in
	case runner.Answered:
		in := o.in[e.Step].copy()
		in.answer, o.kept[e.Step] = e.Say, e.Say
		o.in[e.Step] = in
	default:
		return false
	}
	return true
}

// outside says what is wrong with a value, as far as plain arithmetic in one unit can tell.
func (o *oracle) outside(step, reading, value string) string {
	for _, p := range o.p.named(step).parts() {
		for _, r := range p.Readings {
			if r.ID != reading {
				continue
			}
			low, high := r.AtLeast, r.AtMost
			if len(r.Between) == 2 {
				low, high = r.Between[0], r.Between[1]
			}
			if len(r.Choose) > 0 && !slices.Contains(r.Choose, value) {
				return "not among the choices"
			}
			if want := o.known(step, r.SameAs); r.SameAs != "" && !strings.EqualFold(want, value) && r.Quantity == "" {
				return "not " + want
			}
			v, unit, ok := figure(value)
			if r.Magnitude {
				v = math.Abs(v)
			}
			if lv, lu, is := figure(o.limit(step, low)); ok && is && lu == unit && v < lv {
				return "below " + low
			}
			if hv, hu, is := figure(o.limit(step, high)); ok && is && hu == unit && v > hv {
				return "above " + high
			}
		}
	}
	return ""
}

func (o *oracle) known(step, id string) string {
	if v, ok := o.sheet[id]; ok {
		return v
	}
	if o.p.home[id] == step {
		return o.in[step].values[id]
	}
	return o.kept[id]
}

func (o *oracle) limit(step, text string) string {
	if _, _, ok := figure(text); ok || text == "" {
		return text
	}
	return o.known(step, text)
}

// wants says what a step still lacks, as the YAML asks for it.
func (o *oracle) wants(id string) []string {
	var out []string
	s, in := o.p.named(id), o.in[id]
	for _, m := range o.missing(s) {
		out = append(out, "need "+m)
	}
	if len(s.Either) > 0 && in.way == "" {
		out = append(out, "way")
	}
	n := 0
	for _, p := range s.parts() {
		mine := p.way == "" || p.way == in.way
		for _, a := range p.Affirm {
			if mine && o.holds(id, a.When) && !in.affirmed[n] {
				out = append(out, "statement "+a.Say)
			}
			n++
		}
		if !mine {
			continue
		}
		for _, r := range p.Readings {
			if _, ok := in.values[r.ID]; !ok && !r.Optional && o.holds(id, r.When) {
				out = append(out, "reading "+r.ID)
			}
		}
		for _, ev := range p.Evidence {
			if !in.evidence[ev.ID] && !ev.Optional && o.holds(id, ev.When) {
				out = append(out, "evidence "+ev.ID)
			}
		}
		for name := range p.Check {
			if !in.passed[name] {
				out = append(out, "check "+name)
			}
		}
	}
	if s.Witness && !in.witness {
		out = append(out, "witness")
	}
	if s.Ask != nil && in.answer == "" {
		out = append(out, "answer")
	}
	return append(out, o.time(s, in)...)
}

func (o *oracle) time(s *plainStep, in entries) []string {
	if least, ok := span(o.limit(s.id(), s.AtLeast)); ok && s.Pin != "" {
		from := o.running[s.Pin]
		if from.Session != o.now.Session || o.now.Mono-from.Mono < least {
			return []string{"its time"}
		}
	}
	if s.Wait == nil || s.Wait.AtLeast == "" {
		return nil
	}
	least, _ := span(o.limit(s.id(), s.Wait.AtLeast))
	if !in.waiting || in.since.Session != o.now.Session || o.now.Mono-in.since.Mono < least {
		return []string{"its wait"}
	}
	if most, ok := span(o.limit(s.id(), s.Wait.AtMost)); ok && o.now.Mono-in.since.Mono > most {
		return []string{"its wait, missed"}
	}
	return nil
}

func (o *oracle) person(e runner.Event) bool {
	switch e := e.(type) {
	case runner.Interrupted:
		o.held = true
		for id := range o.running {
			o.running[id] = o.now
		}
		if e.Cause != runner.ByPause {
			for id, in := range o.in {
				if in.waiting && !o.done[id] {
					in.waiting = false
					o.in[id] = in
				}
			}
		}
		o.loseSeries(e)
		o.happens("interruption")
	case runner.Resumed:
		o.held = false
	case runner.HandoverBegun:
		o.incoming, o.owes = true, nil
		o.happens("handover")
	case runner.SignedOff, runner.JobKept:
		o.incoming, o.owes = false, nil
	case runner.TakenOver:
		o.incoming, o.owes = false, nil
		o.happens("handover")
	case runner.SignedOn:
		for _, g := range o.owes {
			if _, up := o.stands[g]; !up {
				o.fault("signed on without %s", g)
			}
		}
	case runner.WorkStopped:
		o.lost = o.lost || len(e.Safeguards) > 0
		for _, g := range e.Safeguards {
			o.fell(g, false, "")
		}
	case runner.Cleared:
		o.lost = false
	default:
		return false
	}
	return true
}

// loseSeries forgets the values of series that are not finished: the time between them is not known.
func (o *oracle) loseSeries(e runner.Interrupted) {
	if e.Cause == runner.ByPause {
		return
	}
	for id, in := range o.in {
		if o.done[id] {
			continue
		}
		in = in.copy()
		for _, p := range o.p.named(id).parts() {
			for _, r := range p.Readings {
				if r.Series {
					delete(in.values, r.ID)
				}
			}
		}
		o.in[id] = in
	}
}

func (o *oracle) closing(e runner.Event) bool {
	switch e := e.(type) {
	case runner.CloseBegun:
		if e.Outcome == "complete" || e.Reason == "" {
			o.fault("closed early as %q for %q", e.Outcome, e.Reason)
		}
		o.phase, o.outcome, o.early = "closing", string(e.Outcome), true
	case runner.CloseWithdrawn:
		o.phase, o.outcome, o.early, o.left = "working", "", false, map[string]bool{}
		if o.cursor == "" && o.reached == "" {
			o.phase = "briefing"
		}
	case runner.LeftInState:
		if o.outcome == "complete" || !slices.Contains(o.due(), e.Step) || e.State == "" {
			o.fault("%s left while %v is due for %s", e.Step, o.due(), o.outcome)
		}
		o.left[e.Step] = true
	case runner.Sealed:
		if due := o.due(); len(due) > 0 || o.phase != "closing" || string(e.Outcome) != o.outcome {
			o.fault("sealed as %s with %v due in %s", e.Outcome, due, o.phase)
		}
		for g, on := range o.engaged {
			if e.Outcome == "complete" && on && !o.p.Safeguards[g].Lasting {
				o.fault("complete with %s engaged", g)
			}
		}
		if e.Outcome == "complete" && (len(o.left) > 0 || o.reached != "complete") {
			o.fault("complete after %q with %v left", o.reached, o.left)
		}
		o.phase = "closed"
	default:
		return false
	}
	return true
}

// compare holds the state to the books.
func (o *oracle) compare(c runner.Command, d runner.Decision) {
	for _, v := range d.State.Strip(o.now) {
		id := v.Safeguard.ID
		if _, up := o.stands[id]; up != (v.State == runner.InPlace) {
			o.fault("after %s: %s stands %v, by the books %v", runner.CommandName(c), id, v.State, up)
		}
		if o.engaged[id] != v.Engaged {
			o.fault("after %s: %s engaged %v, by the books %v", runner.CommandName(c), id, v.Engaged, o.engaged[id])
		}
	}
	var pins []string
	for _, p := range d.State.Pins(o.now) {
		pins = append(pins, p.Step.ID)
		if from := o.running[p.Step.ID]; from.Session == o.now.Session && p.For > max(0, o.now.Mono-from.Mono) {
			o.fault("%s has run %v", p.Step.ID, p.For)
		}
	}
	if len(pins) != len(o.running) {
		o.fault("after %s: %v run, by the books %v", runner.CommandName(c), pins, o.running)
	}
	var due []string
	for _, st := range d.State.Due() {
		due = append(due, st.ID)
	}
	if !slices.Equal(due, o.due()) {
		o.fault("after %s: due %v, by the books %v", runner.CommandName(c), due, o.due())
	}
	open := ""
	if st := d.State.Current(); st != nil {
		open = st.ID
	}
	if want := o.current(); open != want || open != o.open {
		o.fault("after %s: %q is open, by the books %q (opened %q)", runner.CommandName(c), open, want, o.open)
	}
	if string(d.State.Phase()) != o.phase {
		o.fault("after %s: phase %s, by the books %s", runner.CommandName(c), d.State.Phase(), o.phase)
	}
}

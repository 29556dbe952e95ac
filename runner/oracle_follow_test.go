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
			for _, use := range p.Check {
				for _, ref := range use {
					if o.p.home[ref] == id && o.series(id, ref) {
						delete(in.values, ref)
					}
				}
			}
		}
		o.in[id] = in
	}
}

func (o *oracle) series(step, reading string) bool {
	return o.p.named(step).Wait == nil || reading == "surface"
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

// walkLine follows where the main line goes within one decision.
type walkLine struct {
	o    *oracle
	next string // the step or end that must come next; "" where nothing moves
	back map[string]bool
}

func (w *walkLine) after(id, target string) {
	i := w.o.p.at[id] + 1
	switch {
	case target != "":
		w.next = target
	case i < len(w.o.p.Steps):
		w.next = w.o.p.Steps[i].id()
	default:
		w.next = "complete"
	}
}

func (w *walkLine) follow(e runner.Event) {
	o := w.o
	switch e := e.(type) {
	case runner.Began:
		o.phase, w.next = "working", o.p.Steps[0].id()
	case runner.PassedBy:
		w.passed(e)
	case runner.Entered:
		w.entered(e)
	case runner.EndReached:
		if w.next != string(e.Outcome) && o.reached != string(e.Outcome) {
			o.fault("end %s where %q follows", e.Outcome, w.next)
		}
		w.next, o.phase, o.cursor = "", "closing", ""
		o.outcome, o.reached, o.early, o.left = string(e.Outcome), string(e.Outcome), false, map[string]bool{}
	case runner.Opened:
		w.opened(e)
	case runner.Done:
		w.done(e)
	case runner.Skipped:
		if s := o.p.named(e.Step); s.Gate != "" || !s.Optional || e.Step != o.open || e.Reason == "" || len(o.missing(s)) > 0 {
			o.fault("%s is skipped", e.Step)
		}
		w.after(e.Step, o.p.named(e.Step).Then)
	case runner.Undone:
		w.undone(e)
	case runner.Corrected:
		w.corrected(e)
	case runner.Overruled:
		in := o.in[e.Step].copy()
		delete(in.values, e.Reading)
		o.in[e.Step] = in
	case runner.PinStarted:
		if e.Of == string(runner.ByCorrection) {
			o.startPin(e.Step)
		}
	}
}

func (w *walkLine) passed(e runner.PassedBy) {
	o, s := w.o, w.o.p.named(e.Step)
	_, up := o.stands[s.Secures]
	safe := slices.Contains(o.p.MakeSafe, e.Step)
	switch {
	case e.Step != w.next:
		o.fault("passed by %s where %q follows", e.Step, w.next)
	case e.Why == runner.NotApplicable && (o.holds("", s.When) || safe):
		o.fault("%s does apply", e.Step)
	case e.Why == runner.NotDue && (!safe || o.isDue(e.Step)):
		o.fault("%s is due", e.Step)
	case e.Why == runner.AlreadyStands && !up:
		o.fault("%s does not stand", s.Secures)
	}
	w.after(e.Step, "")
	if e.Why == runner.AlreadyStands {
		w.after(e.Step, s.Then)
	}
}

func (w *walkLine) entered(e runner.Entered) {
	o := w.o
	if e.Step != w.next && !w.back[e.Step] {
		o.fault("entered %s where %q follows", e.Step, w.next)
	}
	o.rounds[e.Step]++
	if r := o.p.named(e.Step).Repeat; r != nil && o.rounds[e.Step] > r.AtMost && !w.back[e.Step] {
		o.fault("%s entered %d times", e.Step, o.rounds[e.Step])
	}
	w.next, o.cursor, o.phase, o.outcome, o.reached, o.early = "", e.Step, "working", "", "", false
	o.left = map[string]bool{}
	delete(o.in, e.Step)
	delete(o.done, e.Step)
}

// opened lets the causes of the step that is left, and of the one that is opened, happen.
func (w *walkLine) opened(e runner.Opened) {
	o := w.o
	if o.open != "" {
		for _, c := range o.p.named(o.open).Causes {
			o.happens(c)
		}
	}
	o.open = e.Step
	if e.Step == "" {
		return
	}
	if o.done[e.Step] {
		delete(o.in, e.Step)
		delete(o.done, e.Step)
	}
	for _, c := range o.p.named(e.Step).Causes {
		o.happens(c)
	}
}

func (w *walkLine) done(e runner.Done) {
	o, s := w.o, w.o.p.named(e.Step)
	_, runs := o.running[e.Step]
	if e.Step != o.open && !runs || o.held || o.lost {
		o.fault("%s done while %q is open", e.Step, o.open)
	}
	if lacks := o.wants(e.Step); len(lacks) > 0 {
		o.fault("%s done without %v", e.Step, lacks)
	}
	o.begun(e.Step)
	o.done[e.Step] = true
	delete(o.owed, e.Step)
	delete(o.running, e.Step)
	target := s.Then
	if s.Ask != nil {
		for _, a := range s.Ask.Answers {
			if a.Say == o.in[e.Step].answer {
				target = a.Then
			}
		}
	}
	if s.Secures != "" && target != "referred" && target != "abandoned" {
		o.stands[s.Secures], o.engaged[s.Secures] = o.now, true
	}
	for _, g := range s.Releases {
		_, up := o.stands[g]
		if up || o.engaged[g] {
			o.fell(g, true, "")
			o.owes = slices.DeleteFunc(o.owes, func(owed string) bool { return owed == g })
		}
		delete(o.engaged, g)
	}
	if o.phase != "working" || e.Step != o.cursor || o.incoming {
		return
	}
	w.after(e.Step, target)
}

func (w *walkLine) undone(e runner.Undone) {
	o, s := w.o, w.o.p.named(e.Step)
	if w.back == nil {
		w.back = map[string]bool{}
	}
	w.back[e.Step] = true
	delete(o.done, e.Step)
	if s.Secures != "" {
		o.fell(s.Secures, false, "")
	}
	if slices.Contains(o.p.MakeSafe, e.Step) {
		o.owed[e.Step] = true
	}
}

func (w *walkLine) corrected(e runner.Corrected) {
	o := w.o
	switch {
	case e.Sheet != "":
		o.sheet[e.Sheet] = e.Value
	case e.Statement != "":
		in := o.in[e.Statement].copy()
		delete(in.affirmed, e.Index)
		o.in[e.Statement] = in
	case e.Answer != "" && !o.done[e.Answer]:
		o.wipe(e.Answer)
	case e.Reading != "":
		step := o.p.home[e.Reading]
		in := o.in[step].copy()
		if _, was := in.values[e.Reading]; !was {
			o.fault("%s corrected, though it was refused", e.Reading)
		}
		in.values[e.Reading], o.kept[e.Reading] = e.Value, e.Value
		if len(e.Reasons) > 0 {
			delete(in.values, e.Reading)
		}
		o.in[step] = in
	}
}

func (w *walkLine) end() {
	if w.next != "" {
		w.o.fault("the main line stops before %s", w.next)
	}
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

package runner_test

// The oracle's main line: where it goes next within one decision, and what each completed or undone step does to the books.

import (
	"slices"

	"fenderside/runner"
)

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
		delete(o.stands, s.Secures)
		o.based[s.Secures] = o.rests(s.Secures)
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
	if o.beside[e.Step] = o.phase != "working" || e.Step != o.cursor || o.incoming; o.beside[e.Step] {
		return
	}
	w.after(e.Step, target)
}

func (w *walkLine) undone(e runner.Undone) {
	o, s := w.o, w.o.p.named(e.Step)
	if w.back == nil {
		w.back = map[string]bool{}
	}
	gone := o.fellWith(s.Secures)
	for id := range o.done {
		needs := slices.ContainsFunc(o.p.named(id).Needs, func(n need) bool { return slices.Contains(gone, n.Safeguard) })
		if id == e.Step && !o.beside[id] || o.beside[e.Step] && !o.beside[id] && needs {
			w.back[id] = true
		}
	}
	delete(o.done, e.Step)
	if s.Secures != "" {
		o.fell(s.Secures, false, "")
	}
	if slices.Contains(o.p.MakeSafe, e.Step) {
		o.owed[e.Step] = true
	}
}

// fellWith lists a safeguard and what rests on it; nothing where there is none.
func (o *oracle) fellWith(g string) (out []string) {
	if g == "" {
		return nil
	}
	out = []string{g}
	for r := range o.p.Safeguards {
		if !slices.Contains(out, r) && slices.Contains(o.rests(r), g) {
			out = append(out, o.fellWith(r)...)
		}
	}
	return out
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

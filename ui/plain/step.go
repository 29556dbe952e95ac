package plain

// The rule kept here: a step is announced with its warnings before its action, and then asks for one thing at a time.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// entry is what a step waits for next.
func (d *desk) entry(id string) want {
	v, _ := d.s.State().View(id, d.s.Moment())
	w := d.ask1(v)
	w.key = fmt.Sprintf("step %s %d", id, v.Rounds)
	w.intro = func() { d.announce(v) }
	return w
}

// ask1 is the first of all that a step can ask for. A wait comes before the statements, which may speak of it; the answer
// to the question comes last, for it completes the step.
func (d *desk) ask1(v runner.StepView) want {
	for _, ask := range []func(runner.StepView) (want, bool){
		d.wayWant, d.waitWant, d.statementWant, d.readingWant, d.seriesWant, d.evidenceWant, d.lateWaitWant, d.witnessWant, d.answerWant,
	} {
		if w, ok := ask(v); ok {
			return w
		}
	}
	return d.finishWant(v)
}

// wanted finds a reason of a kind among what the step waits for.
func wanted(v runner.StepView, code runner.Code) (runner.Reason, bool) {
	for _, r := range v.Wants {
		if r.Code == code {
			return r, true
		}
	}
	return runner.Reason{}, false
}

// announce says a step: where it stands, why the work waits for it, its warnings, its action and how it is done.
func (d *desk) announce(v runner.StepView) {
	st := v.Step
	d.say("%s", d.placeLine(st))
	d.whyHere(st)
	for _, w := range st.Warnings {
		d.say("%s. %s. %s. %s", w.Word, strings.TrimRight(w.Hazard, "."), strings.TrimRight(w.Consequence, "."), w.Avoid)
	}
	d.say("DO: %s.", st.Title)
	for _, line := range st.How {
		d.say("How: %s", line)
	}
	for _, line := range reading.Shown(v) {
		d.say("%s.", line)
	}
	for _, line := range reading.PassedOn(v) {
		d.say("Found before: %s.", line)
	}
	if st.Repeat != nil {
		d.say("Round %d of at most %d, until: %s.", v.Rounds, st.Repeat.AtMost, st.Repeat.Until)
	}
	if st.Optional {
		d.say("This step is optional. To pass over it, type .skip and the reason.")
	}
}

func (d *desk) placeLine(st *procedures.Step) string {
	j := d.s.Job()
	mode := string(j.Opening.Mode) + " job"
	if st.Kind == procedures.Pinned {
		return fmt.Sprintf("Beside the work, %s %s, revision %d.", mode, j.Opening.Job, j.Procedure.Revision)
	}
	kind := ""
	if st.Kind == procedures.Gate {
		kind = " GATE."
	}
	return fmt.Sprintf("Step %d of %d.%s %s %s, revision %d.", st.Index+1, j.Procedure.MainLine(), kind, capital(mode), j.Opening.Job, j.Procedure.Revision)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// whyHere says why the work waits for this step, where it is not the one that the work had come to.
func (d *desk) whyHere(st *procedures.Step) {
	s := d.s.State()
	if h := s.Handover(); h != nil {
		d.say("Handover: %s secures this again before signing on.", h.To.Name)
		return
	}
	if s.Phase() == runner.Closing {
		d.say("Closing as %s: this makes safe.", s.Outcome())
		return
	}
	if at := s.Cursor(); at != nil && at.ID != st.ID && d.focus != st.ID {
		d.say("HELD: “%s” waits for this.", at.Title)
		for _, r := range s.HeldBy() {
			what, _ := d.s.Job().Text(r)
			d.say("Because %s.", what)
		}
	}
}

// why says why a step is there.
func (d *desk) why() {
	st := d.here()
	switch {
	case st == nil:
		d.say("No step is open.")
	case st.Why == "":
		d.say("The procedure gives no reason for this step.")
	default:
		d.say("Why: %s", st.Why)
	}
}

// here is the step that is being done, or nil.
func (d *desk) here() *procedures.Step {
	if id := d.focused(); id != "" {
		st, _ := d.s.Job().Procedure.StepByID(id)
		return st
	}
	return d.s.State().Current()
}

// finishWant completes a step that has all it asked for. A step that asked for nothing is completed by a word.
func (d *desk) finishWant(v runner.StepView) want {
	id, key := v.Step.ID, fmt.Sprintf("%s %d", v.Step.ID, v.Rounds)
	finish := func() error { return d.finish(id, key) }
	if asksAnything(v) && d.tried != key {
		return want{auto: finish}
	}
	return want{
		prompt: append(d.words(v.Wants), "When it is done, type: done"),
		take: func(line string) error {
			if !strings.EqualFold(line, "done") {
				d.notThat(line, "done")
				return nil
			}
			return finish()
		},
	}
}

// finish completes a step, and forgets what was said of it, for it may come back.
func (d *desk) finish(id, key string) error {
	d.tried = key
	dec, err := d.s.Do(runner.Finish{Step: id})
	if err == nil && dec.Refusal == nil {
		d.told, d.tried, d.ahead, d.declined = "", "", "", map[string]bool{}
	}
	return d.result(dec, err)
}

func asksAnything(v runner.StepView) bool {
	return len(v.Step.Ways)+len(v.Statements)+len(v.Readings)+len(v.Evidence) > 0 || v.Wait.Timed || v.NeedsSign
}

// workings says the latest result of each check of the step, with its figures and its arithmetic.
func (d *desk) workings() {
	st, said := d.here(), false
	if st == nil {
		d.say("No step is open.")
		return
	}
	v, _ := d.s.State().View(st.ID, d.s.Moment())
	for _, c := range v.Checks {
		if !c.Ran {
			continue
		}
		said = true
		d.sayCheck(c)
	}
	if !said {
		d.say("No check of this step has run.")
	}
}

func (d *desk) sayCheck(c runner.CheckView) {
	d.say("Check %s: %s. %s", c.Use.Name, c.Verdict.Words(), reading.Because(c.Use.Name, c.Because))
	for _, f := range c.Figures {
		d.say("Figure: %s is %s.", f.Name, f.Text)
	}
	for _, line := range c.Workings {
		d.say("Working: %s", line)
	}
}

package runner

// A check judges the very file that was attached, or it judges nothing. The core opens no file: it asks for one by the
// digest that it recorded, of whoever keeps the copies, and writes down where there was none.

import (
	"slices"
	"strings"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Files gives a file that was attached, held to its digest; false where it is not to be had, or is not that file.
type Files func(File) (checks.Data, bool)

func takesFile(use procedures.CheckUse) bool {
	return slices.ContainsFunc(use.Check.Inputs, func(in checks.Input) bool {
		return in.Kind == checks.KindData && gives(use, in.Name)
	})
}

func gives(use procedures.CheckUse, name string) bool {
	return slices.ContainsFunc(use.Inputs, func(in procedures.CheckInput) bool { return in.Name == name })
}

// filesOf lists the pieces of evidence of a step that a check of it judges.
func filesOf(st *procedures.Step, use procedures.CheckUse) []int {
	var out []int
	for k, ev := range st.Evidence {
		if usesReading(use, ev.ID) {
			out = append(out, k)
		}
	}
	return out
}

// fileOf is the file that was attached under an id, as step i refers to it. Another step's whose entries were wiped is
// still known; one of the step itself is not.
func (s *State) fileOf(id string, i int) (File, bool) {
	place, ok := s.job.proofs[id]
	if !ok || !s.holdsIn(place.step, s.spec(place.step).Evidence[place.evidence].When) {
		return File{}, false
	}
	st := &s.steps[place.step]
	f := st.evidence[place.evidence]
	if f == nil && place.step != i {
		f = st.kept[place.evidence]
	}
	if f == nil {
		return File{}, false
	}
	return *f, true
}

// fileGiven is the file under an id as an argument; it cannot be opened where it is not to be had.
func (s *State) fileGiven(i int, id string) (checks.Argument, bool) {
	f, ok := s.fileOf(id, i)
	if !ok {
		return checks.Argument{}, false
	}
	if s.job.Files != nil {
		if data, there := s.job.Files(f); there {
			return checks.Argument{Data: checks.Data{Name: f.Name, Open: data.Open}}, true
		}
	}
	return checks.Argument{Data: checks.Data{Name: f.Name}}, true
}

// computeFile runs one check that takes files. One that cannot judge what it is given says so, and wants another file or
// other words with it: what it found nothing in is not thereby bad.
func (d *decision) computeFile(i int, use *procedures.CheckUse, args checks.Arguments) {
	e := Computed{Step: d.s.spec(i).ID, Check: use.Name, Verdict: checks.More}
	missing := absent(use.Check, args)
	if was, ok := d.recordedResult(e.Step, e.Check); ok && (missing != "" || was.Missing != "") {
		d.onTrust = append(d.onTrust, was)
		d.emit(was)
		return
	}
	if missing != "" {
		e.Missing, e.Because = missing, "the file could not be read back"
		d.emit(e)
		return
	}
	r, err := use.Check.Run(args)
	if err != nil {
		r = checks.Result{Verdict: checks.More, Because: err.Error()}
	}
	e.Verdict, e.Because = r.Verdict, written(r.Because)
	for _, f := range r.Figures {
		e.Figures = append(e.Figures, checks.Figure{Name: written(f.Name), Text: written(f.Text)})
	}
	for _, w := range r.Workings {
		e.Workings = append(e.Workings, written(w))
	}
	d.emit(e)
}

// absent is the name of a file that is an argument and cannot be opened, or empty.
func absent(c checks.Check, args checks.Arguments) string {
	for _, in := range c.Inputs {
		if arg, given := args[in.Name]; given && in.Kind == checks.KindData && arg.Data.Open == nil {
			return arg.Data.Name
		}
	}
	return ""
}

// written is a text that may quote a file, fit to be written down: plain, and not longer than a text may be.
func written(text string) string {
	if len(text) > LongestText {
		text = text[:LongestText]
	}
	return plaintext.Show(strings.ToValidUTF8(text, "\ufffd"))
}

// recordedResult is what a check of a step gave, in a replay.
func (d *decision) recordedResult(step, check string) (Computed, bool) {
	for _, e := range d.recorded {
		if e, ok := e.(Computed); ok && e.Step == step && e.Check == check {
			return e, true
		}
	}
	return Computed{}, false
}

// lookAgain runs the checks of step i, and those that they rest on, whose files could not be had before: they may have been
// put back.
func (d *decision) lookAgain(i int) {
	for k := range d.s.spec(i).Checks {
		use := &d.s.spec(i).Checks[k]
		for _, in := range use.Inputs {
			if in.Found != nil {
				before, _ := d.s.job.step(in.Found.Step)
				d.lookAgain(before)
			}
		}
		if d.s.steps[i].computed[k].missing != "" && !d.missedThen(use.Name) {
			d.computeUse(i, use)
		}
	}
}

// missedThen says whether, in a replay, the command was refused for want of the check's file.
func (d *decision) missedThen(check string) bool {
	for _, e := range d.recorded {
		no, ok := e.(Refused)
		if ok && slices.ContainsFunc(no.Reasons, func(r Reason) bool { return r.Code == FileMissing && r.Item == check }) {
			return true
		}
	}
	return false
}

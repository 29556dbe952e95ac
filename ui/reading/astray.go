package reading

// The rule of this file: who takes a job up, or is about to sign it, is told which file is not as it was attached, and what can
// be done. That it can be signed all the same is said with what the audit will make of it.

import (
	"fmt"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/session"
)

// Astray words the files whose copies are lost or changed, a few lines each.
func Astray(s runner.State, job *runner.Job, now runner.Moment, all []session.Astray) []string {
	var out []string
	for _, a := range all {
		title, file := plaintext.Show(a.Step), plaintext.Show(a.Item)
		if st, ok := job.Procedure.StepByID(a.Step); ok {
			title = st.Title
			for _, ev := range st.Evidence {
				if ev.ID == a.Item {
					file = ev.Title
				}
			}
		}
		what := "FILE LOST: the copy of “%s” (%s, at “%s”) is not there any more."
		if a.Changed {
			what = "FILE CHANGED: the copy of “%s” (%s, at “%s”) is not the file that was attached."
		}
		out = append(out, fmt.Sprintf(what, plaintext.Show(a.File.Name), file, title), "  - Put the file back as it was attached: "+plaintext.Show(a.Copy))
		if back := wayBack(s, job.Procedure, a.Step, now); back != "" {
			out = append(out, "  - Or "+back+"; the audit still points at this one.")
		}
		out = append(out, "  - Or sign without it: "+audited(a))
	}
	return out
}

// wayBack is how another file comes to be attached at a step: the step is open, or is taken back by an entry of its own, or the
// job comes through it again from an earlier answer. It is empty where nothing leads there.
func wayBack(s runner.State, p *procedures.Procedure, step string, now runner.Moment) string {
	const then = "attach another there and have that one judged"
	v, ok := s.View(step, now)
	switch {
	case !ok:
		return ""
	case v.Status == runner.Current:
		return "attach another at this step, and have that one judged"
	case v.Answer+v.Way != "":
		return "correct what was chosen at that step, then " + then
	}
	for _, said := range v.Statements {
		if said.Affirmed && v.Step.Kind != procedures.Pinned {
			return "take a statement of that step back by a correction, then " + then
		}
	}
	for i := min(v.Step.Index, p.MainLine()) - 1; i >= 0; i-- {
		if before, _ := s.View(p.Steps[i].ID, now); before.Status == runner.Finished && before.Answer != "" {
			return fmt.Sprintf("correct the answer of “%s”, from which the job comes to that step again, then %s", before.Step.Title, then)
		}
	}
	return ""
}

// audited is what an audit makes of it.
func audited(a session.Astray) string {
	switch {
	case a.Changed && a.Check != "":
		return fmt.Sprintf("the audit then rejects the record, for check %s judged another file than the one that lies there.", a.Check)
	case a.Check != "":
		return fmt.Sprintf("the audit then asks for a look, for what check %s found cannot be reckoned again.", a.Check)
	case a.Changed:
		return "the audit then asks for a look."
	}
	return "the audit then notes that it is missing."
}

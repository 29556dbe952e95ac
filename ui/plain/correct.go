package plain

// The rule kept here: a correction names one entry, its new value and a reason; what follows from it is the core's.

import (
	"fmt"
	"strings"

	"fenderside/procedures"
	"fenderside/runner"
)

// entered is one entry that can be corrected.
type entered struct {
	words  string
	fix    runner.Correction
	choose []string
	valued bool // a new value takes its place; otherwise it is taken back
}

// correct lists the entries that can be corrected, those with the filter's words in them where there is one, and corrects
// one.
func (d *desk) correct(filter string) error {
	var all []entered
	var lines []string
	for _, e := range d.correctable() {
		if strings.Contains(strings.ToLower(e.words), strings.ToLower(filter)) {
			all, lines = append(all, e), append(lines, e.words)
		}
	}
	if len(all) == 0 {
		d.say("There is no such entry to correct. A refused reading is not corrected: take a fresh one.")
		return nil
	}
	i, ok, err := d.askNumber("Which entry is wrong?", lines)
	if err != nil || !ok {
		return err
	}
	fix := all[i].fix
	if all[i].valued {
		prompt := append([]string{"Type the right value."}, listed(all[i].choose)...)
		value, err := d.askWords("", prompt...)
		if err != nil {
			return err
		}
		fix.Value = chosen(all[i].choose, value)
	}
	if fix.Reason, err = d.askWords("", "Why? The old entry stays readable in the record."); err != nil {
		return err
	}
	return d.do(runner.Correct{Correction: fix})
}

// correctable lists the entries as they stand: the sheet, then each step's statements, readings and answer.
func (d *desk) correctable() []entered {
	st, p := d.s.State(), d.s.Job().Procedure
	var out []entered
	for _, e := range st.Sheet() {
		f, _ := p.FieldByID(e.ID)
		out = append(out, entered{fmt.Sprintf("Sheet: %s: %s", f.Title, e.Value), runner.Correction{Sheet: e.ID}, f.Choose, true})
	}
	for i := range p.Steps {
		v, _ := st.View(p.Steps[i].ID, d.s.Moment())
		out = append(out, ofStep(v)...)
	}
	return out
}

func ofStep(v runner.StepView) []entered {
	var out []entered
	id := v.Step.ID
	for _, s := range v.Statements {
		if s.Affirmed {
			out = append(out, entered{"Affirmed: " + s.Text, runner.Correction{Statement: id, Index: s.Index}, nil, false})
		}
	}
	for _, r := range v.Readings {
		for k, value := range r.Values {
			out = append(out, entered{fmt.Sprintf("Reading: %s: %s", r.Spec.Title, value.Text),
				runner.Correction{Reading: r.Spec.ID, Index: k}, r.Spec.Choose, true})
		}
	}
	if v.Answer != "" {
		out = append(out, entered{fmt.Sprintf("Answer: %s: %s", v.Step.Title, v.Answer), runner.Correction{Answer: id}, nil, false})
	}
	return out
}

// sheetLines says the job sheet as it stands, with where each figure comes from.
func (d *desk) sheetLines() {
	for _, e := range d.s.State().Sheet() {
		f, _ := d.s.Job().Procedure.FieldByID(e.ID)
		from := "typed"
		if e.From == procedures.FromCard {
			from = "from the card"
		}
		if e.Source != "" {
			from += ", " + e.Source
		}
		d.say("Sheet: %s: %s (%s).", f.Title, e.Value, from)
	}
}

package ui

// The rule of this file: everything that was entered is in one list with what it says now, and a correction asks for the
// new value and for the reason.

import (
	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/ui/reading"
)

// correctable is one entry that can be corrected.
type correctable struct {
	what    string
	old     string
	choices []string
	value   bool // a new value is asked; otherwise the entry is taken back
	with    func(value, reason string) runner.Correction
}

// corrections is the list of entries behind F5, the latest step first.
func (m *model) corrections() tea.Cmd {
	p := &picker{title: "CORRECT AN ENTRY", empty: "Nothing was entered yet.",
		intro: []string{"The old value stays readable. A step that would not be accepted with the new one is done again. A refused reading is not corrected: take it afresh."}}
	for _, c := range m.work.correctables() {
		p.items = append(p.items, item{text: c.what, more: "now: " + c.old, act: func(m *model) tea.Cmd { return m.correct(c) }})
	}
	m.push(p)
	return nil
}

func (m *model) correct(c correctable) tea.Cmd {
	ask := []question{{title: "Why is it corrected?"}}
	if c.value {
		ask = append([]question{{title: "What is right?", choices: c.choices}}, ask...)
	}
	m.push(newForm("CORRECT: "+c.what, "corrects it", []string{"Now: " + c.old}, ask, func(m *model, ask []question) tea.Cmd {
		value := ""
		if c.value {
			if value = ask[0].input.String(); len(c.choices) > 0 {
				value = c.choices[ask[0].mark.at]
			}
		}
		return m.do(runner.Correct{Correction: c.with(value, ask[len(ask)-1].input.String())}, closed("Corrected. The old value stays readable."))
	}))
	return nil
}

// correctables lists every entry: the steps from the latest back, then the job sheet.
func (w *work) correctables() []correctable {
	var out []correctable
	marks := w.state.Marks()
	for i := len(marks) - 1; i >= 0; i-- {
		if v, ok := w.state.View(marks[i].Step.ID, w.now); ok {
			out = append(out, stepEntries(v)...)
		}
	}
	for _, e := range w.state.Sheet() {
		f, ok := w.job.Procedure.FieldByID(e.ID)
		if !ok {
			continue
		}
		out = append(out, correctable{what: "Job sheet: " + f.Title, old: plaintext.Show(e.Value), choices: f.Choose, value: true,
			with: func(value, reason string) runner.Correction {
				return runner.Correction{Sheet: e.ID, Value: value, Reason: reason}
			}})
	}
	return out
}

func stepEntries(v runner.StepView) []correctable {
	var out []correctable
	id := v.Step.ID
	if v.Answer != "" {
		out = append(out, correctable{what: v.Step.Title, old: v.Answer + "; choosing it takes it back, and the question is asked again",
			with: func(_, reason string) runner.Correction { return runner.Correction{Answer: id, Reason: reason} }})
	}
	for _, r := range v.Readings {
		for k, value := range r.Values {
			out = append(out, correctable{what: r.Spec.Title, old: plaintext.Show(value.Text), choices: r.Spec.Choose, value: true,
				with: func(text, reason string) runner.Correction {
					return runner.Correction{Reading: r.Spec.ID, Index: k, Value: reading.WithUnit(text, r.Spec.Kind, r.Spec.Unit), Reason: reason}
				}})
		}
	}
	for _, s := range v.Statements {
		if s.Affirmed {
			out = append(out, correctable{what: s.Text, old: "said to be true; choosing it takes it back",
				with: func(_, reason string) runner.Correction {
					return runner.Correction{Statement: id, Index: s.Index, Reason: reason}
				}})
		}
	}
	return out
}

package ui

// The rule of this file: what can be asked of a job beside its next entry has one list, and what cannot work now says why
// when it is asked.

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/session"
	"fenderside/ui/reading"
)

// more is the list behind F7.
func (m *model) more() tea.Cmd {
	s := m.work.state
	items := []item{
		{head: "This step", text: "Name the instrument in hand", act: (*model).instruments},
		{text: "Attach a photo or file", act: (*model).attachments},
		{text: "Take an optional reading, or one more value", act: (*model).optionalReadings},
	}
	if st := m.work.step(); st != nil && st.Optional {
		items = append(items, item{text: "Pass over this optional step, and say why", act: (*model).skip})
	}
	items = append(items,
		item{head: "The job", text: "Pause, and sign the stretch so far", act: (*model).pauseSigned},
		item{text: "Pause without signing", act: (*model).pause},
		item{text: "Hand the job to another person", act: (*model).handOver},
		item{text: "Take the job over from somebody who is gone", act: (*model).takeOver},
		item{text: "Write down work that is still due", act: (*model).followUp},
	)
	if s.Handover() != nil {
		items = append(items, item{text: "End the handover: the job stays with who had it", act: (*model).keepJob})
	}
	items = append(items, item{text: "Leave the job open and go back to the board", act: (*model).letGo})
	items = append(items, item{head: "The end", text: "Close the job early: referred or abandoned", act: (*model).closeEarly})
	if s.Phase() == runner.Closing {
		items = append(items,
			item{text: "Write down a state that cannot be made safe", act: (*model).leave},
			item{text: "Go on with the job after all", act: (*model).goOn},
			item{text: "Have another person sign the record", act: (*model).signAsOther})
	}
	m.push(&picker{title: "WHAT ELSE", items: items})
	return nil
}

// note writes a remark.
func (m *model) note() tea.Cmd {
	return m.reason("NOTE", "What is to be remembered?", "writes it down", "Written down.", func(t string) runner.Command { return runner.Note{Text: t} })
}

func (m *model) pause() tea.Cmd {
	return m.reason("PAUSE", "Why is the work broken off?", "pauses the job", "", func(t string) runner.Command { return runner.Pause{Reason: t} },
		"Safeguards that lapse on an interruption fall, and are secured again afterwards.")
}

func (m *model) pauseSigned() tea.Cmd {
	h, p := m.home, m.work.state.Acting()
	m.push(newForm("PAUSE, SIGNED", "signs and pauses", []string{"Safeguards that lapse on an interruption fall, and are secured again afterwards."},
		[]question{{title: "Why is the work broken off?"}}, func(m *model, ask []question) tea.Cmd {
			why := ask[0].input.String()
			return m.send(func(s *session.Session) (runner.Decision, error) {
				key, err := h.Signer(p)
				if err != nil {
					return runner.Decision{State: s.State()}, err
				}
				return s.Pause(why, key)
			}, closed(""))
		}))
	return nil
}

// skip passes over an optional step; any other has to be done.
func (m *model) skip() tea.Cmd {
	st := m.work.step()
	if st == nil || !st.Optional {
		m.say("Only an optional step can be passed over. A close that is early is behind F7.")
		return nil
	}
	id := st.ID
	return m.reason("PASS OVER THIS STEP", "Why is it not done?", "passes over it", "", func(t string) runner.Command { return runner.Skip{Step: id, Reason: t} })
}

func (m *model) goOn() tea.Cmd {
	return m.reason("GO ON WITH THE JOB", "Why does it go on?", "takes the closing back", "", func(t string) runner.Command { return runner.Continue{Reason: t} })
}

func (m *model) keepJob() tea.Cmd {
	return m.reason("END THE HANDOVER", "Why does it not take place?", "keeps the job", "", func(t string) runner.Command { return runner.KeepJob{Reason: t} })
}

// closeEarly ends the job as referred or abandoned.
func (m *model) closeEarly() tea.Cmd {
	ends := []procedures.Outcome{procedures.Referred, procedures.Abandoned}
	m.push(newForm("CLOSE EARLY", "begins to close", []string{"The steps that make safe what was begun come first; then the record is signed."},
		[]question{
			{title: "How does it end?", choices: []string{"Referred: somebody else goes on with it", "Abandoned: it is not done"}},
			{title: "Why?"},
		}, func(m *model, ask []question) tea.Cmd {
			return m.do(runner.Close{Outcome: ends[ask[0].mark.at], Reason: ask[1].input.String()}, closed(""))
		}))
	return nil
}

// leave writes down what cannot be made safe.
func (m *model) leave() tea.Cmd {
	due := m.work.state.Due()
	if len(due) == 0 {
		m.say("Nothing is waiting to be made safe.")
		return nil
	}
	var names []string
	for _, st := range due {
		names = append(names, st.Title)
	}
	m.push(newForm("LEFT IN THIS STATE", "writes it down", []string{"Only what truly cannot be done now. It stands in the record and on the tag."},
		[]question{{title: "Which step cannot be done?", choices: names}, {title: "In what state is the vehicle left?"}},
		func(m *model, ask []question) tea.Cmd {
			return m.do(runner.Leave{Step: due[ask[0].mark.at].ID, State: ask[1].input.String()}, closed(""))
		}))
	return nil
}

func (m *model) followUp() tea.Cmd {
	m.push(newForm("WORK STILL DUE", "writes it down", nil, []question{{title: "What is to be done?"}, {title: "By when?", hint: dateHint}},
		func(m *model, ask []question) tea.Cmd {
			return m.do(runner.FollowUp{What: ask[0].input.String(), Due: ask[1].input.String()}, closed("Written down."))
		}))
	return nil
}

// instruments chooses the kind of instrument to name.
func (m *model) instruments() tea.Cmd {
	p := &picker{title: "INSTRUMENTS IN HAND", empty: "This procedure names no instruments."}
	for _, kind := range m.work.job.Procedure.Instruments {
		more := "none named yet"
		if in, ok := m.work.state.InstrumentOf(kind.ID); ok {
			more = plaintext.Show(in.Name)
			if in.Due != "" {
				more += ", calibration due " + in.Due
			}
		}
		p.items = append(p.items, item{text: kind.Title, more: more, act: func(m *model) tea.Cmd { return m.instrument(kind, "", nil) }})
	}
	m.push(p)
	return nil
}

// instrument names one, and then goes on with what it was wanted for, if anything. A name that was typed already is kept, and
// only the date is asked.
func (m *model) instrument(kind procedures.Instrument, name string, then func(*model) tea.Cmd) tea.Cmd {
	ask := []question{{title: "Number or name that stands on it", input: typedLine(name)}, {title: "Calibration due", hint: dateHint, optional: !kind.Calibration}}
	if !kind.Calibration {
		ask[1].hint += " Enter alone leaves it out."
	}
	f := newForm(fmt.Sprintf("INSTRUMENT IN HAND: %s", kind.Title), "names it", nil, ask, func(m *model, ask []question) tea.Cmd {
		return m.do(runner.Take{Instrument: kind.ID, Name: ask[0].input.String(), Due: ask[1].input.String()}, func(m *model, d runner.Decision) tea.Cmd {
			closed("")(m, d)
			if d.Refusal == nil && then != nil {
				return then(m)
			}
			return nil
		})
	})
	if name != "" {
		f.now = 1
	}
	m.push(f)
	return nil
}

// attach binds a file to a step.
func (m *model) attach(step, item, path string) tea.Cmd {
	return m.send(func(s *session.Session) (runner.Decision, error) { return s.Attach(step, item, reading.Path(path)) },
		func(m *model, d runner.Decision) tea.Cmd {
			accepted(m, d)
			return closed("")(m, d)
		})
}

// attachments chooses a piece of evidence, the optional ones too.
func (m *model) attachments() tea.Cmd {
	v, ok := m.work.view()
	p := &picker{title: "ATTACH A PHOTO OR FILE", empty: "This step takes no photo or file."}
	for _, e := range v.Evidence {
		more := ""
		if e.File != nil {
			more = "now: " + plaintext.Show(e.File.Name)
		}
		p.items = append(p.items, item{text: e.Spec.Title, more: more, act: func(m *model) tea.Cmd {
			m.push(newForm("ATTACH A PHOTO OR FILE", "attaches it", nil, []question{{title: e.Spec.Title, hint: "Type the path of the photo or file, or drop it here."}},
				func(m *model, ask []question) tea.Cmd { return m.attach(v.Step.ID, e.Spec.ID, ask[0].input.String()) }))
			return nil
		}})
	}
	if !ok {
		p.empty = "No step is open."
	}
	m.push(p)
	return nil
}

// optionalReadings chooses a reading that the step takes and does not ask for by itself.
func (m *model) optionalReadings() tea.Cmd {
	v, _ := m.work.view()
	p := &picker{title: "READINGS OF THIS STEP", empty: "This step takes no more readings."}
	for _, r := range v.Readings {
		if len(r.Values) > 0 && !r.Spec.Series {
			continue
		}
		spec := r.Spec
		p.items = append(p.items, item{text: spec.Title, more: spec.Unit, act: func(m *model) tea.Cmd { return m.optionalReading(v.Step.ID, spec) }})
	}
	m.push(p)
	return nil
}

// optionalReading takes such a reading, after the instrument it is taken with.
func (m *model) optionalReading(step string, spec *procedures.Reading) tea.Cmd {
	if spec.Instrument >= 0 {
		kind := m.work.job.Procedure.Instruments[spec.Instrument]
		if _, named := m.work.state.InstrumentOf(kind.ID); !named {
			return m.instrument(kind, "", func(m *model) tea.Cmd { return m.optionalReading(step, spec) })
		}
	}
	q := question{title: spec.Title, hint: spec.Unit, choices: spec.Choose}
	m.push(newForm("READING", "records it", nil, []question{q}, func(m *model, ask []question) tea.Cmd {
		value := reading.WithUnit(ask[0].input.String(), spec.Kind, spec.Unit)
		if len(spec.Choose) > 0 {
			value = spec.Choose[ask[0].mark.at]
		}
		return m.do(runner.Read{Step: step, Reading: spec.ID, Value: value}, closed(""))
	}))
	return nil
}

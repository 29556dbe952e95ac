package ui

// The rule of this file: help says what each key does, in the words of the work.

import (
	tea "github.com/charmbracelet/bubbletea"

	"fenderside/runner"
	"fenderside/ui/reading"
)

// helpRows are the keys with what each does, set in two columns, between what is said of all of them.
func helpRows(width int) []string {
	width = min(width, widestText)
	rows := wrapped(helpText, "", width)
	rows = append(rows, "")
	for _, k := range helpKeys {
		rows = append(rows, hang(fill(k.key, 30), k.does, width)...)
	}
	return append(append(rows, ""), wrapped(helpMore, "", width)...)
}

var helpText = []string{
	"ENTER does the next thing that is asked: it says that the statement shown is true, records what you typed, gives the marked answer, or completes the step.",
	"NUMBERS mark an answer; Enter gives it. At a gate each statement has a number of its own, shown under it: look, then press that. Letters are only for typing.",
}

var helpKeys = []hint{
	{"F4  or Ctrl+X  or Esc then S", "STOP WORK, from everywhere"},
	{"F1  or ?  or Esc then H", "this help (? where nothing is typed yet)"},
	{"F2  or Esc then W", "why, and the workings"},
	{"F3  or Esc then L", "every safeguard and every step"},
	{"F5  or Esc then C", "correct an entry"},
	{"F6  or Esc then N", "write a note"},
	{"F7  or Esc then M", "what else can be done"},
	{"F8  or Esc then T", "start the time of a timed step"},
	{"F9  or Esc then P", "turn to the step that runs beside the work, and back"},
	{"F10 or Esc then O", "pass over an optional step, and say why"},
	{"F12 or Esc then D", "the picture of this step, where it has one, and the same in words"},
	{"Esc", "go back"},
	{"Ctrl+C", "leave; the job stays open and is taken up again as it was"},
}

var helpMore = []string{
	"On a laptop the function keys may need Fn held down; Esc and a letter always work.",
	"",
	"A gate opens when everything it asks for is there, and by nothing else. What is refused changes nothing; it stands in the record with its reason.",
	"IN PLACE: the safeguard stands. NOT IN PLACE: it was not secured yet, or was released. LAPSED: it fell by itself, and its gate is asked for again. LOST: somebody reported that it is no longer true.",
	"On the track, ======= is a gate that is shut and ==   == one that is open.",
	"This program senses nothing. It knows only what you tell it.",
}

func (m *model) help() tea.Cmd {
	if r, ok := m.top().(*reader); ok && r.title == "KEYS" {
		m.pop()
		return nil
	}
	m.push(&reader{title: "KEYS", drawn: helpRows})
	return nil
}

// why says why a step is there, how it is done and what its checks worked out.
func (m *model) why() tea.Cmd {
	v, ok := m.work.view()
	if !ok {
		m.say("No step is open now.")
		return nil
	}
	r := &reader{title: "WHY AND HOW"}
	r.text = append(r.text, v.Step.Title, "", "Why: "+sentence(v.Step.Why), "")
	for _, l := range v.Step.How {
		r.text = append(r.text, "- "+l)
	}
	r.text = append(r.text, reading.Shown(v)...)
	for _, n := range v.Step.Needs {
		if n.Safeguard >= 0 {
			r.text = append(r.text, "Needs: "+m.work.job.Procedure.Safeguards[n.Safeguard].Title)
		}
	}
	if said, worked := found(v, nil); len(said) > 0 {
		r.text = append(append(append(r.text, "", "Workings:"), said...), worked...)
	}
	for _, c := range v.Checks {
		for _, s := range c.Use.Check.Sources {
			r.text = append(r.text, "Source: "+s)
		}
	}
	if given := m.work.given(v); len(given) > 0 {
		r.text = append(append(r.text, "", "Recorded:"), given...)
	}
	m.push(r)
	return nil
}

// lookRound is the look round behind F3: every safeguard with its reason, and every step.
func (m *model) lookRound() tea.Cmd {
	w := m.work
	r := &reader{title: "ALL OF THE JOB", text: []string{"SAFEGUARDS"}}
	for _, v := range w.state.Strip(w.now) {
		text := "  " + v.Safeguard.Title + ": " + stands(v)
		if v.Fell != nil && v.State != runner.InPlace {
			text += ". Fell: " + w.job.Why(*v.Fell)
		}
		r.text = append(r.text, text)
	}
	r.text = append(r.text, "", "STEPS")
	for _, mark := range w.state.Marks() {
		r.text = append(r.text, trackLine(mark)+" "+trackText(mark))
	}
	r.text = append(r.text, "", "LATEST")
	r.text = append(r.text, w.lastTold(12, func(runner.Event) bool { return false })...)
	r.text = append(append(r.text, ""), w.sheetLines()...)
	m.push(r)
	return nil
}

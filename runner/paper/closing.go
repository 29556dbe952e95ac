package paper

// What stands after the steps: the pinned work, the close, the signatures; and the pages.

import "fmt"

func (w *writer) pinned(main int) {
	if main == len(w.p.Steps) {
		return
	}
	w.title("PINNED WORK, beside the line; over before every close")
	for i := main; i < len(w.p.Steps); i++ {
		st := &w.p.Steps[i]
		w.step(st)
		w.line(indent, "Starts, and starts anew, when: "+joined(w.causing(st.Pin.On)))
		if w.job != nil && w.runs(st.ID) {
			w.line(indent, "IT RAN WHEN THE JOURNAL ENDED.")
		}
	}
}

func (w *writer) runs(id string) bool {
	for _, pin := range w.job.Pins(w.job.Last()) {
		if pin.Step.ID == id {
			return true
		}
	}
	return false
}

// causing names the steps that cause any of these.
func (w *writer) causing(causes []string) (steps []string) {
	for i := range w.p.Steps {
		for _, c := range w.p.Steps[i].Causes {
			if contains(causes, c) {
				steps = append(steps, fmt.Sprintf("step %s is done", w.number(i)))
				break
			}
		}
	}
	return steps
}

func (w *writer) closing() {
	w.title("AT EVERY CLOSE, early ones too")
	w.line("", "Closed as: [ ] complete   [ ] referred   [ ] abandoned")
	if len(w.p.MakeSafe) > 0 {
		w.line("", "Make safe, in this order, what was begun:")
		for _, id := range w.p.MakeSafe {
			if st, ok := w.p.StepByID(id); ok {
				w.line("  [ ] ", fmt.Sprintf("%s. %s", w.number(st.Index), st.Title))
			}
		}
	}
	w.line("", "Left in this state, where something could not be made safe (never for complete):")
	for range 2 {
		w.line("  ", gap(Width-2))
	}
	w.line("", "Still to be done, by whom and when:")
	w.line("  ", gap(Width-2))
	w.block()
	w.title("SIGNATURE")
	w.line("", "I did, or saw done, what is ticked and written here, in this order.")
	w.line("", "Name "+gap(24)+" date "+gap(12))
	w.line("", "Signature "+gap(30))
	if w.job != nil {
		id := w.job.Job().Opening.Job
		w.line("", "WHEN the program runs again, THEN take the job up with: fenderside resume "+id+", do its gates again, and note in it that this form was used.")
	}
	w.block()
}

// Lines is the form as one long page, under one head.
func (f Form) Lines() []string {
	out := f.headed("")
	for _, b := range f.Blocks {
		out = append(append(out, ""), b...)
	}
	return out
}

func (f Form) headed(page string) []string {
	out := append([]string{rule}, f.Head...)
	if page != "" {
		out = append(out, page)
	}
	return append(out, rule)
}

// Pages is the form as pages of at most length lines, each under the head. A block begins a new page where it would be torn
// apart; one that is longer than a page goes on over several.
func (f Form) Pages(length int) [][]string {
	room := max(10, length-len(f.headed("Page")))
	var bodies [][]string
	var body []string
	end := func() {
		if len(body) > 0 {
			bodies, body = append(bodies, body), nil
		}
	}
	for _, b := range f.Blocks {
		if len(body)+1+len(b) > room {
			end()
		}
		for _, l := range append([]string{""}, b...) {
			if len(body) == room {
				end()
			}
			body = append(body, l)
		}
	}
	end()
	pages := make([][]string, len(bodies))
	for i, b := range bodies {
		pages[i] = append(f.headed(fmt.Sprintf("Page %d of %d", i+1, len(bodies))), b...)
	}
	return pages
}

// rule is a line across the page.
const rule = "========================================================================"

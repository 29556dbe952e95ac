package newcard

// An interview that is left is taken up again: what was answered is given to a new draft, question by question, and judged
// afresh. What was taken back is remembered too, and offered where its question is asked again.

import "slices"

// Given is one answer, to be kept while the card is not finished.
type Given struct {
	Question string `json:"question"`
	Answer   string `json:"answer,omitempty"`
	Source   string `json:"source,omitempty"`
	Back     bool   `json:"taken_back,omitempty"`
}

// Name is the name of the card.
func (d *Draft) Name() string { return d.name }

// Given is everything that was answered, in order, and then what was taken back and not answered again.
func (d *Draft) Given() []Given {
	var all []Given
	for _, g := range d.answers {
		all = append(all, Given{Question: g.id, Answer: g.text, Source: g.source})
	}
	for _, g := range d.before {
		if _, again := d.given(g.id); !again {
			all = append(all, Given{Question: g.id, Answer: g.text, Source: g.source, Back: true})
		}
	}
	return all
}

// TakeUp answers what was answered before, up to the first question that was not, or whose answer is taken no more. The
// rest is remembered.
func (d *Draft) TakeUp(all []Given) {
	settled := map[string]bool{}
	for _, g := range all {
		d.remember(given{g.Question, g.Answer, g.Source})
		settled[g.Question] = !g.Back
	}
	for q, more := d.Next(); more; q, more = d.Next() {
		id := d.open()
		if q.Source {
			id = d.answers[len(d.answers)-1].id
		}
		if !settled[id] || d.Answer(d.Suggested()) != nil {
			return
		}
	}
}

// Suggested is what was answered to the open question before that was taken back; empty where nothing was.
func (d *Draft) Suggested() string {
	if q, ok := d.unsourced(); ok {
		return d.remembered(q.id).source
	}
	return d.remembered(d.open()).text
}

// Answered is one answer with its question, as it is read back.
type Answered struct{ Title, Text, Source string }

// Answered is every answer so far, in order.
func (d *Draft) Answered() []Answered {
	titles := map[string]string{}
	for _, q := range d.plan() {
		titles[q.id] = q.Title
	}
	var all []Answered
	for _, g := range d.answers {
		all = append(all, Answered{titles[g.id], g.text, g.source})
	}
	return all
}

// ToCome is how many questions are open, by the answers so far.
func (d *Draft) ToCome() int {
	n := 0
	for _, q := range d.plan() {
		if _, asked := d.given(q.id); !asked {
			n++
		}
	}
	return n
}

func (d *Draft) remembered(id string) given {
	if i := slices.IndexFunc(d.before, func(g given) bool { return g.id == id }); i >= 0 {
		return d.before[i]
	}
	return given{}
}

// remember keeps an answer; where it stands is kept on where the new one does not say so yet.
func (d *Draft) remember(g given) {
	old := d.remembered(g.id)
	if g.source == "" {
		g.source = old.source
	}
	d.before = append(slices.DeleteFunc(d.before, func(one given) bool { return one.id == g.id }), g)
}

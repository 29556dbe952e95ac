package figuretest

// The rule of this file: a step's screen may show what its procedure says of that step, what names the other steps and the
// safeguards, the job sheet, what was entered at the step and what its checks found. Of the rest of the journal it may show
// only what the step itself refers to.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
)

// Sources is where the figures of one job's screens come from.
type Sources struct {
	job   *runner.Job
	named *Known                     // the job, its steps and safeguards
	steps map[string]*Known          // what the procedure says of each step
	all   *Known                     // all that the procedure, the card and the journal say
	told  []told                     // what the journal says, event by event
	lines int                        // of the journal that are told already
	refer map[string]map[string]bool // the ids that each step takes values from
	long  map[string]*regexp.Regexp  // what no row holds, such as a fingerprint, wherever rows break it
}

// told is an event as it is written down.
type told struct {
	event   runner.Event
	at      runner.Moment
	step    string
	reading string
	texts   []string
	figures []Figure
}

// New begins with the opening of a job.
func New(job *runner.Job) *Sources {
	o, p := job.Opening, job.Procedure
	s := &Sources{job: job, steps: map[string]*Known{}, refer: map[string]map[string]bool{}}
	s.named = knownFrom(p.Title, fmt.Sprintf("revision %d", p.Revision), fmt.Sprintf("rev %d", p.Revision), "job "+o.Job, o.Job)
	s.named.Says(texts(p.Safeguards)...)
	for _, e := range o.Sheet {
		s.named.Says(e.Value, e.Source)
		if f, ok := p.FieldByID(e.ID); ok && bare.MatchString(e.Value) {
			s.named.Says("now: "+e.Value, f.Title+": "+e.Value)
		}
	}
	s.named.Says("1 It is done, and everybody is clear", "such as 2027-01-31")
	s.named.Says(card(job.Card)...)
	s.all = knownFrom(texts(p)...)
	for _, st := range p.Steps {
		s.named.Says(st.Title)
		s.steps[st.ID] = knownFrom(append(texts(st), numbered(st)...)...)
		s.all.Says(numbered(st)...)
		s.refer[st.ID] = map[string]bool{}
		for _, id := range references(st) {
			s.refer[st.ID][id] = true
		}
	}
	for _, b := range runner.Briefs(p) {
		s.all.Says(append(b.Lines, b.Title)...)
	}
	return s
}

// numbered are the answers that a step offers, as they are numbered.
func numbered(st procedures.Step) []string {
	var out []string
	number := func(all []string) {
		for i, say := range all {
			out = append(out, fmt.Sprintf("%d %s", i+1, say))
		}
	}
	var ways, answers []string
	for _, w := range st.Ways {
		ways = append(ways, w.Say)
	}
	if st.Ask != nil {
		for _, a := range st.Ask.Answers {
			answers = append(answers, a.Say)
		}
	}
	number(ways)
	number(answers)
	for _, r := range st.Readings {
		number(r.Choose)
		low, high := r.AtLeast.Figure.String(), r.AtMost.Figure.String()
		out = append(out, "Between "+low+" and "+high, "At least "+low, "At most "+high)
	}
	for _, c := range st.Checks {
		for _, in := range c.Inputs {
			if in.Literal.Quantity.Valid() {
				out = append(out, "The "+in.Name+" is "+in.Literal.Quantity.String())
			}
		}
	}
	return out
}

// Take goes on with the journal.
func (s *Sources) Take(lines []record.Line) {
	for _, l := range lines[s.lines:] {
		for _, e := range l.Events {
			t := told{event: e, at: l.Moment(), texts: recorded(e)}
			t.step, t.reading = about(e)
			for _, text := range t.texts {
				s.Breaks(unbroken.FindAllString(text, -1)...)
			}
			if c, is := e.(runner.Computed); is {
				t.texts = append(t.texts, strings.TrimPrefix(c.Because, "check "+c.Check+": ")) // without what it begins with
			}
			for _, text := range append(t.texts, s.counts(e)...) {
				t.figures = append(t.figures, inRow(words(text))...)
			}
			s.all.take(t.figures)
			s.told = append(s.told, t)
			if first := beginning(s.job.Tell(e)); first != "" {
				s.all.Says(l.At.Format("15:04 ")+first, l.At.Format("15:04:05 ")+first)
			}
		}
	}
	s.lines = len(lines)
}

// beginning is the first three words of a text, as far as they have no figure.
func beginning(text string) string {
	all := words(text)
	n := slices.IndexFunc(all, digit.MatchString)
	if n < 0 {
		n = len(all)
	}
	return strings.Join(all[:min(n, 3)], " ")
}

// counts are the readings of an event that are a bare number, with the words that a screen sets beside them.
func (s *Sources) counts(e runner.Event) []string {
	var values []string
	id := ""
	switch e := e.(type) {
	case runner.ReadingTaken:
		id, values = e.Reading, []string{e.Value}
	case runner.Corrected:
		id, values = e.Reading, []string{e.Value, e.Old}
	}
	var out []string
	for _, v := range values {
		if bare.MatchString(v) {
			out = append(out, s.title(id)+": "+v, "now: "+v, "NOT ACCEPTED: "+v, "So far "+v, "is "+v+" (was", "(was "+v+"):")
		}
	}
	return out
}

func (s *Sources) title(reading string) string {
	for _, st := range s.job.Procedure.Steps {
		for _, r := range st.Readings {
			if r.ID == reading {
				return r.Title
			}
		}
	}
	return reading
}

var unbroken = regexp.MustCompile(`SHA256:\S{43}|[0-9a-f]{64}`)

// Breaks takes texts that are longer than a row may be, and are known where they stand whole.
func (s *Sources) Breaks(long ...string) {
	if s.long == nil {
		s.long = map[string]*regexp.Regexp{}
	}
	for _, text := range long {
		if text == "" || s.long[text] != nil {
			continue
		}
		var any []string
		for _, c := range strings.ReplaceAll(text, " ", "") {
			any = append(any, regexp.QuoteMeta(string(c)))
		}
		s.long[text] = regexp.MustCompile(strings.Join(any, `\s*`))
	}
}

// Figures are those of a screen, without the long texts that stand there whole.
func (s *Sources) Figures(screen string) []Figure {
	for _, whole := range s.long {
		screen = whole.ReplaceAllString(screen, " ")
	}
	return Of(screen)
}

// Screen is what stands behind a screen: the job as it is, the step that is shown, and the time.
type Screen struct {
	State runner.State
	Lines []record.Line
	Step  *procedures.Step // nil where none is open
	Now   runner.Moment
}

// AtStep is what the screen of the step may show.
func (s *Sources) AtStep(sc Screen) *Known {
	k := &Known{under: []*Known{s.named}}
	k.Says(counted(sc)...)
	k.Says(timed(sc)...)
	for _, e := range sc.Lines[len(sc.Lines)-1].Events {
		k.Says(recorded(e)...)
	}
	id := ""
	if sc.Step != nil {
		id = sc.Step.ID
		k.under = append(k.under, s.steps[id])
		s.drawnFrom(sc, k)
	}
	for _, t := range s.told {
		c, corrected := t.event.(runner.Corrected)
		sheet := corrected && c.Sheet != ""
		_, inHand := t.event.(runner.InstrumentTaken)
		if inHand || t.step == id && id != "" || s.refer[id][t.step] || s.refer[id][t.reading] || sheet {
			k.take(t.figures)
		}
	}
	return k
}

// Shown is what the screen that the job is at may show: where no step is open, or the work was broken off, all of it.
func (s *Sources) Shown(sc Screen) *Known {
	if sc.Step == nil || sc.State.Hold() != nil {
		return s.Whole(sc)
	}
	return s.AtStep(sc)
}

// Whole is what a screen may show that tells the whole job.
func (s *Sources) Whole(sc Screen) *Known {
	return &Known{under: []*Known{s.AtStep(sc), s.all}}
}

// references are the ids of sheet lines, readings and earlier steps that a step takes values from.
func references(st procedures.Step) []string {
	var out []string
	each(st, func(v any) {
		switch v := v.(type) {
		case procedures.Step:
			out = append(out, v.Shows...)
		case procedures.Bound:
			out = append(out, v.Ref)
		case procedures.Reading:
			out = append(out, v.SameAs)
		case procedures.CheckInput:
			out = append(out, v.Ref)
			if v.Found != nil {
				out = append(out, v.Found.Step)
			}
		}
	})
	return slices.DeleteFunc(out, func(id string) bool { return id == "" })
}

package runner

import (
	"fenderside/checks"
	"fenderside/procedures"
)

// Phase is how far a job has come.
type Phase string

const (
	Briefing Phase = "briefing" // the briefing is being acknowledged
	Working  Phase = "working"
	Closing  Phase = "closing" // the make-safe steps, the review and the signature
	Closed   Phase = "closed"
)

// State is where a job stands. It is a value: Evolve returns a new one and never changes the old.
type State struct {
	job   *Job
	phase Phase
	last  Moment // of the latest event

	acknowledged []bool // one for each item of Briefing
	sheet        []string
	typed        []bool // for each line of the sheet, whether it was typed and not read from the card
	cursor       int    // step of the main line, or atEnd
	came         int    // the step that the cursor was at before
	open         int    // the step that takes entries, or noStep
	steps        []stepState
	guards       []guardState
	instruments  []Instrument
	trail        []int // steps completed, latest last

	hold     *Hold
	lost     []int // safeguards of a stop-work that is not cleared
	handover *Handover
	outcome  procedures.Outcome
	reached  procedures.Outcome // the end that the main line came to, if it did
	reason   string             // why the job ends early
	left     []Left
	follow   []Promise
	sealed   *Sealed

	performer Person
	unsigned  []Person // people whose stretch nobody signed
	refusals  int
}

const (
	noStep = -1
	atEnd  = -2
)

// Hold is an interruption that waits for a deliberate resume.
type Hold struct {
	Why    InterruptWhy
	Reason string
	At     Moment
	Step   string   // where the work was
	Fell   []string // safeguards that fell with it
}

// Handover is a handover under way.
type Handover struct {
	To       Person
	Owed     []int // safeguards that fell with it and are to be secured again
	SignedOn bool
}

// Left is what could not be made safe, in words.
type Left struct{ Step, State string }

// Promise is work still due.
type Promise struct{ What, Due string }

// Instrument is a measuring tool in hand.
type Instrument struct {
	Name string
	Due  string
}

// Status is how a step stands.
type Status string

const (
	Untouched Status = ""
	Current   Status = "entered"
	Finished  Status = "done"
	Passed    Status = "passed"
	SkippedIt Status = "skipped"
)

type stepState struct {
	status   Status
	passed   PassWhy
	rounds   int
	owed     bool   // a make-safe step: work that it makes safe was begun since it was last done
	bequest  bool   // a make-safe step of a job that follows another: what was left behind is not known
	chose    string // the last way or answer, once its entries are wiped
	way      string
	affirmed uint64
	readings []readingState
	evidence []*File
	kept     []*File // for each piece of evidence, the last one, once the entries are wiped
	answer   string
	computed []computedState
	waiting  bool
	waitFrom Moment
	running  bool // a pinned step runs
	beside   bool // it was done last beside the main line, in a hold or a close
	witness  *Person
	voided   bool // a witness had signed, and the signature no longer counts
}

type readingState struct {
	values  []Value
	refused []Value // values that were not accepted, in order
	last    bool    // the latest value was refused
	kept    string  // the last value, once the entries are wiped
}

// Value is one recorded value of a reading.
type Value struct {
	Text       string
	Instrument string
	At         Moment
	Reasons    []Reason // why it was not accepted
}

// computedState is the latest result of a check; ran is whether it has run since the step was entered.
type computedState struct {
	ran      bool
	verdict  checks.Verdict
	figures  []checks.Figure
	because  string
	workings []string
	missing  string          // the file that it could not have
	kept     []checks.Figure // what it found last, once the entries are wiped
}

type guardState struct {
	stands  bool
	engaged bool
	since   Moment
	fell    *Fell
	rests   []int // what its gate needed under a condition that held when it was done; never changed
}

// Begin is the state of a job that was just opened.
func Begin(j *Job, at Moment) State {
	p := j.Procedure
	s := State{
		job: j, phase: Briefing, last: at, cursor: 0, came: noStep, open: noStep,
		acknowledged: make([]bool, len(j.briefs)),
		sheet:        make([]string, len(p.Sheet)),
		typed:        make([]bool, len(p.Sheet)),
		steps:        make([]stepState, len(p.Steps)),
		guards:       make([]guardState, len(p.Safeguards)),
		instruments:  make([]Instrument, len(p.Instruments)),
		performer:    j.Opening.Performer,
	}
	for i := range s.steps {
		s.steps[i] = fresh(&p.Steps[i], s.steps[i])
	}
	if j.Opening.After != "" {
		s.inherit(at)
	}
	for _, e := range j.Opening.Sheet {
		s.setSheet(e.ID, e.Value, e.From != procedures.FromCard)
	}
	return s
}

// inherit is how a job begins that follows a locked one. Nothing stands, and nobody knows what the other job had begun:
// so everything that a step makes safe counts as engaged, every make-safe step is due, and what was to be watched is
// watched again in full.
func (s *State) inherit(at Moment) {
	for g, spec := range s.job.Procedure.Safeguards {
		s.guards[g].engaged = !spec.Lasting
	}
	for i := range s.steps {
		st := &s.steps[i]
		st.bequest = s.makesSafe(i)
		if s.spec(i).Kind == procedures.Pinned {
			st.running, st.waitFrom, st.status = true, at, Current
		}
	}
}

// fresh is a step with no entries; how often it was entered, what it still owes and what others refer to are kept.
func fresh(st *procedures.Step, old stepState) stepState {
	n := stepState{
		status: old.status, passed: old.passed, rounds: old.rounds, running: old.running, waitFrom: old.waitFrom,
		owed: old.owed, bequest: old.bequest, chose: old.choice(),
		readings: make([]readingState, len(st.Readings)),
		evidence: make([]*File, len(st.Evidence)),
		kept:     append(make([]*File, 0, len(st.Evidence)), old.kept...)[:len(st.Evidence)],
		computed: make([]computedState, len(st.Checks)),
	}
	for k, r := range old.readings {
		n.readings[k].kept = r.known()
	}
	for k, f := range old.evidence {
		if f != nil {
			n.kept[k] = f
		}
	}
	for k, c := range old.computed {
		n.computed[k].kept = c.found()
	}
	return n
}

// choice is the way taken through a step or the answer to its question, as others refer to it.
func (st *stepState) choice() string {
	switch {
	case st.way != "":
		return st.way
	case st.answer != "":
		return st.answer
	}
	return st.chose
}

// found is what a check found last, as checks of other steps take it.
func (c computedState) found() []checks.Figure {
	if c.ran {
		return c.figures
	}
	return c.kept
}

// known is the last value of a reading, as others refer to it.
func (r readingState) known() string {
	if v, ok := r.latest(); ok {
		return v.Text
	}
	return r.kept
}

// clone copies what Evolve may change in place.
func (s State) clone() State {
	s.acknowledged = append([]bool(nil), s.acknowledged...)
	s.sheet = append([]string(nil), s.sheet...)
	s.typed = append([]bool(nil), s.typed...)
	s.steps = append([]stepState(nil), s.steps...)
	s.guards = append([]guardState(nil), s.guards...)
	s.instruments = append([]Instrument(nil), s.instruments...)
	s.trail = append([]int(nil), s.trail...)
	s.lost = append([]int(nil), s.lost...)
	s.left = append([]Left(nil), s.left...)
	s.follow = append([]Promise(nil), s.follow...)
	s.unsigned = append([]Person(nil), s.unsigned...)
	return s
}

// own makes the entries of step i this state's own before they are changed.
func (s *State) own(i int) *stepState {
	st := &s.steps[i]
	st.readings = append([]readingState(nil), st.readings...)
	st.evidence = append([]*File(nil), st.evidence...)
	st.computed = append([]computedState(nil), st.computed...)
	return st
}

func (s *State) setSheet(id, value string, typed bool) {
	for i, f := range s.job.Procedure.Sheet {
		if f.ID == id {
			s.sheet[i], s.typed[i] = value, typed
		}
	}
}

// sheetValue is what the job sheet says under an id.
func (s *State) sheetValue(id string) (string, bool) {
	for i, f := range s.job.Procedure.Sheet {
		if f.ID == id {
			return s.sheet[i], true
		}
	}
	return "", false
}

// choice is what was chosen under an id, as step i refers to it; empty where nothing was. A choice of another step whose
// entries were wiped still counts until it is made anew: what depends on it must not come free meanwhile.
func (s *State) choice(id string, i int) string {
	at, ok := s.job.choices[id]
	switch {
	case !ok:
		return ""
	case at.field:
		v, _ := s.sheetValue(id)
		return v
	case at.reading < 0 && at.step != i:
		return s.steps[at.step].choice()
	case at.reading < 0:
		return s.steps[at.step].way
	}
	v, _ := s.valueOf(id, i)
	return v
}

// holds says whether a condition of a step or of a need holds; it refers to choices made elsewhere.
func (s *State) holds(c procedures.Condition) bool { return s.holdsIn(noStep, c) }

// holdsIn says whether a condition on something that step i asks for holds.
func (s *State) holdsIn(i int, c procedures.Condition) bool {
	for _, clause := range c {
		made, met := s.choice(clause.Choice, i), false
		for _, v := range clause.In {
			met = met || v == made
		}
		if !met {
			return false
		}
	}
	return true
}

// latest is the last accepted value.
func (r readingState) latest() (Value, bool) {
	if len(r.values) == 0 {
		return Value{}, false
	}
	return r.values[len(r.values)-1], true
}

// spec is the procedure's words on step i.
func (s *State) spec(i int) *procedures.Step { return &s.job.Procedure.Steps[i] }

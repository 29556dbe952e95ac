package runner

import (
	"time"

	"fenderside/checks"
	"fenderside/procedures"
)

// What a front end may see of a state. Nothing here decides: every answer comes from the rules in the other files.

// Job is what the opening bound.
func (s State) Job() *Job { return s.job }

// Phase is how far the job has come.
func (s State) Phase() Phase { return s.phase }

// Last is the moment of the latest event.
func (s State) Last() Moment { return s.last }

// Performer is who does the work, and Acting whose entries are taken now: in a handover, the incoming person.
func (s State) Performer() Person { return s.performer }

// Acting is whose entries are taken now.
func (s State) Acting() Person { return s.acting() }

// Unsigned lists people whose stretch of work nobody signed.
func (s State) Unsigned() []Person { return s.unsigned }

// Hold is the interruption that waits for a resume, or nil.
func (s State) Hold() *Hold { return s.hold }

// Handover is the handover under way, or nil.
func (s State) Handover() *Handover { return s.handover }

// Outcome is how the job ends, once that is settled; Reason is why it ends early.
func (s State) Outcome() procedures.Outcome { return s.outcome }

// Reason is why the job ends early, in the words of whoever closed it.
func (s State) Reason() string { return s.reason }

// Left and FollowUps are what the record ends with.
func (s State) Left() []Left { return s.left }

// FollowUps is the work still due.
func (s State) FollowUps() []Promise { return s.follow }

// Seal is how the job was sealed, or nil.
func (s State) Seal() *Sealed { return s.sealed }

// Refusals is how many commands were refused so far.
func (s State) Refusals() int { return s.refusals }

// Acknowledged reports, for each item of Briefs, whether it was acknowledged.
func (s State) Acknowledged() []bool { return append([]bool(nil), s.acknowledged...) }

// Sheet is the job sheet as it stands, corrections included.
func (s State) Sheet() []Entry {
	opened := map[string]Entry{}
	for _, e := range s.job.Opening.Sheet {
		opened[e.ID] = e
	}
	var out []Entry
	for i, f := range s.job.Procedure.Sheet {
		e := opened[f.ID]
		if e.Value != s.sheet[i] {
			e = Entry{ID: f.ID, Value: s.sheet[i], From: procedures.FromTyping, Source: "corrected"}
			if !s.typed[i] {
				e.From, e.Source = procedures.FromCard, ""
			}
		}
		if e.Value != "" {
			out = append(out, e)
		}
	}
	return out
}

// Current is the step that takes entries, or nil.
func (s State) Current() *procedures.Step {
	if s.open < 0 {
		return nil
	}
	return s.spec(s.open)
}

// Cursor is the step of the main line that the job is at, or nil at its end. Where it is not the current step, the job is
// held for a gate, or closing.
func (s State) Cursor() *procedures.Step {
	if s.cursor < 0 || s.phase == Briefing {
		return nil
	}
	return s.spec(s.cursor)
}

// HeldBy lists what the cursor's step needs and does not have: why the job is held at a gate. Empty when it is not.
func (s State) HeldBy() []Reason {
	if s.phase != Working || s.cursor < 0 {
		return nil
	}
	return s.needReasons(s.cursor)
}

// StopWork lists the safeguards reported lost that are not cleared yet, each with what to do first.
func (s State) StopWork() []procedures.Safeguard {
	var out []procedures.Safeguard
	for _, g := range s.lost {
		out = append(out, s.job.Procedure.Safeguards[g])
	}
	return out
}

// Stopped says whether a stop-work waits to be cleared.
func (s State) Stopped() bool { return len(s.lost) > 0 }

// Due lists the steps that a close still waits for.
func (s State) Due() []*procedures.Step {
	var out []*procedures.Step
	for _, i := range s.due() {
		out = append(out, s.spec(i))
	}
	return out
}

// Unsafe lists what keeps the job from being sealed.
func (s State) Unsafe() []Reason {
	if s.phase != Closing {
		return []Reason{{Code: NotNow}}
	}
	return s.unsafe()
}

// ReadyToSeal says whether only the signature is left.
func (s State) ReadyToSeal() bool {
	return s.phase == Closing && s.hold == nil && len(s.lost) == 0 && s.handover == nil && len(s.unsafe()) == 0 && s.open == noStep
}

// Wants lists what the step still waits for. For an unknown step it is empty.
func (s State) Wants(step string, now Moment) []Reason {
	i, ok := s.job.step(step)
	if !ok {
		return nil
	}
	return s.unmet(i, now)
}

// SafeguardState is how a safeguard stands.
type SafeguardState string

const (
	InPlace    SafeguardState = "in place"
	NotInPlace SafeguardState = "not in place"
	Lapsed     SafeguardState = "lapsed"
	Lost       SafeguardState = "lost"
)

// SafeguardView is one cell of the safeguard strip.
type SafeguardView struct {
	Safeguard procedures.Safeguard
	State     SafeguardState
	Engaged   bool          // its gate was begun, and no step has released it since
	For       time.Duration // how long it has stood; across a restart, by the wall clock
	Left      time.Duration // until it lapses by time; 0 where it does not
	Fell      *Fell         // why it fell, where it did
}

// Strip is how every safeguard stands, in the order of the procedure.
func (s State) Strip(now Moment) []SafeguardView {
	out := make([]SafeguardView, len(s.guards))
	for i, g := range s.guards {
		spec := s.job.Procedure.Safeguards[i]
		v := SafeguardView{Safeguard: spec, State: NotInPlace, Engaged: g.engaged, Fell: g.fell}
		switch {
		case g.stands:
			v.State, v.For = InPlace, stoodFor(g.since, now)
			if spec.After > 0 {
				v.Left = max(0, spec.After-v.For)
			}
		case g.fell != nil && g.fell.Why == ByLoss:
			v.State = Lost
		case g.fell != nil:
			v.State = Lapsed
		}
		out[i] = v
	}
	return out
}

// stoodFor is how long something has stood, to be shown: by monotonic time, and across a restart by the wall clock.
func stoodFor(from, now Moment) time.Duration {
	if from.Session != now.Session {
		return max(0, now.Wall.Sub(from.Wall))
	}
	return since(from, now)
}

// Mark is one step on the track.
type Mark struct {
	Step   *procedures.Step
	Status Status
	Why    PassWhy // for a step that was passed by
	Open   bool    // a gate: whether its safeguard stands
	Here   bool
}

// Track is the last steps done, the step at hand, and the next steps: n of each at most. What comes next are the steps of the
// main line that the work leads through, or, while the job closes early, those that are still to make safe.
func (s State) Track(n int) []Mark {
	var out []Mark
	start := max(0, len(s.trail)-n)
	for _, i := range s.trail[start:] {
		out = append(out, s.mark(i))
	}
	here := s.open
	if here == noStep {
		here = s.cursor
	}
	if here < 0 {
		return out
	}
	m := s.mark(here)
	m.Here = true
	out = append(out, m)
	if s.phase == Closing {
		return append(out, s.dueAfter(here, n)...)
	}
	if here != s.cursor && s.cursor >= 0 && n > 0 { // a gate comes first, and then the step it holds
		return append(append(out, s.mark(s.cursor)), s.ahead(s.cursor, n-1)...)
	}
	return append(out, s.ahead(here, n)...)
}

// dueAfter are the first n steps that a close still waits for beside the one at hand.
func (s *State) dueAfter(here, n int) []Mark {
	var out []Mark
	for _, i := range s.due() {
		if i != here && len(out) < n {
			out = append(out, s.mark(i))
		}
	}
	return out
}

func (s *State) mark(i int) Mark {
	st := s.spec(i)
	return Mark{Step: st, Status: s.steps[i].status, Why: s.steps[i].passed, Open: st.Secures >= 0 && s.guards[st.Secures].stands}
}

// Marks is how every step of the procedure stands, in file order.
func (s State) Marks() []Mark {
	out := make([]Mark, len(s.steps))
	for i := range s.steps {
		out[i] = s.mark(i)
		out[i].Here = i == s.open
	}
	return out
}

// PinView is a pinned step that runs.
type PinView struct {
	Step *procedures.Step
	For  time.Duration // how long it has run without a break
	Left time.Duration // until it may be completed
}

// Pins lists the pinned steps that run.
func (s State) Pins(now Moment) []PinView {
	var out []PinView
	for i := s.job.main; i < len(s.steps); i++ {
		if s.steps[i].running {
			out = append(out, PinView{Step: s.spec(i), For: since(s.steps[i].waitFrom, now), Left: s.pinLeft(i, now)})
		}
	}
	return out
}

// StepView is everything a screen shows of one step.
type StepView struct {
	Step       *procedures.Step
	Status     Status
	Rounds     int
	Way        string
	Statements []StatementView
	Readings   []ReadingView
	Evidence   []EvidenceView
	Checks     []CheckView
	Wait       WaitView
	Answer     string
	Shown      []ShownView // what the step is gone by
	Witness    *Person
	NeedsSign  bool // a witness must sign, by the procedure or because of who performs it
	Wants      []Reason
}

// ShownView is a sheet field, its value empty where it was left out, or an earlier reading that is shown beside a step.
type ShownView struct {
	Title, Value string
	Sheet        bool
}

// StatementView is one statement that applies; Index is its number in the step.
type StatementView struct {
	Index    int
	Text     string
	Affirmed bool
}

// ReadingView is one reading that applies, with what was recorded.
type ReadingView struct {
	Spec    *procedures.Reading
	Values  []Value
	Refused []Value
	Low     string // its limits, as they are now; empty where there is none
	High    string
	Same    string        // what it must be the same as
	Apart   time.Duration // least time between two values of its series
	Next    time.Duration // until the next value of its series may be taken
}

// EvidenceView is one piece of evidence that applies.
type EvidenceView struct {
	Spec procedures.Evidence
	File *File
}

// CheckView is one check that applies, with its latest result.
type CheckView struct {
	Use      procedures.CheckUse
	Ran      bool
	Verdict  checks.Verdict
	Figures  []checks.Figure
	Because  string
	Workings []string
	Found    []FoundView
}

// FoundView is an input of a check that nobody enters: what an earlier check found, and where. Text is empty where that found
// nothing.
type FoundView struct {
	Input string
	Text  string
	Check string // its title
	Step  string // its title
}

// WaitView is the clock of a timed step.
type WaitView struct {
	Timed   bool
	Started bool
	Least   time.Duration
	Most    time.Duration
	For     time.Duration
	Left    time.Duration
	Missed  bool
}

// View shows one step; ok is false where there is no such step.
func (s State) View(step string, now Moment) (v StepView, ok bool) {
	i, ok := s.job.step(step)
	if !ok {
		return StepView{}, false
	}
	st := &s.steps[i]
	v = StepView{Step: s.spec(i), Status: st.status, Rounds: st.rounds, Way: st.way, Answer: st.answer, Witness: st.witness,
		NeedsSign: s.needsWitness(i, now), Wants: s.unmet(i, now), Wait: s.waitView(i, now)}
	v.Shown = s.shown(i)
	for k, say := range v.Step.Statements {
		if s.holdsIn(i, say.When) {
			v.Statements = append(v.Statements, StatementView{k, say.Text, st.affirmed&(1<<k) != 0})
		}
	}
	for k := range v.Step.Readings {
		if s.holdsIn(i, v.Step.Readings[k].When) {
			v.Readings = append(v.Readings, s.readingView(i, k, now))
		}
	}
	for k, ev := range v.Step.Evidence {
		if s.holdsIn(i, ev.When) {
			v.Evidence = append(v.Evidence, EvidenceView{ev, st.evidence[k]})
		}
	}
	for k, use := range v.Step.Checks {
		if s.holdsIn(i, use.When) {
			c := st.computed[k]
			v.Checks = append(v.Checks, CheckView{use, c.ran, c.verdict, c.figures, c.because, c.workings, s.foundViews(use)})
		}
	}
	return v, true
}

// shown is what the procedure has shown beside step i, as far as it was given.
func (s *State) shown(i int) []ShownView {
	var out []ShownView
	for _, id := range s.spec(i).Shows {
		text, known := s.valueOf(id, i)
		if f, ok := s.job.Procedure.FieldByID(id); ok {
			out = append(out, ShownView{f.Title, text, true})
		} else if at, ok := s.job.reads[id]; ok && known {
			out = append(out, ShownView{s.spec(at.step).Readings[at.reading].Title, text, false})
		}
	}
	return out
}

func (s *State) foundViews(use procedures.CheckUse) []FoundView {
	var out []FoundView
	for _, in := range use.Inputs {
		if in.Found == nil {
			continue
		}
		text, _ := s.foundText(in.Found)
		v := FoundView{Input: in.Name, Text: text, Check: in.Found.Check, Step: in.Found.Step}
		if i, ok := s.job.step(in.Found.Step); ok {
			v.Step = s.spec(i).Title
		}
		if c, ok := checks.Find(in.Found.Check); ok {
			v.Check = c.Title
		}
		out = append(out, v)
	}
	return out
}

func (s *State) readingView(i, k int, now Moment) ReadingView {
	spec, rs := &s.spec(i).Readings[k], s.steps[i].readings[k]
	v := ReadingView{Spec: spec, Values: rs.values, Refused: rs.refused}
	if q, ok := s.bound(spec.AtLeast, spec.Quantity, i); ok {
		v.Low = q.String()
	}
	if q, ok := s.bound(spec.AtMost, spec.Quantity, i); ok {
		v.High = q.String()
	}
	if spec.SameAs != "" {
		v.Same, _ = s.valueOf(spec.SameAs, i)
	}
	if spec.Apart.Set {
		v.Apart, _ = s.duration(spec.Apart, i)
		if n := len(rs.values); n > 0 {
			v.Next = max(0, v.Apart-since(rs.values[n-1].At, now))
		}
	}
	return v
}

func (s *State) waitView(i int, now Moment) WaitView {
	st := s.spec(i)
	if st.Kind == procedures.Pinned {
		least, _ := s.duration(st.Pin.AtLeast, i)
		return WaitView{Timed: true, Started: s.steps[i].running, Least: least, For: since(s.steps[i].waitFrom, now), Left: s.pinLeft(i, now)}
	}
	if st.Wait == nil {
		return WaitView{}
	}
	v := WaitView{Timed: true, Started: s.steps[i].waiting, Missed: s.waitMissed(i, now)}
	v.Least, _ = s.duration(st.Wait.AtLeast, i)
	v.Most, _ = s.duration(st.Wait.AtMost, i)
	if v.Started {
		v.For = since(s.steps[i].waitFrom, now)
		v.Left = max(0, v.Least-v.For)
	}
	return v
}

// InstrumentOf is the instrument in hand of a kind, and whether one is.
func (s State) InstrumentOf(kind string) (Instrument, bool) {
	for i, in := range s.job.Procedure.Instruments {
		if in.ID == kind {
			return s.instruments[i], s.instruments[i].Name != ""
		}
	}
	return Instrument{}, false
}

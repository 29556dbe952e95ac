// Package procedures holds what a procedure says: its model, its strict reader, and the vehicle cards and job sheets
// that it is worked with.
//
// A procedure is data. Nothing here decides whether a step may be done; the engine in package runner does that
// from this model alone.
package procedures

import (
	"fmt"
	"time"

	"fenderside/checks"
	"fenderside/checks/quantity"
	"fenderside/procedures/plaintext"
)

// Place is where something stands in its file, both counted from 1; columns count characters. File is empty for the file
// that was read, and else that of a procedure which it includes.
type Place struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	File   string `json:"file,omitempty"`
}

// String is the line as a sentence names it: "line 12", or "line 12 of FILE" in an included procedure.
func (p Place) String() string {
	if p.File == "" {
		return fmt.Sprintf("line %d", p.Line)
	}
	return fmt.Sprintf("line %d of %s", p.Line, plaintext.Show(p.File))
}

// Procedure is one procedure as read from its file. It is never changed after loading.
type Procedure struct {
	Name     string // the id given by `procedure:`
	Revision int
	Title    string
	Scope    string

	// What must be acknowledged, one by one, before the first step.
	Excludes   []string // what this procedure is not for
	Hazards    []string
	Protective []string // protective equipment, each naming its hazard
	Tools      []string
	Parts      []string
	Duties     []string // who is responsible for what
	Sources    []string

	Instruments []Instrument
	Sheet       []Field
	Safeguards  []Safeguard
	Dangers     []Danger // empty where needs, lapses and causes are stated once only
	Steps       []Step   // the main line in order, then the pinned steps
	MakeSafe    []string // ids of the steps that make safe, in the order they are done at any close

	Text   []byte // the exact bytes of the file
	Digest string // hex SHA-256 of Text
	File   string // the name it was read from, for messages

	Apart    []Disagreement // where the two statements of a danger differ; what is worked by holds both
	Included []Part         // the procedures that it includes, each once, in the order in which they are first met

	stepIndex      map[string]int
	safeguardIndex map[string]int
	fieldIndex     map[string]int
}

// Part is a procedure that another one includes, as it was read. Its steps stand among those of the whole.
type Part struct {
	Name     string
	Revision int
	File     string
	Text     []byte
	Digest   string // hex SHA-256 of Text
}

// Instrument is a kind of measuring tool that readings name.
type Instrument struct {
	ID          string
	Title       string
	Calibration bool // a calibration due date must be recorded and not be past
	Place       Place
}

// FieldKind says what a sheet field or a reading takes.
type FieldKind string

const (
	TakesQuantity FieldKind = "quantity"
	TakesChoice   FieldKind = "choose"
	TakesText     FieldKind = "text"
	TakesDate     FieldKind = "date" // YYYY-MM-DD
)

// Bound is one limit of a quantity: a figure written in the procedure, or the id of a sheet field or earlier
// reading that holds it. Both empty means there is no limit.
type Bound struct {
	Figure quantity.Quantity
	Ref    string
	Set    bool
}

// Field is one line of the job sheet, filled before the job opens.
type Field struct {
	ID       string
	Title    string
	Kind     FieldKind
	Quantity quantity.Dimension
	Unit     string // the unit a bare prompt suggests
	AtLeast  Bound
	AtMost   Bound
	Choose   []string
	Optional bool
	Card     string // dotted path into the vehicle card; {field-id} stands for that field's value
	Among    string // dotted path to a list in the vehicle card, beyond which nothing is chosen
	Propose  *Proposal
	Hint     string
	Place    Place
}

// Proposal is an output of a check, made of fields that stand earlier on the sheet, that is offered as the value of a field. It
// is nobody's answer: the field is empty until a person enters a value.
type Proposal struct {
	Output string
	By     CheckUse
}

// Safeguard is a protective condition that must stand while a hazardous step is done.
type Safeguard struct {
	ID      string
	Title   string
	LapseOn []string      // InterruptionCause, HandoverCause, or a cause named by some step's `causes:`
	After   time.Duration // stands at most this long; 0 is no limit by the clock
	Because string        // the physical cause of the lapse
	IfLost  []string      // what to do first when it is reported lost
	Lasting bool          // what it secures stays with the vehicle: it does not rest on what its gate needed and needs no release
	Place   Place

	Gate  int   // index of the step that secures it
	Rests []int // indexes of the safeguards its gate needs without condition; it rests on others where their conditions held; empty when Lasting
}

// Danger is what a step exposes a person, the vehicle or the result to, and what keeps it off. It states a second time what
// steps need and cause and what safeguards lapse on, so that what one of the two leaves out the other still says.
type Danger struct {
	ID        string
	Title     string
	KeptOff   []Need        // what a step that faces it needs; never with a condition
	ComesWith []string      // the causes that bring it back: they fell what keeps it off, and start what watches for it
	After     time.Duration // it comes back this long after it was kept off; 0 is never by the clock
	Place     Place
}

// Face is a danger that a step exposes to.
type Face struct {
	Danger int // index, or -1
	When   Condition
	Place  Place
}

// Disagreement is one place where what is stated twice is not stated alike.
type Disagreement struct {
	Step    string // where it shows
	Place   Place
	Missing string // what one of the two statements lacks
	What    string // a sentence without capital or full stop
	Hint    string
}

// The causes of a lapse that every procedure has.
const (
	InterruptionCause = "interruption"
	HandoverCause     = "handover"
)

// StepKind is what a step is for.
type StepKind string

const (
	Gate   StepKind = "gate" // secures a safeguard, or makes safe; asks for evidence, is never skipped
	Do     StepKind = "do"
	Pinned StepKind = "pin" // runs beside the main line, started by a cause
)

// Outcome is how a job ends.
type Outcome string

const (
	Complete  Outcome = "complete"
	Referred  Outcome = "referred"
	Abandoned Outcome = "abandoned"
)

// Condition holds when every clause holds. The empty condition always holds.
type Condition []Clause

// Clause holds when the choice made under the id is one of the values. Choices are: a sheet field or reading that
// chooses, the answer to a step's question (under the step's id), the way taken through a step (under the step's id).
type Clause struct {
	Choice string
	In     []string
	Place  Place
}

// Need is one thing a step needs standing: a safeguard, or a pinned step that is not running.
type Need struct {
	Safeguard int // index, or -1
	Pin       int // index of a pinned step, or -1
	When      Condition
	Place     Place
}

// Step is one step of the procedure.
type Step struct {
	ID       string
	Kind     StepKind
	Title    string   // the action, verb first
	How      []string // the action in more words, a line each
	Why      string
	Warnings []Warning
	When     Condition // where it does not hold, the step is not applicable

	Needs    []Need
	Secures  int      // index of the safeguard, or -1
	Releases []int    // safeguards taken away by completing it
	Causes   []string // what happens in the world while it is done
	DueAfter []int    // steps whose beginning makes this one due at every close
	Faces    []Face   // the dangers that it exposes to
	Brings   []int    // the dangers that its causes bring on

	Shows      []string // sheet fields and earlier readings that are shown beside it
	Ways       []Way    // alternatives; one must be chosen
	Statements []Statement
	Readings   []Reading
	Evidence   []Evidence
	Checks     []CheckUse
	Ask        *Ask
	Wait       *Wait
	Repeat     *Repeat
	Pin        *Pin
	Witness    bool // another person's key must sign
	Optional   bool
	Then       Target // where completing it leads; the zero Target is the next step

	Index int
	Place Place
}

// Warning is shown immediately before its step, as ANSI Z535.6 orders it: word, hazard, consequence, avoidance.
type Warning struct {
	Word        SignalWord
	Hazard      string
	Consequence string
	Avoid       string
	Place       Place
}

// SignalWord is one of the four of ANSI Z535.
type SignalWord string

const (
	DangerWord SignalWord = "DANGER"
	Warn       SignalWord = "WARNING"
	Caution    SignalWord = "CAUTION"
	Notice     SignalWord = "NOTICE"
)

// Way is one of the alternatives of a step. Its own statements, readings, evidence and checks stand in the step's
// lists, each with a clause on the step's id.
type Way struct {
	ID    string
	Say   string
	Place Place
}

// Statement is one thing to affirm.
type Statement struct {
	Text  string
	When  Condition
	Place Place
}

// Reading is one thing to record.
type Reading struct {
	ID         string
	Title      string
	Kind       FieldKind
	Quantity   quantity.Dimension
	Unit       string
	AtLeast    Bound
	AtMost     Bound
	Magnitude  bool // judged without its sign
	Choose     []string
	SameAs     string // must equal this sheet field or earlier reading
	Instrument int    // index, or -1
	Series     bool   // several values, in order, until the check is satisfied
	Apart      Bound  // the least time between two values of a series
	Optional   bool
	When       Condition
	Place      Place
}

// Evidence is a photo or file bound to the step by its digest.
type Evidence struct {
	ID       string
	Title    string
	Optional bool
	When     Condition
	Place    Place
}

// CheckUse is a named check with where each input comes from. Advice is shown and recorded, and never holds the step: a
// forecast, say. It sees every value of a series, the refused ones too.
type CheckUse struct {
	Name   string
	Advice bool
	Check  checks.Check
	Inputs []CheckInput
	When   Condition
	Place  Place
}

// CheckInput is a figure, a choice or words written in the procedure, the id of a sheet field, a reading or evidence, or what
// a check of an earlier step found.
type CheckInput struct {
	Name    string
	Ref     string
	Found   *Found
	Literal checks.Argument
	Place   Place
}

// Found is an output of a check of an earlier step.
type Found struct{ Output, Check, Step string }

// Ask is a decision: an explicit choice that is recorded.
type Ask struct {
	Question string
	Answers  []Answer
	Place    Place
}

// Answer is one choice and where it leads.
type Answer struct {
	Say   string
	Then  Target // the zero Target is the next step
	Place Place
}

// Target is a step, or an end of the job. The zero Target says neither.
type Target struct {
	Step  string
	End   Outcome
	Place Place
}

// Wait makes a step timed. With AtLeast, completing is refused until that long after it was started. With AtMost, it
// must be completed within that long of its start.
type Wait struct {
	AtLeast  Bound
	AtMost   Bound
	Title    string // what is waited for
	IfMissed string // what to do when AtMost has passed
	Place    Place
}

// Repeat bounds how often a step may be entered.
type Repeat struct {
	AtMost int
	Until  string // the stop condition, in words
	Place  Place
}

// Pin says when a pinned step starts, and restarts, and how long it runs at least.
type Pin struct {
	On      []string // causes
	AtLeast Bound
	Remind  time.Duration // remind this often while it runs; 0 is never
	Place   Place
}

// StepByID returns the step and whether there is one.
func (p *Procedure) StepByID(id string) (*Step, bool) {
	i, ok := p.stepIndex[id]
	if !ok {
		return nil, false
	}
	return &p.Steps[i], true
}

// SafeguardByID returns the safeguard's index and whether there is one.
func (p *Procedure) SafeguardByID(id string) (int, bool) {
	i, ok := p.safeguardIndex[id]
	return i, ok
}

// FieldByID returns the sheet field and whether there is one.
func (p *Procedure) FieldByID(id string) (*Field, bool) {
	i, ok := p.fieldIndex[id]
	if !ok {
		return nil, false
	}
	return &p.Sheet[i], true
}

// MainLine is how many of Steps are on the main line; those after it are pinned.
func (p *Procedure) MainLine() int {
	n := 0
	for n < len(p.Steps) && p.Steps[n].Kind != Pinned {
		n++
	}
	return n
}

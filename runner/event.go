package runner

import (
	"fenderside/checks"
	"fenderside/procedures"
)

// Event is something that happened in a job. Events carry ids and values, never sentences: what a reader sees is worded
// when it is shown, so that a later release can word it better without contradicting an old record.
type Event interface{ event() string }

type (
	// Acknowledged: one item of the briefing was read.
	Acknowledged struct {
		Item string `json:"item"`
	}
	// Began: the briefing is over.
	Began struct{}
	// Entered: the cursor came to this step, for the Round-th time; it starts with no entries.
	Entered struct {
		Step  string `json:"step"`
		Round int    `json:"round"`
	}
	// PassedBy: the cursor went by this step without it being done.
	PassedBy struct {
		Step string  `json:"step"`
		Why  PassWhy `json:"why"`
	}
	// Opened: this step became the current one and takes entries; empty while nothing is current.
	Opened struct {
		Step string `json:"step"`
	}
	// WayChosen: one of the step's alternatives was taken.
	WayChosen struct {
		Step string `json:"step"`
		Way  string `json:"way"`
	}
	// Affirmed: one statement was affirmed.
	Affirmed struct {
		Step      string `json:"step"`
		Statement int    `json:"statement"`
	}
	// ReadingTaken: a reading was recorded. One that is not accepted is kept, with its reasons.
	ReadingTaken struct {
		Step       string   `json:"step"`
		Reading    string   `json:"reading"`
		Value      string   `json:"value"`
		Instrument string   `json:"instrument,omitempty"`
		Accepted   bool     `json:"accepted"`
		Reasons    []Reason `json:"reasons,omitempty"`
	}
	// Computed: a check was run on what is recorded. A failed check refuses the readings of this step that it used.
	// Because and Workings are the words of the program that wrote the record; a replay compares the rest. Missing names a
	// file that it takes and that could not be read then: nothing was judged.
	Computed struct {
		Step     string          `json:"step"`
		Check    string          `json:"check"`
		Verdict  checks.Verdict  `json:"verdict"`
		Figures  []checks.Figure `json:"figures,omitempty"`
		Because  string          `json:"because,omitempty"`
		Workings []string        `json:"workings,omitempty"`
		Missing  string          `json:"missing,omitempty"`
	}
	// InstrumentTaken: this instrument is in hand from now on.
	InstrumentTaken struct {
		Instrument string `json:"instrument"`
		Name       string `json:"name"`
		Due        string `json:"due,omitempty"`
	}
	// Attached: evidence was bound to the step.
	Attached struct {
		Step string `json:"step"`
		Item string `json:"item"`
		File File   `json:"file"`
	}
	// WaitStarted: the clock of a timed step runs from now.
	WaitStarted struct {
		Step string `json:"step"`
	}
	// WitnessSigned: a second person's key signed for the step.
	WitnessSigned struct {
		Step string `json:"step"`
		By   Person `json:"by"`
	}
	// WitnessVoided: a correction took away what the witness had signed for.
	WitnessVoided struct {
		Step string `json:"step"`
	}
	// Answered: the step's question was answered.
	Answered struct {
		Step string `json:"step"`
		Say  string `json:"say"`
	}
	// Done: the step is complete.
	Done struct {
		Step string `json:"step"`
	}
	// Skipped: an optional step was passed over.
	Skipped struct {
		Step   string `json:"step"`
		Reason string `json:"reason"`
	}
	// Secured: the safeguard stands from now.
	Secured struct {
		Safeguard string `json:"safeguard"`
	}
	// Released: a step took the safeguard away on purpose.
	Released struct {
		Safeguard string `json:"safeguard"`
		Step      string `json:"step"`
	}
	// Fell: the safeguard no longer stands, though nobody released it.
	Fell struct {
		Safeguard string  `json:"safeguard"`
		Why       FallWhy `json:"why"`
		Of        string  `json:"of,omitempty"` // the cause, or the safeguard it rested on
	}
	// Happened: a cause happened, as the step began or ended.
	Happened struct {
		Cause string `json:"cause"`
		Step  string `json:"step"`
	}
	// PinStarted: the pinned step runs, its time counted from now.
	PinStarted struct {
		Step string `json:"step"`
		Of   string `json:"of"`
	}
	// Corrected: an earlier entry has a new value; the old one is repeated here.
	Corrected struct {
		Correction
		Old      string   `json:"old"`
		FromCard bool     `json:"from_card,omitempty"` // a figure that follows from the card and the corrected one
		Reasons  []Reason `json:"reasons,omitempty"`   // why the new value is not accepted
	}
	// Overruled: a recorded reading is not accepted any more, because what limits it was corrected; it is taken afresh.
	Overruled struct {
		Step    string   `json:"step"`
		Reading string   `json:"reading"`
		Reasons []Reason `json:"reasons"`
	}
	// Undone: a completed step no longer counts as done.
	Undone struct {
		Step string `json:"step"`
	}
	// Noted: a remark.
	Noted struct {
		Text string `json:"text"`
	}
	// WorkStopped: safeguards were reported lost.
	WorkStopped struct {
		Safeguards []string `json:"safeguards"`
		Note       string   `json:"note,omitempty"`
	}
	// Cleared: what stop-work asked for first is done.
	Cleared struct{}
	// Interrupted: the work was broken off. The job waits for a deliberate Resume.
	Interrupted struct {
		Cause     InterruptWhy `json:"cause"`
		Reason    string       `json:"reason,omitempty"`
		Drift     int64        `json:"drift_ms,omitempty"` // wall time ahead of monotonic time
		Cut       int64        `json:"cut,omitempty"`
		CutDigest string       `json:"cut_digest,omitempty"`
		Signed    bool         `json:"signed,omitempty"` // the performer signed the stretch so far
	}
	// Resumed: the work goes on.
	Resumed struct{}
	// HandoverBegun: the incoming person re-secures what fell, then signs on.
	HandoverBegun struct {
		To Person `json:"to"`
	}
	// SignedOn: the incoming person signed.
	SignedOn struct {
		By Person `json:"by"`
	}
	// SignedOff: the outgoing person signed their stretch; the incoming person is the performer.
	SignedOff struct {
		By Person `json:"by"`
		To Person `json:"to"`
	}
	// JobKept: the handover did not take place.
	JobKept struct {
		Reason string `json:"reason"`
	}
	// TakenOver: the performer was gone; their stretch is unsigned.
	TakenOver struct {
		From   Person `json:"from"`
		By     Person `json:"by"`
		Reason string `json:"reason"`
	}
	// EndReached: the main line came to an end; the make-safe steps follow.
	EndReached struct {
		Outcome procedures.Outcome `json:"outcome"`
	}
	// CloseBegun: the job is to end early.
	CloseBegun struct {
		Outcome procedures.Outcome `json:"outcome"`
		Reason  string             `json:"reason"`
	}
	// CloseWithdrawn: the job goes on after all.
	CloseWithdrawn struct {
		Reason string `json:"reason"`
	}
	// LeftInState: this could not be made safe.
	LeftInState struct {
		Step  string `json:"step"`
		State string `json:"state"`
	}
	// FollowUpSet: work that is still due.
	FollowUpSet struct {
		What string `json:"what"`
		Due  string `json:"due"`
	}
	// Sealed: the job is closed; By signs the record.
	Sealed struct {
		Outcome procedures.Outcome `json:"outcome"`
		By      Person             `json:"by"`
		Chain   Link               `json:"chain"`
	}
	// Refused: the interlock did not take the command. It changes nothing.
	Refused struct {
		Command string   `json:"command"`
		Reasons []Reason `json:"reasons"`
	}
)

// PassWhy is why the cursor went by a step.
type PassWhy string

const (
	NotApplicable PassWhy = "not-applicable" // its condition does not hold
	AlreadyStands PassWhy = "already-stands" // a gate whose safeguard stands
	NotDue        PassWhy = "not-due"        // a make-safe step with nothing to make safe
)

// FallWhy is why a safeguard fell.
type FallWhy string

const (
	ByCause      FallWhy = "cause"      // a cause its procedure names
	ByTime       FallWhy = "time"       // it stood as long as it may
	ByLoss       FallWhy = "lost"       // reported by stop-work
	ByRest       FallWhy = "rested-on"  // a safeguard its gate needed no longer stands
	ByCorrection FallWhy = "correction" // an entry it rested on was corrected
)

// InterruptWhy is why the work was broken off.
type InterruptWhy string

const (
	ByPause    InterruptWhy = "pause"
	ByRestart  InterruptWhy = "restart"
	ByClock    InterruptWhy = "clock" // the two clocks parted: the machine slept, or its clock was moved
	ByTakeOver InterruptWhy = "take-over"
)

func (Acknowledged) event() string    { return "acknowledged" }
func (Began) event() string           { return "began" }
func (Entered) event() string         { return "entered" }
func (PassedBy) event() string        { return "passed-by" }
func (Opened) event() string          { return "opened" }
func (WayChosen) event() string       { return "way-chosen" }
func (Affirmed) event() string        { return "affirmed" }
func (ReadingTaken) event() string    { return "reading" }
func (Computed) event() string        { return "computed" }
func (InstrumentTaken) event() string { return "instrument" }
func (Attached) event() string        { return "attached" }
func (WaitStarted) event() string     { return "wait-started" }
func (WitnessSigned) event() string   { return "witnessed" }
func (WitnessVoided) event() string   { return "witness-voided" }
func (Answered) event() string        { return "answered" }
func (Done) event() string            { return "done" }
func (Skipped) event() string         { return "skipped" }
func (Secured) event() string         { return "secured" }
func (Released) event() string        { return "released" }
func (Fell) event() string            { return "fell" }
func (Happened) event() string        { return "happened" }
func (PinStarted) event() string      { return "pin-started" }
func (Corrected) event() string       { return "corrected" }
func (Overruled) event() string       { return "overruled" }
func (Undone) event() string          { return "undone" }
func (Noted) event() string           { return "noted" }
func (WorkStopped) event() string     { return "work-stopped" }
func (Cleared) event() string         { return "cleared" }
func (Interrupted) event() string     { return "interrupted" }
func (Resumed) event() string         { return "resumed" }
func (HandoverBegun) event() string   { return "handover-begun" }
func (SignedOn) event() string        { return "signed-on" }
func (SignedOff) event() string       { return "signed-off" }
func (JobKept) event() string         { return "job-kept" }
func (TakenOver) event() string       { return "taken-over" }
func (EndReached) event() string      { return "end-reached" }
func (CloseBegun) event() string      { return "close-begun" }
func (CloseWithdrawn) event() string  { return "close-withdrawn" }
func (LeftInState) event() string     { return "left-in-state" }
func (FollowUpSet) event() string     { return "follow-up" }
func (Sealed) event() string          { return "sealed" }
func (Refused) event() string         { return "refused" }

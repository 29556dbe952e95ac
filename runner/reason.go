package runner

// Every refusal names each unmet reason. A reason is a code with its subject; its sentence and the next action are worded
// in reason_text.go when it is shown.

// Code is one reason for a refusal.
type Code string

const (
	NotNow             Code = "not-now"              // the command does not belong to this phase of the job
	NotCurrent         Code = "not-current"          // another step is the current one
	SafeguardMissing   Code = "safeguard-missing"    // Item is the safeguard
	PinRunning         Code = "pin-running"          // Item is the pinned step
	Interruption       Code = "interruption"         // the job waits for a deliberate resume
	NotClear           Code = "not-clear"            // stop-work: what must be done first is not confirmed
	HandoverOpen       Code = "handover-open"        // only re-securing and signing may happen
	NoHandover         Code = "no-handover"          //
	StillToSecure      Code = "still-to-secure"      // handover: Item is a safeguard that fell
	NotSignedOn        Code = "not-signed-on"        //
	UnknownStep        Code = "unknown-step"         //
	UnknownItem        Code = "unknown-item"         //
	NotApplicableHere  Code = "not-applicable"       // the item's condition does not hold
	Acknowledgement    Code = "acknowledgement"      // Item was not acknowledged
	AlreadyEntered     Code = "already-entered"      // an entry is corrected, not made twice
	WayMissing         Code = "way-missing"          //
	StatementMissing   Code = "statement-missing"    // Detail is the statement's number
	ReadingMissing     Code = "reading-missing"      // Item is the reading
	ReadingRefused     Code = "reading-refused"      // Item's last value was not accepted
	EvidenceMissing    Code = "evidence-missing"     //
	AnswerMissing      Code = "answer-missing"       //
	CheckNotPassed     Code = "check-not-passed"     // Item is the check, Detail its reason
	CheckWantsMore     Code = "check-wants-more"     // Item is the check
	CheckWantsFile     Code = "check-wants-file"     // Item is the check, Detail why it cannot judge what is attached
	FileMissing        Code = "file-missing"         // Item is the check, Detail the name of the file that cannot be read back
	WitnessMissing     Code = "witness-missing"      //
	WaitNotStarted     Code = "wait-not-started"     //
	WaitRunning        Code = "wait-running"         // Detail is how long is left
	WaitMissed         Code = "wait-missed"          // the longest time has passed
	TooSoon            Code = "too-soon"             // two values of a series too close together
	NotAQuantity       Code = "not-a-quantity"       // Detail is what is wrong with the value
	NotAChoice         Code = "not-a-choice"         //
	NotADate           Code = "not-a-date"           //
	BelowLimit         Code = "below-limit"          // Detail is the limit
	AboveLimit         Code = "above-limit"          //
	NotTheSame         Code = "not-the-same"         // Detail is what it must be
	InstrumentMissing  Code = "instrument-missing"   //
	InstrumentOverdue  Code = "instrument-overdue"   // Detail is its due date
	GateNotSkippable   Code = "gate-not-skippable"   //
	NotOptional        Code = "not-optional"         //
	ReasonMissing      Code = "reason-missing"       //
	RoundsSpent        Code = "rounds-spent"         // Detail is how many
	NothingToCorrect   Code = "nothing-to-correct"   //
	TakeFresh          Code = "take-fresh"           // a refused reading is not corrected, it is taken again
	NotASafeguard      Code = "not-a-safeguard"      //
	SameKey            Code = "same-key"             // the performer cannot witness
	SignatureBad       Code = "signature-bad"        // Detail says how
	NotOnRoster        Code = "not-on-roster"        // Detail says how
	MakeSafeDue        Code = "make-safe-due"        // Step must be done first
	NotDueToMakeSafe   Code = "not-due-to-make-safe" //
	StillEngaged       Code = "still-engaged"        // Item is a safeguard not released
	CompleteNotByHand  Code = "complete-not-by-hand" // only the end of the procedure makes a job complete
	LeftNotForComplete Code = "left-not-for-complete"
	TextRefused        Code = "text-refused"  // Detail says which character
	TextTooLong        Code = "text-too-long" //
	ClockBackwards     Code = "clock-backwards"
	WrongSession       Code = "wrong-session"
	JobClosed          Code = "job-closed"
)

// untimely says whether the command was refused for the moment it was given at.
func (r Refused) untimely() bool {
	return len(r.Reasons) > 0 && (r.Reasons[0].Code == WrongSession || r.Reasons[0].Code == ClockBackwards)
}

// Reason is why a command was not taken. Step, Item and Detail say about what.
type Reason struct {
	Code   Code   `json:"code"`
	Step   string `json:"step,omitempty"`
	Item   string `json:"item,omitempty"`
	Detail string `json:"detail,omitempty"`
}

package runner

import "fenderside/procedures"

// Command is something a person, or the program on their behalf, asks of a job. There is no command that overrides,
// skips, reorders or bulk-confirms a gate: what has no command cannot be asked for.
type Command interface{ command() string }

type (
	// Acknowledge says that one item of the briefing was read. Item is one of Briefing's ids.
	Acknowledge struct {
		Item string `json:"item"`
	}
	// Choose takes one of a step's ways.
	Choose struct {
		Step string `json:"step"`
		Way  string `json:"way"`
	}
	// Affirm affirms one statement of a step, counted from 0.
	Affirm struct {
		Step      string `json:"step"`
		Statement int    `json:"statement"`
	}
	// Read records one reading: a quantity with its unit, a choice, a text or a date.
	Read struct {
		Step    string `json:"step"`
		Reading string `json:"reading"`
		Value   string `json:"value"`
	}
	// Take says which instrument of a kind is in hand. Due is its calibration due date, YYYY-MM-DD.
	Take struct {
		Instrument string `json:"instrument"`
		Name       string `json:"name"`
		Due        string `json:"due,omitempty"`
	}
	// Attach binds a photo or file to a step by its digest.
	Attach struct {
		Step string `json:"step"`
		Item string `json:"item"`
		File File   `json:"file"`
	}
	// StartWait starts the clock of a timed step.
	StartWait struct {
		Step string `json:"step"`
	}
	// Witnessed brings a second person's signature over the chain head and the step.
	Witnessed struct {
		Step      string `json:"step"`
		By        Person `json:"by"`
		Signature string `json:"signature"`
	}
	// Finish completes a step.
	Finish struct {
		Step string `json:"step"`
	}
	// Answer answers a step's question, which completes the step.
	Answer struct {
		Step string `json:"step"`
		Say  string `json:"say"`
	}
	// Skip passes over an optional step, with a reason.
	Skip struct {
		Step   string `json:"step"`
		Reason string `json:"reason"`
	}
	// Correct replaces an earlier entry by appending; see Correction for what can be corrected.
	Correct struct {
		Correction
	}
	// Note writes a remark into the journal.
	Note struct {
		Text string `json:"text"`
	}
	// StopWork reports safeguards that are no longer true, at any moment.
	StopWork struct {
		Safeguards []string `json:"safeguards"`
		Note       string   `json:"note,omitempty"`
	}
	// Clear says that what stop-work asked to be done first is done.
	Clear struct{}
	// Pause interrupts the job on purpose. Signature, where given, is the performer's over the stretch so far.
	Pause struct {
		Reason    string `json:"reason"`
		Signature string `json:"signature,omitempty"`
	}
	// Reopen is given by the program when it opens a journal again after it was closed, killed or lost power.
	Reopen struct {
		Cut       int64  `json:"cut,omitempty"` // bytes of a torn last line that were cut off
		CutDigest string `json:"cut_digest,omitempty"`
	}
	// Resume takes up an interrupted job. It never advances a step.
	Resume struct{}
	// HandOver begins a handover to another person.
	HandOver struct {
		To Person `json:"to"`
	}
	// SignOn is the incoming person's signature over the stretch they take on.
	SignOn struct {
		Signature string `json:"signature"`
	}
	// SignOff is the outgoing person's signature over their stretch; it ends the handover.
	SignOff struct {
		Signature string `json:"signature"`
	}
	// KeepJob ends a handover that does not take place; the outgoing person goes on.
	KeepJob struct {
		Reason string `json:"reason"`
	}
	// TakeOver takes on a job whose performer is gone; their stretch stays unsigned.
	TakeOver struct {
		By        Person `json:"by"`
		Reason    string `json:"reason"`
		Signature string `json:"signature"`
	}
	// Close ends the job early, as referred or abandoned; it leads through the make-safe steps.
	Close struct {
		Outcome procedures.Outcome `json:"outcome"`
		Reason  string             `json:"reason"`
	}
	// Continue withdraws a Close before it is signed.
	Continue struct {
		Reason string `json:"reason"`
	}
	// Leave writes down what cannot be made safe: the step that is not done, and the state the vehicle is left in.
	Leave struct {
		Step  string `json:"step"`
		State string `json:"state"`
	}
	// FollowUp promises work that is still due. Due is YYYY-MM-DD.
	FollowUp struct {
		What string `json:"what"`
		Due  string `json:"due"`
	}
	// Seal closes the job. By is who signs the finished record. Where the performer may not close a job, By is another
	// person, and Signature is the performer's own, over their stretch.
	Seal struct {
		By        Person `json:"by"`
		Signature string `json:"signature,omitempty"`
		Chain     Link   `json:"chain"`
	}
	// Tick lets time pass: what has run out is noticed.
	Tick struct{}
)

// Correction names the entry that was wrong, its new value and why. Exactly one of Reading, Answer, Statement and Sheet
// is meant: Reading is a reading's id; Answer a step's id, which returns the job to that decision (Value is empty);
// Statement a step's id, whose statement number Index is taken back; Sheet a sheet field's id.
type Correction struct {
	Reading   string `json:"reading,omitempty"`
	Answer    string `json:"answer,omitempty"`
	Statement string `json:"statement,omitempty"`
	Sheet     string `json:"sheet,omitempty"`
	Index     int    `json:"index,omitempty"`
	Value     string `json:"value,omitempty"`
	Reason    string `json:"reason"`
}

// Person is somebody by their name on the roster and the fingerprint of their key.
type Person struct {
	Name        string `json:"name"`
	Fingerprint string `json:"fingerprint"`
}

// File is evidence outside the journal, bound by digest.
type File struct {
	Name     string `json:"name"`
	SHA256   string `json:"sha256"`
	Size     int64  `json:"size"`
	Modified string `json:"modified"` // RFC 3339, UTC
}

// Link joins a record to the same key's record before it in the same store. The first record of a key has number 1 and
// an empty Previous.
type Link struct {
	Number   int    `json:"number"`
	Previous string `json:"previous,omitempty"` // hex SHA-256 of the previous record's bytes
}

func (Acknowledge) command() string { return "acknowledge" }
func (Choose) command() string      { return "choose" }
func (Affirm) command() string      { return "affirm" }
func (Read) command() string        { return "read" }
func (Take) command() string        { return "take" }
func (Attach) command() string      { return "attach" }
func (StartWait) command() string   { return "start-wait" }
func (Witnessed) command() string   { return "witness" }
func (Finish) command() string      { return "finish" }
func (Answer) command() string      { return "answer" }
func (Skip) command() string        { return "skip" }
func (Correct) command() string     { return "correct" }
func (Note) command() string        { return "note" }
func (StopWork) command() string    { return "stop-work" }
func (Clear) command() string       { return "clear" }
func (Pause) command() string       { return "pause" }
func (Reopen) command() string      { return "reopen" }
func (Resume) command() string      { return "resume" }
func (HandOver) command() string    { return "hand-over" }
func (SignOn) command() string      { return "sign-on" }
func (SignOff) command() string     { return "sign-off" }
func (KeepJob) command() string     { return "keep-job" }
func (TakeOver) command() string    { return "take-over" }
func (Close) command() string       { return "close" }
func (Continue) command() string    { return "continue" }
func (Leave) command() string       { return "leave" }
func (FollowUp) command() string    { return "follow-up" }
func (Seal) command() string        { return "seal" }
func (Tick) command() string        { return "tick" }

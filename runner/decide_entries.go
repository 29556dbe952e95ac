package runner

import (
	"crypto/sha256"
	"encoding/hex"
	"time"
	"unicode/utf8"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
)

// Entries are taken at the current step, and at a pinned step whose time is up; nowhere else.

// LongestText is how many bytes one text may have.
const LongestText = 2000

func (d *decision) takeEntry(c Command) bool {
	switch c := c.(type) {
	case Acknowledge:
		d.acknowledge(c)
	case Choose:
		d.choose(c)
	case Affirm:
		d.affirm(c)
	case Read:
		d.read(c)
	case Take:
		d.takeInstrument(c)
	case Attach:
		d.attach(c)
	case StartWait:
		d.startWait(c)
	case Witnessed:
		d.witness(c)
	default:
		return false
	}
	return true
}

func (d *decision) acknowledge(c Acknowledge) {
	if d.s.phase != Briefing {
		d.refuse(Reason{Code: NotNow})
		return
	}
	for i, b := range d.s.job.briefs {
		if b.ID != c.Item {
			continue
		}
		if d.s.acknowledged[i] {
			d.refuse(Reason{Code: AlreadyEntered, Item: c.Item})
			return
		}
		d.emit(Acknowledged(c))
		if len(d.s.unacknowledged()) == 0 {
			d.emit(Began{})
			d.advance(procedures.Target{}, -1)
		}
		return
	}
	d.refuse(Reason{Code: UnknownItem, Item: c.Item})
}

// entry finds the step that an entry is for, and refuses it where the step takes none now.
func (d *decision) entry(id string) (int, bool) {
	i, ok := d.s.job.step(id)
	if !ok {
		return 0, !d.refuse(Reason{Code: UnknownStep, Step: id})
	}
	if d.s.workable(i) {
		if left := d.s.pinLeft(i, d.now); left > 0 {
			return i, !d.refuse(Reason{Code: WaitRunning, Step: id, Detail: clock(left)})
		}
		return i, true
	}
	return i, !d.refuse(d.s.whyNotCurrent(i)...)
}

// enterAt writes an entry down. A witness signed for the entries before it alone, so that signature counts no more.
func (d *decision) enterAt(i int, e Event) {
	d.emit(e)
	d.voidWitness(i)
}

// whyNotCurrent names every safeguard that step i still needs, or else the step that is current.
func (s *State) whyNotCurrent(i int) []Reason {
	var out []Reason
	if s.open != noStep {
		out = append(out, Reason{Code: NotCurrent, Step: s.spec(i).ID, Item: s.spec(s.open).ID})
	} else {
		out = append(out, Reason{Code: NotCurrent, Step: s.spec(i).ID})
	}
	return append(out, s.needReasons(i)...)
}

func (s *State) needReasons(i int) []Reason {
	var out []Reason
	for _, n := range s.missing(i) {
		if n.Pin >= 0 {
			out = append(out, Reason{Code: PinRunning, Step: s.spec(i).ID, Item: s.spec(n.Pin).ID})
			continue
		}
		out = append(out, Reason{Code: SafeguardMissing, Step: s.spec(i).ID, Item: s.job.Procedure.Safeguards[n.Safeguard].ID})
	}
	return out
}

func (d *decision) choose(c Choose) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	for _, w := range d.s.spec(i).Ways {
		if w.ID != c.Way {
			continue
		}
		if d.s.hasEntries(i) {
			d.refuse(Reason{Code: AlreadyEntered, Step: c.Step, Item: c.Way})
			return
		}
		d.enterAt(i, WayChosen(c))
		d.computeGiven(i)
		return
	}
	d.refuse(Reason{Code: NotAChoice, Step: c.Step, Item: c.Way})
}

func (d *decision) affirm(c Affirm) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	all := d.s.spec(i).Statements
	switch {
	case c.Statement < 0 || c.Statement >= len(all):
		d.refuse(Reason{Code: UnknownItem, Step: c.Step, Detail: number(c.Statement)})
	case !d.s.holdsIn(i, all[c.Statement].When):
		d.refuse(Reason{Code: NotApplicableHere, Step: c.Step, Detail: number(c.Statement)})
	case d.s.steps[i].affirmed&(1<<c.Statement) != 0:
		d.refuse(Reason{Code: AlreadyEntered, Step: c.Step, Detail: number(c.Statement)})
	default:
		d.enterAt(i, Affirmed(c))
	}
}

func (d *decision) takeInstrument(c Take) {
	for _, in := range d.s.job.Procedure.Instruments {
		if in.ID != c.Instrument {
			continue
		}
		if d.refuseText(c.Name, true) {
			return
		}
		if _, err := time.Parse(time.DateOnly, c.Due); err != nil && (c.Due != "" || in.Calibration) {
			d.refuse(Reason{Code: NotADate, Item: c.Instrument, Detail: c.Due})
			return
		}
		if !d.refuseOverdue(in, c.Due) {
			d.emit(InstrumentTaken(c))
		}
		return
	}
	d.refuse(Reason{Code: UnknownItem, Item: c.Instrument})
}

func (d *decision) attach(c Attach) {
	i, ok := d.entry(c.Step)
	if !ok || d.refuseText(c.File.Name, true) || d.refuseFile(c) {
		return
	}
	for _, ev := range d.s.spec(i).Evidence {
		if ev.ID != c.Item {
			continue
		}
		if !d.s.holdsIn(i, ev.When) {
			d.refuse(Reason{Code: NotApplicableHere, Step: c.Step, Item: c.Item})
			return
		}
		d.enterAt(i, Attached(c))
		d.compute(i, c.Item, true) // first, for a check that fails takes the file away
		d.compute(i, c.Item, false)
		return
	}
	d.refuse(Reason{Code: UnknownItem, Step: c.Step, Item: c.Item})
}

func (d *decision) refuseFile(c Attach) bool {
	_, err := time.Parse(time.RFC3339, c.File.Modified)
	sum, errSum := hex.DecodeString(c.File.SHA256)
	if len(sum) != sha256.Size || errSum != nil || c.File.Size < 0 || err != nil {
		return d.refuse(Reason{Code: EvidenceMissing, Step: c.Step, Item: c.Item, Detail: "digest, size and time"})
	}
	return false
}

func (d *decision) startWait(c StartWait) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	w := d.s.spec(i).Wait
	if w == nil {
		d.refuse(Reason{Code: UnknownItem, Step: c.Step})
		return
	}
	if d.s.steps[i].waiting && !d.s.waitMissed(i, d.now) {
		d.refuse(Reason{Code: AlreadyEntered, Step: c.Step})
		return
	}
	d.enterAt(i, WaitStarted(c))
}

// witness takes a second person's signature once everything else of the step is in, so that it covers all of it.
func (d *decision) witness(c Witnessed) {
	i, ok := d.entry(c.Step)
	if !ok {
		return
	}
	if !d.s.needsWitness(i, d.now) {
		d.refuse(Reason{Code: UnknownItem, Step: c.Step, Item: "witness"})
		return
	}
	for _, r := range d.s.unmet(i, d.now) {
		if r.Code != WitnessMissing && r.Code != AnswerMissing {
			d.refuse(r)
		}
	}
	if len(d.reasons) > 0 {
		return
	}
	if c.By.Fingerprint == d.s.acting().Fingerprint || c.By.Fingerprint == d.s.performer.Fingerprint {
		d.refuse(Reason{Code: SameKey, Step: c.Step})
		return
	}
	if !d.refuseSignature(c.By, witnessNamespace, WitnessMessage(d.s.job.Opening.Job, c.Step, d.now.Head), c.Signature) {
		d.emit(WitnessSigned{Step: c.Step, By: c.By})
	}
}

// refuseText holds a text to what may be written down: readable characters, not too many, and not none where needed.
func (d *decision) refuseText(text string, needed bool) bool {
	switch err := plaintext.Check(text); {
	case err != nil:
		return d.refuse(Reason{Code: TextRefused, Detail: err.Error()})
	case len(text) > LongestText || !utf8.ValidString(text):
		return d.refuse(Reason{Code: TextTooLong, Detail: number(LongestText)})
	case text == "" && needed:
		return d.refuse(Reason{Code: ReasonMissing})
	}
	return false
}

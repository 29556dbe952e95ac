package runner

import (
	"time"

	"fenderside/procedures"
)

// Every close passes the make-safe steps of what the job secured or started. What cannot be made safe is written down
// and signed; a job with such a line is never complete.

func (d *decision) takeClosing(c Command) bool {
	switch c := c.(type) {
	case Close:
		d.close(c)
	case Continue:
		d.goOn(c)
	case Leave:
		d.leave(c)
	case FollowUp:
		d.followUp(c)
	case Seal:
		d.seal(c)
	default:
		return false
	}
	return true
}

func (d *decision) close(c Close) {
	switch {
	case c.Outcome == procedures.Complete:
		d.refuse(Reason{Code: CompleteNotByHand})
	case c.Outcome != procedures.Referred && c.Outcome != procedures.Abandoned:
		d.refuse(Reason{Code: NotAChoice, Item: string(c.Outcome)})
	case d.refuseText(c.Reason, true):
	default:
		d.emit(CloseBegun(c))
	}
}

// goOn takes a close back. Where the main line had come to its end, that end stands again.
func (d *decision) goOn(c Continue) {
	switch {
	case d.s.phase != Closing || d.s.reason == "":
		d.refuse(Reason{Code: NotNow})
	case d.refuseText(c.Reason, true):
	default:
		reached := d.s.reached
		d.emit(CloseWithdrawn(c))
		if reached != "" {
			d.emit(EndReached{Outcome: reached})
		}
	}
}

func (d *decision) leave(c Leave) {
	if d.s.phase != Closing {
		d.refuse(Reason{Code: NotNow})
		return
	}
	if d.s.outcome == procedures.Complete {
		d.refuse(Reason{Code: LeftNotForComplete, Step: c.Step})
		return
	}
	if d.refuseText(c.State, true) {
		return
	}
	for _, i := range d.s.due() {
		if d.s.spec(i).ID == c.Step {
			d.emit(LeftInState(c))
			return
		}
	}
	d.refuse(Reason{Code: NotDueToMakeSafe, Step: c.Step})
}

func (d *decision) followUp(c FollowUp) {
	if _, err := time.Parse(time.DateOnly, c.Due); err != nil {
		d.refuse(Reason{Code: NotADate, Detail: c.Due})
		return
	}
	if !d.refuseText(c.What, true) {
		d.emit(FollowUpSet(c))
	}
}

// seal closes the job for signing.
func (d *decision) seal(c Seal) {
	if d.s.phase != Closing {
		d.refuse(Reason{Code: NotNow})
		return
	}
	if d.refuse(d.s.unsafe()...) || d.refuseRole(c.By, recordNamespace) {
		return
	}
	if c.By.Fingerprint != d.s.performer.Fingerprint &&
		d.refuseSignature(d.s.performer, stretchNamespace, StretchMessage(d.s.job.Opening.Job, "close", d.now.Head), c.Signature) {
		return
	}
	d.emit(Sealed{Outcome: d.s.outcome, By: c.By, Chain: c.Chain})
}

// unsafe lists what still keeps the job from being sealed.
func (s *State) unsafe() []Reason {
	var out []Reason
	for _, i := range s.due() {
		out = append(out, Reason{Code: MakeSafeDue, Step: s.spec(i).ID})
	}
	if s.outcome != procedures.Complete {
		return out
	}
	for g, spec := range s.job.Procedure.Safeguards {
		if s.guards[g].stands && !spec.Lasting {
			out = append(out, Reason{Code: StillEngaged, Item: spec.ID})
		}
	}
	return out
}

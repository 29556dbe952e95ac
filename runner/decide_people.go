package runner

import "slices"

// Interruptions and changes of person. A job that was broken off waits for a deliberate resume, which moves nothing. A
// handover lets go of the outgoing person only when the incoming one has secured again what fell and has signed.

func (d *decision) takeInterruption(c Command) bool {
	switch c := c.(type) {
	case Pause:
		d.pause(c)
	case Reopen:
		d.interrupt(Interrupted{Cause: ByRestart, Drift: backwards(d.s.last, d.now), Cut: c.Cut, CutDigest: c.CutDigest})
	case Resume:
		if d.s.hold == nil {
			d.refuse(Reason{Code: NotNow})
			break
		}
		d.emit(Resumed{})
	default:
		return false
	}
	return true
}

// backwards is how far the wall clock went back between two sessions, in milliseconds and below zero; nothing where it
// went on, for how long the program was not running cannot be known.
func backwards(from, to Moment) int64 {
	return min(0, to.Wall.Sub(from.Wall).Milliseconds())
}

func (d *decision) pause(c Pause) {
	if d.s.hold != nil {
		d.refuse(Reason{Code: Interruption, Step: d.s.hold.Step})
		return
	}
	if d.refuseText(c.Reason, true) {
		return
	}
	if c.Signature != "" && d.refuseSignature(d.s.acting(), stretchNamespace, StretchMessage(d.s.job.Opening.Job, "pause", d.now.Head), c.Signature) {
		return
	}
	d.interrupt(Interrupted{Cause: ByPause, Reason: c.Reason, Signed: c.Signature != ""})
}

// interrupt breaks the work off and fells what an interruption fells.
func (d *decision) interrupt(e Interrupted) {
	d.emit(e)
	d.fallOn(interruptionCause)
}

func (d *decision) takeHandover(c Command) bool {
	switch c := c.(type) {
	case HandOver:
		d.handOver(c)
	case SignOn:
		d.signOn(c)
	case SignOff:
		d.signOff(c)
	case KeepJob:
		if !d.refuseText(c.Reason, true) {
			d.emit(JobKept(c))
		}
	case TakeOver:
		d.takeOver(c)
	default:
		return false
	}
	return true
}

func (d *decision) handOver(c HandOver) {
	if c.To.Fingerprint == d.s.performer.Fingerprint {
		d.refuse(Reason{Code: SameKey})
		return
	}
	if d.refuseRole(c.To, stretchNamespace) {
		return
	}
	d.emit(HandoverBegun(c))
	d.fallOn(handoverCause)
}

func (d *decision) signOn(c SignOn) {
	h := d.s.handover
	for _, g := range h.Owed {
		if !d.s.guards[g].stands {
			d.refuse(Reason{Code: StillToSecure, Item: d.s.job.Procedure.Safeguards[g].ID})
		}
	}
	if len(d.reasons) > 0 || d.refuseSignature(h.To, stretchNamespace, StretchMessage(d.s.job.Opening.Job, "sign-on", d.now.Head), c.Signature) {
		return
	}
	d.emit(SignedOn{By: h.To})
}

func (d *decision) signOff(c SignOff) {
	h := d.s.handover
	if !h.SignedOn {
		d.refuse(Reason{Code: NotSignedOn, Item: h.To.Name})
		return
	}
	if d.refuseSignature(d.s.performer, stretchNamespace, StretchMessage(d.s.job.Opening.Job, "sign-off", d.now.Head), c.Signature) {
		return
	}
	d.emit(SignedOff{By: d.s.performer, To: h.To})
}

func (d *decision) takeOver(c TakeOver) {
	if c.By.Fingerprint == d.s.performer.Fingerprint {
		d.refuse(Reason{Code: SameKey})
		return
	}
	if d.refuseText(c.Reason, true) ||
		d.refuseSignature(c.By, stretchNamespace, StretchMessage(d.s.job.Opening.Job, "take-over", d.now.Head), c.Signature) {
		return
	}
	d.emit(TakenOver{From: d.s.performer, By: c.By, Reason: c.Reason})
	d.interrupt(Interrupted{Cause: ByTakeOver, Reason: c.Reason})
	d.fallOn(handoverCause)
}

// stopWork takes a report that safeguards are no longer true; with none named, it is every one that stands. It is taken
// whatever else is the matter.
func (d *decision) stopWork(c StopWork) {
	if d.refuseText(c.Note, false) {
		return
	}
	var lost []int
	c.Safeguards = slices.Clone(c.Safeguards)
	for _, id := range c.Safeguards {
		g, ok := d.s.job.Procedure.SafeguardByID(id)
		if !ok {
			d.refuse(Reason{Code: NotASafeguard, Item: id})
			return
		}
		lost = append(lost, g)
	}
	if len(c.Safeguards) == 0 {
		for g, spec := range d.s.job.Procedure.Safeguards {
			if d.s.guards[g].stands && !spec.Lasting {
				lost = append(lost, g)
				c.Safeguards = append(c.Safeguards, spec.ID)
			}
		}
	}
	d.emit(WorkStopped(c))
	for _, g := range lost {
		d.fall(g, ByLoss, "")
	}
}

func (d *decision) clear() {
	if len(d.s.lost) == 0 {
		d.refuse(Reason{Code: NotNow})
		return
	}
	d.emit(Cleared{})
}

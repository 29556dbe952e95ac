package runner

import (
	"errors"

	"fenderside/procedures"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// Signatures inside the journal cover the chain head: everything that was written before them. The core verifies them
// itself, so a replay does too.

const (
	recordNamespace  = seal.Record
	stretchNamespace = seal.Stretch
	witnessNamespace = seal.Witness

	interruptionCause = procedures.InterruptionCause
	handoverCause     = procedures.HandoverCause
)

// WitnessMessage is what a witness signs for a step: the job, the step and the digest of the journal so far.
func WitnessMessage(job, step, head string) []byte {
	return []byte("fenderside witness\njob " + job + "\nstep " + step + "\nhead " + head + "\n")
}

// StretchMessage is what a person signs for a stretch of work. Occasion is pause, sign-on, sign-off, take-over or close.
func StretchMessage(job, occasion, head string) []byte {
	return []byte("fenderside stretch\njob " + job + "\noccasion " + occasion + "\nhead " + head + "\n")
}

// refuseRole refuses a person who is not on the roster by that name and key, or not in that role now.
func (d *decision) refuseRole(p Person, namespace string) bool {
	entry, ok := d.s.job.Roster.Find(p.Fingerprint)
	if !ok || !has(entry.Principals, p.Name) {
		return d.refuse(Reason{Code: NotOnRoster, Item: p.Name, Detail: "key " + p.Fingerprint})
	}
	var denial *roster.Denial
	if err := d.s.job.Roster.May(p.Fingerprint, namespace, d.now.Wall); errors.As(err, &denial) {
		return d.refuse(Reason{Code: NotOnRoster, Item: p.Name, Detail: denial.Error()})
	}
	return false
}

// refuseSignature refuses a signature that is not that person's, in that role, over that message.
func (d *decision) refuseSignature(p Person, namespace string, message []byte, armoured string) bool {
	if d.refuseRole(p, namespace) {
		return true
	}
	sig, err := seal.Verify(armoured, namespace, message)
	if err != nil {
		return d.refuse(Reason{Code: SignatureBad, Item: p.Name, Detail: err.Error()})
	}
	if seal.Fingerprint(sig.Key) != p.Fingerprint {
		return d.refuse(Reason{Code: SignatureBad, Item: p.Name, Detail: "another key signed: " + seal.Fingerprint(sig.Key)})
	}
	return false
}

package audit

// The rule of this file: a signature counts only where its key signed exactly these bytes for this purpose, and where the
// auditor's own roster knows that key, by that name, in that role, at that time. The record's own roster says what its
// makers believed; the auditor's says what is trusted.

import (
	"errors"
	"slices"
	"time"

	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/store"
)

// closingSignature verifies the detached signature and who gave it.
func (a auditor) closingSignature(c *examined, f files) {
	switch {
	case f.signature.missing():
		c.reject(0, "ask for the signature file that belongs to it", "the record is not signed: there is no %s beside it", store.SignatureFile)
		return
	case f.signature.err != nil:
		c.reject(0, "check the file and its permissions", "the signature cannot be read: %v", f.signature.err)
		return
	}
	sig, err := seal.Verify(string(f.signature.data), seal.Record, c.bytes)
	if err != nil {
		if sig.Key != nil { // all that a signature tells that does not hold
			c.Signatures = append(c.Signatures, Signature{Fingerprint: sig.Fingerprint(), Namespace: sig.Namespace, Meaning: "claims to sign the whole record"})
		}
		c.reject(0, getOriginal, "the signature does not hold: %v", err)
		return
	}
	c.Signatures = append(c.Signatures, Signature{Who: a.holder(c, sig.Fingerprint()), Fingerprint: sig.Fingerprint(), Namespace: sig.Namespace,
		Meaning: "signed the whole record", At: c.Closed, Good: true})
	if !sig.Tidy {
		c.look(0, "a mail program or an editor changed the file's blanks or line ends, or added lines", "compare with the file on the laptop that wrote it",
			"the signature file holds something that nobody signed, beside a good signature")
	}
	if c.sealed == nil {
		return
	}
	if sig.Fingerprint() != c.By.Fingerprint {
		c.reject(len(c.lines), getOriginal, "%s with key %s closed the job, and key %s signed it", c.By.Name, c.By.Fingerprint, sig.Fingerprint())
		return
	}
	a.closer(c, f, sig)
}

// holder is whose key it is: the one who closed the job where it is theirs, else whoever the auditor's roster says; empty
// where neither knows.
func (a auditor) holder(c *examined, fingerprint string) string {
	if fingerprint == c.By.Fingerprint {
		return c.By.Name
	}
	if entry, ok := a.roster.Find(fingerprint); ok {
		return entry.Principals[0]
	}
	return ""
}

// known marks the signatures whose key the auditor's roster has by the name that the record gives.
func (a auditor) known(c *examined) {
	for i, s := range c.Signatures {
		entry, ok := a.roster.Find(s.Fingerprint)
		c.Signatures[i].Known = ok && slices.Contains(entry.Principals, s.Who)
	}
}

// closer holds the closing key to the auditor's roster. Where the key alone is not enough, a countersignature may be.
func (a auditor) closer(c *examined, f files, sig seal.Signature) {
	counters := a.countersignatures(c, f)
	entry, reason := a.may(c.By, seal.Record, c.Closed)
	switch {
	case reason == nil:
	case is(reason, roster.Expired):
		if !covered(counters, entry.ValidBefore) {
			c.look(len(c.lines), "the roster's date was reached on a long job, or the laptop's clock ran ahead", "have it countersigned, or ask for one made while the key was valid",
				"it was closed with a key past its date: %v", reason)
		}
		return
	case is(reason, roster.RoleNotGiven) && len(counters) > 0:
		c.look(len(c.lines), "an apprentice closed the job on a laptop whose own roster allowed it, and somebody who may close jobs signed for it later",
			"see that its gates were witnessed", "%v; it is countersigned by %s", reason, counters[0].By.Name)
		return
	case is(reason, roster.NotOnRoster):
		c.reject(len(c.lines), confirmKey, "%v", reason)
		return
	default:
		c.reject(len(c.lines), askKeeper+", or have it countersigned by somebody who may close jobs", "%v", reason)
		return
	}
	a.aged(c, entry, sig, counters)
}

// aged looks at a key that was good at the closing time and is not good now. A closing time is self-declared: such a key
// could sign today and date it back, unless another key says that it saw the record while it was still good.
func (a auditor) aged(c *examined, entry roster.Entry, sig seal.Signature, counters []countersig) {
	expired := !entry.ValidBefore.IsZero() && a.now.Unix() > entry.ValidBefore.Unix()
	if expired && !covered(counters, entry.ValidBefore) {
		c.look(len(c.lines), "the record is simply older than the key's end", "compare with a copy or a head kept since, or a countersignature made while the key was valid",
			"its key has passed its date (%s) since the closing time, which is self-declared", entry.ValidBefore.UTC().Format(time.RFC3339))
	}
	if a.revoked.Has(sig.Key) && !(!entry.ValidBefore.IsZero() && covered(counters, entry.ValidBefore)) {
		c.look(len(c.lines), "the key was revoked long after this job was closed", "find out when the key was lost; a roster line with valid-before at that day and a countersignature from before it settle this",
			"its key is on the revocation list, and a revocation list does not say since when")
	}
}

// may holds a person to the auditor's roster: key, name, role and time. The error is a *roster.Denial, or a name that
// differs.
func (a auditor) may(p runner.Person, namespace string, at time.Time) (roster.Entry, error) {
	entry, ok := a.roster.Find(p.Fingerprint)
	if ok && !slices.Contains(entry.Principals, p.Name) {
		return entry, &otherName{p, entry}
	}
	return entry, a.roster.May(p.Fingerprint, namespace, at)
}

type otherName struct {
	person runner.Person
	entry  roster.Entry
}

func (o *otherName) Error() string {
	return "the auditor's roster knows key " + o.person.Fingerprint + " as " + o.entry.Principals[0] + ", not as " + o.person.Name
}

func is(err error, why roster.Reason) bool {
	var d *roster.Denial
	return errors.As(err, &d) && d.Reason == why
}

// people holds everybody who signed inside the record to the auditor's roster. That the signatures themselves are good,
// the replay has shown.
func (a auditor) people(c *examined) {
	for _, s := range c.Signatures {
		a.signer(c, s)
	}
	if _, err := a.may(c.opening.Performer, seal.Stretch, c.Opened); err != nil {
		c.look(1, rosterDiffers, askKeeper, "%s opened the job: %v", c.opening.Performer.Name, err)
	}
}

const rosterDiffers = "the auditor's roster is newer or older than the laptop's"

// signer judges one signature inside the record.
func (a auditor) signer(c *examined, s Signature) {
	entry, err := a.may(runner.Person{Name: s.Who, Fingerprint: s.Fingerprint}, s.Namespace, s.At)
	switch {
	case err == nil && entry.Key != nil && a.revoked.Has(entry.Key):
		c.look(s.Line, "the key was revoked after this job", "find out when the key was lost", "%s %s with a key on the revocation list", s.Who, s.Meaning)
	case err == nil:
	case s.Namespace == seal.Witness && !is(err, roster.Expired):
		c.reject(s.Line, askKeeper, "%s %s: %v", s.Who, s.Meaning, err)
	default:
		c.look(s.Line, rosterDiffers, askKeeper, "%s %s: %v", s.Who, s.Meaning, err)
	}
}

// signatureOf is the signature that a line brought, where the core took it. State is the one after the line.
func signatureOf(l record.Line, state runner.State) (Signature, bool) {
	for _, e := range l.Events {
		switch e := e.(type) {
		case runner.WitnessSigned:
			return signed(l, e.By, seal.Witness, "witnessed step "+e.Step), true
		case runner.SignedOn:
			return signed(l, e.By, seal.Stretch, "took the job on in a handover"), true
		case runner.SignedOff:
			return signed(l, e.By, seal.Stretch, "signed off their stretch in a handover"), true
		case runner.TakenOver:
			return signed(l, e.By, seal.Stretch, "took the job over"), true
		case runner.Interrupted:
			if e.Signed {
				return signed(l, state.Acting(), seal.Stretch, "signed their stretch at a pause"), true
			}
		case runner.Sealed:
			if e.By.Fingerprint != state.Performer().Fingerprint {
				return signed(l, state.Performer(), seal.Stretch, "signed their own stretch at the close"), true
			}
		}
	}
	return Signature{}, false
}

func signed(l record.Line, by runner.Person, namespace, meaning string) Signature {
	return Signature{Who: by.Name, Fingerprint: by.Fingerprint, Namespace: namespace, Meaning: meaning, At: l.At, Line: l.Seq + 1, Good: true}
}

package roster

// The rule kept here: a refusal to let a key sign says why, and what to do.

import (
	"fmt"
	"strings"
	"time"

	"fenderside/runner/seal"
)

// Reason is why a key may not sign.
type Reason int

// The reasons, in the order in which they are looked for.
const (
	NotOnRoster  Reason = iota + 1 // no line holds the key
	RoleNotGiven                   // its line does not list the namespace
	NotYetValid                    // the time is before its valid-after
	Expired                        // the time is after its valid-before
)

// String returns the reason in a few words.
func (r Reason) String() string {
	switch r {
	case NotOnRoster:
		return "not on the roster"
	case RoleNotGiven:
		return "role not given"
	case NotYetValid:
		return "not yet valid"
	case Expired:
		return "expired"
	}
	return fmt.Sprintf("reason %d", int(r))
}

// Denial is the error of May.
type Denial struct {
	Reason      Reason
	Fingerprint string
	Namespace   string
	At          time.Time
	Entry       Entry // the key's line; the zero Entry when it has none
}

// Error says who may not do what, why, and what to do next.
func (d *Denial) Error() string {
	switch d.Reason {
	case NotOnRoster:
		return fmt.Sprintf("key %s is not on the roster: ask whoever keeps the roster to add it", d.Fingerprint)
	case RoleNotGiven:
		return fmt.Sprintf("%s (key %s, roster line %d) may not sign as %q, only as %s: use a key that may, or ask for the role",
			d.who(), d.Fingerprint, d.Entry.Line, d.Namespace, strings.Join(d.Entry.Namespaces, ", "))
	case NotYetValid:
		return fmt.Sprintf("%s (key %s, roster line %d) may sign only from %s, and the time given is %s: check the clock, or ask for an earlier valid-after",
			d.who(), d.Fingerprint, d.Entry.Line, stamp(d.Entry.ValidAfter), stamp(d.At))
	}
	return fmt.Sprintf("%s (key %s, roster line %d) could sign only until %s, and the time given is %s: use a newer key, or have it countersigned",
		d.who(), d.Fingerprint, d.Entry.Line, stamp(d.Entry.ValidBefore), stamp(d.At))
}

func (d *Denial) who() string { return strings.Join(d.Entry.Principals, ", ") }

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// role returns what a namespace lets a person do, for messages.
func role(namespace string) string {
	switch namespace {
	case seal.Record:
		return "close a job"
	case seal.Stretch:
		return "sign a stretch"
	case seal.Witness:
		return "witness"
	}
	return "sign as " + namespace
}

// Roles returns in plain words what the entry's key may do.
func (e Entry) Roles() []string {
	out := make([]string, 0, len(e.Namespaces))
	for _, n := range e.Namespaces {
		out = append(out, role(n))
	}
	return out
}

// Package roster reads the list of who may sign: an OpenSSH `allowed_signers`
// file, one key a line, which `ssh-keygen -Y verify -f` reads too.
//
//	# people          options                                                      key
//	asha@millbrook.example namespaces="record@fenderside,stretch@fenderside" ssh-ed25519 AAAAC3Nz... Asha
//	bryn@millbrook.example namespaces="witness@fenderside",valid-before="20270101Z" ssh-ed25519 AAAAC3Nz...
//
// The namespaces are the roles: who may close a job, sign a stretch, witness.
// A line without the option has all three, as OpenSSH takes it to mean any.
//
// The rule kept here: what this package accepts, OpenSSH reads alike. It is
// stricter than OpenSSH, so that a slip is found before it matters:
//   - a bad line is an error, where OpenSSH warns and reads on;
//   - a time must end in Z, where OpenSSH takes one without as local time;
//   - a principal is a person: no wildcard, negation or quotes;
//   - the roles are listed plainly: no wildcard or negation, no misspelt role;
//   - one key stands on one line, so that a key has one meaning;
//   - no certificate authority, no DSA key;
//   - no control, bidirectional or invisible character anywhere.
package roster

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"time"

	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
)

// Entry is one line of a roster: one key and whose it is.
type Entry struct {
	Line        int      // 1 for the first line of the file
	Principals  []string // who holds the key, at least one
	Key         ssh.PublicKey
	Fingerprint string    // "SHA256:..."
	Namespaces  []string  // the roles; all three when the line names none
	ValidAfter  time.Time // UTC; zero when the line sets no start
	ValidBefore time.Time // UTC; zero when the line sets no end
	Comment     string    // what follows the key
}

// Roster is a parsed roster. The zero value is an empty one.
type Roster struct {
	text    []byte
	entries []Entry
	byPrint map[string]int // fingerprint to index in entries
}

// Parse reads the text of a roster. When any line is bad it returns Problems
// that names every one, under the file name "roster".
func Parse(text []byte) (Roster, error) { return ParseNamed("roster", text) }

// ParseNamed is Parse with the file name that its errors are to show.
func ParseNamed(name string, text []byte) (Roster, error) {
	r := Roster{text: slices.Clone(text), byPrint: map[string]int{}}
	found := Problems{File: name}
	for _, l := range lines(text, &found) {
		if e, ok := l.entry(&found); ok {
			r.add(e, l, &found)
		}
	}
	if len(found.List) > 0 {
		return Roster{}, found.sorted()
	}
	return r, nil
}

// add appends an entry unless its key already stands on another line.
func (r *Roster) add(e Entry, l line, found *Problems) {
	if i, twice := r.byPrint[e.Fingerprint]; twice {
		found.add(l.number, l.keyColumn, "the key "+e.Fingerprint+" already stands on line "+itoa(r.entries[i].Line),
			"one key has one line: join the two, with all its roles")
		return
	}
	r.byPrint[e.Fingerprint] = len(r.entries)
	r.entries = append(r.entries, e)
}

// Entries returns the entries in the order of the file.
func (r Roster) Entries() []Entry { return slices.Clone(r.entries) }

// Text returns the exact bytes that were parsed.
func (r Roster) Text() []byte { return slices.Clone(r.text) }

// Digest returns the SHA-256 of the exact bytes that were parsed, in lower
// case hexadecimal.
func (r Roster) Digest() string {
	sum := sha256.Sum256(r.text)
	return hex.EncodeToString(sum[:])
}

// Find returns the entry of the key with that fingerprint.
func (r Roster) Find(fingerprint string) (Entry, bool) {
	i, ok := r.byPrint[fingerprint]
	if !ok {
		return Entry{}, false
	}
	return r.entries[i], true
}

// ByPrincipal returns every entry that names the person, in file order.
// Upper and lower case differ, as they do for OpenSSH.
func (r Roster) ByPrincipal(principal string) []Entry {
	var out []Entry
	for _, e := range r.entries {
		if slices.Contains(e.Principals, principal) {
			out = append(out, e)
		}
	}
	return out
}

// May returns nil when the key may sign for the namespace at that time, and
// otherwise a *Denial that says why not.
func (r Roster) May(fingerprint, namespace string, at time.Time) error {
	e, ok := r.Find(fingerprint)
	if !ok {
		return &Denial{Reason: NotOnRoster, Fingerprint: fingerprint, Namespace: namespace, At: at}
	}
	return e.May(namespace, at)
}

// May returns nil when the entry's key may sign for the namespace at that
// time, and otherwise a *Denial. Both ends of its time are included and parts
// of a second are ignored, as OpenSSH does.
func (e Entry) May(namespace string, at time.Time) error {
	no := func(why Reason) error {
		return &Denial{Reason: why, Fingerprint: e.Fingerprint, Namespace: namespace, At: at, Entry: e}
	}
	switch {
	case !slices.Contains(e.Namespaces, namespace):
		return no(RoleNotGiven)
	case !e.ValidAfter.IsZero() && at.Unix() < e.ValidAfter.Unix():
		return no(NotYetValid)
	case !e.ValidBefore.IsZero() && at.Unix() > e.ValidBefore.Unix():
		return no(Expired)
	}
	return nil
}

// AllRoles reports that the entry holds every role.
func (e Entry) AllRoles() bool {
	return !slices.ContainsFunc(seal.Namespaces(), func(n string) bool { return !slices.Contains(e.Namespaces, n) })
}

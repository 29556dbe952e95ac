package audit

// The rule of this file: a countersignature is a signed statement of who saw which record, and when. It is two files
// beside the record:
//
//	record.jsonl.countersign-1        the statement, seven lines
//	record.jsonl.countersign-1.sig    its signature, in the namespace of those who may close jobs
//
//	fenderside countersignature
//	job 1f0c22aa-0007
//	record 6f1c…           hex SHA-256 of the record
//	signature 90d2…        hex SHA-256 of its signature file
//	by bryn@millbrook.example
//	key SHA256:…
//	at 2026-03-14T12:00:00Z
//
// It can lend weight to a record and never takes any away: a bad one deserves a look, for anybody can put a file there.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/crypto/ssh"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/store"
)

// countersig is what a countersignature states.
type countersig struct {
	Job       string
	Record    string
	Signature string
	By        runner.Person
	At        time.Time
}

// countersigFiles are the two files of one countersignature.
type countersigFiles struct {
	name      string
	statement content
	signature content
}

const countersignMark = ".countersign-"

func (s countersig) text() string {
	return "fenderside countersignature\njob " + s.Job + "\nrecord " + s.Record + "\nsignature " + s.Signature +
		"\nby " + s.By.Name + "\nkey " + s.By.Fingerprint + "\nat " + s.At.UTC().Format(time.RFC3339) + "\n"
}

// parseCountersig reads a statement, which must be written exactly as text writes it.
func parseCountersig(text string) (s countersig, err error) {
	wrong := errors.New("it is not written as this program writes a countersignature")
	lines := strings.Split(text, "\n")
	if len(lines) != 8 {
		return s, wrong
	}
	value := func(i int, name string) string { return strings.TrimPrefix(lines[i], name+" ") }
	s = countersig{Job: value(1, "job"), Record: value(2, "record"), Signature: value(3, "signature"),
		By: runner.Person{Name: value(4, "by"), Fingerprint: value(5, "key")}}
	if s.At, err = time.Parse(time.RFC3339, value(6, "at")); err != nil || s.text() != text {
		return s, wrong
	}
	return s, nil
}

// Countersign adds a person's countersignature to a record, in its folder, and returns the path of the signature. The
// person says with it that at that time they saw this record with this signature. The record's own signature must hold,
// and must be another key's.
func Countersign(recordDir string, by runner.Person, signer ssh.Signer, at time.Time) (string, error) {
	f := load(filepath.Join(recordDir, store.RecordFile))
	s := countersig{By: by, At: at.UTC().Truncate(time.Second)}
	if err := s.about(f, signer); err != nil {
		return "", fmt.Errorf("countersign %q: %w", recordDir, err)
	}
	sig, err := seal.Sign(signer, seal.Record, []byte(s.text()))
	if err != nil {
		return "", fmt.Errorf("countersign %q: %w", recordDir, err)
	}
	for n := 1; ; n++ {
		path := fmt.Sprintf("%s%s%d", f.path, countersignMark, n)
		if taken(path) || taken(path+signatureEnding) {
			continue
		}
		if err := journal.WriteFileDurably(path, []byte(s.text()), 0o600); err != nil {
			return "", fmt.Errorf("countersign %q: %w", recordDir, err)
		}
		return path + signatureEnding, journal.WriteFileDurably(path+signatureEnding, []byte(sig), 0o600)
	}
}

// about fills in which record is meant.
func (s *countersig) about(f files, signer ssh.Signer) error {
	if err := errors.Join(f.record.err, f.signature.err); err != nil {
		return fmt.Errorf("%w: name the folder of a signed record", err)
	}
	sig, err := seal.Verify(string(f.signature.data), seal.Record, f.record.data)
	if err != nil {
		return fmt.Errorf("its own signature does not hold: %w", err)
	}
	if err := plaintext.Check(s.By.Name); err != nil {
		return fmt.Errorf("the name %q: %w", s.By.Name, err)
	}
	switch got := seal.Fingerprint(signer.PublicKey()); {
	case got != s.By.Fingerprint:
		return fmt.Errorf("key %s is not that of %s: use key %s", got, s.By.Name, s.By.Fingerprint)
	case got == sig.Fingerprint():
		return fmt.Errorf("key %s closed this job itself: somebody else countersigns", got)
	}
	lines, err := journal.Read(f.record.data)
	if err != nil {
		return err
	}
	first, err := record.Decode(lines[0])
	if err != nil || first.Open == nil {
		return fmt.Errorf("its first line opens no job: audit it first")
	}
	s.Job, s.Record, s.Signature = first.Open.Job, record.Digest(f.record.data), record.Digest(f.signature.data)
	return nil
}

func taken(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// loadCountersigs reads the countersignatures beside a record, in the order of their names.
func loadCountersigs(path string) []countersigFiles {
	entries, _ := os.ReadDir(filepath.Dir(path))
	var out []countersigFiles
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), signatureEnding)
		if !ok || !strings.HasPrefix(name, filepath.Base(path)+countersignMark) {
			continue
		}
		at := filepath.Join(filepath.Dir(path), name)
		out = append(out, countersigFiles{name: name, statement: read(at, largestSmall), signature: read(at+signatureEnding, largestSmall)})
	}
	return out
}

// countersignatures lists those that hold and whose key may close jobs on the auditor's roster.
func (a auditor) countersignatures(c *examined, f files) []countersig {
	var out []countersig
	for _, one := range f.countersig {
		s, err := a.countersignature(c, f, one)
		if err != nil {
			c.look(0, "the file was copied to the wrong record, or damaged on the way", "leave it aside, or have the record countersigned again",
				"the countersignature %q does not count: %v", one.name, err)
			continue
		}
		c.Signatures = append(c.Signatures, Signature{Who: s.By.Name, Fingerprint: s.By.Fingerprint, Namespace: seal.Record,
			Meaning: "countersigned the record", At: s.At, Good: true})
		out = append(out, s)
	}
	return out
}

func (a auditor) countersignature(c *examined, f files, one countersigFiles) (countersig, error) {
	if err := errors.Join(one.statement.err, one.signature.err); err != nil {
		return countersig{}, err
	}
	s, err := parseCountersig(string(one.statement.data))
	if err != nil {
		return s, err
	}
	sig, err := seal.Verify(string(one.signature.data), seal.Record, one.statement.data)
	if err != nil {
		return s, err
	}
	switch {
	case sig.Fingerprint() != s.By.Fingerprint:
		return s, fmt.Errorf("it names key %s and key %s signed it", s.By.Fingerprint, sig.Fingerprint())
	case s.Record != c.Digest || s.Signature != record.Digest(f.signature.data) || s.Job != c.Job:
		return s, errors.New("it is for another record")
	case s.By.Fingerprint == c.By.Fingerprint:
		return s, errors.New("the key that closed the job gave it")
	case s.At.Before(c.Closed.Truncate(time.Second)):
		return s, errors.New("it says that it was given before the job was closed")
	case a.revoked.Has(sig.Key):
		return s, errors.New("its key is on the revocation list")
	}
	return s, a.vouches(s)
}

// vouches holds a countersigning key to the roster, at the time it states and now: a key past its date can state any time.
func (a auditor) vouches(s countersig) error {
	entry, err := a.may(s.By, seal.Record, s.At)
	if err == nil && !entry.ValidBefore.IsZero() {
		err = entry.May(seal.Record, latest(a.now, s.At))
	}
	return err
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// covered says whether one of the countersignatures was given no later than a time.
func covered(counters []countersig, until time.Time) bool {
	for _, s := range counters {
		if s.At.Unix() <= until.Unix() {
			return true
		}
	}
	return false
}

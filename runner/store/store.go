// Package store is where one laptop keeps its jobs: a folder with a random id of its own, so that jobs and records of two
// laptops are never taken for each other.
//
//	store.json              the store's id, how many jobs were opened in it, and the head of each key's chain of records
//	open/JOB/journal.jsonl  a job that is open, or sealed and not signed yet
//	records/JOB/record.jsonl, record.jsonl.sig, roster, evidence/
//
// Jobs are numbered when they are opened, and a record is linked to the same key's record before it when it is sealed,
// both under a lock of the store. A record that is removed leaves a hole in that chain. Removed records at its end show
// only against a head that somebody keeps elsewhere.
package store

import (
	"cmp"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/rogpeppe/go-internal/lockedfile"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
)

// Names of the files of a job.
const (
	JournalFile     = "journal.jsonl"
	RecordFile      = "record.jsonl"
	SignatureEnding = ".sig" // what the signature's name has after the name of what it covers
	SignatureFile   = RecordFile + SignatureEnding
	RosterFile      = "roster"
	TagFile         = "do-not-start.txt"
	EvidenceDir     = "evidence"
)

// Store is a folder of jobs.
type Store struct {
	root string
	id   string
}

// book is store.json. Chains holds, for each key's fingerprint, its last record's number and digest.
type book struct {
	Store  string          `json:"store"`
	Jobs   int             `json:"jobs"`
	Chains map[string]head `json:"chains"`
}

type head struct {
	Number int    `json:"number"`
	Digest string `json:"digest"`
}

// Open opens the store in a folder, and makes it on first use.
func Open(root string) (*Store, error) {
	abs, err := filepath.Abs(root)
	if err != nil {
		return nil, fmt.Errorf("open the store %q: %w", root, err)
	}
	s := &Store{root: abs}
	for _, dir := range []string{abs, s.path("open"), s.path("records")} {
		if err := makeFolder(dir); err != nil {
			return nil, fmt.Errorf("make the folder %q for jobs: %w; choose another with --store", dir, err)
		}
	}
	return s, s.locked(func(b *book) error { s.id = b.Store; return s.moveFinished() })
}

// makeFolder makes a folder whose name is on disk when it returns.
func makeFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	return journal.SyncFolder(filepath.Dir(dir))
}

// ID is the store's random id.
func (s *Store) ID() string { return s.id }

func (s *Store) path(parts ...string) string {
	return filepath.Join(append([]string{s.root}, parts...)...)
}

// locked reads the book under the store's lock, lets f change it, and writes it back where it changed.
func (s *Store) locked(f func(*book) error) error {
	unlock, err := lockedfile.MutexAt(s.path("lock")).Lock()
	if err != nil {
		return fmt.Errorf("lock the store %q: %w", s.root, err)
	}
	defer unlock()
	b, old, err := s.read()
	if err != nil {
		return err
	}
	if err := f(b); err != nil {
		return err
	}
	data, err := json.MarshalIndent(b, "", "  ")
	if err != nil {
		return fmt.Errorf("write store.json: %w", err)
	}
	if data = append(data, '\n'); string(data) == string(old) {
		return nil
	}
	return journal.WriteFileDurably(s.path("store.json"), data, 0o600)
}

func (s *Store) read() (*book, []byte, error) {
	b := &book{Chains: map[string]head{}}
	data, err := os.ReadFile(s.path("store.json"))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		id := make([]byte, 4)
		if _, err := rand.Read(id); err != nil {
			return nil, nil, fmt.Errorf("make an id for the store: %w", err)
		}
		b.Store = hex.EncodeToString(id)
		return b, nil, nil
	case err != nil:
		return nil, nil, fmt.Errorf("read %q: %w", s.path("store.json"), err)
	}
	if err := json.Unmarshal(data, b); err != nil || b.Store == "" {
		return nil, nil, fmt.Errorf("read %q: it is not a store's book; restore it from a backup, or begin a new store with --store", s.path("store.json"))
	}
	return b, data, nil
}

// NewJob numbers a job and makes its folder.
func (s *Store) NewJob() (number int, id, dir string, err error) {
	err = s.locked(func(b *book) error {
		b.Jobs++
		number, id = b.Jobs, fmt.Sprintf("%s-%04d", b.Store, b.Jobs)
		return nil
	})
	if err != nil {
		return 0, "", "", err
	}
	dir = s.path("open", id)
	if err := makeFolder(dir); err != nil {
		return 0, "", "", fmt.Errorf("make the folder of job %s: %w", id, err)
	}
	return number, id, dir, nil
}

// Next is the place that a key's next record has in its chain.
func (s *Store) Next(fingerprint string) (link runner.Link, err error) {
	err = s.locked(func(b *book) error {
		if err := s.catchUp(b); err != nil {
			return err
		}
		link = b.next(fingerprint)
		return nil
	})
	return link, err
}

func (b *book) next(fingerprint string) runner.Link {
	h := b.Chains[fingerprint]
	return runner.Link{Number: h.Number + 1, Previous: h.Digest}
}

// Seal gives seal the next link of a key's chain, under the lock. When seal returns the digest of the sealed record, the
// chain moves on.
func (s *Store) Seal(fingerprint string, seal func(runner.Link) (digest string, err error)) error {
	return s.locked(func(b *book) error {
		if err := s.catchUp(b); err != nil {
			return err
		}
		link := b.next(fingerprint)
		digest, err := seal(link)
		if err != nil {
			return err
		}
		b.Chains[fingerprint] = head{Number: link.Number, Digest: digest}
		return nil
	})
}

// catchUp moves chains on for jobs that were sealed just before a crash, so that no number is given twice.
func (s *Store) catchUp(b *book) error {
	folders, err := s.folders("open")
	if err != nil {
		return err
	}
	for _, id := range folders {
		data, err := os.ReadFile(s.path("open", id, JournalFile))
		if err != nil {
			continue // it never began, or is being made
		}
		sealed, ok := sealOf(data)
		if ok && sealed.Chain.Number > b.Chains[sealed.By.Fingerprint].Number {
			b.Chains[sealed.By.Fingerprint] = head{Number: sealed.Chain.Number, Digest: record.Digest(data)}
		}
	}
	return nil
}

// sealOf finds the sealing in the last line of a journal.
func sealOf(data []byte) (runner.Sealed, bool) {
	lines, err := journal.Read(data)
	if err != nil || len(lines) < 2 {
		return runner.Sealed{}, false
	}
	last, err := record.Decode(lines[len(lines)-1])
	if err != nil || len(last.Events) == 0 {
		return runner.Sealed{}, false
	}
	for _, e := range last.Events {
		if sealed, ok := e.(runner.Sealed); ok {
			return sealed, true
		}
	}
	return runner.Sealed{}, false
}

// Finish moves a signed job from the open jobs to the records and returns its folder there.
func (s *Store) Finish(id string) (string, error) {
	from := s.path("open", id)
	err := s.locked(func(*book) error { // so that nobody who opens the store meets the job half moved
		if err := journal.RenameDurably(filepath.Join(from, JournalFile), filepath.Join(from, RecordFile)); err != nil {
			return fmt.Errorf("finish the record of job %s: %w", id, err)
		}
		return s.move(id)
	})
	return s.path("records", id), err
}

func (s *Store) move(id string) error {
	to := s.path("records", id)
	if err := journal.RenameDurably(s.path("open", id), to); err != nil {
		return fmt.Errorf("move the record of job %s to %q: %w", id, to, err)
	}
	return nil
}

// moveFinished moves the jobs whose record had its name already when a crash came.
func (s *Store) moveFinished() error {
	open, err := s.OpenJobs()
	if err != nil {
		return err
	}
	for _, id := range open {
		if _, err := os.Stat(s.path("open", id, RecordFile)); err != nil {
			continue
		}
		if err := s.move(id); err != nil {
			return err
		}
	}
	return nil
}

// OpenJobs lists the ids of the jobs that are open, in order of opening.
func (s *Store) OpenJobs() ([]string, error) { return s.folders("open") }

// Records lists the ids of the finished records, in order of opening.
func (s *Store) Records() ([]string, error) { return s.folders("records") }

// JobDir is the folder of an open job.
func (s *Store) JobDir(id string) string { return s.path("open", id) }

// RecordDir is the folder of a record.
func (s *Store) RecordDir(id string) string { return s.path("records", id) }

func (s *Store) folders(kind string) ([]string, error) {
	entries, err := os.ReadDir(s.path(kind))
	if err != nil {
		return nil, fmt.Errorf("list %q: %w", s.path(kind), err)
	}
	var out []string
	for _, e := range entries {
		if e.IsDir() {
			out = append(out, e.Name())
		}
	}
	slices.SortFunc(out, func(a, b string) int { // a number may outgrow its four digits
		return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
	})
	return out, nil
}

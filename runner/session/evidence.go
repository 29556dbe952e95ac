package session

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"fenderside/checks"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/store"
)

// LargestEvidence is how many bytes one piece of evidence may have.
const LargestEvidence = 64 << 20

// Attach binds a photo or file to a step by its digest, and keeps a copy beside the journal.
func (s *Session) Attach(step, item, path string) (runner.Decision, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: there is no such file: check the path, or drop the file here", path)
	}
	if err != nil {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: %w: check the path", path, err)
	}
	if !info.Mode().IsRegular() || info.Size() > LargestEvidence {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: it must be a plain file of at most %d MiB", path, LargestEvidence>>20)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: %w", path, err)
	}
	sum := sha256.Sum256(data)
	file := runner.File{Name: filepath.Base(path), SHA256: hex.EncodeToString(sum[:]), Size: int64(len(data)),
		Modified: info.ModTime().UTC().Format(time.RFC3339)}
	dir := filepath.Join(filepath.Dir(s.journal.Path()), store.EvidenceDir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: %w", path, err)
	}
	copyTo := filepath.Join(dir, record.CopyName(file))
	if err := journal.WriteFileDurably(copyTo, data, 0o600); err != nil {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: %w", path, err)
	}
	return s.Do(runner.Attach{Step: step, Item: item, File: file})
}

// attached gives an attached file to the core, from the copy beside the journal. A copy that was lost or changed since is
// none: what rests on it is not judged from anything else.
func (s *Session) attached(f runner.File) (checks.Data, bool) {
	path := s.copyOf(f)
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() != f.Size {
		return checks.Data{}, false
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return checks.Data{}, false
	}
	return record.Copy(f, data)
}

// copyOf is where the copy of an attached file lies.
func (s *Session) copyOf(f runner.File) string {
	return filepath.Join(filepath.Dir(s.journal.Path()), store.EvidenceDir, record.CopyName(f))
}

// Astray is an attached file whose copy is not there any more, or is not that file any more. What was judged from it stands;
// whoever goes on is to know it before the audit says it.
type Astray struct {
	Step, Item string
	File       runner.File
	Check      string // that judged it; empty where none does
	Copy       string // where the copy belongs
	Changed    bool   // something else lies there
}

// look is what a copy was found to be when it had this size and time.
type look struct {
	size     int64
	modified time.Time
	whole    bool
}

// Astray looks at the copies of all files that were attached, in the order in which they were.
func (s *Session) Astray() (out []Astray) {
	s.mu.Lock()
	defer s.mu.Unlock()
	told := map[string]bool{}
	for _, l := range s.lines {
		for _, e := range l.Events {
			e, ok := e.(runner.Attached)
			if !ok || told[e.Item+e.File.SHA256] {
				continue
			}
			told[e.Item+e.File.SHA256] = true // one copy may serve two items, and each is told
			if whole, there := s.whole(e.File); !whole {
				out = append(out, Astray{Step: e.Step, Item: e.Item, File: e.File, Check: record.Judging(s.job.Procedure, e.Item),
					Copy: s.copyOf(e.File), Changed: there})
			}
		}
	}
	return out
}

// whole says whether a copy is the file that was attached, and whether anything lies there. A copy is read again only where its
// size or its time is another than when it was read last.
func (s *Session) whole(f runner.File) (whole, there bool) {
	info, err := os.Stat(s.copyOf(f))
	if err != nil {
		return false, !errors.Is(err, fs.ErrNotExist)
	}
	was, seen := s.looked[f.SHA256]
	if !seen || was.size != info.Size() || !was.modified.Equal(info.ModTime()) {
		_, is := s.attached(f)
		was = look{info.Size(), info.ModTime(), is}
		if s.looked == nil {
			s.looked = map[string]look{}
		}
		s.looked[f.SHA256] = was
	}
	return was.whole, true
}

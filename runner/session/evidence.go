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
	path := filepath.Join(filepath.Dir(s.journal.Path()), store.EvidenceDir, record.CopyName(f))
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

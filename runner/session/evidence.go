package session

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/store"
)

// LargestEvidence is how many bytes one piece of evidence may have.
const LargestEvidence = 64 << 20

// Attach binds a photo or file to a step by its digest, and keeps a copy beside the journal.
func (s *Session) Attach(step, item, path string) (runner.Decision, error) {
	info, err := os.Stat(path)
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
	copyTo := filepath.Join(dir, file.SHA256[:16]+filepath.Ext(file.Name))
	if err := journal.WriteFileDurably(copyTo, data, 0o600); err != nil {
		return runner.Decision{State: s.State()}, fmt.Errorf("attach %q: %w", path, err)
	}
	return s.Do(runner.Attach{Step: step, Item: item, File: file})
}

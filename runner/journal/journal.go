package journal

// The rule of this file: an append is acknowledged only after it is durable.
// Encode whole, one write, check the count, sync, and only then return nil.
// After any write or sync error the handle is poisoned for good; a sync is
// never tried twice, because a kernel may drop the unwritten pages at the
// first failure and report the second sync as done.

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
)

// ErrPoisoned marks the error of the append that failed on the disk, and of
// every append after it on the same handle.
var ErrPoisoned = errors.New("the job must be closed and reopened from disk")

// errClosed is returned by appends on a closed handle.
var errClosed = errors.New("the journal is closed: reopen the job to go on")

// handle is what a journal needs of its open file; tests put failing disks
// behind it.
type handle interface {
	io.Reader
	io.Writer
	io.WriterAt
	Truncate(size int64) error
	Sync() error
	Stat() (fs.FileInfo, error)
	Close() error
}

// Journal is one job's open file, held under a lock that dies with the
// process. Its methods may be called from several goroutines.
type Journal struct {
	mu     sync.Mutex
	path   string
	file   handle
	lock   *lock
	head   string // digest of the last line, Genesis before the first
	count  int    // lines
	size   int64  // bytes that were acknowledged
	broken error  // why no more is written
}

// Create makes a new, empty journal at path, takes the job's lock and syncs
// the folder. The folder must be there and its own name already synced into
// its parent. The error is ErrInUse when another process holds the job and
// fs.ErrExist when there is a file at path.
func Create(path string) (*Journal, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("create the journal %q: %w", path, err)
	}
	held, err := acquire(path)
	if err != nil {
		return nil, err
	}
	file, err := createSynced(path)
	if err != nil {
		held.release()
		return nil, fmt.Errorf("create the journal %q, choose a new folder for a new job: %w", path, err)
	}
	return &Journal{path: path, file: file, lock: held, head: Genesis}, nil
}

// createSynced makes the file at path, which must not be there, and syncs
// its name into its folder.
func createSynced(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	if err := SyncFolder(filepath.Dir(path)); err != nil {
		return nil, errors.Join(err, file.Close(), os.Remove(path))
	}
	return file, nil
}

// Head returns the digest of the last line, which the next line must name in
// its "prev"; Genesis before the first.
func (j *Journal) Head() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.head
}

// Len returns how many lines the journal holds.
func (j *Journal) Len() int {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.count
}

// Path returns the absolute path of the file.
func (j *Journal) Path() string { return j.path }

// Append writes line, given without its LF, and returns nil only once it is
// on disk. A line that does not follow Head, or that passes a limit, is
// refused and nothing is written. Any error from the disk is marked
// ErrPoisoned and ends the use of this handle: whether that line survives is
// known only by reopening.
func (j *Journal) Append(line []byte) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.broken != nil {
		return fmt.Errorf("append line %d to %q: %w", j.count+1, j.path, j.broken)
	}
	if err := j.refuse(line); err != nil {
		return fmt.Errorf("append line %d to %q: %w", j.count+1, j.path, err)
	}
	if err := j.write(line); err != nil {
		j.broken = fmt.Errorf("%w: %w", ErrPoisoned, err)
		return fmt.Errorf("append line %d to %q: %w", j.count+1, j.path, j.broken)
	}
	j.head, j.count, j.size = Digest(line), j.count+1, j.size+int64(len(line))+1
	return nil
}

// refuse says why line may not be the next one.
func (j *Journal) refuse(line []byte) error {
	if what := unsound(line, j.head); what != "" {
		return fmt.Errorf("the line %s: build it on the present head and append again", what)
	}
	if j.size+int64(len(line))+1 > MaxSize {
		return fmt.Errorf("the file would pass %d bytes: go on in a successor job", MaxSize)
	}
	return nil
}

// write puts line on disk as one write and one sync.
func (j *Journal) write(line []byte) error {
	if err := j.undisturbed(); err != nil {
		return err
	}
	whole := make([]byte, 0, len(line)+1)
	whole = append(append(whole, line...), '\n')
	n, err := j.file.Write(whole)
	if err == nil && n != len(whole) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("wrote %d of %d bytes: %w", n, len(whole), err)
	}
	if err := j.file.Sync(); err != nil {
		return fmt.Errorf("sync to disk: %w", err)
	}
	return nil
}

// undisturbed checks that the path still leads to the open file and that
// nobody else has written to it: a line synced into a file that was moved
// away or replaced is not kept.
func (j *Journal) undisturbed() error {
	open, err := j.file.Stat()
	if err != nil {
		return err
	}
	named, err := os.Stat(j.path)
	if err != nil {
		return fmt.Errorf("the file was moved or removed: %w", err)
	}
	if !os.SameFile(open, named) {
		return errors.New("another file was put in its place")
	}
	if open.Size() != j.size {
		return fmt.Errorf("the file has %d bytes where this process left %d", open.Size(), j.size)
	}
	return nil
}

// Close closes the file and gives the job's lock back. Closing twice is
// harmless.
func (j *Journal) Close() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.lock == nil {
		return nil
	}
	err := errors.Join(j.file.Close(), j.lock.release())
	j.lock, j.broken = nil, errClosed
	if err != nil {
		return fmt.Errorf("close the journal %q: %w", j.path, err)
	}
	return nil
}

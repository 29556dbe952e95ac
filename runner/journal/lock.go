package journal

// The rule of this file: one process per job, held by a kernel lock that dies
// with the process, whatever way it ends. A process number written in a file
// would outlive a crash and could name a stranger after a restart.
//
// The lock is on an empty file of its own, path + ".lock", not on the journal:
// it holds while the journal is renamed or replaced by a finished record, and
// nobody opens or closes that file for another reason. It is never removed,
// for whoever had opened it just before would then lock a file without a name.
// Should a person remove it while a job is open, a second process gets in; the
// first append of either is then noticed by the other, which stops.

import (
	"errors"
	"fmt"
	"os"
)

// ErrInUse marks the error when another process, or another handle in this
// one, holds the job.
var ErrInUse = errors.New("the job is open in another window or process: close it there first")

// lockTries bounds how often a lock file that was swapped while it was being
// locked is opened again.
const lockTries = 10

type lock struct{ file *os.File }

// acquire takes the lock of the journal at path without waiting.
func acquire(path string) (*lock, error) {
	name := path + ".lock"
	for range lockTries {
		held, err := tryLock(name)
		if err != nil {
			return nil, fmt.Errorf("lock the job of %q: %w", path, err)
		}
		if held != nil {
			return held, nil
		}
	}
	return nil, fmt.Errorf("lock the job of %q: the lock file keeps being replaced: stop what removes it", path)
}

// tryLock opens and locks the file called name, making it if need be. Without
// an error it may still return nil, when the file was swapped meanwhile.
func tryLock(name string) (*lock, error) {
	file, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	return lockOpened(file, name)
}

// lockOpened locks the open file. It returns nil, nil when that file no
// longer has the name: whoever opens the name now would get another one.
func lockOpened(file *os.File, name string) (*lock, error) {
	if err := lockHandle(file); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	opened, err := file.Stat()
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	named, err := os.Stat(name)
	if err != nil || !os.SameFile(opened, named) {
		return nil, file.Close()
	}
	return &lock{file: file}, nil
}

// release gives the lock back by closing the file that carries it.
func (l *lock) release() error { return l.file.Close() }

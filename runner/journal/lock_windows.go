package journal

// The rule of this file: the lock belongs to the handle, so the kernel gives
// it back when the process ends, however it ends.

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockHandle takes an exclusive lock on the first byte of the open file,
// without waiting.
func lockHandle(file *os.File) error {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(file.Fd()), flags, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return ErrInUse
	}
	return err
}

//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

// The rule of this file: the lock belongs to the open file, so the kernel
// gives it back when the process ends, however it ends.

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lockHandle takes an exclusive lock on the open file, without waiting.
func lockHandle(file *os.File) error {
	for {
		err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		switch {
		case errors.Is(err, unix.EINTR):
			continue
		case errors.Is(err, unix.EWOULDBLOCK):
			return ErrInUse
		}
		return err
	}
}

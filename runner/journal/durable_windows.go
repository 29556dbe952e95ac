package journal

// The rule of this file: a name is durable once its move was written through.

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// syncFolder only checks that dir is a folder: the system has no documented
// way to flush one. The file system's own log keeps the order of name changes.
func syncFolder(dir string) error {
	info, err := os.Stat(dir)
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return errors.New("it is no folder")
	}
	return nil
}

// rename moves with write-through, so that the call returns only after the
// move is on disk.
func rename(oldPath, newPath string) error {
	from, err := windows.UTF16PtrFromString(oldPath)
	if err != nil {
		return &os.LinkError{Op: "rename", Old: oldPath, New: newPath, Err: err}
	}
	to, err := windows.UTF16PtrFromString(newPath)
	if err != nil {
		return &os.LinkError{Op: "rename", Old: oldPath, New: newPath, Err: err}
	}
	err = windows.MoveFileEx(from, to, windows.MOVEFILE_REPLACE_EXISTING|windows.MOVEFILE_WRITE_THROUGH)
	if err != nil {
		return &os.LinkError{Op: "rename", Old: oldPath, New: newPath, Err: err}
	}
	return nil
}

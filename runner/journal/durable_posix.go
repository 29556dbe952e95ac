//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

// The rule of this file: a name is durable once the folder that holds it was
// synced.

import (
	"errors"
	"os"
)

// syncFolder syncs dir through a handle of its own.
func syncFolder(dir string) error {
	folder, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(syncOpenFolder(folder), folder.Close())
}

// syncOpenFolder refuses a plain file, whose sync would succeed and mean
// nothing.
func syncOpenFolder(folder *os.File) error {
	info, err := folder.Stat()
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return errors.New("it is no folder")
	}
	return folder.Sync()
}

func rename(oldPath, newPath string) error { return os.Rename(oldPath, newPath) }

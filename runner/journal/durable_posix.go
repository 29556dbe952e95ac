//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

import (
	"errors"
	"os"
)

// syncFolder syncs dir through a handle of its own. A trailing slash would
// refuse a plain file at open; the check here says so in words.
func syncFolder(dir string) error {
	folder, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(syncOpenFolder(folder), folder.Close())
}

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

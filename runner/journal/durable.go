package journal

// The rule of this file: a file is finished by writing a temporary one beside
// it, syncing it, renaming it into place and syncing the folder. After a
// crash the old content is there or the new, whole.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// WriteFileDurably puts data at path with exactly the permissions perm,
// replacing what was there, and returns nil only once content and name are
// on disk. After a crash a hidden file ".<name>.<digits>.tmp" may be left in
// the folder; it can be deleted.
func WriteFileDurably(path string, data []byte, perm fs.FileMode) error {
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.tmp")
	if err != nil {
		return fmt.Errorf("write %q: %w", path, err)
	}
	err = fill(temp, data, perm)
	if err == nil {
		err = RenameDurably(temp.Name(), path)
	}
	if err != nil {
		os.Remove(temp.Name()) // not there any more if only the folder's sync failed
		return fmt.Errorf("write %q: %w", path, err)
	}
	return nil
}

// fill writes, syncs and closes temp.
func fill(temp *os.File, data []byte, perm fs.FileMode) error {
	_, err := temp.Write(data)
	if err == nil {
		err = temp.Chmod(perm)
	}
	if err == nil {
		err = temp.Sync()
	}
	return errors.Join(err, temp.Close())
}

// RenameDurably gives the file at oldPath the name newPath on the same
// volume, replacing what was there, and syncs the folders of both names. The
// content must have been synced before.
func RenameDurably(oldPath, newPath string) error {
	if err := rename(oldPath, newPath); err != nil {
		return err
	}
	to, from := filepath.Dir(newPath), filepath.Dir(oldPath)
	if err := SyncFolder(to); err != nil {
		return err
	}
	if from == to {
		return nil
	}
	return SyncFolder(from)
}

// SyncFolder makes the names in the folder dir durable: what was created,
// renamed or removed there stays so after a power loss. Windows offers no
// such call for a folder; there it only checks that dir is one, and renames
// are written through instead.
func SyncFolder(dir string) error {
	if err := syncFolder(dir); err != nil {
		return fmt.Errorf("sync the folder %q, use a local disk: %w", dir, err)
	}
	return nil
}

//go:build unix

package keys

// The rule kept here: a name is durable only when its folder is synced.

import (
	"errors"
	"os"
)

func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

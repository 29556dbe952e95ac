package keys

// The rule kept here: a new key is whole on disk before anyone relies on it,
// and never takes the place of an older one.

import (
	"crypto/ed25519"
	"crypto/rand"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/crypto/ssh"

	"fenderside/runner/roster"
)

// Create makes an Ed25519 key for a person and writes it in OpenSSH's format:
// the private half to path (mode 0600), the public half to path + ".pub". An
// empty passphrase leaves the private half unprotected; such a key cannot
// witness. The passphrase is wiped. Missing folders are made (mode 0700). If
// either file is there already nothing is written and the error wraps
// ErrExists.
func Create(path, principal string, passphrase []byte) (ssh.PublicKey, error) {
	defer clear(passphrase)
	secret, public, err := generate(principal)
	if err != nil {
		return nil, fmt.Errorf("make a key for %q: %w", principal, err)
	}
	defer clear(secret)
	text, err := private(secret, principal, passphrase)
	if err != nil {
		return nil, fmt.Errorf("make a key for %q: %w", principal, err)
	}
	defer clear(text)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("make a key for %q: %w: choose a folder you may write to", principal, err)
	}
	line := strings.TrimSuffix(string(ssh.MarshalAuthorizedKey(public)), "\n") + " " + principal + "\n"
	return public, writePair(path, text, []byte(line))
}

// generate makes the key pair, for a principal that a roster can hold.
func generate(principal string) (ed25519.PrivateKey, ssh.PublicKey, error) {
	pub, secret, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	public, err := ssh.NewPublicKey(pub)
	if err != nil {
		return nil, nil, err
	}
	_, err = roster.Line(principal, public, nil, principal)
	return secret, public, err
}

// private returns the private key file's text.
func private(secret ed25519.PrivateKey, comment string, passphrase []byte) ([]byte, error) {
	var block *pem.Block
	var err error
	if len(passphrase) == 0 {
		block, err = ssh.MarshalPrivateKey(secret, comment)
	} else {
		block, err = ssh.MarshalPrivateKeyWithPassphrase(secret, comment, passphrase)
	}
	if err != nil {
		return nil, err
	}
	return pem.EncodeToMemory(block), nil
}

// writePair writes both files or neither.
func writePair(path string, secret, public []byte) error {
	if err := writeNew(path, secret, 0o600); err != nil {
		return err
	}
	if err := writeNew(path+".pub", public, 0o644); err != nil {
		return errors.Join(err, os.Remove(path), syncFolder(filepath.Dir(path)))
	}
	return nil
}

// writeNew puts a whole, synced file at path, where none may stand. An empty
// file takes the name first, so that two writers cannot both have it.
func writeNew(path string, data []byte, mode fs.FileMode) error {
	held, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("write key file %q: %w: choose another path, or move the old key away first", path, ErrExists)
	}
	if err != nil {
		return fmt.Errorf("write key file: %w: choose a folder you may write to", err)
	}
	if err := errors.Join(held.Close(), replace(path, data, mode)); err != nil {
		return errors.Join(fmt.Errorf("write key file: %w: free some space or choose another folder, and try again", err), os.Remove(path))
	}
	return nil
}

// replace writes a temporary file beside path, syncs it, renames it to path
// and syncs the folder.
func replace(path string, data []byte, mode fs.FileMode) error {
	tmp, err := os.CreateTemp(filepath.Dir(path), ".new-key-*")
	if err != nil {
		return err
	}
	err = errors.Join(fill(tmp, data, mode), tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(tmp.Name()))
	}
	return syncFolder(filepath.Dir(path))
}

func fill(f *os.File, data []byte, mode fs.FileMode) error {
	if err := f.Chmod(mode); err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		return err
	}
	return f.Sync()
}

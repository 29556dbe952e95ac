// Package keys finds, opens and makes the keys that people sign with: OpenSSH
// private key files, and keys held by an ssh-agent, security keys among them.
//
// The rule kept here: a key is opened only by its owner being there. A
// passphrase is asked for through a function the caller gives, is wiped from
// memory after use, and is never stored; a witness gives it afresh for every
// signature, or touches a security key.
package keys

import (
	"crypto/ed25519"
	"errors"
	"fmt"

	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
)

// Ask puts a prompt before the person and returns what was typed, without its
// line end. The caller of Ask wipes the answer. An error means that the person
// gave up or that there is nobody to ask.
type Ask func(prompt string) ([]byte, error)

// Tries is how often a passphrase is asked for before the key is given up.
const Tries = 3

// The kinds of failure, for errors.Is.
var (
	// ErrPassphrase means that no passphrase given opened the key.
	ErrPassphrase = errors.New("wrong passphrase")
	// ErrNotFresh means that a key could sign without its owner being there,
	// so it is not good enough for a witness.
	ErrNotFresh = errors.New("a witness must be there for each signature")
	// ErrExists means that a key file is already there.
	ErrExists = errors.New("file already exists")
	// ErrNoAgent means that no ssh-agent can be reached.
	ErrNoAgent = errors.New("no ssh-agent can be reached")
	// ErrNoKey means that the agent does not hold the key.
	ErrNoKey = errors.New("the ssh-agent does not hold the key")
)

// FileSigner opens an OpenSSH private key file. If the key is protected, ask
// is called up to Tries times; ask may be nil when it is not.
func FileSigner(path string, ask Ask) (ssh.Signer, error) {
	f, err := readFile(path)
	if err != nil {
		return nil, err
	}
	raw, err := f.open(ask)
	if err != nil {
		return nil, err
	}
	return f.signer(raw)
}

// FreshSigner opens a key file for one witness signature. The file must be
// protected by a passphrase, which is asked for now; the signer signs once, and
// then forgets the key.
func FreshSigner(path string, ask Ask) (ssh.Signer, error) {
	f, err := readFile(path)
	if err != nil {
		return nil, err
	}
	if !f.locked {
		return nil, fmt.Errorf("open key file %q to witness: %w, and this key has no passphrase: give it one with: ssh-keygen -p -f %q", path, ErrNotFresh, path)
	}
	raw, err := f.open(ask)
	if err != nil {
		return nil, err
	}
	s, err := f.signer(raw)
	if err != nil {
		return nil, err
	}
	return &once{signer: s, forget: func() { wipe(raw) }}, nil
}

// PublicOf returns the public half of a private key file without opening it,
// and whether a passphrase protects it.
func PublicOf(path string) (key ssh.PublicKey, protected bool, err error) {
	f, err := readFile(path)
	if err != nil {
		return nil, false, err
	}
	return f.public, f.locked, nil
}

// wipe overwrites the secret part of a key as far as Go allows: fully for
// Ed25519, not at all for the big numbers of other kinds.
func wipe(raw any) {
	if k, ok := raw.(*ed25519.PrivateKey); ok {
		clear(*k)
	}
}

// usable returns an error that names the file when its key is of a kind that
// cannot sign here.
func usable(path string, key ssh.PublicKey) error {
	if err := seal.Supported(key); err != nil {
		return fmt.Errorf("open key file %q: %w", path, err)
	}
	return nil
}

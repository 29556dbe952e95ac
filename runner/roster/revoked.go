package roster

// The rule kept here: a revocation list is read whole or not at all, for a key
// that is missed would pass as good.

import (
	"bytes"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"golang.org/x/crypto/ssh"
)

// Revoked is a list of keys that are no longer trusted. It comes from the file
// that `ssh-keygen -Y verify -r` takes: public keys one a line (type, base64,
// comment), or the binary list that `ssh-keygen -k` makes. The zero value
// revokes nothing.
type Revoked struct {
	text   []byte
	keys   map[string]bool            // wire form of keys
	sha1   map[[sha1.Size]byte]bool   // of their wire form
	sha256 map[[sha256.Size]byte]bool // of their wire form
}

// ParseRevoked reads a revocation list in either form. The error of a plain
// list is Problems; that of a binary list says how to make a plain one.
func ParseRevoked(text []byte) (Revoked, error) { return ParseRevokedNamed("revoked", text) }

// ParseRevokedNamed is ParseRevoked with the file name that its errors are to
// show.
func ParseRevokedNamed(name string, text []byte) (Revoked, error) {
	r := Revoked{
		text: slices.Clone(text), keys: map[string]bool{},
		sha1: map[[sha1.Size]byte]bool{}, sha256: map[[sha256.Size]byte]bool{},
	}
	if bytes.HasPrefix(text, binaryMagic) {
		if err := r.readBinary(name, text[len(binaryMagic):]); err != nil {
			return Revoked{}, err
		}
		return r, nil
	}
	found := Problems{File: name}
	for _, l := range lines(text, &found) {
		if key := l.key(&found); key != nil {
			r.keys[string(key.Marshal())] = true
		}
	}
	if len(found.List) > 0 {
		return Revoked{}, found.sorted()
	}
	return r, nil
}

// Has reports that the list revokes the key.
func (r Revoked) Has(key ssh.PublicKey) bool {
	wire := key.Marshal()
	return r.keys[string(wire)] || r.sha1[sha1.Sum(wire)] || r.sha256[sha256.Sum256(wire)]
}

// Len returns how many revocations the list holds.
func (r Revoked) Len() int { return len(r.keys) + len(r.sha1) + len(r.sha256) }

// Digest returns the SHA-256 of the exact bytes that were parsed, in lower
// case hexadecimal.
func (r Revoked) Digest() string {
	sum := sha256.Sum256(r.text)
	return hex.EncodeToString(sum[:])
}

package seal

// The rule kept here: what parses re-encodes identically, so that nothing can
// ride along inside a signature unseen.

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/crypto/ssh"
)

// Signature is one parsed SSHSIG. It says what the text claims; only Verify
// says whether the claim is true.
type Signature struct {
	Key       ssh.PublicKey // the key that is said to have signed
	Namespace string        // what it was given for
	Hash      string        // "sha256" or "sha512"

	// Tidy is true when the text is, byte for byte, what ssh-keygen would
	// have written for these contents. A signature that is not tidy still
	// has OpenSSH's verdict; it carries something that nobody signed.
	Tidy bool

	SecurityKey bool   // the key lives in a hardware token
	Touched     bool   // the token says that somebody touched it
	Verified    bool   // the token says that it checked a PIN or a finger
	Counter     uint32 // the token's signature counter

	wire  wire
	inner *ssh.Signature
}

var magic = [6]byte{'S', 'S', 'H', 'S', 'I', 'G'}

// wire is the SSHSIG blob as OpenSSH's PROTOCOL.sshsig lays it out.
type wire struct {
	Magic     [6]byte
	Version   uint32
	Key       string
	Namespace string
	Reserved  string
	Hash      string
	Signature string
}

// innerWire is the signature inside the blob; Rest is a token's flags and
// counter, and empty for other keys.
type innerWire struct {
	Format string
	Blob   []byte
	Rest   []byte `ssh:"rest"`
}

// tokenWire is what a security key appends to its signature.
type tokenWire struct {
	Flags   byte
	Counter uint32
}

const (
	flagTouched  = 0x01
	flagVerified = 0x04
)

// Parse reads an armoured signature. Every error wraps ErrMalformed.
func Parse(armoured string) (Signature, error) {
	s, err := parse(armoured)
	if err != nil {
		return Signature{}, fmt.Errorf("read signature: %w", err)
	}
	s.Tidy = s.clean() && s.Armour() == armoured
	return s, nil
}

func parse(armoured string) (Signature, error) {
	blob, err := dearmour(armoured)
	if err != nil {
		return Signature{}, err
	}
	var w wire
	if err := ssh.Unmarshal(blob, &w); err != nil {
		return Signature{}, fmt.Errorf("%w: its fields cannot be read (%v); the file is cut short or is not a signature", ErrMalformed, err)
	}
	s := Signature{wire: w}
	for _, step := range []func() error{s.readHead, s.readKey, s.readInner} {
		if err := step(); err != nil {
			return Signature{}, err
		}
	}
	return s, nil
}

// Armour returns the signature as ssh-keygen would write it.
func (s Signature) Armour() string { return armour(ssh.Marshal(s.wire)) }

// Fingerprint returns the fingerprint of the key.
func (s Signature) Fingerprint() string { return Fingerprint(s.Key) }

// clean reports that the blob carries nothing beyond its meaning.
func (s Signature) clean() bool {
	return s.wire.Version == 1 && s.wire.Reserved == "" &&
		s.wire.Namespace == s.Namespace && s.wire.Hash == s.Hash &&
		bytes.Equal(ssh.Marshal(innerWire{s.inner.Format, s.inner.Blob, s.inner.Rest}), []byte(s.wire.Signature))
}

func (s *Signature) readHead() (err error) {
	if s.wire.Magic != magic {
		return fmt.Errorf("%w: it begins with %q where %q belongs", ErrMalformed, s.wire.Magic, magic)
	}
	if s.wire.Version > 1 {
		return fmt.Errorf("%w: its version is %d and 1 is the last one known; sign again with this release", ErrMalformed, s.wire.Version)
	}
	if s.Namespace, err = cString("namespace", s.wire.Namespace); err != nil {
		return err
	}
	if s.Namespace == "" {
		return fmt.Errorf("%w: its namespace is empty; sign again with one", ErrMalformed)
	}
	if s.Hash, err = cString("hash name", s.wire.Hash); err != nil {
		return err
	}
	if s.Hash != "sha256" && s.Hash != "sha512" {
		return fmt.Errorf("%w: its hash is %q; sign again with sha512", ErrMalformed, s.Hash)
	}
	return nil
}

func (s *Signature) readKey() error {
	key, err := ssh.ParsePublicKey([]byte(s.wire.Key))
	if err != nil {
		return fmt.Errorf("%w: its key cannot be read: %v", ErrMalformed, err)
	}
	if !bytes.Equal(key.Marshal(), []byte(s.wire.Key)) {
		return fmt.Errorf("%w: its key is not written in the canonical form", ErrMalformed)
	}
	if err := Supported(key); err != nil {
		return fmt.Errorf("%w: %v", ErrMalformed, err)
	}
	s.Key = key
	return nil
}

func (s *Signature) readInner() error {
	var in innerWire
	if err := ssh.Unmarshal([]byte(s.wire.Signature), &in); err != nil {
		return fmt.Errorf("%w: its inner signature cannot be read: %v", ErrMalformed, err)
	}
	format, err := cString("signature algorithm", in.Format)
	if err != nil {
		return err
	}
	if !slices.Contains(formats(s.Key.Type()), format) {
		return fmt.Errorf("%w: its algorithm is %q, and a key of type %q signs with %s",
			ErrMalformed, format, s.Key.Type(), strings.Join(formats(s.Key.Type()), " or "))
	}
	s.inner = &ssh.Signature{Format: format, Blob: in.Blob, Rest: in.Rest}
	return s.readToken(in.Rest)
}

// readToken reads what only a security key appends.
func (s *Signature) readToken(rest []byte) error {
	s.SecurityKey = IsSecurityKey(s.Key)
	if !s.SecurityKey {
		if len(rest) > 0 {
			return fmt.Errorf("%w: %d bytes follow its inner signature", ErrMalformed, len(rest))
		}
		return nil
	}
	var t tokenWire
	if err := ssh.Unmarshal(rest, &t); err != nil {
		return fmt.Errorf("%w: its security key flags cannot be read: %v", ErrMalformed, err)
	}
	s.Touched, s.Verified, s.Counter = t.Flags&flagTouched != 0, t.Flags&flagVerified != 0, t.Counter
	return nil
}

// cString reads a string field as OpenSSH does: one NUL may end it, none may
// stand inside.
func cString(what, s string) (string, error) {
	s = strings.TrimSuffix(s, "\x00")
	if strings.Contains(s, "\x00") {
		return "", fmt.Errorf("%w: its %s %q holds a NUL", ErrMalformed, what, s)
	}
	return s, nil
}

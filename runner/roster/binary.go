package roster

// The rule kept here: of OpenSSH's binary revocation list (PROTOCOL.krl) the
// parts that revoke plain keys are read, the part that revokes certificates is
// passed over because no certificate can sign, and anything else is refused.

import (
	"crypto/sha1"
	"crypto/sha256"
	"errors"
	"fmt"

	"golang.org/x/crypto/ssh"
)

// binaryMagic opens a binary list.
var binaryMagic = []byte("SSHKRL\n\x00")

// binaryHead follows the magic.
type binaryHead struct {
	Format   uint32
	Version  uint64
	Made     uint64
	Flags    uint64
	Reserved string
	Comment  string
	Rest     []byte `ssh:"rest"`
}

// binarySection is one part of the list, and what follows it.
type binarySection struct {
	Kind byte
	Data []byte
	Rest []byte `ssh:"rest"`
}

// binaryItem is one string of a section, and what follows it.
type binaryItem struct {
	Value []byte
	Rest  []byte `ssh:"rest"`
}

// The kinds of section.
const (
	certificates = 1
	explicitKeys = 2
	sha1Prints   = 3
	sha256Prints = 5
)

// readBinary reads what follows the magic.
func (r *Revoked) readBinary(name string, data []byte) error {
	fail := func(why error) error {
		return fmt.Errorf("read revocation list %q: %w: put the revoked public keys into a plain file instead, one .pub line each", name, why)
	}
	var head binaryHead
	if err := ssh.Unmarshal(data, &head); err != nil {
		return fail(errors.New("it is cut short"))
	}
	if head.Format != 1 {
		return fail(fmt.Errorf("its format is %d and only 1 is known", head.Format))
	}
	for rest := head.Rest; len(rest) > 0; {
		var s binarySection
		if err := ssh.Unmarshal(rest, &s); err != nil {
			return fail(errors.New("it is cut short"))
		}
		if err := r.readSection(s); err != nil {
			return fail(err)
		}
		rest = s.Rest
	}
	return nil
}

func (r *Revoked) readSection(s binarySection) error {
	switch s.Kind {
	case certificates:
		return nil
	case explicitKeys, sha1Prints, sha256Prints:
	default:
		return fmt.Errorf("it holds a part of kind %d, which is not read here", s.Kind)
	}
	for rest := s.Data; len(rest) > 0; {
		var item binaryItem
		if err := ssh.Unmarshal(rest, &item); err != nil {
			return errors.New("it is cut short")
		}
		if err := r.readItem(s.Kind, item.Value); err != nil {
			return err
		}
		rest = item.Rest
	}
	return nil
}

func (r *Revoked) readItem(kind byte, value []byte) error {
	switch {
	case kind == explicitKeys && len(value) > 0:
		r.keys[string(value)] = true
	case kind == sha1Prints && len(value) == sha1.Size:
		r.sha1[[sha1.Size]byte(value)] = true
	case kind == sha256Prints && len(value) == sha256.Size:
		r.sha256[[sha256.Size]byte(value)] = true
	default:
		return fmt.Errorf("an item of kind %d is %d bytes long", kind, len(value))
	}
	return nil
}

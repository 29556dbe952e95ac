package home

// The rule kept here: a person always has a key and a name, and knows how the
// key is kept. A key without a passphrase is made so that a first try works;
// what it cannot do is said at once.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/lockedfile"
	"golang.org/x/crypto/ssh"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/keys"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// Identity is who works at this machine. KeyFile is the private key's path,
// or empty where an ssh-agent holds it.
type Identity struct {
	Person    runner.Person
	KeyFile   string
	Agent     bool // only the public half is here: an ssh-agent signs
	Protected bool // a passphrase, or an agent, stands between the file and a signature
	Public    ssh.PublicKey
}

// Identity returns the person's key, made on first need, and makes a roster
// that holds just them where there is none. The notice says what was made,
// and is empty when nothing was.
func (h Home) Identity() (id Identity, notice string, err error) {
	err = h.locked(func() error {
		id, notice, err = h.identity()
		return err
	})
	return id, notice, err
}

func (h Home) identity() (Identity, string, error) {
	id, err := h.existing()
	var said []string
	if errors.Is(err, fs.ErrNotExist) {
		id, err = h.create(usualName(), nil)
		said = append(said, madeKey(id))
	}
	if err != nil {
		return Identity{}, "", err
	}
	made, err := h.firstRoster(id)
	if err != nil {
		return Identity{}, "", err
	}
	if made {
		said = append(said, fmt.Sprintf("A roster was made at %s; it holds you alone. Add others with: fenderside roster add", h.RosterPath()))
	}
	return id, strings.Join(said, "\n"), nil
}

func madeKey(id Identity) string {
	return fmt.Sprintf("A signing key was made for %s at %s (%s).\n"+
		"It has no passphrase: whoever can read that file can sign as you, and it cannot witness for others.\n"+
		"Set a passphrase with: ssh-keygen -p -f %q", id.Person.Name, id.KeyFile, id.Person.Fingerprint, id.KeyFile)
}

// Existing returns the person's key without making one. The error wraps
// fs.ErrNotExist when there is none.
func (h Home) Existing() (Identity, error) { return h.existing() }

func (h Home) existing() (Identity, error) {
	key, protected, err := h.publicHalf()
	if errors.Is(err, fs.ErrNotExist) {
		return h.inAgent()
	}
	if err != nil {
		return Identity{}, err
	}
	print := seal.Fingerprint(key)
	return Identity{Person: runner.Person{Name: h.nameOf(print), Fingerprint: print}, KeyFile: h.KeyPath(), Protected: protected, Public: key}, nil
}

func (h Home) publicHalf() (ssh.PublicKey, bool, error) {
	if _, err := os.Lstat(h.KeyPath()); errors.Is(err, fs.ErrNotExist) {
		return nil, false, err
	}
	return keys.PublicOf(h.KeyPath())
}

// inAgent reads a public key that stands alone, whose private half an agent
// holds.
func (h Home) inAgent() (Identity, error) {
	text, err := os.ReadFile(h.KeyPath() + ".pub")
	if errors.Is(err, fs.ErrNotExist) {
		return Identity{}, fmt.Errorf("find your key %q: %w: make one with: fenderside key new", h.KeyPath(), fs.ErrNotExist)
	}
	if err != nil {
		return Identity{}, fmt.Errorf("read your public key: %w: check that it is yours to read", err)
	}
	key, _, _, _, err := ssh.ParseAuthorizedKey(text)
	if err != nil {
		return Identity{}, fmt.Errorf("read your public key %q: %w: write it again with: ssh-add -L", h.KeyPath()+".pub", err)
	}
	print := seal.Fingerprint(key)
	return Identity{Person: runner.Person{Name: h.nameOf(print), Fingerprint: print}, Agent: true, Protected: true, Public: key}, nil
}

// nameOf is who holds a key: by the roster, else by the comment of the public
// key, else by the name that the machine has for its user.
func (h Home) nameOf(print string) string {
	if people, err := h.People(); err == nil {
		if e, ok := people.Find(print); ok {
			return e.Principals[0]
		}
	}
	text, err := os.ReadFile(h.KeyPath() + ".pub")
	if err == nil {
		if _, comment, _, _, err := ssh.ParseAuthorizedKey(text); err == nil && comment != "" && plainName(comment) == comment {
			return comment
		}
	}
	return usualName()
}

// NewKey makes the person's key under a name of their choice; an empty name is
// that of the machine's user. The passphrase is wiped; an empty one leaves the
// key unprotected. The error wraps keys.ErrExists when there is a key already.
// The notice says what else was made.
func (h Home) NewKey(name string, passphrase []byte) (id Identity, notice string, err error) {
	if name == "" {
		name = usualName()
	}
	err = h.locked(func() error {
		if id, err = h.create(name, passphrase); err != nil {
			return err
		}
		id, notice, err = h.identity()
		return err
	})
	return id, notice, err
}

func (h Home) create(name string, passphrase []byte) (Identity, error) {
	protected := len(passphrase) > 0
	key, err := keys.Create(h.KeyPath(), name, passphrase)
	if err != nil {
		return Identity{}, err
	}
	return Identity{Person: runner.Person{Name: name, Fingerprint: seal.Fingerprint(key)}, KeyFile: h.KeyPath(), Protected: protected, Public: key}, nil
}

// locked runs f while no other process changes the key or the roster.
func (h Home) locked(f func() error) error {
	if err := os.MkdirAll(h.ConfigDir, 0o700); err != nil {
		return fmt.Errorf("make the folder for your key: %w: make %q a folder you may write to, or set FENDERSIDE_HOME", err, h.ConfigDir)
	}
	unlock, err := lockedfile.MutexAt(filepath.Join(h.ConfigDir, "lock")).Lock()
	if err != nil {
		return fmt.Errorf("lock the folder %q: %w: make it a folder you may write to, or set FENDERSIDE_HOME", h.ConfigDir, err)
	}
	defer unlock()
	return f()
}

// write replaces a file of the person's, whole or not at all.
func write(path string, data []byte) error {
	if err := journal.WriteFileDurably(path, data, 0o600); err != nil {
		return fmt.Errorf("%w: free some space, or make the folder one you may write to", err)
	}
	return nil
}

// usualName is user@machine, in characters that every roster takes.
func usualName() string {
	who := os.Getenv("USER")
	if who == "" {
		if u, err := user.Current(); err == nil {
			_, who, _ = strings.Cut(u.Username, `\`)
			if who == "" {
				who = u.Username
			}
		}
	}
	host, err := os.Hostname()
	if err != nil {
		host = ""
	}
	return or(plainName(who), "somebody") + "@" + or(plainName(host), "here")
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// plainName keeps the letters, digits and . _ - @ of ASCII.
func plainName(s string) string {
	keep := func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '_', r == '-', r == '@':
			return r
		}
		return -1
	}
	return strings.Trim(strings.Map(keep, s), ".-@")
}

// PublicLine is the public half as a line that other programs read.
func (id Identity) PublicLine() string {
	return strings.TrimSuffix(string(ssh.MarshalAuthorizedKey(id.Public)), "\n") + " " + id.Person.Name
}

// NoKeyYet is nil when a key may be made; its error wraps keys.ErrExists.
func (h Home) NoKeyYet() error {
	for _, path := range []string{h.KeyPath(), h.KeyPath() + ".pub"} {
		_, err := os.Lstat(path)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("make a key: %w: make %q a folder you may write to, or set FENDERSIDE_HOME", err, h.ConfigDir)
		}
		if err == nil {
			return fmt.Errorf("make a key: %q: %w: it is yours already; move it away first if you want another", path, keys.ErrExists)
		}
	}
	return nil
}

// UseAgentKey makes the key of that fingerprint, which an ssh-agent holds, the
// person's own: its public half is kept, and the agent signs. An empty name is
// that of the machine's user. The error wraps keys.ErrExists when there is a
// key already, and keys.ErrNoKey when the agent does not hold it.
func (h Home) UseAgentKey(name, fingerprint string) (id Identity, notice string, err error) {
	signer, err := throughAgent(runner.Person{Name: "you", Fingerprint: fingerprint}, (*keys.Agent).Signer)
	if err != nil {
		return Identity{}, "", err
	}
	id = Identity{Person: runner.Person{Name: or(name, usualName())}, Public: signer.PublicKey()}
	if _, err := roster.Line(id.Person.Name, id.Public, nil, ""); err != nil {
		return Identity{}, "", err
	}
	err = h.locked(func() error {
		if err := h.NoKeyYet(); err != nil {
			return err
		}
		if err := write(h.KeyPath()+".pub", []byte(id.PublicLine()+"\n")); err != nil {
			return err
		}
		id, notice, err = h.identity()
		return err
	})
	return id, notice, err
}

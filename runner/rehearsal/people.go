package rehearsal

// The people of a script are made up, and so are their keys. A key that is in the folder already is used again, so that
// several rehearsals in one folder make one chain of records.

import (
	"crypto/ed25519"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/crypto/ssh"

	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/keys"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
)

// Somebody is one of a script's people, with their key.
type Somebody struct {
	Person runner.Person
	Signer ssh.Signer
}

// cast makes the people of a script, their keys and the roster in a folder. It returns them with the roster's text.
func cast(s *Script, out string, random io.Reader) (map[string]Somebody, []byte, error) {
	people := map[string]Somebody{}
	var lines []string
	for _, name := range s.People {
		signer, err := keyOf(filepath.Join(out, KeysDir), name, random)
		if err != nil {
			return nil, nil, fmt.Errorf("make a key for %q: %w", name, err)
		}
		people[name] = Somebody{runner.Person{Name: name, Fingerprint: seal.Fingerprint(signer.PublicKey())}, signer}
		line, err := roster.Line(name, signer.PublicKey(), s.roles[name], "made up for a rehearsal")
		if err != nil {
			return nil, nil, fmt.Errorf("put %q on the roster: %w", name, err)
		}
		lines = append(lines, line+"\n")
	}
	text := []byte(strings.Join(lines, ""))
	return people, text, addToRoster(filepath.Join(out, RosterFile), lines)
}

// addToRoster writes the lines to the folder's roster, and keeps those of other keys that are there from before.
func addToRoster(path string, lines []string) error {
	old, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	now, err := roster.Parse([]byte(strings.Join(lines, "")))
	if err != nil {
		return err
	}
	before, err := roster.ParseNamed(path, old)
	if err != nil {
		return err
	}
	all := slices.Clone(lines)
	for _, e := range before.Entries() {
		if _, again := now.Find(e.Fingerprint); again {
			continue
		}
		line, err := e.Format()
		if err != nil {
			return err
		}
		all = append(all, line+"\n")
	}
	return journal.WriteFileDurably(path, []byte(strings.Join(all, "")), 0o644)
}

// keyOf opens a person's key, or makes it.
func keyOf(dir, name string, random io.Reader) (ssh.Signer, error) {
	path := filepath.Join(dir, fileName(name))
	if _, err := os.Lstat(path); err == nil {
		return keys.FileSigner(path, nil)
	}
	seed := make([]byte, ed25519.SeedSize)
	if _, err := io.ReadFull(random, seed); err != nil {
		return nil, err
	}
	secret := ed25519.NewKeyFromSeed(seed)
	signer, err := ssh.NewSignerFromKey(secret)
	if err != nil {
		return nil, err
	}
	block, err := ssh.MarshalPrivateKey(secret, name)
	if err != nil {
		return nil, err
	}
	public := strings.TrimSuffix(string(ssh.MarshalAuthorizedKey(signer.PublicKey())), "\n") + " " + name + "\n"
	if err := journal.WriteFileDurably(path, pem.EncodeToMemory(block), 0o600); err != nil {
		return nil, err
	}
	return signer, journal.WriteFileDurably(path+".pub", []byte(public), 0o644)
}

// fileName is a person's name as the name of a file: letters, digits and . _ @ + - are kept, all else becomes _.
func fileName(name string) string {
	kept := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.ContainsRune("._@+-", c):
			return c
		}
		return '_'
	}, name)
	return strings.TrimLeft(kept, ".-")
}

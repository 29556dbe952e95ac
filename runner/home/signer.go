package home

// The rule kept here: a signer is that person's key and no other, and a witness
// is there for each signature.

import (
	"errors"
	"fmt"
	"io"

	"golang.org/x/crypto/ssh"

	"fenderside/runner"
	"fenderside/runner/keys"
	"fenderside/runner/seal"
)

// Signer returns that person's key: the key file of this machine's user where
// it is theirs, else the key of that fingerprint in an ssh-agent.
func (h Home) Signer(p runner.Person) (ssh.Signer, error) {
	id, err := h.existing()
	if err == nil && id.Person.Fingerprint == p.Fingerprint && !id.Agent {
		return keys.FileSigner(id.KeyFile, h.Ask)
	}
	return throughAgent(p, (*keys.Agent).Signer)
}

// SignerFrom opens the key file of that person, wherever it lies.
func (h Home) SignerFrom(p runner.Person, keyFile string) (ssh.Signer, error) {
	s, err := keys.FileSigner(keyFile, h.Ask)
	return checked(p, keyFile, s, err)
}

// WitnessSigner returns a signer for one witness signature: from a key file
// with a passphrase, asked for now, or, when keyFile is empty, from a security
// key that an ssh-agent reaches and that must be touched.
func (h Home) WitnessSigner(p runner.Person, keyFile string) (ssh.Signer, error) {
	if keyFile == "" {
		return throughAgent(p, (*keys.Agent).WitnessSigner)
	}
	s, err := keys.FreshSigner(keyFile, h.Ask)
	return checked(p, keyFile, s, err)
}

func checked(p runner.Person, keyFile string, s ssh.Signer, err error) (ssh.Signer, error) {
	if err != nil {
		return nil, err
	}
	if got := seal.Fingerprint(s.PublicKey()); got != p.Fingerprint {
		return nil, fmt.Errorf("sign as %s with key file %q: it holds key %s, not theirs (%s): give the file of that key", p.Name, keyFile, got, p.Fingerprint)
	}
	return s, nil
}

// throughAgent finds the person's key in an ssh-agent.
func throughAgent(p runner.Person, from func(*keys.Agent, string) (ssh.Signer, error)) (ssh.Signer, error) {
	a, err := keys.OpenAgent(nil)
	if err != nil {
		return nil, fmt.Errorf("sign as %s: their key file is not here, and %w", p.Name, err)
	}
	s, err := from(a, p.Fingerprint)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("sign as %s: %w", p.Name, err), a.Close())
	}
	defer a.Close()
	return agentSigner{print: p.Fingerprint, public: s.PublicKey(), from: from}, nil
}

// agentSigner connects to the agent for each signature, so that nothing stays
// open between them.
type agentSigner struct {
	print  string
	public ssh.PublicKey
	from   func(*keys.Agent, string) (ssh.Signer, error)
}

// PublicKey returns the public half.
func (s agentSigner) PublicKey() ssh.PublicKey { return s.public }

// Sign signs with the key's usual algorithm.
func (s agentSigner) Sign(rand io.Reader, data []byte) (*ssh.Signature, error) {
	return s.with(func(own ssh.Signer) (*ssh.Signature, error) { return own.Sign(rand, data) })
}

// SignWithAlgorithm signs with the algorithm named.
func (s agentSigner) SignWithAlgorithm(rand io.Reader, data []byte, algorithm string) (*ssh.Signature, error) {
	return s.with(func(own ssh.Signer) (*ssh.Signature, error) {
		if able, ok := own.(ssh.AlgorithmSigner); ok {
			return able.SignWithAlgorithm(rand, data, algorithm)
		}
		return own.Sign(rand, data)
	})
}

func (s agentSigner) with(sign func(ssh.Signer) (*ssh.Signature, error)) (*ssh.Signature, error) {
	a, err := keys.OpenAgent(nil)
	if err != nil {
		return nil, err
	}
	defer a.Close()
	own, err := s.from(a, s.print)
	if err != nil {
		return nil, err
	}
	return sign(own)
}

// PersonWith is who holds the key of that file, by the roster.
func (h Home) PersonWith(keyFile string) (runner.Person, error) {
	key, _, err := keys.PublicOf(keyFile)
	if err != nil {
		return runner.Person{}, err
	}
	people, err := h.People()
	if err != nil {
		return runner.Person{}, err
	}
	print := seal.Fingerprint(key)
	e, ok := people.Find(print)
	if !ok {
		return runner.Person{}, fmt.Errorf("find whose key %q is: %s is not on your roster: add it with: fenderside roster add NAME %s.pub", keyFile, print, keyFile)
	}
	return runner.Person{Name: e.Principals[0], Fingerprint: print}, nil
}

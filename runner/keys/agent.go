package keys

// The rule kept here: a key left loaded in an agent is no second person, so an
// agent's key witnesses only if it is a security key, which wants a touch.

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"

	"fenderside/runner/seal"
)

// Dial opens a connection to an ssh-agent.
type Dial func() (io.ReadWriteCloser, error)

// Agent is a connection to an ssh-agent. Close it after use.
type Agent struct {
	conn   io.ReadWriteCloser
	client agent.ExtendedAgent
}

// AgentKey is one key that an agent holds and that can sign here.
type AgentKey struct {
	Key         ssh.PublicKey
	Fingerprint string
	Comment     string
	SecurityKey bool // wants a touch for each signature
}

// OpenAgent connects to the agent that dial reaches; a nil dial means
// DialSocket. The error wraps ErrNoAgent.
func OpenAgent(dial Dial) (*Agent, error) {
	if dial == nil {
		dial = DialSocket
	}
	conn, err := dial()
	if errors.Is(err, ErrNoAgent) {
		return nil, err
	}
	if err != nil {
		return nil, fmt.Errorf("%w: %w: start one with ssh-agent, or give a key file", ErrNoAgent, err)
	}
	return &Agent{conn: conn, client: agent.NewClient(conn)}, nil
}

// Close ends the connection.
func (a *Agent) Close() error { return a.conn.Close() }

// Keys lists the keys that can sign here, in the agent's order. Certificates
// and kinds of key that cannot are left out.
func (a *Agent) Keys() ([]AgentKey, error) {
	held, err := a.client.List()
	if err != nil {
		return nil, fmt.Errorf("list the keys of the ssh-agent: %w: check it with ssh-add -l, or give a key file", err)
	}
	var out []AgentKey
	for _, k := range held {
		key, err := ssh.ParsePublicKey(k.Blob)
		if err != nil || seal.Supported(key) != nil {
			continue
		}
		out = append(out, AgentKey{Key: key, Fingerprint: seal.Fingerprint(key), Comment: k.Comment, SecurityKey: seal.IsSecurityKey(key)})
	}
	return out, nil
}

// Signer returns a signer for the key with that fingerprint. It works until
// the agent is closed. The error wraps ErrNoKey when the agent lacks the key.
func (a *Agent) Signer(fingerprint string) (ssh.Signer, error) {
	k, err := a.find(fingerprint)
	if err != nil {
		return nil, err
	}
	return &agentSigner{key: k.Key, client: a.client}, nil
}

// WitnessSigner returns a signer for one witness signature, which a security
// key alone can give. The error wraps ErrNotFresh for any other kind.
func (a *Agent) WitnessSigner(fingerprint string) (ssh.Signer, error) {
	k, err := a.find(fingerprint)
	if err != nil {
		return nil, err
	}
	if !k.SecurityKey {
		return nil, fmt.Errorf("witness with key %s from the ssh-agent: %w, and a loaded key signs without its owner: give its file and passphrase, or use a security key",
			fingerprint, ErrNotFresh)
	}
	return &once{signer: &agentSigner{key: k.Key, client: a.client}, forget: func() {}}, nil
}

func (a *Agent) find(fingerprint string) (AgentKey, error) {
	held, err := a.Keys()
	if err != nil {
		return AgentKey{}, err
	}
	names := make([]string, 0, len(held))
	for _, k := range held {
		if k.Fingerprint == fingerprint {
			return k, nil
		}
		names = append(names, k.Fingerprint)
	}
	if len(names) == 0 {
		return AgentKey{}, fmt.Errorf("sign with key %s: %w, nor any other that can sign here: load it with ssh-add", fingerprint, ErrNoKey)
	}
	return AgentKey{}, fmt.Errorf("sign with key %s: %w: load it with ssh-add, or use one it holds: %s", fingerprint, ErrNoKey, strings.Join(names, ", "))
}

// agentSigner signs through an agent.
type agentSigner struct {
	key    ssh.PublicKey
	client agent.ExtendedAgent
}

// PublicKey returns the public half of the key.
func (s *agentSigner) PublicKey() ssh.PublicKey { return s.key }

// Sign signs with the key's usual algorithm; for RSA that is rsa-sha2-512.
func (s *agentSigner) Sign(_ io.Reader, data []byte) (*ssh.Signature, error) {
	if s.key.Type() == ssh.KeyAlgoRSA {
		return s.sign(data, agent.SignatureFlagRsaSha512)
	}
	return s.sign(data, 0)
}

// SignWithAlgorithm signs with the algorithm named.
func (s *agentSigner) SignWithAlgorithm(_ io.Reader, data []byte, algorithm string) (*ssh.Signature, error) {
	switch algorithm {
	case ssh.KeyAlgoRSASHA512:
		return s.sign(data, agent.SignatureFlagRsaSha512)
	case ssh.KeyAlgoRSASHA256:
		return s.sign(data, agent.SignatureFlagRsaSha256)
	case "", s.key.Type():
		return s.sign(data, 0)
	}
	return nil, fmt.Errorf("sign through the ssh-agent: a key of type %q has no algorithm %q; use an Ed25519 key", s.key.Type(), algorithm)
}

func (s *agentSigner) sign(data []byte, flags agent.SignatureFlags) (*ssh.Signature, error) {
	sig, err := s.client.SignWithFlags(s.key, data, flags)
	if err != nil {
		return nil, fmt.Errorf("sign through the ssh-agent: %w: touch the security key if it blinks, unlock the agent with ssh-add -X if it is locked, and check ssh-add -l", err)
	}
	return sig, nil
}

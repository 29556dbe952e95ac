//go:build unix

package keys_test

// The rule tested here: an agent's key signs, and only a touched security key
// of an agent's witnesses.

import (
	"crypto/ed25519"
	"crypto/rand"
	"crypto/rsa"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"

	"fenderside/runner/keys"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

// holder is an agent that holds tokens beside the keys of a keyring.
type holder struct {
	agent.ExtendedAgent
	tokens []*sealtest.Token
}

func newHolder(tokens ...*sealtest.Token) *holder {
	return &holder{ExtendedAgent: agent.NewKeyring().(agent.ExtendedAgent), tokens: tokens}
}

// List lists the tokens after the keyring's keys.
func (h *holder) List() ([]*agent.Key, error) {
	list, err := h.ExtendedAgent.List()
	for _, k := range h.tokens {
		p := k.PublicKey()
		list = append(list, &agent.Key{Format: p.Type(), Blob: p.Marshal(), Comment: "token"})
	}
	return list, err
}

// SignWithFlags signs with a token or with the keyring.
func (h *holder) SignWithFlags(key ssh.PublicKey, data []byte, flags agent.SignatureFlags) (*ssh.Signature, error) {
	for _, k := range h.tokens {
		if string(k.PublicKey().Marshal()) == string(key.Marshal()) {
			return k.Sign(rand.Reader, data)
		}
	}
	return h.ExtendedAgent.SignWithFlags(key, data, flags)
}

func connect(t *testing.T) *keys.Agent {
	t.Helper()
	a, err := keys.OpenAgent(nil)
	require.NoError(t, err)
	t.Cleanup(func() { a.Close() })
	return a
}

func TestAnAgentsKeysSign(t *testing.T) {
	h := newHolder(sealtest.NewToken(t), sealtest.NewTokenECDSA(t))
	_, ed, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	big, err := rsa.GenerateKey(rand.Reader, 2048)
	require.NoError(t, err)
	for _, k := range []any{ed, big} {
		require.NoError(t, h.Add(agent.AddedKey{PrivateKey: k, Comment: asha}))
	}
	sealtest.Serve(t, h)
	a := connect(t)
	list, err := a.Keys()
	require.NoError(t, err)
	var tokens []bool
	for _, k := range list {
		tokens = append(tokens, k.SecurityKey)
		signer, err := a.Signer(k.Fingerprint)
		require.NoError(t, err)
		assert.Equal(t, k.Key.Marshal(), signer.PublicKey().Marshal())
		requireGood(t, signer)
	}
	assert.Equal(t, []bool{false, false, true, true}, tokens)
	assert.Equal(t, asha, list[0].Comment)
}

func TestALoadedKeyCannotWitness(t *testing.T) {
	h := newHolder()
	_, secret, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	require.NoError(t, h.Add(agent.AddedKey{PrivateKey: secret}))
	sealtest.Serve(t, h)
	a := connect(t)
	list, err := a.Keys()
	require.NoError(t, err)
	_, err = a.WitnessSigner(list[0].Fingerprint)
	require.ErrorIs(t, err, keys.ErrNotFresh)
	require.ErrorContains(t, err, "give its file and passphrase")
}

func TestATouchedSecurityKeyWitnessesOnceAndAnUntouchedOneNever(t *testing.T) {
	token := sealtest.NewToken(t)
	sealtest.Serve(t, newHolder(token))
	a := connect(t)
	print := seal.Fingerprint(token.PublicKey())
	signer, err := a.WitnessSigner(print)
	require.NoError(t, err)
	text, err := seal.Sign(signer, seal.Witness, message)
	require.NoError(t, err)
	s, err := seal.Verify(text, seal.Witness, message)
	require.NoError(t, err)
	assert.True(t, s.Touched)
	_, err = seal.Sign(signer, seal.Witness, message)
	require.ErrorIs(t, err, keys.ErrNotFresh)
	token.Flags = 0
	signer, err = a.WitnessSigner(print)
	require.NoError(t, err)
	_, err = seal.Sign(signer, seal.Witness, message)
	require.ErrorIs(t, err, seal.ErrUntouched)
}

// forger is an agent that signs other bytes than it was given.
type forger struct{ *holder }

func (f forger) SignWithFlags(key ssh.PublicKey, data []byte, flags agent.SignatureFlags) (*ssh.Signature, error) {
	return f.holder.SignWithFlags(key, append(data, 'x'), flags)
}

func TestAnAgentThatSignsOtherBytesIsFoundOut(t *testing.T) {
	token := sealtest.NewToken(t)
	sealtest.Serve(t, forger{newHolder(token)})
	signer, err := connect(t).Signer(seal.Fingerprint(token.PublicKey()))
	require.NoError(t, err)
	_, err = seal.Sign(signer, seal.Record, message)
	require.ErrorIs(t, err, seal.ErrMismatch)
}

func TestAnAgentWithoutTheKeySaysWhatItHolds(t *testing.T) {
	h := newHolder()
	sealtest.Serve(t, h)
	a := connect(t)
	_, err := a.Signer("SHA256:none")
	require.ErrorIs(t, err, keys.ErrNoKey)
	require.ErrorContains(t, err, "nor any other")
	h.tokens = []*sealtest.Token{sealtest.NewToken(t)}
	_, err = a.WitnessSigner("SHA256:none")
	require.ErrorIs(t, err, keys.ErrNoKey)
	require.ErrorContains(t, err, seal.Fingerprint(h.tokens[0].PublicKey()))
}

func TestALockedAgentSaysSo(t *testing.T) {
	h := newHolder()
	_, secret, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	require.NoError(t, h.Add(agent.AddedKey{PrivateKey: secret}))
	sealtest.Serve(t, h)
	a := connect(t)
	list, err := a.Keys()
	require.NoError(t, err)
	signer, err := a.Signer(list[0].Fingerprint)
	require.NoError(t, err)
	require.NoError(t, h.Lock([]byte("x")))
	_, err = seal.Sign(signer, seal.Record, message)
	require.ErrorContains(t, err, "ssh-add -X")
}

func TestWithoutAnAgentTheErrorSaysWhatToDo(t *testing.T) {
	for name, sock := range map[string]string{"not set": "", "nobody there": filepath.Join(t.TempDir(), "none")} {
		t.Setenv("SSH_AUTH_SOCK", sock)
		_, err := keys.OpenAgent(nil)
		require.ErrorIs(t, err, keys.ErrNoAgent, name)
		require.ErrorContains(t, err, "give a key file", name)
	}
	_, err := keys.OpenAgent(func() (io.ReadWriteCloser, error) { return nil, errors.New("no pipe") })
	require.ErrorIs(t, err, keys.ErrNoAgent)
	require.ErrorContains(t, err, "no pipe")
}

func TestTheRealAgentsKeySigns(t *testing.T) {
	dir, err := os.MkdirTemp("", "agent")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	sock := filepath.Join(dir, "s")
	program := exec.Command(sealtest.Tool(t, "ssh-agent"), "-D", "-a", sock)
	out, err := program.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, program.Start())
	t.Cleanup(func() { program.Process.Kill(); program.Wait() })
	_, err = out.Read(make([]byte, 1)) // it speaks once its socket is there
	require.NoError(t, err)
	t.Setenv("SSH_AUTH_SOCK", sock)
	for _, kind := range [][]string{{"ed25519"}, {"rsa", "-b", "2048"}} {
		path := made(t, "", kind...)
		sealtest.Run(t, dir, "ssh-add", "-q", path)
		public, _, err := keys.PublicOf(path)
		require.NoError(t, err)
		signer, err := connect(t).Signer(seal.Fingerprint(public))
		require.NoError(t, err)
		requireGood(t, signer)
	}
}

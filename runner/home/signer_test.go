package home_test

// The rules tested here: a signer is that person's key and no other, and only a key opened afresh witnesses.

import (
	"errors"
	"os"
	"testing"

	"crypto/ed25519"
	"crypto/rand"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"

	"fenderside/runner"
	"fenderside/runner/keys"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

func TestAWitnessGivesThePassphraseForEachSignature(t *testing.T) {
	h := fresh(t)
	id, _, err := h.NewKey("bryn@millbrook.example", []byte("a long passphrase"))
	require.NoError(t, err)
	asked := 0
	h.Ask = func(string) ([]byte, error) { asked++; return []byte("a long passphrase"), nil }
	for n := 1; n <= 2; n++ {
		signer, err := h.WitnessSigner(id.Person, id.KeyFile)
		require.NoError(t, err)
		_, err = seal.Sign(signer, seal.Witness, []byte("seen"))
		require.NoError(t, err)
		_, err = seal.Sign(signer, seal.Witness, []byte("seen"))
		require.ErrorIs(t, err, keys.ErrNotFresh)
		assert.Equal(t, n, asked)
	}
	h.Ask = func(string) ([]byte, error) { return nil, errors.New("gave up") }
	_, err = h.WitnessSigner(id.Person, id.KeyFile)
	require.ErrorContains(t, err, "gave up")
}

func TestAKeyWithoutAPassphraseCannotWitness(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	_, err = h.WitnessSigner(id.Person, id.KeyFile)
	require.ErrorIs(t, err, keys.ErrNotFresh)
	_, err = h.WitnessSigner(id.Person, "")
	require.ErrorIs(t, err, keys.ErrNoAgent)
}

func TestNobodySignsWithAnothersKey(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	other := runner.Person{Name: "dilys@millbrook.example", Fingerprint: "SHA256:other"}
	_, err = h.SignerFrom(other, id.KeyFile)
	require.ErrorContains(t, err, "not theirs")
	_, err = h.Signer(other)
	require.ErrorIs(t, err, keys.ErrNoAgent)
	who, err := h.PersonWith(id.KeyFile)
	require.NoError(t, err)
	assert.Equal(t, id.Person, who)
	require.NoError(t, os.WriteFile(h.RosterPath(), nil, 0o600))
	_, err = h.PersonWith(id.KeyFile)
	require.ErrorContains(t, err, "fenderside roster add")
}

// anAgent serves an ssh-agent that holds one key and returns the key.
func anAgent(t *testing.T) ssh.PublicKey {
	t.Helper()
	held := agent.NewKeyring()
	_, secret, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	require.NoError(t, held.Add(agent.AddedKey{PrivateKey: secret}))
	sealtest.Serve(t, held)
	signers, err := held.Signers()
	require.NoError(t, err)
	return signers[0].PublicKey()
}

func TestAnAgentsKeyCanBeThePersonsOwn(t *testing.T) {
	h := fresh(t)
	key := anAgent(t)
	print := seal.Fingerprint(key)
	_, _, err := h.UseAgentKey("asha@millbrook.example", "SHA256:other")
	require.ErrorIs(t, err, keys.ErrNoKey)
	require.NoError(t, h.NoKeyYet())
	id, notice, err := h.UseAgentKey("asha@millbrook.example", print)
	require.NoError(t, err)
	assert.Contains(t, notice, h.RosterPath())
	assert.True(t, id.Agent)
	assert.Equal(t, runner.Person{Name: "asha@millbrook.example", Fingerprint: print}, id.Person)
	signer, err := h.Signer(id.Person)
	require.NoError(t, err)
	for range 2 {
		sig, err := seal.Sign(signer, seal.Record, []byte("m"))
		require.NoError(t, err)
		_, err = seal.Verify(sig, seal.Record, []byte("m"))
		require.NoError(t, err)
	}
	_, err = h.WitnessSigner(id.Person, "")
	require.ErrorIs(t, err, keys.ErrNotFresh, "a key left loaded is no second person")
	_, _, err = h.UseAgentKey("", print)
	require.ErrorIs(t, err, keys.ErrExists)
	t.Setenv("SSH_AUTH_SOCK", "")
	_, err = seal.Sign(signer, seal.Record, []byte("m"))
	require.ErrorIs(t, err, keys.ErrNoAgent)
}

package keys_test

// The rule tested here: a witness is there for each signature.

import (
	"encoding/pem"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/keys"
	"fenderside/runner/seal"
)

// swapPublic puts another public key into the part of a key file that is not
// encrypted.
func swapPublic(t *testing.T, text []byte, key ssh.PublicKey) []byte {
	t.Helper()
	block, _ := pem.Decode(text)
	require.NotNil(t, block)
	var f struct {
		Magic            [15]byte
		Cipher, KDF, Opt string
		Keys             uint32
		Public, Private  string
	}
	require.NoError(t, ssh.Unmarshal(block.Bytes, &f))
	f.Public = string(key.Marshal())
	block.Bytes = ssh.Marshal(f)
	return pem.EncodeToMemory(block)
}

func TestAWitnessGivesAPassphraseForEachSignature(t *testing.T) {
	for name, kind := range map[string][]string{"ed25519": {"ed25519"}, "rsa": {"rsa", "-b", "2048"}} {
		t.Run(name, func(t *testing.T) {
			path := made(t, "millbrook", kind...)
			a := &asked{answers: []string{"millbrook", "millbrook"}}
			for range 2 {
				key, err := keys.FreshSigner(path, a.ask)
				require.NoError(t, err)
				text, err := seal.Sign(key, seal.Witness, message)
				require.NoError(t, err)
				s, err := seal.Verify(text, seal.Witness, message)
				require.NoError(t, err)
				assert.Equal(t, seal.Fingerprint(key.PublicKey()), s.Fingerprint(), "known after use too")
				_, err = seal.Sign(key, seal.Witness, message)
				require.ErrorIs(t, err, keys.ErrNotFresh)
				_, err = key.Sign(nil, message)
				require.ErrorIs(t, err, keys.ErrNotFresh)
			}
			require.Len(t, a.prompts, 2)
			a.requireWiped(t)
		})
	}
}

func TestAKeyWithoutAPassphraseCannotWitness(t *testing.T) {
	a := &asked{answers: []string{"x"}}
	_, err := keys.FreshSigner(made(t, "", "ed25519"), a.ask)
	require.ErrorIs(t, err, keys.ErrNotFresh)
	require.ErrorContains(t, err, "ssh-keygen -p")
	assert.Empty(t, a.prompts)
}

func TestAWitnessWhoForgetsThePassphraseDoesNotSign(t *testing.T) {
	a := &asked{answers: []string{"1", "2", "3"}}
	_, err := keys.FreshSigner(made(t, "millbrook", "ed25519"), a.ask)
	require.ErrorIs(t, err, keys.ErrPassphrase)
}

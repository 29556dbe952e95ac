package seal_test

// The rule tested here: what this package signs OpenSSH verifies, and the
// other way round, for every kind of key that may sign.

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

// keyFile has ssh-keygen make a key without a passphrase and returns its path.
func keyFile(t testing.TB, kind ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "key")
	sealtest.Run(t, filepath.Dir(path), "ssh-keygen", append([]string{"-q", "-N", "", "-C", who, "-f", path, "-t"}, kind...)...)
	return path
}

func open(t testing.TB, path string) ssh.Signer {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	signer, err := ssh.ParsePrivateKey(text)
	require.NoError(t, err)
	return signer
}

func TestSignaturesVerifyBothWays(t *testing.T) {
	for name, kind := range map[string][]string{
		"ed25519":   {"ed25519"},
		"ecdsa 256": {"ecdsa", "-b", "256"},
		"ecdsa 384": {"ecdsa", "-b", "384"},
		"ecdsa 521": {"ecdsa", "-b", "521"},
		"rsa":       {"rsa", "-b", "2048"},
	} {
		t.Run(name, func(t *testing.T) {
			path := keyFile(t, kind...)
			key := open(t, path)
			for _, text := range []string{
				sign(t, key, seal.Record, message),
				sealtest.SignWith(t, path, seal.Record, message),
				sealtest.SignWith(t, path, seal.Record, message, "hashalg=sha256"),
			} {
				bothAccept(t, key.PublicKey(), text)
			}
		})
	}
}

func bothAccept(t *testing.T, key ssh.PublicKey, text string) {
	t.Helper()
	s, err := seal.Verify(text, seal.Record, message)
	require.NoError(t, err)
	assert.True(t, s.Tidy)
	assert.Equal(t, text, s.Armour())
	assert.Equal(t, ssh.FingerprintSHA256(key), s.Fingerprint())
	ok, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(who, key), Principal: who,
		Namespace: seal.Record, Signature: text, Message: message,
	})
	assert.True(t, ok, said)
	_, err = seal.Verify(text, seal.Record, append([]byte("x"), message...))
	assert.ErrorIs(t, err, seal.ErrMismatch)
}

// Ed25519 signatures depend on the key and the message alone (RFC 8032), so
// that both programs must write the same bytes.
func TestAnEd25519SignatureIsTheOneSSHKeygenWrites(t *testing.T) {
	path := keyFile(t, "ed25519")
	for _, namespace := range seal.Namespaces() {
		for _, m := range [][]byte{nil, []byte("a"), message, make([]byte, 100_000)} {
			assert.Equal(t, sealtest.SignWith(t, path, namespace, m), sign(t, open(t, path), namespace, m))
		}
	}
}

func TestASecurityKeysSignatureVerifiesInOpenSSH(t *testing.T) {
	for name, token := range map[string]*sealtest.Token{
		"ed25519": sealtest.NewToken(t), "ecdsa": sealtest.NewTokenECDSA(t),
	} {
		t.Run(name, func(t *testing.T) {
			text := sign(t, token, seal.Record, message)
			bothAccept(t, token.PublicKey(), text)
			token.Flags |= sealtest.Verified
			s, err := seal.Parse(sign(t, token, seal.Record, message))
			require.NoError(t, err)
			assert.True(t, s.SecurityKey && s.Touched && s.Verified)
			assert.Equal(t, uint32(2), s.Counter)
		})
	}
}

func TestTheFingerprintIsTheOneSSHKeygenShows(t *testing.T) {
	path := keyFile(t, "ed25519")
	shown := sealtest.Run(t, filepath.Dir(path), "ssh-keygen", "-l", "-f", path)
	assert.Contains(t, shown, " "+seal.Fingerprint(open(t, path).PublicKey())+" ")
}

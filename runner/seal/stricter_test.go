package seal_test

// The rule tested here: where this package refuses what OpenSSH 9.2 accepts,
// it does so on purpose, and nowhere else.

import (
	"crypto/rand"
	"encoding/binary"
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

// order is the order of the Ed25519 group, 2^252 + 27742317777372353535851937790883648493
// (RFC 8032 section 5.1).
func order() *big.Int {
	c, _ := new(big.Int).SetString("27742317777372353535851937790883648493", 10)
	return c.Add(c, new(big.Int).Lsh(big.NewInt(1), 252))
}

// addOrder adds the group order to the scalar of an Ed25519 signature, which
// changes its bytes and not what it satisfies.
func addOrder(in *inner) {
	s := slices.Clone(in.Blob[32:])
	slices.Reverse(s)
	n := new(big.Int).SetBytes(s)
	s = n.Add(n, order()).FillBytes(make([]byte, 32))
	slices.Reverse(s)
	in.Blob = append(slices.Clone(in.Blob[:32]), s...)
}

func TestAnEd25519ScalarAboveTheGroupOrderIsRefused(t *testing.T) {
	text := bendInner(addOrder)(t, sign(t, asha(), seal.Record, message))
	_, err := seal.Verify(text, seal.Record, message)
	require.ErrorIs(t, err, seal.ErrMismatch)
	logOpenSSH(t, asha().PublicKey(), text)
}

// logOpenSSH notes what the installed ssh-keygen makes of a signature that is
// refused here whatever OpenSSH says; releases differ.
func logOpenSSH(t *testing.T, key ssh.PublicKey, text string) {
	t.Helper()
	ok, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(who, key), Principal: who,
		Namespace: seal.Record, Signature: text, Message: message,
	})
	t.Logf("ssh-keygen accepts: %v: %s", ok, said)
}

// untouched makes the signature of a token that nobody touched, which Sign
// itself would refuse to hand out.
func untouched(t *testing.T, token *sealtest.Token) string {
	var f fields
	require.NoError(t, ssh.Unmarshal(blobOf(t, sign(t, token, seal.Record, message)), &f))
	token.Flags = 0
	made, err := token.Sign(nil, signedData(f.Namespace, f.Hash, message))
	require.NoError(t, err)
	f.Signature = string(ssh.Marshal(made))
	return wrap(ssh.Marshal(f))
}

func TestASecurityKeyThatWasNotTouchedIsRefused(t *testing.T) {
	for name, token := range map[string]*sealtest.Token{
		"ed25519": sealtest.NewToken(t), "ecdsa": sealtest.NewTokenECDSA(t),
	} {
		t.Run(name, func(t *testing.T) {
			text := untouched(t, token)
			s, err := seal.Verify(text, seal.Record, message)
			require.ErrorIs(t, err, seal.ErrUntouched)
			assert.False(t, s.Touched)
			_, err = seal.Sign(token, seal.Record, message)
			require.ErrorIs(t, err, seal.ErrUntouched)
			logOpenSSH(t, token.PublicKey(), text)
		})
	}
}

// A token's flags are part of what it signs: setting the touch bit afterwards
// breaks the signature.
func TestATouchCannotBeAddedAfterwards(t *testing.T) {
	token := sealtest.NewToken(t)
	text := bendInner(func(in *inner) { in.Rest[0] = sealtest.Touched })(t, untouched(t, token))
	_, err := seal.Verify(text, seal.Record, message)
	require.ErrorIs(t, err, seal.ErrMismatch)
	ok, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(who, token.PublicKey()), Principal: who,
		Namespace: seal.Record, Signature: text, Message: message,
	})
	assert.False(t, ok, said)
}

func TestATokensTailIsReadWhole(t *testing.T) {
	signed := sign(t, sealtest.NewToken(t), seal.Record, message)
	for name, change := range map[string]func(*inner){
		"missing":  func(in *inner) { in.Rest = nil },
		"cut":      func(in *inner) { in.Rest = in.Rest[:4] },
		"too long": func(in *inner) { in.Rest = append(in.Rest, 0) },
		"browser form": func(in *inner) {
			in.Format = "webauthn-sk-ecdsa-sha2-nistp256@openssh.com"
		},
	} {
		_, err := seal.Parse(bendInner(change)(t, signed))
		assert.ErrorIs(t, err, seal.ErrMalformed, name)
	}
}

func TestDSAKeysAreRefused(t *testing.T) {
	p := new(big.Int).Lsh(big.NewInt(1), 1023)
	key := ssh.Marshal(struct {
		Kind       string
		P, Q, G, Y *big.Int
	}{"ssh-dss", p.SetBit(p, 0, 1), new(big.Int).Lsh(big.NewInt(1), 159), big.NewInt(2), big.NewInt(3)})
	text := bend(func(f *fields) { f.Key = string(key) })(t, sign(t, asha(), seal.Record, message))
	_, err := seal.Parse(text)
	require.ErrorIs(t, err, seal.ErrMalformed)
}

func TestCertificatesAreRefused(t *testing.T) {
	cert := &ssh.Certificate{Key: asha().PublicKey(), CertType: ssh.UserCert, ValidPrincipals: []string{who}, ValidBefore: ssh.CertTimeInfinity}
	require.NoError(t, cert.SignCert(rand.Reader, sealtest.NewKey("dilys")))
	signer, err := ssh.NewCertSigner(cert, asha())
	require.NoError(t, err)
	_, err = seal.Sign(signer, seal.Record, message)
	require.ErrorContains(t, err, "use an Ed25519")
	text := bend(func(f *fields) { f.Key = string(cert.Marshal()) })(t, sign(t, asha(), seal.Record, message))
	_, err = seal.Parse(text)
	require.ErrorIs(t, err, seal.ErrMalformed)
}

// SHA-1 RSA signatures are refused by OpenSSH too (PROTOCOL.sshsig).
func TestSHA1SignaturesOfRSAAreRefusedByBoth(t *testing.T) {
	path := keyFile(t, "rsa", "-b", "2048")
	key := open(t, path)
	var f fields
	require.NoError(t, ssh.Unmarshal(blobOf(t, sign(t, key, seal.Record, message)), &f))
	made, err := key.(ssh.AlgorithmSigner).SignWithAlgorithm(rand.Reader, signedData(f.Namespace, f.Hash, message), ssh.KeyAlgoRSA)
	require.NoError(t, err)
	f.Signature = string(ssh.Marshal(made))
	text := wrap(ssh.Marshal(f))
	_, err = seal.Parse(text)
	require.ErrorIs(t, err, seal.ErrMalformed)
	ok, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(who, key.PublicKey()), Principal: who,
		Namespace: seal.Record, Signature: text, Message: message,
	})
	assert.False(t, ok, said)
}

func TestAKeyInAnotherEncodingIsRefused(t *testing.T) {
	path := keyFile(t, "rsa", "-b", "2048")
	text := bend(func(f *fields) { f.Key = longExponent(f.Key) })(t, sign(t, open(t, path), seal.Record, message))
	_, err := seal.Parse(text)
	require.ErrorIs(t, err, seal.ErrMalformed)
}

// longExponent rewrites an RSA key's exponent with a needless leading zero.
func longExponent(key string) string {
	const at = 4 + len(ssh.KeyAlgoRSA)
	n := binary.BigEndian.Uint32([]byte(key[at:]))
	size := binary.BigEndian.AppendUint32(nil, n+1)
	return key[:at] + string(size) + "\x00" + key[at+4:]
}

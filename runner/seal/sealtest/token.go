package sealtest

// The rule kept here: a stand-in for a security key signs as OpenSSH's
// PROTOCOL.u2f says that a real one does, and is told whether it was touched.

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"fmt"
	"io"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
)

// The flags that a token sets.
const (
	Touched  = 0x01 // somebody touched it
	Verified = 0x04 // it checked a PIN or a finger
)

const application = "ssh:"

// Token is a security key in software, for tests alone.
type Token struct {
	Flags   byte   // set on every signature
	Counter uint32 // raised by every signature

	public ssh.PublicKey
	secret crypto.Signer
}

// NewToken returns a touched sk-ssh-ed25519 token.
func NewToken(t testing.TB) *Token {
	t.Helper()
	pub, secret, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	wire := ssh.Marshal(struct{ Kind, Key, Application string }{ssh.KeyAlgoSKED25519, string(pub), application})
	return newToken(t, wire, secret)
}

// NewTokenECDSA returns a touched sk-ecdsa-sha2-nistp256 token.
func NewTokenECDSA(t testing.TB) *Token {
	t.Helper()
	secret, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	point, err := secret.PublicKey.Bytes()
	require.NoError(t, err)
	wire := ssh.Marshal(struct{ Kind, Curve, Key, Application string }{ssh.KeyAlgoSKECDSA256, "nistp256", string(point), application})
	return newToken(t, wire, secret)
}

func newToken(t testing.TB, wire []byte, secret crypto.Signer) *Token {
	t.Helper()
	public, err := ssh.ParsePublicKey(wire)
	require.NoError(t, err)
	return &Token{Flags: Touched, public: public, secret: secret}
}

// PublicKey returns the public half.
func (k *Token) PublicKey() ssh.PublicKey { return k.public }

// Sign signs data with the token's flags and the next count.
func (k *Token) Sign(_ io.Reader, data []byte) (*ssh.Signature, error) {
	k.Counter++
	app, message := sha256.Sum256([]byte(application)), sha256.Sum256(data)
	tail := ssh.Marshal(struct {
		Flags   byte
		Counter uint32
	}{k.Flags, k.Counter})
	signed := append(append(app[:], tail...), message[:]...)
	blob, err := k.raw(signed)
	return &ssh.Signature{Format: k.public.Type(), Blob: blob, Rest: tail}, err
}

func (k *Token) raw(signed []byte) ([]byte, error) {
	switch secret := k.secret.(type) {
	case ed25519.PrivateKey:
		return ed25519.Sign(secret, signed), nil
	case *ecdsa.PrivateKey:
		sum := sha256.Sum256(signed)
		r, s, err := ecdsa.Sign(rand.Reader, secret, sum[:])
		return ssh.Marshal(struct{ R, S *big.Int }{r, s}), err
	}
	return nil, fmt.Errorf("a token holds no %T", k.secret)
}

// NewKey returns an Ed25519 signer that depends on the seed alone.
func NewKey(seed string) ssh.Signer {
	sum := sha256.Sum256([]byte(seed))
	signer, err := ssh.NewSignerFromKey(ed25519.NewKeyFromSeed(sum[:]))
	if err != nil {
		panic(err) // an Ed25519 key always makes a signer
	}
	return signer
}

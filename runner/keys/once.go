package keys

// The rule kept here: a witness's signer signs once.

import (
	"fmt"
	"io"
	"sync"

	"golang.org/x/crypto/ssh"
)

// once is a signer that signs once and then forgets its key.
type once struct {
	mu     sync.Mutex
	signer ssh.Signer
	forget func()
	spent  bool
}

// PublicKey returns the key's public half, before and after use.
func (o *once) PublicKey() ssh.PublicKey { return o.signer.PublicKey() }

// Sign signs the first time and refuses after that.
func (o *once) Sign(rand io.Reader, data []byte) (*ssh.Signature, error) {
	return o.spend(func() (*ssh.Signature, error) { return o.signer.Sign(rand, data) })
}

// SignWithAlgorithm signs the first time and refuses after that.
func (o *once) SignWithAlgorithm(rand io.Reader, data []byte, algorithm string) (*ssh.Signature, error) {
	return o.spend(func() (*ssh.Signature, error) {
		with, ok := o.signer.(ssh.AlgorithmSigner)
		if !ok {
			return nil, fmt.Errorf("sign with algorithm %q: this key has one algorithm only; use an Ed25519 key", algorithm)
		}
		return with.SignWithAlgorithm(rand, data, algorithm)
	})
}

func (o *once) spend(sign func() (*ssh.Signature, error)) (*ssh.Signature, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.spent {
		return nil, fmt.Errorf("sign as witness: %w, and this passphrase was used already: ask for it again", ErrNotFresh)
	}
	o.spent = true
	defer o.forget()
	return sign()
}

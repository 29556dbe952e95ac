package seal

// The rule kept here: one list says which kinds of key may sign, and with
// which algorithms.

import (
	"fmt"
	"slices"

	"golang.org/x/crypto/ssh"
)

// formats returns the signature algorithms that a type of key may use, none
// for a type that may not sign. SHA-1 RSA signatures are refused, as OpenSSH
// refuses them here.
func formats(keyType string) []string {
	switch keyType {
	case ssh.KeyAlgoRSA:
		return []string{ssh.KeyAlgoRSASHA512, ssh.KeyAlgoRSASHA256}
	case ssh.KeyAlgoED25519, ssh.KeyAlgoSKED25519, ssh.KeyAlgoSKECDSA256,
		ssh.KeyAlgoECDSA256, ssh.KeyAlgoECDSA384, ssh.KeyAlgoECDSA521:
		return []string{keyType}
	}
	return nil
}

// Supported returns nil for a kind of key that may sign, and otherwise an
// error that says which kinds do.
func Supported(key ssh.PublicKey) error {
	if formats(key.Type()) == nil {
		return fmt.Errorf("a key of type %q cannot be used; use an Ed25519, ECDSA, RSA or security key", key.Type())
	}
	return nil
}

// IsSecurityKey reports that the key lives in a hardware token which wants a
// touch for every signature.
func IsSecurityKey(key ssh.PublicKey) bool {
	return slices.Contains([]string{ssh.KeyAlgoSKED25519, ssh.KeyAlgoSKECDSA256}, key.Type())
}

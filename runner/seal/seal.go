// Package seal makes and checks detached OpenSSH signatures (SSHSIG): the text
// that `ssh-keygen -Y sign` writes and `ssh-keygen -Y verify` reads.
//
//	-----BEGIN SSH SIGNATURE-----
//	U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAg...   base64 in lines of 70
//	-----END SSH SIGNATURE-----
//
// The rule kept here: this package and OpenSSH 9.2 give the same verdict on a
// signature, case by case. Like OpenSSH it accepts, but marks as not Tidy, text
// after the last armour line, white space among the base64, a protocol version
// of 0, a reserved field that is not empty (the protocol says to ignore it) and
// a string field that ends in one NUL. Like OpenSSH it refuses text before the
// armour, a carriage return on the first line, headers, padding bits that are
// not zero, a missing namespace, unknown hashes and trailing bytes.
//
// It is stricter than OpenSSH 9.2 on purpose in these cases alone:
//   - an Ed25519 signature whose scalar is not below the group order, which
//     RFC 8032 section 5.1.7 says to refuse;
//   - a security key's signature made without a touch, or in the browser form
//     (webauthn-sk-ecdsa-sha2-nistp256@openssh.com);
//   - DSA keys and certificates;
//   - a key written in any but its one canonical encoding.
//
// Whether a key may sign, and when, is not decided here: see package roster.
package seal

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"

	"github.com/hiddeco/sshsig"
	"golang.org/x/crypto/ssh"
)

// The namespaces say what a signature was given for, so that one given for one
// purpose can never pass for another.
const (
	Record  = "record@fenderside"  // closes a job: covers the bytes of its record
	Stretch = "stretch@fenderside" // ends one person's stretch: covers the chain head
	Witness = "witness@fenderside" // a second person saw it: covers the chain head
)

// The kinds of failure, for errors.Is.
var (
	// ErrMalformed means that the text is no signature OpenSSH would read.
	ErrMalformed = errors.New("not a well-formed signature")
	// ErrNamespace means that the signature was given for another purpose.
	ErrNamespace = errors.New("signature given for another purpose")
	// ErrMismatch means that the key did not sign these bytes.
	ErrMismatch = errors.New("signature does not cover these bytes")
	// ErrUntouched means that a security key signed without being touched.
	ErrUntouched = errors.New("security key was not touched")
)

// Namespaces returns the three namespaces in the order of their constants.
func Namespaces() []string { return []string{Record, Stretch, Witness} }

// Sign returns the armoured signature of message by signer, with SHA-512, as
// `ssh-keygen -Y sign -n namespace` writes it. RSA keys sign with rsa-sha2-512.
// The signature is verified before it is returned, so that a faulty agent or
// key cannot leave one behind that nobody can check.
func Sign(signer ssh.Signer, namespace string, message []byte) (string, error) {
	if err := Supported(signer.PublicKey()); err != nil {
		return "", fmt.Errorf("sign as %q: %w", namespace, err)
	}
	made, err := sshsig.SignWithRand(bytes.NewReader(message), rand.Reader, signer, sshsig.HashSHA512, namespace)
	if err != nil {
		return "", fmt.Errorf("sign as %q with key %s: %w", namespace, Fingerprint(signer.PublicKey()), err)
	}
	text := armour(made.Marshal())
	if _, err := Verify(text, namespace, message); err != nil {
		return "", fmt.Errorf("sign as %q with key %s: the key returned a signature that does not verify (try again; if it repeats, use another key): %w",
			namespace, Fingerprint(signer.PublicKey()), err)
	}
	return text, nil
}

// Verify parses armoured and checks that its key signed exactly message for
// namespace. On a failure after parsing, the parsed signature is returned with
// the error so that a report can name the key.
func Verify(armoured, namespace string, message []byte) (Signature, error) {
	s, err := Parse(armoured)
	if err != nil {
		return Signature{}, err
	}
	return s, s.Verify(namespace, message)
}

// Verify checks that the signature's key signed exactly message for namespace.
// The error wraps ErrNamespace, ErrUntouched or ErrMismatch.
func (s Signature) Verify(namespace string, message []byte) error {
	if s.Key == nil {
		return fmt.Errorf("verify signature: %w: it is empty; parse it first", ErrMalformed)
	}
	if s.Namespace != namespace {
		return fmt.Errorf("verify signature by %s: %w: it is for %q, and %q is wanted here; look for the signature that belongs to this file",
			s.Fingerprint(), ErrNamespace, s.Namespace, namespace)
	}
	if s.SecurityKey && !s.Touched {
		return fmt.Errorf("verify signature by %s: %w: sign again and touch the key when it blinks", s.Fingerprint(), ErrUntouched)
	}
	made := &sshsig.Signature{
		Version: 1, PublicKey: s.Key, Namespace: s.Namespace,
		HashAlgorithm: sshsig.HashAlgorithm(s.Hash), Signature: s.inner,
	}
	if err := sshsig.Verify(bytes.NewReader(message), made, s.Key, made.HashAlgorithm, namespace); err != nil {
		return fmt.Errorf("verify signature by %s: %w: the bytes or the signature were changed, or the signature belongs to another file (%v)",
			s.Fingerprint(), ErrMismatch, err)
	}
	return nil
}

// Fingerprint returns "SHA256:" and the unpadded base64 SHA-256 of the key, as
// `ssh-keygen -l` shows it.
func Fingerprint(key ssh.PublicKey) string { return ssh.FingerprintSHA256(key) }

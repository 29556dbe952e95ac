package seal_test

// The rule tested here: no change to the bytes of a signature makes it cover
// other bytes, and what parses re-encodes identically.

import (
	"crypto/sha512"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
	"pgregory.net/rapid"

	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

// signedData is what a key signs, as OpenSSH's PROTOCOL.sshsig lays it out.
func signedData(namespace, hash string, message []byte) []byte {
	sum := sha512.Sum512(message)
	return ssh.Marshal(struct {
		Magic                           [6]byte
		Namespace, Reserved, Hash, Data string
	}{[6]byte([]byte("SSHSIG")), namespace, "", hash, string(sum[:])})
}

func TestNoFlippedBitOfTheTextCoversOtherBytesOrAnotherKey(t *testing.T) {
	signed := sign(t, asha(), seal.Record, message)
	other := append(slices.Clone(message), '\n')
	for i := range len(signed) {
		for bit := range 8 {
			bent := []byte(signed)
			bent[i] ^= 1 << bit
			for _, namespace := range seal.Namespaces() {
				_, err := seal.Verify(string(bent), namespace, other)
				require.Error(t, err, "byte %d bit %d", i, bit)
			}
			if s, err := seal.Verify(string(bent), seal.Record, message); err == nil {
				require.Equal(t, seal.Fingerprint(asha().PublicKey()), s.Fingerprint())
				require.False(t, s.Tidy, "byte %d bit %d", i, bit)
			}
		}
	}
}

// One bit of the blob alone may change without harm: version 1 to version 0,
// which OpenSSH accepts too.
func TestOneBitOfTheBlobAloneIsNotCovered(t *testing.T) {
	blob := blobOf(t, sign(t, asha(), seal.Record, message))
	var harmless [][2]int
	for i := range blob {
		for bit := range 8 {
			bent := slices.Clone(blob)
			bent[i] ^= 1 << bit
			if _, err := seal.Verify(wrap(bent), seal.Record, message); err == nil {
				harmless = append(harmless, [2]int{i, bit})
			}
		}
	}
	assert.Equal(t, [][2]int{{9, 0}}, harmless)
}

func TestOpenSSHAgreesOnAFlippedBitInEveryByte(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some hundred runs of ssh-keygen: left out of a short test")
	}
	blob := blobOf(t, sign(t, asha(), seal.Record, message))
	for i := range blob {
		bent := slices.Clone(blob)
		bent[i] ^= 1 << (i % 8)
		_, err := seal.Verify(wrap(bent), seal.Record, message)
		agree(t, wrap(bent), seal.Record, message, err == nil)
	}
}

// edits are pieces that a text editor, a mail program or a forger might put in.
var edits = []string{"", "\n", "\r\n", " ", "\t", "=", "A", "/", "\x00", "-", "\n-----END SSH SIGNATURE-----", "-----BEGIN SSH SIGNATURE-----\n", "Note: x\n", "\v", "\xc2\xa0"}

func TestOpenSSHAgreesOnEditedTexts(t *testing.T) {
	signed := sign(t, asha(), seal.Record, message)
	sealtest.Tool(t, "ssh-keygen")
	rapid.Check(t, func(r *rapid.T) {
		text := signed
		for range rapid.IntRange(1, 3).Draw(r, "edits") {
			at := rapid.IntRange(0, len(text)).Draw(r, "at")
			cut := min(rapid.SampledFrom([]int{0, 0, 1, 2}).Draw(r, "cut"), len(text)-at)
			text = text[:at] + rapid.SampledFrom(edits).Draw(r, "piece") + text[at+cut:]
		}
		_, err := seal.Verify(text, seal.Record, message)
		agree(t, text, seal.Record, message, err == nil)
	})
}

func TestANonsenseSignatureVerifiesNothing(t *testing.T) {
	require.ErrorIs(t, seal.Signature{}.Verify(seal.Record, message), seal.ErrMalformed)
	_, err := seal.Sign(asha(), "", message)
	require.Error(t, err)
}

func FuzzParse(f *testing.F) {
	for _, s := range []ssh.Signer{asha(), sealtest.NewToken(f), sealtest.NewTokenECDSA(f)} {
		text := sign(f, s, seal.Record, message)
		f.Add(text)
		f.Add(text + "trailing\n")
		f.Add(strings.ReplaceAll(text, "\n", "\r\n"))
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := seal.Parse(text)
		if err != nil {
			require.ErrorIs(t, err, seal.ErrMalformed)
			return
		}
		again, err := seal.Parse(s.Armour())
		require.NoError(t, err)
		require.Equal(t, s.Armour(), again.Armour())
		require.Equal(t, s.Fingerprint(), again.Fingerprint())
		if s.Tidy {
			require.Equal(t, text, s.Armour())
		}
	})
}

// FuzzParseBlob bends what stands inside the armour, which FuzzParse seldom
// gets through to.
func FuzzParseBlob(f *testing.F) {
	for _, s := range []ssh.Signer{asha(), sealtest.NewToken(f), sealtest.NewTokenECDSA(f)} {
		f.Add(blobOf(f, sign(f, s, seal.Record, message)))
	}
	f.Fuzz(func(t *testing.T, blob []byte) {
		s, err := seal.Parse(wrap(blob))
		if err != nil {
			require.ErrorIs(t, err, seal.ErrMalformed)
			return
		}
		require.Equal(t, blob, blobOf(t, s.Armour()))
	})
}

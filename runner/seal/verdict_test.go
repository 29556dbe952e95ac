package seal_test

// The rule tested here: on every case of the table, this package and the
// installed ssh-keygen give the same verdict. Each expected verdict was also
// seen from OpenSSH 9.2p1, and is written down so that the table holds where
// there is no ssh-keygen.

import (
	"encoding/base64"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

const who = "asha@millbrook.example"

var message = []byte("{\"seq\":0,\"event\":\"opened\"}\n{\"seq\":1,\"event\":\"closed\"}\n")

// fields is the blob of a signature, taken apart so that tests can bend it.
type fields struct {
	Magic     [6]byte
	Version   uint32
	Key       string
	Namespace string
	Reserved  string
	Hash      string
	Signature string
}

type inner struct {
	Format string
	Blob   []byte
	Rest   []byte `ssh:"rest"`
}

func asha() ssh.Signer { return sealtest.NewKey("asha") }

func sign(t testing.TB, by ssh.Signer, namespace string, message []byte) string {
	t.Helper()
	text, err := seal.Sign(by, namespace, message)
	require.NoError(t, err)
	return text
}

// blobOf takes the blob out of a tidy signature.
func blobOf(t testing.TB, text string) []byte {
	t.Helper()
	rows := strings.Split(strings.TrimSpace(text), "\n")
	blob, err := base64.StdEncoding.DecodeString(strings.Join(rows[1:len(rows)-1], ""))
	require.NoError(t, err)
	return blob
}

// wrap puts armour around any bytes or base64, right or wrong.
func wrap(blob []byte) string { return wrapText(base64.StdEncoding.EncodeToString(blob)) }
func wrapText(b64 string) string {
	return "-----BEGIN SSH SIGNATURE-----\n" + b64 + "\n-----END SSH SIGNATURE-----\n"
}

// bend returns the signature with its fields changed.
func bend(change func(*fields)) func(*testing.T, string) string {
	return func(t *testing.T, text string) string {
		var f fields
		require.NoError(t, ssh.Unmarshal(blobOf(t, text), &f))
		change(&f)
		return wrap(ssh.Marshal(f))
	}
}

// bendInner returns the signature with its inner signature changed.
func bendInner(change func(*inner)) func(*testing.T, string) string {
	return func(t *testing.T, text string) string {
		return bend(func(f *fields) {
			var in inner
			require.NoError(t, ssh.Unmarshal([]byte(f.Signature), &in))
			change(&in)
			f.Signature = string(ssh.Marshal(in))
		})(t, text)
	}
}

func edit(change func(string) string) func(*testing.T, string) string {
	return func(_ *testing.T, text string) string { return change(text) }
}

// b64 returns the signature with its base64, taken as one line, changed.
func b64(change func(string) string) func(*testing.T, string) string {
	return func(t *testing.T, text string) string {
		return wrapText(change(base64.StdEncoding.EncodeToString(blobOf(t, text))))
	}
}

func swap(old, new string) func(*testing.T, string) string {
	return edit(func(s string) string { return strings.Replace(s, old, new, 1) })
}

type verdictCase struct {
	name string
	make func(*testing.T, string) string
	want bool // the verdict of both
	tidy bool
}

func same() func(*testing.T, string) string { return edit(func(s string) string { return s }) }

var armourCases = []verdictCase{
	{"as signed", same(), true, true},
	{"text before the armour", edit(func(s string) string { return "note\n" + s }), false, false},
	{"blank line before the armour", edit(func(s string) string { return "\n" + s }), false, false},
	{"space before the armour", edit(func(s string) string { return " " + s }), false, false},
	{"byte order mark before the armour", edit(func(s string) string { return "\xef\xbb\xbf" + s }), false, false},
	{"CRLF line ends", edit(func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }), false, false},
	{"CRLF after the first line end only", edit(func(s string) string {
		head, body, _ := strings.Cut(s, "\n")
		return head + "\n" + strings.ReplaceAll(body, "\n", "\r\n")
	}), true, false},
	{"header inside", swap("-----\n", "-----\nComment: x\n\n"), false, false},
	{"header inside without blank line", swap("-----\n", "-----\nVersion: 1\n"), false, false},
	{"blank line inside", swap("-----\n", "-----\n\n"), true, false},
	{"white space inside", swap("U1N", " U\t1\v\fN"), true, false},
	{"no-break space inside", swap("U1N", "U\u00a01N"), false, false},
	{"text after the armour", edit(func(s string) string { return s + "note\n" }), true, false},
	{"text on the last armour line", edit(func(s string) string { return strings.TrimSpace(s) + " note" }), true, false},
	{"second signature after the first", edit(func(s string) string { return s + s }), true, false},
	{"no line end at the end", edit(strings.TrimSpace), true, false},
	{"last armour line cut", edit(func(s string) string { return s[:len(s)-2] }), false, false},
	{"last armour line missing", swap("-----END SSH SIGNATURE-----\n", ""), false, false},
	{"space before the last armour line", swap("-----END", " -----END"), false, false},
	{"all on one line", edit(func(s string) string { return strings.ReplaceAll(s, "\n", "") }), false, false},
	{"first armour line of another kind", swap("SSH SIGNATURE", "PGP SIGNATURE"), false, false},
	{"lower case armour", swap("BEGIN", "begin"), false, false},
	{"nothing inside", edit(func(string) string { return wrapText("") }), false, false},
	{"an empty file", edit(func(string) string { return "" }), false, false},
	{"NUL inside", swap("U1N", "U\x001N"), false, false},
	{"NUL before the last armour line", swap("\n-----END", "\x00\n-----END"), true, false},
	{"two NULs before the last armour line", swap("\n-----END", "\x00\x00\n-----END"), false, false},
}

var base64Cases = []verdictCase{
	{"one long line", b64(func(s string) string { return s }), true, false},
	{"stray padding bits", b64(func(s string) string { return s[:len(s)-3] + next(s) + "==" }), false, false},
	{"no padding", b64(func(s string) string { return strings.TrimRight(s, "=") }), false, false},
	{"half the padding", b64(func(s string) string { return s[:len(s)-1] }), false, false},
	{"too much padding", b64(func(s string) string { return s + "=" }), false, false},
	{"space in the padding", b64(func(s string) string { return s[:len(s)-1] + " \n=" }), true, false},
	{"text after the padding", b64(func(s string) string { return s + "AAAA" }), false, false},
	{"padding in the middle", b64(func(s string) string { return s[:40] + "=" + s[40:] }), false, false},
	{"a character that is not base64", b64(func(s string) string { return s[:40] + "!" + s[40:] }), false, false},
	{"URL alphabet", b64(func(s string) string { return s[:40] + "-_" + s[42:] }), false, false},
	{"one character more", b64(func(s string) string { return s[:40] + "A" + s[40:] }), false, false},
}

// next returns the base64 character after the one that ends s before its
// padding, which sets a bit that must be zero.
func next(s string) string {
	const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
	return string(alphabet[strings.IndexByte(alphabet, s[len(s)-3])+1])
}

var blobCases = []verdictCase{
	{"magic of another kind", bend(func(f *fields) { f.Magic[5] = 'g' }), false, false},
	{"version 0", bend(func(f *fields) { f.Version = 0 }), true, false},
	{"version 2", bend(func(f *fields) { f.Version = 2 }), false, false},
	{"version 1 shifted", bend(func(f *fields) { f.Version = 1 << 24 }), false, false},
	{"reserved field not empty", bend(func(f *fields) { f.Reserved = "x" }), true, false},
	{"empty namespace", bend(func(f *fields) { f.Namespace = "" }), false, false},
	{"other namespace written in", bend(func(f *fields) { f.Namespace = seal.Witness }), false, false},
	{"namespace that ends in NUL", bend(func(f *fields) { f.Namespace += "\x00" }), true, false},
	{"namespace with NUL inside", bend(func(f *fields) { f.Namespace = "\x00" + f.Namespace }), false, false},
	{"namespace that ends in two NULs", bend(func(f *fields) { f.Namespace += "\x00\x00" }), false, false},
	{"hash that ends in NUL", bend(func(f *fields) { f.Hash += "\x00" }), true, false},
	{"hash in upper case", bend(func(f *fields) { f.Hash = "SHA512" }), false, false},
	{"hash not the one signed", bend(func(f *fields) { f.Hash = "sha256" }), false, false},
	{"unknown hash", bend(func(f *fields) { f.Hash = "sha384" }), false, false},
	{"empty hash", bend(func(f *fields) { f.Hash = "" }), false, false},
	{"key with trailing byte", bend(func(f *fields) { f.Key += "\x00" }), false, false},
	{"key empty", bend(func(f *fields) { f.Key = "" }), false, false},
	{"other key written in", bend(func(f *fields) { f.Key = string(sealtest.NewKey("bryn").PublicKey().Marshal()) }), false, false},
	{"inner signature with trailing byte", bend(func(f *fields) { f.Signature += "\x00" }), false, false},
	{"inner signature empty", bend(func(f *fields) { f.Signature = "" }), false, false},
	{"inner algorithm that ends in NUL", bendInner(func(in *inner) { in.Format += "\x00" }), true, false},
	{"inner algorithm of another key", bendInner(func(in *inner) { in.Format = ssh.KeyAlgoSKED25519 }), false, false},
	{"inner bytes one short", bendInner(func(in *inner) { in.Blob = in.Blob[:63] }), false, false},
	{"inner bytes one long", bendInner(func(in *inner) { in.Blob = append(in.Blob, 0) }), false, false},
}

func TestVerdictOnASignatureIsOpenSSHs(t *testing.T) {
	signed := sign(t, asha(), seal.Record, message)
	cases := append(append(append([]verdictCase{}, armourCases...), base64Cases...), blobCases...)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := c.make(t, signed)
			s, err := seal.Verify(text, seal.Record, message)
			assert.Equal(t, c.want, err == nil, "ours: %v", err)
			assert.Equal(t, c.tidy, s.Tidy)
			agree(t, text, seal.Record, message, c.want)
		})
	}
}

// agree requires ssh-keygen to give the wanted verdict, with asha on the
// roster for any role.
func agree(t testing.TB, text, namespace string, message []byte, want bool) {
	t.Helper()
	got, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(who, asha().PublicKey()), Principal: who,
		Namespace: namespace, Signature: text, Message: message,
	})
	assert.Equal(t, want, got, "ssh-keygen: %s", said)
}

func TestTrailingBytesInTheBlobAreRefusedByBoth(t *testing.T) {
	text := wrap(append(blobOf(t, sign(t, asha(), seal.Record, message)), 'x'))
	_, err := seal.Parse(text)
	require.ErrorIs(t, err, seal.ErrMalformed)
	agree(t, text, seal.Record, message, false)
}

func TestASignatureMovedToOtherBytesOrPurposeIsRefusedByBoth(t *testing.T) {
	signed := sign(t, asha(), seal.Record, message)
	for _, c := range []struct {
		name, namespace string
		message         []byte
		want            error
	}{
		{"same", seal.Record, message, nil},
		{"moved to another record", seal.Record, []byte("another\n"), seal.ErrMismatch},
		{"moved to no bytes", seal.Record, nil, seal.ErrMismatch},
		{"one line end dropped", seal.Record, message[:len(message)-1], seal.ErrMismatch},
		{"asked for as a witness", seal.Witness, message, seal.ErrNamespace},
		{"asked for as a stretch", seal.Stretch, message, seal.ErrNamespace},
		{"asked for in a namespace that begins alike", seal.Record + "x", message, seal.ErrNamespace},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := seal.Verify(signed, c.namespace, c.message)
			require.ErrorIs(t, err, c.want)
			assert.Equal(t, seal.Fingerprint(asha().PublicKey()), s.Fingerprint())
			agree(t, signed, c.namespace, c.message, c.want == nil)
		})
	}
}

// A NUL hides what follows it from programs written in C.
func TestANULInsideAFieldIsMalformed(t *testing.T) {
	signed := sign(t, asha(), seal.Record, message)
	for name, change := range map[string]func(*fields){
		"namespace": func(f *fields) { f.Namespace += "\x00witness" },
		"hash":      func(f *fields) { f.Hash += "\x00sha256" },
	} {
		_, err := seal.Parse(bend(change)(t, signed))
		assert.ErrorIs(t, err, seal.ErrMalformed, name)
		assert.ErrorContains(t, err, "holds a NUL", name)
	}
}

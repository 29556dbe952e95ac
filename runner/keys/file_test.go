package keys_test

// The rule tested here: a key file opens for its owner and for nobody else.

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/keys"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

const asha = "asha@millbrook.example"

var message = []byte("{\"seq\":0}\n")

// asked answers prompts from a list and keeps the answers, to see them wiped.
type asked struct {
	answers []string
	prompts []string
	given   [][]byte
}

var errWentAway = errors.New("nobody there")

func (a *asked) ask(prompt string) ([]byte, error) {
	a.prompts = append(a.prompts, prompt)
	if len(a.answers) == 0 {
		return nil, errWentAway
	}
	pass := []byte(a.answers[0])
	a.answers = a.answers[1:]
	a.given = append(a.given, pass)
	return pass, nil
}

func (a *asked) requireWiped(t *testing.T) {
	t.Helper()
	for _, g := range a.given {
		require.Equal(t, make([]byte, len(g)), g)
	}
}

// made has ssh-keygen make a key file with that passphrase.
func made(t testing.TB, passphrase string, kind ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "key")
	args := append([]string{"-q", "-N", passphrase, "-C", asha, "-f", path, "-t"}, kind...)
	sealtest.Run(t, filepath.Dir(path), "ssh-keygen", args...)
	return path
}

// requireGood requires OpenSSH and this project to accept what the signer signs.
func requireGood(t testing.TB, by ssh.Signer) {
	t.Helper()
	text, err := seal.Sign(by, seal.Record, message)
	require.NoError(t, err)
	ok, said := sealtest.Accepts(t, sealtest.Question{
		Roster: sealtest.AnyRole(asha, by.PublicKey()), Principal: asha,
		Namespace: seal.Record, Signature: text, Message: message,
	})
	require.True(t, ok, said)
}

func TestAProtectedKeyOfSSHKeygensOpensWithItsPassphrase(t *testing.T) {
	for name, kind := range map[string][]string{
		"ed25519":               {"ed25519"},
		"ed25519, older cipher": {"ed25519", "-Z", "aes256-cbc"},
		"ecdsa":                 {"ecdsa"},
		"rsa":                   {"rsa", "-b", "2048"},
	} {
		t.Run(name, func(t *testing.T) {
			path := made(t, "millbrook", kind...)
			a := &asked{answers: []string{"wrong", "", "millbrook"}}
			key, err := keys.FileSigner(path, a.ask)
			require.NoError(t, err)
			requireGood(t, key)
			a.requireWiped(t)
			require.Len(t, a.prompts, 3)
			assert.Equal(t, "Passphrase for "+path+": ", a.prompts[0])
			assert.Contains(t, a.prompts[2], "try 3 of 3")
		})
	}
}

func TestAnUnprotectedKeyOpensWithoutAsking(t *testing.T) {
	key, err := keys.FileSigner(made(t, "", "ed25519"), nil)
	require.NoError(t, err)
	requireGood(t, key)
}

func TestThreeWrongPassphrasesGiveUp(t *testing.T) {
	path := made(t, "millbrook", "ed25519")
	a := &asked{answers: []string{"one", "two", "three", "millbrook"}}
	_, err := keys.FileSigner(path, a.ask)
	require.ErrorIs(t, err, keys.ErrPassphrase)
	require.ErrorContains(t, err, "find the right one and try again")
	assert.Equal(t, []string{"millbrook"}, a.answers, "the fourth is not asked for")
	a.requireWiped(t)
}

func TestGivingUpAtThePromptIsToldApartFromAWrongPassphrase(t *testing.T) {
	path := made(t, "millbrook", "ed25519")
	a := &asked{answers: []string{"wrong"}}
	_, err := keys.FileSigner(path, a.ask)
	require.ErrorIs(t, err, errWentAway)
	require.NotErrorIs(t, err, keys.ErrPassphrase)
	_, err = keys.FileSigner(path, nil)
	require.ErrorContains(t, err, "run this at a terminal")
}

func TestThePublicHalfIsKnownBeforeThePassphrase(t *testing.T) {
	for _, pass := range []string{"", "millbrook"} {
		path := made(t, pass, "ed25519")
		key, protected, err := keys.PublicOf(path)
		require.NoError(t, err)
		assert.Equal(t, pass != "", protected)
		text, err := os.ReadFile(path + ".pub")
		require.NoError(t, err)
		assert.True(t, bytes.HasPrefix(text, bytes.TrimSpace(ssh.MarshalAuthorizedKey(key))))
	}
}

func TestWhatIsNoKeyFileIsToldWhatToDo(t *testing.T) {
	dir := t.TempDir()
	path := func(name string, text []byte, mode fs.FileMode) string {
		p := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(p, text, 0o600))
		require.NoError(t, os.Chmod(p, mode))
		return p
	}
	good, err := os.ReadFile(made(t, "", "ed25519"))
	require.NoError(t, err)
	public := ssh.MarshalAuthorizedKey(sealtest.NewKey("asha").PublicKey())
	for name, c := range map[string]struct{ path, says string }{
		"no file":         {filepath.Join(dir, "none"), "make a key there first"},
		"folder":          {dir, "it is not a plain file"},
		"empty":           {path("empty", nil, 0o600), "remove it and make the key again"},
		"public half":     {path("public", public, 0o600), "give the private key's path"},
		"old format":      {made(t, "", "rsa", "-b", "2048", "-m", "PEM"), "ssh-keygen -p -f"},
		"something else":  {path("else", []byte("hello\n"), 0o600), "check that it is a private key"},
		"too long":        {path("long", make([]byte, 1<<17), 0o600), "check that it is a key"},
		"cut short":       {path("cut", good[:len(good)/2], 0o600), "restore the file from a copy"},
		"others may read": {path("open", good, 0o640), "chmod 600"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := keys.FileSigner(c.path, nil)
			require.ErrorContains(t, err, c.says)
			_, err = keys.FreshSigner(c.path, nil)
			require.ErrorContains(t, err, c.says)
		})
	}
}

func TestAMissingFileIsRecognisable(t *testing.T) {
	_, err := keys.FileSigner(filepath.Join(t.TempDir(), "none"), nil)
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// A file whose public part was swapped would sign with another key than the
// one shown before the passphrase was asked for.
func TestAFileWhosePublicPartWasSwappedIsRefused(t *testing.T) {
	path := made(t, "millbrook", "ed25519")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, swapPublic(t, text, sealtest.NewKey("bryn").PublicKey()), 0o600))
	_, err = keys.FileSigner(path, (&asked{answers: []string{"millbrook"}}).ask)
	require.ErrorContains(t, err, "does not belong")
}

func TestACipherThatCannotBeReadIsToldHowToChange(t *testing.T) {
	path := made(t, "millbrook", "ed25519", "-Z", "aes256-gcm@openssh.com")
	_, err := keys.FileSigner(path, (&asked{answers: []string{"millbrook"}}).ask)
	require.ErrorContains(t, err, "ssh-keygen -p -Z aes256-ctr")
	sealtest.Run(t, filepath.Dir(path), "ssh-keygen", "-q", "-p", "-P", "millbrook", "-N", "millbrook", "-Z", "aes256-ctr", "-f", path)
	key, err := keys.FileSigner(path, (&asked{answers: []string{"millbrook"}}).ask)
	require.NoError(t, err)
	requireGood(t, key)
}

func TestAFileThatPointsToASecurityKeyNamesTheAgent(t *testing.T) {
	path := made(t, "millbrook", "ed25519")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, swapPublic(t, text, sealtest.NewToken(t).PublicKey()), 0o600))
	a := &asked{answers: []string{"millbrook"}}
	_, err = keys.FreshSigner(path, a.ask)
	require.ErrorContains(t, err, "ssh-add")
	assert.Empty(t, a.prompts)
}

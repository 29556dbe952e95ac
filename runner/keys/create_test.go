package keys_test

// The rule tested here: a new key is one OpenSSH reads, and never takes the
// place of another.

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/keys"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

func TestANewKeyIsOneOpenSSHReads(t *testing.T) {
	for _, pass := range []string{"", "millbrook"} {
		path := filepath.Join(t.TempDir(), "new", "folder", "key")
		given := []byte(pass)
		public, err := keys.Create(path, asha, given)
		require.NoError(t, err)
		assert.Equal(t, make([]byte, len(pass)), given, "wiped")
		dir := filepath.Dir(path)
		requireModes(t, dir)
		derived := sealtest.Run(t, dir, "ssh-keygen", "-y", "-P", pass, "-f", path)
		text, err := os.ReadFile(path + ".pub")
		require.NoError(t, err)
		assert.Equal(t, derived, string(text), "the comment too")
		assert.Equal(t, strings.TrimSpace(string(ssh.MarshalAuthorizedKey(public)))+" "+asha+"\n", string(text))
		shown := sealtest.Run(t, dir, "ssh-keygen", "-l", "-f", path)
		assert.Contains(t, shown, seal.Fingerprint(public)+" "+asha+" (ED25519)")
		key, err := keys.FileSigner(path, (&asked{answers: []string{pass}}).ask)
		require.NoError(t, err)
		requireGood(t, key)
	}
}

// requireModes requires a folder of one key pair, closed to others, with no
// temporary file left.
func requireModes(t *testing.T, dir string) {
	t.Helper()
	modes := map[string]fs.FileMode{}
	found, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range found {
		info, err := f.Info()
		require.NoError(t, err)
		modes[f.Name()] = info.Mode()
	}
	assert.Equal(t, map[string]fs.FileMode{"key": 0o600, "key.pub": 0o644}, modes)
	info, err := os.Stat(dir)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o700), info.Mode().Perm())
}

func TestANewKeyIsSignedWithBySSHKeygen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "key")
	public, err := keys.Create(path, asha, nil)
	require.NoError(t, err)
	s, err := seal.Verify(sealtest.SignWith(t, path, seal.Stretch, message), seal.Stretch, message)
	require.NoError(t, err)
	assert.Equal(t, seal.Fingerprint(public), s.Fingerprint())
}

func TestANewKeyNeverTakesThePlaceOfAFile(t *testing.T) {
	for _, taken := range []string{"key", "key.pub"} {
		t.Run(taken, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, taken), []byte("older"), 0o600))
			given := []byte("millbrook")
			_, err := keys.Create(filepath.Join(dir, "key"), asha, given)
			require.ErrorIs(t, err, keys.ErrExists)
			require.ErrorContains(t, err, "choose another path")
			assert.Equal(t, make([]byte, len(given)), given)
			found, err := os.ReadDir(dir)
			require.NoError(t, err)
			require.Len(t, found, 1)
			text, err := os.ReadFile(filepath.Join(dir, taken))
			require.NoError(t, err)
			assert.Equal(t, "older", string(text))
		})
	}
}

func TestALinkToNowhereIsNotWrittenThrough(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Symlink(filepath.Join(dir, "elsewhere"), filepath.Join(dir, "key")))
	_, err := keys.Create(filepath.Join(dir, "key"), asha, nil)
	require.ErrorIs(t, err, keys.ErrExists)
	_, err = os.Stat(filepath.Join(dir, "elsewhere"))
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func TestAKeyIsNotMadeForANameARosterCannotHold(t *testing.T) {
	for _, name := range []string{"", "a b", "*", "a,b", "a\nb", "#a", "\u202ea"} {
		path := filepath.Join(t.TempDir(), "key")
		_, err := keys.Create(path, name, nil)
		require.Error(t, err, "%q", name)
		_, err = os.Stat(path)
		require.ErrorIs(t, err, fs.ErrNotExist)
	}
}

func TestAFolderThatCannotBeWrittenIsSaidSo(t *testing.T) {
	blocked := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(blocked, nil, 0o600))
	_, err := keys.Create(filepath.Join(blocked, "key"), asha, nil)
	require.ErrorContains(t, err, "choose a folder")
}

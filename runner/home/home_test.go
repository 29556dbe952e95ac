package home_test

// The rules tested here: files lie where the platform's conventions say, a fresh machine works with nothing set up, what is
// made is told, and nothing is replaced.

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner/home"
	"fenderside/runner/keys"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
)

func environment(pairs ...string) func(string) string {
	return func(name string) string {
		for i := 0; i < len(pairs); i += 2 {
			if pairs[i] == name {
				return pairs[i+1]
			}
		}
		return ""
	}
}

// The XDG Base Directory Specification, version 0.8: the defaults $HOME/.config and $HOME/.local/share; an empty variable
// counts as not set; "if an implementation encounters a relative path ... it should consider the path invalid and ignore it".
func TestFilesLieWhereTheXDGSpecificationSays(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("needs a system that follows the specification")
	}
	for _, c := range []struct {
		name         string
		env          []string
		config, data string
	}{
		{"defaults", []string{"HOME", "/h"}, "/h/.config/fenderside", "/h/.local/share/fenderside"},
		{"both set", []string{"HOME", "/h", "XDG_CONFIG_HOME", "/c", "XDG_DATA_HOME", "/d"}, "/c/fenderside", "/d/fenderside"},
		{"set without HOME", []string{"XDG_CONFIG_HOME", "/c", "XDG_DATA_HOME", "/d"}, "/c/fenderside", "/d/fenderside"},
		{"relative is ignored", []string{"HOME", "/h", "XDG_CONFIG_HOME", "c", "XDG_DATA_HOME", "./d"}, "/h/.config/fenderside", "/h/.local/share/fenderside"},
		{"one folder over all", []string{"HOME", "/h", "XDG_DATA_HOME", "/d", "FENDERSIDE_HOME", "/f"}, "/f/config", "/f/data"},
	} {
		h, err := home.Find(environment(c.env...))
		require.NoError(t, err, c.name)
		assert.Equal(t, c.config, h.ConfigDir, c.name)
		assert.Equal(t, c.data, h.DataDir, c.name)
	}
	_, err := home.Find(environment())
	require.ErrorContains(t, err, "FENDERSIDE_HOME")
}

func fresh(t *testing.T) home.Home {
	t.Helper()
	t.Setenv("USER", "asha")
	t.Setenv("SSH_AUTH_SOCK", "")
	dir := t.TempDir()
	return home.Home{ConfigDir: filepath.Join(dir, "config"), DataDir: filepath.Join(dir, "data")}
}

func TestTheFirstNeedMakesAKeyAndARosterAndSaysSo(t *testing.T) {
	h := fresh(t)
	_, err := h.Existing()
	require.ErrorIs(t, err, fs.ErrNotExist)
	id, notice, err := h.Identity()
	require.NoError(t, err)
	assert.Regexp(t, `^asha@`, id.Person.Name)
	assert.Equal(t, filepath.Join(h.ConfigDir, "key"), id.KeyFile)
	assert.False(t, id.Protected)
	for _, part := range []string{id.KeyFile, id.Person.Fingerprint, "no passphrase", "cannot witness", "ssh-keygen -p -f", h.RosterPath()} {
		assert.Contains(t, notice, part)
	}
	people, err := h.People()
	require.NoError(t, err)
	require.Len(t, people.Entries(), 1)
	assert.Equal(t, []string{id.Person.Name}, people.Entries()[0].Principals)
	assert.True(t, people.Entries()[0].AllRoles())
	again, notice, err := h.Identity()
	require.NoError(t, err)
	assert.Equal(t, id, again)
	assert.Empty(t, notice)
	info, err := os.Stat(id.KeyFile)
	require.NoError(t, err)
	assert.Zero(t, info.Mode().Perm()&0o077)
}

// ssh-keygen of OpenSSH reads the key and finds its owner on the roster that was made.
func TestOpenSSHReadsTheKeyAndTheRosterThatWereMade(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	program := sealtest.Tool(t, "ssh-keygen")
	out, err := exec.Command(program, "-l", "-f", id.KeyFile).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), id.Person.Fingerprint)
	signer, err := h.Signer(id.Person)
	require.NoError(t, err)
	sig, err := seal.Sign(signer, seal.Record, []byte("message"))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "sig")
	require.NoError(t, os.WriteFile(file, []byte(sig), 0o600))
	verify := exec.Command(program, "-Y", "verify", "-f", h.RosterPath(), "-I", id.Person.Name, "-n", seal.Record, "-s", file)
	verify.Stdin = strings.NewReader("message")
	out, err = verify.CombinedOutput()
	require.NoError(t, err, string(out))
}

func TestTheRosterNamesThePersonAndIsNotReplaced(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	line, err := roster.Line("dilys@millbrook.example", id.Public, []string{seal.Stretch}, "")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(h.RosterPath(), []byte(line+"\n"), 0o600))
	id, notice, err := h.Identity()
	require.NoError(t, err)
	assert.Equal(t, "dilys@millbrook.example", id.Person.Name)
	assert.Empty(t, notice)
	require.NoError(t, os.WriteFile(h.RosterPath(), nil, 0o600))
	_, notice, err = h.Identity()
	require.NoError(t, err)
	assert.Empty(t, notice)
	people, err := h.People()
	require.NoError(t, err)
	assert.Empty(t, people.Entries(), "an empty roster is a roster: it is not written over")
}

func TestAKeyIsNeverReplaced(t *testing.T) {
	h := fresh(t)
	id, _, err := h.NewKey("bryn@millbrook.example", []byte("a long passphrase"))
	require.NoError(t, err)
	assert.True(t, id.Protected)
	assert.Equal(t, "bryn@millbrook.example", id.Person.Name)
	_, _, err = h.NewKey("", nil)
	require.ErrorIs(t, err, keys.ErrExists)
	require.ErrorIs(t, h.NoKeyYet(), keys.ErrExists)
	now, err := h.Existing()
	require.NoError(t, err)
	assert.Equal(t, id, now)
	require.NoError(t, os.WriteFile(id.KeyFile, nil, 0o600))
	_, _, err = h.Identity()
	require.ErrorContains(t, err, "remove it and make the key again", "an emptied key is told, not made anew in silence")
}

func TestAFileInPlaceOfTheFolderIsTold(t *testing.T) {
	h := fresh(t)
	require.NoError(t, os.WriteFile(h.ConfigDir, nil, 0o600))
	_, _, err := h.Identity()
	require.ErrorContains(t, err, "FENDERSIDE_HOME")
	require.ErrorContains(t, h.NoKeyYet(), "FENDERSIDE_HOME")
	require.NoError(t, os.WriteFile(h.DataDir, nil, 0o600))
	_, err = h.Store()
	require.ErrorContains(t, err, h.DataDir)
}

func TestAddingAPersonKeepsWhatStandsAndRefusesAFault(t *testing.T) {
	h := fresh(t)
	id, _, err := h.Identity()
	require.NoError(t, err)
	before, err := os.ReadFile(h.RosterPath())
	require.NoError(t, err)
	other := fresh(t)
	second, _, err := other.NewKey("bryn@millbrook.example", nil)
	require.NoError(t, err)
	e := roster.Entry{Principals: []string{second.Person.Name}, Key: second.Public, Fingerprint: second.Person.Fingerprint, Namespaces: []string{seal.Witness}}
	require.NoError(t, os.WriteFile(h.RosterPath(), []byte(strings.TrimSuffix(string(before), "\n")), 0o600), "a last line without its end")
	require.NoError(t, h.AddPerson(e))
	people, err := h.People()
	require.NoError(t, err)
	assert.Len(t, people.Entries(), 2)
	assert.True(t, strings.HasPrefix(string(people.Text()), string(before)))
	require.ErrorContains(t, h.AddPerson(e), "line 2 gives it to bryn@millbrook.example already")
	_, ok := people.Find(id.Person.Fingerprint)
	assert.True(t, ok)
	e.Principals = []string{"*"}
	require.Error(t, h.AddPerson(e))
	require.NoError(t, os.WriteFile(h.RosterPath(), []byte("asha ssh-ed25519 x\n"), 0o600))
	e.Principals = []string{"bryn"}
	require.Error(t, h.AddPerson(e))
	text, err := os.ReadFile(h.RosterPath())
	require.NoError(t, err)
	assert.Equal(t, "asha ssh-ed25519 x\n", string(text))
}

package journal

// Tests of the durability primitives: content is replaced whole, and failure
// leaves the old content and no litter.

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var list []string
	for _, entry := range entries {
		list = append(list, entry.Name())
	}
	return list
}

func TestAFileIsWrittenAndReplacedWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "record.jsonl")
	for _, data := range []string{"first", "", "second, longer"} {
		require.NoError(t, WriteFileDurably(path, []byte(data), 0o640))
		assert.Equal(t, data, string(contents(t, path)))
		assert.Equal(t, []string{"record.jsonl"}, names(t, dir))
	}
	if runtime.GOOS != "windows" {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, fs.FileMode(0o640), info.Mode().Perm())
	}
}

func TestAFailedWriteLeavesNoLitter(t *testing.T) {
	dir := t.TempDir()
	blocked := filepath.Join(dir, "record.jsonl")
	require.NoError(t, os.MkdirAll(filepath.Join(blocked, "inside"), 0o700))
	require.Error(t, WriteFileDurably(blocked, []byte("x"), 0o600), "no file can take a folder's place")
	assert.Equal(t, []string{"record.jsonl"}, names(t, dir))

	err := WriteFileDurably(filepath.Join(dir, "missing", "record.jsonl"), nil, 0o600)
	require.ErrorIs(t, err, fs.ErrNotExist)
	assert.ErrorContains(t, err, "record.jsonl")
}

func TestARenameMovesAndReplacesAcrossFolders(t *testing.T) {
	from, to := t.TempDir(), t.TempDir()
	old, target := filepath.Join(from, "a"), filepath.Join(to, "b")
	require.NoError(t, os.WriteFile(old, []byte("new"), 0o600))
	require.NoError(t, os.WriteFile(target, []byte("replaced"), 0o600))
	require.NoError(t, RenameDurably(old, target))
	assert.Equal(t, "new", string(contents(t, target)))
	assert.Empty(t, names(t, from))

	require.ErrorIs(t, RenameDurably(old, target), fs.ErrNotExist)
	assert.Equal(t, "new", string(contents(t, target)))
}

func TestOnlyAFolderCanBeSynced(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, SyncFolder(dir))
	require.ErrorIs(t, SyncFolder(filepath.Join(dir, "missing")), fs.ErrNotExist)
	file := filepath.Join(dir, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	require.ErrorContains(t, SyncFolder(file), "no folder")
}

// TestMakingAndFinishingSyncTheFolder watches the system calls from outside
// with strace: what is created or renamed is followed by a sync of its folder.
func TestMakingAndFinishingSyncTheFolder(t *testing.T) {
	tool, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("needs strace")
	}
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "done"), 0o700))
	log := filepath.Join(t.TempDir(), "calls")
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(tool, "-f", "-y", "-o", log, "-e", "trace=openat,write,fsync,rename,renameat,renameat2", self)
	cmd.Env = append(os.Environ(), partVariable+"=make", pathVariable+"="+filepath.Join(dir, "journal.jsonl"))
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Skipf("needs a system that lets strace follow a process: %v: %s", err, out)
	}
	folder := regexp.QuoteMeta(dir)
	order := regexp.MustCompile(`(?s)openat\([^\n]*journal\.jsonl"[^\n]*O_EXCL.*` +
		`fsync\(\d+<` + folder + `>.*` +
		`write\(\d+<[^\n]*/journal\.jsonl>.*` +
		`fsync\(\d+<[^\n]*/journal\.jsonl>.*` +
		`write\(\d+<[^\n]*\.tmp>.*` +
		`fsync\(\d+<[^\n]*\.tmp>.*` +
		`rename[^\n]*\.tmp"[^\n]*record\.jsonl.*` +
		`fsync\(\d+<` + folder + `>.*` +
		`rename[^\n]*record\.jsonl"[^\n]*done/record\.jsonl.*` +
		`fsync\(\d+<` + folder + `/done>.*` +
		`fsync\(\d+<` + folder + `>`)
	assert.Regexp(t, order, string(contents(t, log)))
}

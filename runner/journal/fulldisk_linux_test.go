package journal

// A real full disk: a file system of 64 KiB in memory, for which the system
// must let this process mount.

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// smallDisk mounts 64 KiB and returns the folder.
func smallDisk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("needs root for a small tmpfs: ", err)
	}
	t.Cleanup(func() { require.NoError(t, unix.Unmount(dir, unix.MNT_DETACH)) })
	return dir
}

// appendUntilFull appends lines until the disk takes no more and returns
// those that were acknowledged, and the error.
func appendUntilFull(t *testing.T, j *Journal) ([][]byte, error) {
	t.Helper()
	var kept [][]byte
	for range 1000 {
		line := lineAfter(j.Head(), strings.Repeat("x", 700))
		if err := j.Append(line); err != nil {
			return kept, err
		}
		kept = append(kept, line)
	}
	require.Fail(t, "the disk never filled up")
	return nil, nil
}

func TestAFullDiskLosesNoAcknowledgedLine(t *testing.T) {
	dir := smallDisk(t)
	filler := filepath.Join(dir, "filler")
	require.NoError(t, os.WriteFile(filler, make([]byte, 40<<10), 0o600))
	path := filepath.Join(dir, "journal.jsonl")
	j, err := Create(path)
	require.NoError(t, err)

	kept, err := appendUntilFull(t, j)
	require.ErrorIs(t, err, unix.ENOSPC)
	require.ErrorIs(t, err, ErrPoisoned)
	require.Greater(t, len(kept), 10)
	require.ErrorIs(t, j.Append(lineAfter(j.Head(), "")), ErrPoisoned)
	require.NoError(t, j.Close())
	full := contents(t, path)
	require.Greater(t, len(full), len(fileOf(kept)), "this disk must have torn the last line")

	_, _, err = Open(path)
	require.ErrorIs(t, err, unix.ENOSPC, "there is no room to keep the torn original")
	assert.ErrorContains(t, err, "free some disk space and open again")
	assert.Equal(t, full, contents(t, path), "so nothing may be cut yet")
	assert.Empty(t, asides(t, path))

	require.NoError(t, os.Remove(filler))
	j, found, err := Open(path)
	require.NoError(t, err)
	assert.Equal(t, kept, found.Lines)
	assert.Equal(t, full, contents(t, found.Aside))
	next := lineAfter(j.Head(), "goes on")
	require.NoError(t, j.Append(next))
	require.NoError(t, j.Close())
	expectWhole(t, path, append(kept, next))
}

func TestAFullDiskStartsNoJobAndWritesNoFile(t *testing.T) {
	dir := smallDisk(t)
	target := filepath.Join(dir, "record.jsonl")
	require.NoError(t, WriteFileDurably(target, []byte("old"), 0o600))
	fill := os.WriteFile(filepath.Join(dir, "filler"), make([]byte, 80<<10), 0o600)
	require.True(t, errors.Is(fill, unix.ENOSPC), "%v", fill)

	require.ErrorIs(t, WriteFileDurably(target, make([]byte, 8<<10), 0o600), unix.ENOSPC)
	assert.Equal(t, "old", string(contents(t, target)))
	left, err := filepath.Glob(filepath.Join(dir, ".*.tmp"))
	require.NoError(t, err)
	assert.Empty(t, left)

	j, err := Create(filepath.Join(dir, "journal.jsonl"))
	require.NoError(t, err, "an empty file needs no room here")
	defer j.Close()
	require.ErrorIs(t, j.Append(small()[0]), unix.ENOSPC)
	require.NoError(t, j.Close())
	_, _, err = Open(j.Path())
	require.ErrorIs(t, err, ErrNeverBegan)
}

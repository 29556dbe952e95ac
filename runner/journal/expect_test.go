package journal

// The corruption harness: what must hold after a damaged file was opened.

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// expectMended opens a job whose file holds damaged and proves that exactly
// the lines in want are left, that the file was kept aside, and that the job
// goes on from there.
func expectMended(t *testing.T, damaged []byte, want [][]byte) {
	t.Helper()
	path := onDisk(t, damaged)
	_, err := Read(damaged)
	require.Error(t, err, "an audit must refuse the damaged file")

	j, found, err := Open(path)
	require.NoError(t, err)
	good := fileOf(want)
	require.Equal(t, want, found.Lines)
	require.Equal(t, int64(len(damaged)-len(good)), found.Cut)
	require.Equal(t, Digest(damaged[len(good):]), found.CutDigest)
	require.Equal(t, path+".torn-1", found.Aside)
	require.Equal(t, damaged, contents(t, found.Aside))
	require.Equal(t, good, contents(t, path))

	next := lineAfter(j.Head(), "goes on")
	require.NoError(t, j.Append(next))
	require.NoError(t, j.Close())
	expectWhole(t, path, append(slices.Clone(want), next))
	require.Len(t, asides(t, path), 1)
}

// expectWhole opens the job at path and proves that it holds exactly want.
func expectWhole(t *testing.T, path string, want [][]byte) {
	t.Helper()
	j, found, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, j.Close())
	require.Equal(t, Recovery{Lines: want}, found)
	require.Equal(t, len(want), j.Len())
	require.Equal(t, Digest(want[len(want)-1]), j.Head())
	read, err := Read(contents(t, path))
	require.NoError(t, err)
	require.Equal(t, want, read)
}

// expectLocked proves that neither an audit nor a job takes the damaged file
// and that nothing on disk was touched. It returns the job's error.
func expectLocked(t *testing.T, damaged []byte) error {
	t.Helper()
	path := onDisk(t, damaged)
	_, err := Read(damaged)
	require.Error(t, err)
	j, found, err := Open(path)
	require.Error(t, err)
	require.Nil(t, j)
	require.Equal(t, Recovery{}, found)
	require.Equal(t, damaged, contents(t, path))
	require.Empty(t, asides(t, path))
	return err
}

func expectCorrupt(t *testing.T, damaged []byte) *Corrupt {
	t.Helper()
	var corrupt *Corrupt
	require.ErrorAs(t, expectLocked(t, damaged), &corrupt)
	return corrupt
}

// wholeBefore returns the lines of which every byte and the LF stand in the
// first n bytes of the file.
func wholeBefore(lines [][]byte, n int) [][]byte {
	for i, line := range lines {
		if n -= len(line) + 1; n < 0 {
			return lines[:i]
		}
	}
	return lines
}

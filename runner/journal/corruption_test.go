package journal

// One harness, many corruptions: damage a file, prove that an audit refuses
// it, open it as a job, prove that it was mended or left alone, and read it
// again.

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sector = 512

func TestAFileCutAtAnyByteKeepsEveryWholeLine(t *testing.T) {
	lines := small()
	data := fileOf(lines)
	for n := range len(data) {
		want := wholeBefore(lines, n)
		switch {
		case len(want) == 0:
			require.ErrorIs(t, expectLocked(t, data[:n]), ErrNeverBegan, "cut at %d", n)
		case len(fileOf(want)) == n:
			expectWhole(t, onDisk(t, data[:n]), want)
		default:
			expectMended(t, data[:n], want)
		}
	}
}

// A zeroed sector inside the last line is what a power loss can leave of an
// interrupted append. Anywhere else an acknowledged line is gone, and the job
// is locked, as long as the file shows it: where the zeros run from one line
// through the end of the file nothing is left that speaks for the lost lines.
func TestAZeroedSectorIsMendedOnlyInsideTheLastLine(t *testing.T) {
	lines := long()
	data := fileOf(lines)
	lastAt := len(data) - len(lines[len(lines)-1]) - 1
	mended, locked := 0, 0
	for at := 0; at < len(data); at += sector {
		end := min(at+sector, len(data))
		damaged := bytes.Clone(data)
		clear(damaged[at:end])
		if at >= lastAt {
			expectMended(t, damaged, lines[:len(lines)-1])
			mended++
			continue
		}
		expectCorrupt(t, damaged)
		locked++
	}
	assert.GreaterOrEqual(t, mended, 3)
	assert.GreaterOrEqual(t, locked, 6)
}

// The same zeros laid at every byte instead of at whole sectors, judged
// without the disk.
func TestZerosAcrossALineBreakAreNoTornLine(t *testing.T) {
	lines := long()
	data := fileOf(lines)
	lastAt := len(data) - len(lines[len(lines)-1]) - 1
	for at := range len(data) - sector - tailBytes {
		damaged := bytes.Clone(data)
		clear(damaged[at : at+sector])
		kept, torn, err := split(damaged)
		if at >= lastAt {
			require.NoError(t, err, "zeros from byte %d", at)
			require.Equal(t, lines[:len(lines)-1], kept)
			require.Equal(t, damaged[lastAt:], torn)
			continue
		}
		var corrupt *Corrupt
		require.ErrorAs(t, err, &corrupt, "zeros from byte %d", at)
	}
}

// A change inside the last line that leaves it well formed shows only against
// a signature or a head kept elsewhere; every other byte is covered.
func TestEveryChangedByteBeforeTheLastLineIsRefused(t *testing.T) {
	lines := small()
	data := fileOf(lines)
	lastAt := len(data) - len(lines[len(lines)-1]) - 1
	for at := range data {
		for _, bits := range []byte{0x01, 0x20, 0x80, 0xff} {
			damaged := bytes.Clone(data)
			damaged[at] ^= bits
			read, err := Read(damaged)
			if at < lastAt || err != nil {
				require.Error(t, err, "byte %d changed by %#x", at, bits)
				continue
			}
			require.Equal(t, lines[:len(lines)-1], read[:len(lines)-1])
			require.NotEqual(t, Digest(lines[len(lines)-1]), Digest(read[len(lines)-1]),
				"the head must differ, or no signature could tell")
		}
	}
}

func TestAChangedByteBeforeTheLastLineLocksTheJob(t *testing.T) {
	lines := small()
	data := fileOf(lines)
	lastAt := len(data) - len(lines[len(lines)-1]) - 1
	for at := range lastAt {
		damaged := bytes.Clone(data)
		damaged[at] ^= 0x01
		expectCorrupt(t, damaged)
	}
}

// After a change in the last line but one, the last line is whole and names
// what that line was. To cut it off would make the change pass.
func TestALastLineThatNamesAnotherLineIsNoTornLine(t *testing.T) {
	lines := small()
	changed := fileOf(slices.Concat(lines[:2], [][]byte{bytes.Replace(lines[2], []byte("31"), []byte("21"), 1), lines[3]}))
	assert.Equal(t, 4, expectCorrupt(t, changed).Line)
	assert.Equal(t, 4, expectCorrupt(t, changed[:len(changed)-1]).Line, "with its LF torn off as well")
}

func TestLinesDroppedSwappedAddedOrDoubledLockTheJob(t *testing.T) {
	lines := small()
	last := len(lines) - 1
	stranger := lineAfter(Digest([]byte("another job")), "slipped in")
	for i := range lines {
		if i < last {
			t.Run(fmt.Sprintf("line %d dropped", i+1), func(t *testing.T) {
				expectCorrupt(t, fileOf(slices.Delete(slices.Clone(lines), i, i+1)))
			})
		}
		for k := i + 1; k < len(lines); k++ {
			t.Run(fmt.Sprintf("lines %d and %d swapped", i+1, k+1), func(t *testing.T) {
				swapped := slices.Clone(lines)
				swapped[i], swapped[k] = swapped[k], swapped[i]
				expectCorrupt(t, fileOf(swapped))
			})
			t.Run(fmt.Sprintf("line %d moved to %d", i+1, k+1), func(t *testing.T) {
				moved := slices.Insert(slices.Delete(slices.Clone(lines), i, i+1), k, lines[i])
				expectCorrupt(t, fileOf(moved))
			})
		}
		t.Run(fmt.Sprintf("line %d doubled", i+1), func(t *testing.T) {
			assert.Equal(t, i+2, expectCorrupt(t, fileOf(slices.Insert(slices.Clone(lines), i, lines[i]))).Line)
		})
		t.Run(fmt.Sprintf("a line of another job before line %d", i+1), func(t *testing.T) {
			assert.Equal(t, i+1, expectCorrupt(t, fileOf(slices.Insert(slices.Clone(lines), i, stranger))).Line)
		})
		t.Run(fmt.Sprintf("a line that chains before line %d", i+1), func(t *testing.T) {
			forged := lineAfter(headOf(lines[:i]), "slipped in")
			assert.Equal(t, i+2, expectCorrupt(t, fileOf(slices.Insert(slices.Clone(lines), i, forged))).Line)
		})
	}
	t.Run("a line of another job at the end", func(t *testing.T) {
		expectCorrupt(t, fileOf(append(slices.Clone(lines), stranger)))
	})
}

// The loss of whole lines at the end leaves a sound, shorter chain: only a
// head kept elsewhere shows it.
func TestALostLastLineShowsOnlyInTheHead(t *testing.T) {
	lines := small()
	read, err := Read(fileOf(lines[:3]))
	require.NoError(t, err)
	assert.NotEqual(t, Digest(lines[3]), headOf(read))
}

func TestWhatOneInterruptedAppendCanLeaveIsCutOff(t *testing.T) {
	lines := small()
	next := append(lineAfter(headOf(lines), "not acknowledged"), '\n')
	holed := bytes.Clone(next)
	clear(holed[10:40])
	tails := map[string][]byte{
		"zeros":                          make([]byte, 3*sector),
		"one zero":                       {0},
		"a blank line":                   []byte("\n"),
		"a word with LF":                 []byte("garbage\n"),
		"zeros and LF":                   append(make([]byte, 80), '\n'),
		"the next line without its LF":   next[:len(next)-1],
		"the next line with a hole":      holed,
		"half of the next line and LF":   append(bytes.Clone(next[:50]), '\n'),
		"the next line and zeros behind": append(bytes.Clone(next[:60]), make([]byte, sector)...),
	}
	for name, tail := range tails {
		t.Run(name, func(t *testing.T) {
			expectMended(t, append(fileOf(lines), tail...), lines)
		})
	}
}

func TestWhatOneInterruptedAppendCannotLeaveLocksTheJob(t *testing.T) {
	lines := small()
	tails := map[string][]byte{
		"two blank lines":          []byte("\n\n"),
		"two words":                []byte("garbage\ngarbage\n"),
		"a word and a torn line":   []byte("garbage\n{\"who\":"),
		"more than a line can be":  make([]byte, MaxLine+2),
		"a whole line without LF":  lines[1],
		"a line that names itself": append(lineAfter(Digest(lines[0]), "fork"), '\n'),
	}
	for name, tail := range tails {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, len(lines)+1, expectCorrupt(t, append(fileOf(lines), tail...)).Line)
		})
	}
}

func TestAJobWithoutAWholeLineNeverBegan(t *testing.T) {
	first := small()[0]
	for name, data := range map[string][]byte{
		"nothing": {}, "zeros": make([]byte, sector), "no LF": first, "half": first[:20], "a word": []byte("garbage\n"),
	} {
		t.Run(name, func(t *testing.T) {
			err := expectLocked(t, data)
			require.ErrorIs(t, err, ErrNeverBegan)
			assert.ErrorContains(t, err, "start it again as a new job")
		})
	}
}

func TestAFileWithoutItsFirstLineIsCorruptNotUnbegun(t *testing.T) {
	lines := small()
	for _, data := range [][]byte{fileOf(lines[1:]), fileOf(lines[3:]), lines[3]} {
		err := expectLocked(t, data)
		assert.False(t, errors.Is(err, ErrNeverBegan))
		assert.Equal(t, 1, expectCorrupt(t, data).Line)
	}
}

func TestEachTornOriginalIsKeptUnderItsOwnName(t *testing.T) {
	lines := small()
	path := onDisk(t, append(fileOf(lines), "first"...))
	require.NoError(t, os.WriteFile(path+".torn-2", []byte("something else"), 0o600))
	for _, want := range []string{".torn-1", ".torn-3"} {
		j, found, err := Open(path)
		require.NoError(t, err)
		require.NoError(t, j.Close())
		assert.Equal(t, path+want, found.Aside)
		require.NoError(t, os.WriteFile(path, append(fileOf(lines), want...), 0o600))
		assert.Equal(t, "something else", string(contents(t, path+".torn-2")))
	}
	assert.Equal(t, append(fileOf(lines), "first"...), contents(t, path+".torn-1"))
	assert.Equal(t, append(fileOf(lines), ".torn-1"...), contents(t, path+".torn-3"))
}

package journal

// Tests with a second process: the test binary runs itself as another holder
// of the job.

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	partVariable = "JOURNAL_TEST_PART"
	pathVariable = "JOURNAL_TEST_PATH"
)

func TestMain(m *testing.M) {
	switch path := os.Getenv(pathVariable); os.Getenv(partVariable) {
	case "try":
		tryToOpen(path)
	case "hold":
		appendForever(path, 1)
	case "append":
		appendForever(path, 1<<30)
	case "make":
		makeAndFinish(path)
	default:
		os.Exit(m.Run())
	}
}

// tryToOpen opens the job once and says how that went.
func tryToOpen(path string) {
	j, _, err := Open(path)
	if err != nil {
		fmt.Println("refused:", err)
		return
	}
	fmt.Println("opened", j.Len())
}

// appendForever appends up to most lines to the job, says each number only
// once it was acknowledged, and then waits until its standard input ends.
func appendForever(path string, most int) {
	j, _, err := Open(path)
	if err != nil {
		fmt.Println("refused:", err)
		return
	}
	for range most {
		if err := j.Append(lineAfter(j.Head(), strings.Repeat("n", j.Len()%900))); err != nil {
			fmt.Println("failed:", err)
			return
		}
		fmt.Println(j.Len())
	}
	bufio.NewReader(os.Stdin).ReadByte()
}

// makeAndFinish creates a job, appends its first line, writes a finished
// record beside it and moves that into the folder "done".
func makeAndFinish(path string) {
	record := filepath.Join(filepath.Dir(path), "record.jsonl")
	done := filepath.Join(filepath.Dir(path), "done", "record.jsonl")
	j, err := Create(path)
	if err == nil {
		err = j.Append(small()[0])
	}
	if err == nil {
		err = WriteFileDurably(record, fileOf(small()[:1]), 0o600)
	}
	if err == nil {
		err = RenameDurably(record, done)
	}
	if err != nil {
		fmt.Println("failed:", err)
		os.Exit(1)
	}
}

// another starts this test binary in the given part. Its input stays open
// until the test ends.
func another(t *testing.T, part, path string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), partVariable+"="+part, pathVariable+"="+path)
	cmd.Stderr = os.Stderr
	_, err = cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		if cmd.ProcessState == nil {
			cmd.Process.Kill()
			cmd.Wait()
		}
	})
	return cmd, bufio.NewScanner(out)
}

func TestASecondProcessIsRefusedAndTheLockDiesWithTheFirst(t *testing.T) {
	path := onDisk(t, fileOf(small()))
	holder, says := another(t, "hold", path)
	require.True(t, says.Scan())
	require.Equal(t, strconv.Itoa(len(small())+1), says.Text())

	_, _, err := Open(path)
	require.ErrorIs(t, err, ErrInUse)
	assert.ErrorContains(t, err, "close it there first")
	_, err = Create(path)
	require.ErrorIs(t, err, ErrInUse)
	_, said := another(t, "try", path)
	require.True(t, said.Scan())
	assert.Contains(t, said.Text(), ErrInUse.Error())

	require.NoError(t, holder.Process.Kill())
	require.Error(t, holder.Wait(), "it must have died by the signal")
	j, found, err := Open(path)
	require.NoError(t, err)
	assert.Len(t, found.Lines, len(small())+1)
	require.NoError(t, j.Close())
}

func TestThisProcessHoldsTheJobAgainstAnother(t *testing.T) {
	j := created(t, small())
	_, said := another(t, "try", j.Path())
	require.True(t, said.Scan())
	assert.Contains(t, said.Text(), ErrInUse.Error())
	_, _, err := Open(j.Path())
	require.ErrorIs(t, err, ErrInUse, "not even a second time in one process")

	require.NoError(t, j.Close())
	_, said = another(t, "try", j.Path())
	require.True(t, said.Scan())
	assert.Equal(t, "opened 4", said.Text())
}

func TestAFailedOpenGivesTheLockBack(t *testing.T) {
	for _, data := range [][]byte{nil, fileOf(small()[1:])} {
		path := onDisk(t, data)
		for range 2 {
			_, _, err := Open(path)
			require.Error(t, err)
			require.NotErrorIs(t, err, ErrInUse)
		}
	}
}

// The lock is on a file of its own: what becomes of the journal's name while
// it is finished lets nobody in.
func TestTheLockHoldsWhileTheJournalIsRenamed(t *testing.T) {
	j := created(t, small())
	require.NoError(t, j.file.Close()) // some systems rename no open file
	require.NoError(t, RenameDurably(j.Path(), j.Path()+".done"))
	_, err := Create(j.Path())
	require.ErrorIs(t, err, ErrInUse)
	require.NoError(t, RenameDurably(j.Path()+".done", j.Path()))
	_, _, err = Open(j.Path())
	require.ErrorIs(t, err, ErrInUse)
}

func TestALockFileSwappedWhileItIsLockedIsNotTaken(t *testing.T) {
	name := filepath.Join(t.TempDir(), "journal.jsonl.lock")
	for _, again := range []bool{false, true} {
		file, err := os.Create(name)
		require.NoError(t, err)
		if err := os.Remove(name); err != nil {
			file.Close()
			t.Skip("needs a system that removes open files: ", err)
		}
		if again {
			require.NoError(t, os.WriteFile(name, nil, 0o600))
		}
		held, err := lockOpened(file, name)
		require.NoError(t, err)
		assert.Nil(t, held)
		assert.ErrorIs(t, file.Close(), os.ErrClosed, "it must not stay locked")
	}
}

// A person can remove the lock file while a job is open. Two handles then
// hold the job, and the one that writes second must stop.
func TestWithTheLockFileRemovedTheSecondWriterStops(t *testing.T) {
	lines := small()
	for first := range 2 {
		a := created(t, lines[:2])
		if err := os.Remove(a.Path() + ".lock"); err != nil {
			t.Skip("needs a system that removes open files: ", err)
		}
		b, _, err := Open(a.Path())
		require.NoError(t, err)
		both := []*Journal{a, b}
		require.NoError(t, both[first].Append(lines[2]))
		require.ErrorIs(t, both[1-first].Append(lines[2]), ErrPoisoned)
		require.NoError(t, both[first].Append(lines[3]))
		require.NoError(t, a.Close())
		require.NoError(t, b.Close())
		expectWhole(t, a.Path(), lines)
	}
}

func TestALineAcknowledgedBeforeAKillIsKept(t *testing.T) {
	for _, after := range []int{1, 7, 40} {
		path := onDisk(t, fileOf(small()))
		writer, says := another(t, "append", path)
		acknowledged := 0
		for range after {
			require.True(t, says.Scan())
			n, err := strconv.Atoi(says.Text())
			require.NoError(t, err, says.Text())
			acknowledged = n
		}
		require.NoError(t, writer.Process.Kill())
		for says.Scan() { // what it still said before it died
			if n, err := strconv.Atoi(says.Text()); err == nil {
				acknowledged = max(acknowledged, n)
			}
		}
		require.Error(t, writer.Wait())

		j, found, err := Open(path)
		require.NoError(t, err)
		require.NoError(t, j.Close())
		assert.GreaterOrEqual(t, len(found.Lines), acknowledged)
		assert.LessOrEqual(t, len(found.Lines), acknowledged+1, "at most the line in flight is there beside them")
		read, err := Read(contents(t, path))
		require.NoError(t, err)
		assert.Equal(t, found.Lines, read)
	}
}

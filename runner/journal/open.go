package journal

// The rule of this file: on opening, only the last line may be torn. It is
// kept aside and cut off; anything else that is unsound is corruption, and
// then nothing on disk is touched.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrNeverBegan marks a journal without one whole line: no line of it was
// ever acknowledged, so no work was done under it. The file is left as it is.
var ErrNeverBegan = errors.New("the journal holds no whole line, the job never began: start it again as a new job")

// Recovery is what opening an existing journal found.
type Recovery struct {
	Lines     [][]byte // the sound lines, without LF
	Cut       int64    // bytes of a torn last line that were cut off; 0 when it was whole
	CutDigest string   // hex SHA-256 of exactly those bytes; "" when nothing was cut
	Aside     string   // where the file as it was found is kept; "" when nothing was cut
}

// Open takes the job's lock, reads the journal at path, checks its chain and
// makes sure that all it returns is on disk. A torn last line is cut off
// after the file as found was copied to path + ".torn-<n>". The error is
// ErrInUse when another process holds the job, ErrNeverBegan when there is no
// whole line, and a *Corrupt when another line than the last is unsound or
// when the last line speaks against the one before it.
func Open(path string) (*Journal, Recovery, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, Recovery{}, fmt.Errorf("open the journal %q: %w", path, err)
	}
	if err := ordinary(path); err != nil {
		return nil, Recovery{}, fmt.Errorf("open the journal %q: %w", path, err)
	}
	held, err := acquire(path)
	if err != nil {
		return nil, Recovery{}, err
	}
	j, found, err := openHeld(path, held)
	if err != nil {
		return nil, Recovery{}, errors.Join(fmt.Errorf("open the journal %q: %w", path, err), held.release())
	}
	return j, found, nil
}

// ordinary refuses what is no plain file, before anything beside it is made.
func ordinary(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return errors.New("it is no ordinary file: name the journal itself")
	}
	return nil
}

// openHeld reads, recovers and opens the file for appending, under the lock.
func openHeld(path string, held *lock) (*Journal, Recovery, error) {
	found, err := recoverFile(path)
	if err != nil {
		return nil, Recovery{}, err
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return nil, Recovery{}, err
	}
	j := &Journal{path: path, file: file, lock: held, head: Genesis, count: len(found.Lines)}
	for _, line := range found.Lines {
		j.size += int64(len(line)) + 1
	}
	j.head = Digest(found.Lines[j.count-1])
	if err := j.undisturbed(); err != nil {
		return nil, Recovery{}, errors.Join(err, file.Close())
	}
	return j, found, nil
}

// recoverFile reads the file at path and mends its end. It uses a handle of
// its own: on Windows a handle opened for appending cannot cut a file short.
func recoverFile(path string) (Recovery, error) {
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return Recovery{}, err
	}
	found, err := recoverHandle(file, path)
	return found, errors.Join(err, file.Close())
}

func recoverHandle(file handle, path string) (Recovery, error) {
	data, err := io.ReadAll(io.LimitReader(file, MaxSize+1))
	if err != nil {
		return Recovery{}, err
	}
	lines, torn, err := split(data)
	if err != nil {
		return Recovery{}, err
	}
	found := Recovery{Lines: lines, Cut: int64(len(torn))}
	if len(torn) > 0 {
		found.CutDigest = Digest(torn)
		if found.Aside, err = keepAside(path, data); err != nil {
			return Recovery{}, fmt.Errorf("keep the torn original aside, free some disk space and open again: %w", err)
		}
	}
	return found, settle(file, lines[len(lines)-1], int64(len(data)-len(torn)))
}

// split divides the bytes of an open job's file into its sound lines and a
// torn end, or says why it may not.
func split(data []byte) (lines [][]byte, torn []byte, err error) {
	lines, rest, fault := scan(data)
	if fault != nil && !tornOff(rest, headOf(lines)) {
		return nil, nil, fault
	}
	if len(lines) == 0 {
		return nil, nil, ErrNeverBegan
	}
	return lines, rest, nil
}

func headOf(lines [][]byte) string {
	if len(lines) == 0 {
		return Genesis
	}
	return Digest(lines[len(lines)-1])
}

// tornOff tells whether rest can be what an interrupted append left after the
// line whose digest is head. An append writes one line, so at most one LF can
// be there, at the very end. And an append names head: a tail that names
// another line was never written after this one. Either the line before it
// was changed, or the break between two lines was lost; to cut it would hide
// that.
func tornOff(rest []byte, head string) bool {
	line := bytes.TrimSuffix(rest, []byte{'\n'})
	if len(rest) > MaxLine+1 || bytes.IndexByte(line, '\n') >= 0 {
		return false
	}
	named, closed := namedPrev(line)
	return !closed || named == head
}

// keepAside copies the file as found to the first free name
// path + ".torn-<n>".
func keepAside(path string, data []byte) (string, error) {
	for n := 1; ; n++ {
		aside := fmt.Sprintf("%s.torn-%d", path, n)
		_, err := os.Lstat(aside)
		if errors.Is(err, fs.ErrNotExist) {
			return aside, WriteFileDurably(aside, data, 0o600)
		}
		if err != nil {
			return "", err
		}
	}
}

// settle cuts the file to size and makes its last line durable. The line is
// written again over itself: after a failed sync it may stand in the cache
// alone with its pages marked clean, and then a bare sync would report
// success without writing anything.
func settle(file handle, last []byte, size int64) error {
	if err := file.Truncate(size); err != nil {
		return fmt.Errorf("cut the torn end: %w", err)
	}
	whole := append(bytes.Clone(last), '\n')
	n, err := file.WriteAt(whole, size-int64(len(whole)))
	if err == nil && n != len(whole) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("write the last line again, %d of %d bytes, free some disk space and open again: %w", n, len(whole), err)
	}
	if err := file.Sync(); err != nil {
		return fmt.Errorf("sync to disk, the disk may be failing: %w", err)
	}
	return nil
}

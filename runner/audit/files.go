package audit

// The rule of this file: files are read here and nowhere else, each within a limit, and whatever is at a path is judged,
// never trusted.

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"fenderside/runner/journal"
	"fenderside/runner/store"
)

// largestSmall is how many bytes a signature, a roster or a countersignature may have.
const largestSmall = 1 << 20

// files is one record with what lies beside it.
type files struct {
	path       string
	record     content
	signature  content
	roster     content
	countersig []countersigFiles
}

// content is a file's bytes, or why they could not be read.
type content struct {
	data []byte
	err  error
}

func (c content) missing() bool { return errors.Is(c.err, fs.ErrNotExist) }

// find lists the record files at the paths, in the order given and sorted within each, none twice.
func find(paths []string) ([]string, error) {
	var out []string
	seen := map[string]bool{}
	for _, path := range paths {
		at, err := findAt(path)
		if err != nil {
			return nil, fmt.Errorf("audit %q: %w", path, err)
		}
		for _, p := range at {
			abs, err := filepath.Abs(p)
			if err != nil {
				return nil, fmt.Errorf("audit %q: %w", p, err)
			}
			if !seen[abs] {
				seen[abs] = true
				out = append(out, p)
			}
		}
	}
	return out, nil
}

func findAt(path string) ([]string, error) {
	path = filepath.Clean(path)
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%w: check the path", err)
	}
	if !info.IsDir() {
		return []string{path}, nil
	}
	var out []string
	err = filepath.WalkDir(path, func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && d.Name() == store.RecordFile {
			out = append(out, p)
		}
		return err
	})
	if err == nil && len(out) == 0 {
		err = fmt.Errorf("there is no %s in this folder or beneath it: name a record, or a folder of records", store.RecordFile)
	}
	return out, err
}

// load reads a record and what lies beside it.
func load(path string) files {
	f := files{path: path, record: read(path, journal.MaxSize), signature: read(path+signatureEnding, largestSmall)}
	f.roster = read(filepath.Join(filepath.Dir(path), store.RosterFile), largestSmall)
	f.countersig = loadCountersigs(path)
	return f
}

const signatureEnding = store.SignatureEnding

func read(path string, limit int64) content {
	info, err := os.Stat(path) // before opening: a pipe would wait for its writer
	switch {
	case err != nil:
		return content{err: err}
	case !info.Mode().IsRegular():
		return content{err: fmt.Errorf("%q is no ordinary file", path)}
	case info.Size() > limit:
		return content{err: fmt.Errorf("%q is larger than %d bytes", path, limit)}
	}
	file, err := os.Open(path)
	if err != nil {
		return content{err: err}
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, limit+1))
	if err == nil && int64(len(data)) > limit {
		err = fmt.Errorf("%q is larger than %d bytes", path, limit)
	}
	return content{data: data, err: err}
}

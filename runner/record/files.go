package record

// A copy of an attached file counts as that file only by its digest and its size; its name and its place say nothing.

import (
	"bytes"
	"io"
	"path/filepath"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner"
)

// CopyName is the name under which a copy of an attached file is kept beside the record.
func CopyName(f runner.File) string { return f.SHA256[:16] + filepath.Ext(filepath.Base(f.Name)) }

// Copy is a copy as a check reads it; false where it is not the file that was attached.
func Copy(f runner.File, data []byte) (checks.Data, bool) {
	if Digest(data) != f.SHA256 || int64(len(data)) != f.Size {
		return checks.Data{}, false
	}
	open := func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }
	return checks.Data{Name: f.Name, Open: open}, true
}

// Judging names the check that judges a piece of evidence; empty where none does.
func Judging(p *procedures.Procedure, item string) string {
	for _, st := range p.Steps {
		for _, use := range st.Checks {
			for _, in := range use.Inputs {
				if in.Ref == item {
					return use.Name
				}
			}
		}
	}
	return ""
}

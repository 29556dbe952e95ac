package home

// The rule kept here: to look at an open job changes nothing in it. Its journal
// is replayed through the core, and a line that is not whole yet is left out.

import (
	"fmt"
	"os"
	"path/filepath"

	"fenderside/runner/record"
	"fenderside/runner/store"
)

// Replayed reads the journal of an open job through the core, and gives the job
// as it stands after its last whole line.
func Replayed(st *store.Store, id string) (*record.Replay, error) {
	data, err := os.ReadFile(filepath.Join(st.JobDir(id), store.JournalFile))
	if err != nil {
		return nil, fmt.Errorf("read the journal of job %s: %w", id, err)
	}
	lines, _, err := whole(data)
	if err != nil {
		return nil, fmt.Errorf("read the journal of job %s: %w", id, err)
	}
	replay, _, _, err := play(&record.Binder{}, lines)
	if err != nil {
		return nil, fmt.Errorf("replay job %s: %w", id, err)
	}
	return replay, nil
}

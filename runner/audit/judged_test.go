package audit

// What a check found in a file is reckoned again from the copy beside the record: the very file bears it out, a changed or a
// swapped one rejects the record, and where there is none the audit says so.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

// drive is a whole job that was passed by the log of a drive; amid is done before the seal.
func drive(t *testing.T, amid func(dir string)) session.Finished {
	clock := sessiontest.NewClock()
	_, s := sessiontest.StartDrive(t, t.TempDir(), clock, runner.Live, asha, bryn, dilys)
	sessiontest.ToProof(t, s, clock)
	sessiontest.Proved(t, s, clock)
	if amid != nil {
		amid(filepath.Dir(s.JournalPath()))
	}
	return sessiontest.Sign(t, s, asha)
}

// logs are the copies of the two logs: from before the work, and after it.
func logs(t *testing.T, dir string) (before, after string) {
	for _, path := range sessiontest.Copies(t, dir, ".csv") {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		if string(data) == sessiontest.Weak() {
			before = path
		} else {
			after = path
		}
	}
	require.NotEmpty(t, before)
	require.NotEmpty(t, after)
	return before, after
}

func TestARecordWithTheFilesThatWereJudgedIsSound(t *testing.T) {
	r := one(t, drive(t, nil).Dir)
	assert.Equal(t, Sound, r.Verdict, "%+v", r.Findings)
	assert.Empty(t, r.Findings)
}

func TestAFileThatWasJudgedAndChangedRejectsTheRecord(t *testing.T) {
	change := func(t *testing.T, dir string) {
		_, after := logs(t, dir)
		require.NoError(t, os.WriteFile(after, []byte(sessiontest.Trace(0.05, 0.9)), 0o600))
	}
	for name, done := range map[string]session.Finished{
		"after the seal":  drive(t, nil),
		"before the seal": drive(t, func(dir string) { change(t, dir) }),
	} {
		if name == "after the seal" {
			change(t, done.Dir)
		}
		r := one(t, done.Dir)
		assert.Equal(t, Rejected, r.Verdict, name)
		against(t, r, `check sensor-trace judged "after.csv", and the copy beside the record is not that file`)
	}
}

// against is the finding that speaks against a record, which says this.
func against(t *testing.T, r Record, says string) {
	t.Helper()
	for _, f := range r.Findings {
		if f.Severity == Against && strings.Contains(f.What, says) {
			assert.Positive(t, f.Line)
			assert.NotEmpty(t, f.Next)
			return
		}
	}
	assert.Fail(t, "no such finding", "%+v", r.Findings)
}

func TestEveryByteOfAFileThatWasJudgedCounts(t *testing.T) {
	done := drive(t, nil)
	_, after := logs(t, done.Dir)
	data, err := os.ReadFile(after)
	require.NoError(t, err)
	for _, at := range []int{0, len(data) / 2, len(data) - 1} {
		bad := append([]byte(nil), data...)
		bad[at] ^= 1
		require.NoError(t, os.WriteFile(after, bad, 0o600))
		assert.Equal(t, Rejected, one(t, done.Dir).Verdict, "byte %d", at)
	}
	require.NoError(t, os.WriteFile(after, append(data, '\n'), 0o600))
	assert.Equal(t, Rejected, one(t, done.Dir).Verdict, "a byte more")
}

func TestFilesThatWereSwappedRejectTheRecord(t *testing.T) {
	done := drive(t, nil)
	before, after := logs(t, done.Dir)
	aside := before + ".aside"
	require.NoError(t, os.Rename(before, aside))
	require.NoError(t, os.Rename(after, before))
	require.NoError(t, os.Rename(aside, after))
	r := one(t, done.Dir)
	assert.Equal(t, Rejected, r.Verdict)
	against(t, r, `"before.csv", and the copy beside the record is not that file`)
	against(t, r, `"after.csv", and the copy beside the record is not that file`)
}

func TestAFileThatWasJudgedAndIsNotThereDeservesALook(t *testing.T) {
	done := drive(t, nil)
	_, after := logs(t, done.Dir)
	require.NoError(t, os.Remove(after))
	r := one(t, done.Dir)
	looks(t, r, `there is no copy of "after.csv" beside the record, so check sensor-trace cannot be reckoned again`)
	var trusted []string
	for _, f := range r.Findings {
		if f.Severity == Note {
			trusted = append(trusted, f.What)
		}
	}
	assert.Contains(t, trusted, `what check sensor-trace found at "prove" was taken as written: a file it judged is not to be had`)

	require.NoError(t, os.RemoveAll(filepath.Join(done.Dir, store.EvidenceDir)))
	r = one(t, done.Dir)
	assert.Equal(t, LookHere, r.Verdict, "%+v", r.Findings)
}

// A person who holds a key signs what the file does not show.
func TestAVerdictThatTheFileDoesNotBearOutRejectsTheRecord(t *testing.T) {
	done := drive(t, nil)
	data, _ := bytesOf(t, done)
	lines := linesOf(t, data)
	for i := range lines {
		for k, e := range lines[i].Events {
			if e, ok := e.(runner.Computed); ok && e.Check == "sensor-trace" {
				for n := range e.Figures {
					if e.Figures[n].Name == "maximum" {
						e.Figures[n].Text = "990 mV"
					}
				}
				lines[i].Events[k] = e
			}
		}
	}
	path := forged(t, chained(t, lines), asha.Signer)
	require.NoError(t, os.CopyFS(filepath.Join(filepath.Dir(path), store.EvidenceDir), os.DirFS(filepath.Join(done.Dir, store.EvidenceDir))))
	r := one(t, path)
	assert.Equal(t, Rejected, r.Verdict)
	against(t, r, `event "computed" stands where the rules give`)

	require.NoError(t, os.RemoveAll(filepath.Join(filepath.Dir(path), store.EvidenceDir)))
	assert.Equal(t, LookHere, one(t, path).Verdict, "without the file it cannot be told, and the audit says that")
}

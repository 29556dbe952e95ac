//go:build unix

package wholejob

// A repair whose monitors need days is proved with a follow-up, and its record rests on the very logs that were attached.

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
)

func TestARepairIsProvedWithAFollowUpAndRejectedOnceALogIsChanged(t *testing.T) {
	t.Parallel()
	record := journey{procedure: "prove-the-repair", vehicle: "millbrook-eight", position: "B1S1", ends: procedures.Complete,
		book:   frontSignal.with(monitorToRun, book{"codes": {"none"}}),
		follow: []string{"Read the monitors again after two runs"},
	}.goes(t)
	record.passed("settle-repair", "file-result", "chocks-away")
	require.Len(t, record.state().FollowUps(), 1)
	assert.Equal(t, inMonths(1), record.state().FollowUps()[0].Due)

	copies, err := filepath.Glob(filepath.Join(record.folder, "evidence", "*"))
	require.NoError(t, err)
	require.Len(t, copies, 2, "a log from before and one from after")
	text, err := os.ReadFile(copies[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(copies[0], append(text, "60.0,1.000\n"...), 0o600))
	out, err := audit(record.folder)
	require.Error(t, err, "the audit says so by its exit status too")
	assert.Contains(t, out, "rejected, live work: ")

	require.NoError(t, os.WriteFile(copies[0], text, 0o600))
	out, err = audit(record.folder)
	require.NoError(t, err, "it is the changed log alone that was rejected: %s", out)
}

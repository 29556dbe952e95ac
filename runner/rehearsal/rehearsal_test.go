package rehearsal_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner/rehearsal"
)

func TestEveryShippedScriptEndsInASignedRecord(t *testing.T) {
	for _, s := range library.Scripts() {
		t.Run(s.Name, func(t *testing.T) {
			done, err := rehearsal.Sample(t.TempDir(), s.Name)
			require.NoError(t, err)
			require.FileExists(t, done.Record)
		})
	}
}

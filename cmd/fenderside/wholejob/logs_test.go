//go:build unix

package wholejob

// The logs of a technician's scan tool lie in a folder of their own, under a name with a space in it, as such programs give.

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
)

// logs are a table from before the work and one from after it.
type logs struct{ before, after string }

// savedLogs writes the tables of a sensor into a folder of the technician's.
func savedLogs(t *testing.T, position string) logs {
	dir := filepath.Join(t.TempDir(), "scan tool")
	require.NoError(t, os.Mkdir(dir, 0o700))
	l := logs{filepath.Join(dir, position+" before.csv"), filepath.Join(dir, position+" after.csv")}
	for path, text := range map[string]string{l.before: before(t, position), l.after: after(t, position)} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	return l
}

// dropped is a path as a terminal types it where a file is dropped on it.
func dropped(path string) string { return "'" + path + "' " }

func before(t *testing.T, position string) string {
	if front(position) {
		return lambdaTable(position, 0.001)
	}
	return shipped(t, "rear-before.csv", position)
}

func after(t *testing.T, position string) string {
	if front(position) {
		return lambdaTable(position, 0.03)
	}
	return shipped(t, "rear-after.csv", position)
}

// front says whether a sensor stands ahead of its catalyst.
func front(position string) bool { return strings.HasSuffix(position, "S1") }

// shipped is a table that ships with the rehearsals, its column named for the sensor.
func shipped(t *testing.T, name, position string) string {
	text, err := fs.ReadFile(library.ScriptFiles(), name)
	require.NoError(t, err)
	return strings.Replace(string(text), "B1S2", position, 1)
}

// lambdaTable is a minute of a wide-band sensor at ten samples a second: lambda goes to and fro about 1, once a second, by the
// swing that is given.
func lambdaTable(position string, swing float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "time [s],%s\n", position)
	for i := range 600 {
		way := float64(i%10-5) / 5
		fmt.Fprintf(&b, "%d.%d,%.3f\n", i/10, i%10, 1+swing*way)
	}
	return b.String()
}

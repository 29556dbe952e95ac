//go:build unix

package wholejob

// The vehicles are the demonstration ones as somebody's own: no demonstration, with the shortest waits that the procedures allow.

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
)

// ownCard writes the card of such a vehicle.
func ownCard(t *testing.T, name string) string {
	shipped, ok := library.Card(name)
	require.True(t, ok)
	text := strings.Replace(string(shipped.Text), "demonstration: true", "demonstration: false", 1)
	for id, wait := range map[string]string{"airbag": "10 s", "sample": "5 s"} {
		line := regexp.MustCompile(`(?m)^(\s+` + id + `:).*$`)
		require.True(t, line.MatchString(text), id)
		text = line.ReplaceAllString(text, "${1} "+wait)
	}
	_, err := procedures.ParseCard("own.yaml", []byte(text))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "own.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

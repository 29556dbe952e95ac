package main

// The README's list of topics is the register's, and every topic's own example can be typed and says what it says here.

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
)

func TestTheReadmeListsEveryTopicAndNoOther(t *testing.T) {
	_, section, found := strings.Cut(document(t, "README.md"), "\n## Reckoning\n")
	require.True(t, found)
	section, _, _ = strings.Cut(section, "\n## ")
	var listed, registered []string
	for _, m := range regexp.MustCompile("(?m)^\\| `([^`]+)` \\| (.+) \\|$").FindAllStringSubmatch(section, -1) {
		listed = append(listed, m[1]+": "+m[2])
	}
	for _, c := range checks.All() {
		registered = append(registered, c.Name+": "+c.Title)
	}
	assert.Equal(t, registered, listed)
}

func TestEveryTopicIsTriedWithGoodAndWithBadInput(t *testing.T) {
	good, bad := script(t, "reckon"), script(t, "reckon_bad_input")
	files := script(t, "reckon_files") // holds both
	for _, c := range checks.All() {
		called := "reckon " + c.Name + " "
		assert.True(t, strings.Contains(good+files, called), "%s is not tried", c.Name)
		assert.True(t, strings.Contains(bad+files, called), "%s is not tried with bad input", c.Name)
	}
}

func script(t *testing.T, name string) string {
	text, err := os.ReadFile(filepath.Join("testdata", "script", name+".txtar"))
	require.NoError(t, err)
	return string(text)
}

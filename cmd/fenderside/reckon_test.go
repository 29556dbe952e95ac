package main

// The README's list of topics is the register's, and every topic's own example can be typed and says what it says here.

import (
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

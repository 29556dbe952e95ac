package procedures

// One faulty file for each fault: each is base.yaml with one change. The mark ‸ in the change stands where the fault
// must be told; it is taken out before the file is read.

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const mark = "‸"

// marked takes the marks out of a text and returns the places where they stood.
func marked(text string) (string, []Place) {
	var places []Place
	var b strings.Builder
	parts := strings.Split(text, mark)
	for i, part := range parts {
		b.WriteString(part)
		if i < len(parts)-1 {
			so := b.String()
			line := so[strings.LastIndex(so, "\n")+1:]
			places = append(places, Place{Line: 1 + strings.Count(so, "\n"), Column: 1 + utf8.RuneCountInString(line)})
		}
	}
	return b.String(), places
}

func base(t testing.TB) string {
	text, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	return string(text)
}

func TestTheBaseOfTheFaultyFilesIsSound(t *testing.T) {
	_, err := Parse("base.yaml", []byte(base(t)))
	require.NoError(t, err)
}

// change is one faulty file: pairs of old and new text, and what is told at the marks, in order of place.
type change struct {
	name  string
	edits []string
	want  []string
}

// apply returns the text of base.yaml with the edits made, and the places of the marks.
func (c change) apply(t *testing.T) (string, []Place) {
	text := base(t)
	for i := 0; i < len(c.edits); i += 2 {
		require.Equal(t, 1, strings.Count(text, c.edits[i]), "the text to change stands once: %q", c.edits[i])
		text = strings.Replace(text, c.edits[i], c.edits[i+1], 1)
	}
	return marked(text)
}

func TestEachFaultIsToldAtItsPlaceWithAHint(t *testing.T) {
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			text, places := c.apply(t)
			require.Len(t, places, len(c.want), "a mark for each fault")
			_, err := Parse("bad.yaml", []byte(text))
			var want []string
			for i, p := range places {
				want = append(want, fmt.Sprintf("bad.yaml:%d:%d: %s", p.Line, p.Column, c.want[i]))
			}
			require.Error(t, err)
			assert.Equal(t, strings.Join(want, "\n"), err.Error())
		})
	}
}

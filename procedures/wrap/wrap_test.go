package wrap_test

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures/wrap"
)

func TestTextIsBrokenBetweenWordsOnly(t *testing.T) {
	assert.Equal(t, []string{"needs", "battery-isolated", "now"}, wrap.Text("needs battery-isolated now", 16))
	assert.Equal(t, []string{""}, wrap.Text("", 10))
	assert.Equal(t, []string{"abcdef", "ghi jk"}, wrap.Text("abcdefghi jk", 6))
	assert.Equal(t, []string{"中文", "字"}, wrap.Text("中文字", 5), "wide characters take two cells each")
}

func TestNoLineIsTooWideAndNoWordIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zé中 -]{0,120}`).Draw(t, "text")
		room := rapid.IntRange(2, 40).Draw(t, "room")
		lines := wrap.Text(text, room)
		for _, l := range lines {
			require.LessOrEqual(t, ansi.StringWidth(l), room)
			require.Equal(t, strings.TrimSpace(l), l)
		}
		require.Equal(t, strings.ReplaceAll(text, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
	})
}

func TestNoWordIsCutThatFitsOnALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-z-]{1,12}`), 1, 20).Draw(t, "words")
		room := rapid.IntRange(12, 40).Draw(t, "room")
		require.Equal(t, words, strings.Fields(strings.Join(wrap.Text(strings.Join(words, " "), room), " ")))
	})
}

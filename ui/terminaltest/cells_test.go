package terminaltest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestACellHasWhatWasSetForItAndNothingElse(t *testing.T) {
	rows, err := parse("a\x1b[1mb\x1b[38;2;200;16;46;48;5;231mc\x1b[0m\n\x1b[7;91md\n\x1b[27;39;44me\x1b[mf\n\n")
	require.NoError(t, err)
	assert.Equal(t, [][]Cell{
		{{Text: 'a'}, {Text: 'b', Bold: true}, {Text: 'c', Bold: true, Ink: "#c8102e", Ground: "231"}},
		{{Text: 'd', Reverse: true, Ink: "9"}},
		{{Text: 'e', Ground: "4"}, {Text: 'f'}},
		{},
	}, rows)
}

func TestWhatIsNotKnownOfACellIsToldAndNotOverlooked(t *testing.T) {
	for _, capture := range []string{"\x1b[5mx", "\x1b[2Jx", "\x1b[38;2;1;2mx", "\x1b[38;7;1mx", "\x1b[1", "\x1b[38;2;1;2;300mx", "\x1b[1:2mx"} {
		_, err := parse(capture)
		assert.Error(t, err, "%q", capture)
	}
}

// The program here is the shell, so that what is seen comes from the terminal alone.
func TestATerminalShowsWhatItsProgramSetAndTakesAnotherSize(t *testing.T) {
	term := New(t, Usual, "GREETING=hello")
	term.Run("sh", "-c", `'trap "stty size" WINCH; printf "\033[1;38;2;1;2;3m$GREETING\033[0m\n"; while :; do read line; done'`)
	term.Until("the greeting", func() bool { return strings.HasPrefix(term.Screen(), "hello\n") })
	for i, c := range "hello" {
		assert.Equal(t, Cell{Text: c, Bold: true, Ink: "#010203"}, term.Cells()[0][i])
	}
	assert.False(t, term.Alternate())
	term.Resize(Size{61, 19})
	term.Press("Enter")
	term.Until("the new size", func() bool { return strings.Contains(term.Screen(), "19 61") })
	term.Kill()
}

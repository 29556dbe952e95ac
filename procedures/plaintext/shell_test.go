package plaintext_test

import (
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures/plaintext"
)

// The shell of the machine is what says what a word is.
func TestAShellReadsAShellWordAsTheTextItself(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("needs sh")
	}
	assert.Equal(t, "asha@millbrook.example", plaintext.ShellWord("asha@millbrook.example"))
	read := func(t require.TestingT, text string) {
		out, err := exec.Command(shell, "-c", "printf %s "+plaintext.ShellWord(text)).Output()
		require.NoError(t, err, text)
		require.Equal(t, text, string(out))
	}
	for _, text := range []string{"", "o'hara", "$(id)", "a;b", "a b", "`id`", `\`, "-n", "~", "é", "''"} {
		read(t, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		read(t, rapid.StringMatching("[ -~]{0,12}").Draw(t, "text"))
	})
}

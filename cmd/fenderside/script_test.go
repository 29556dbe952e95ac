package main

// The scripts under testdata/script hold every command to what it promises: what it prints where, and its exit status.

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMain(m *testing.M) { testscript.Main(m, map[string]func(){"fenderside": main}) }

func TestCommands(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", filepath.Join(e.WorkDir, "home"))
			e.Setenv("USER", "asha")
			e.Setenv("SSH_AUTH_SOCK", "")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "clean": clean},
	})
}

// exits runs a command and holds it to its exit status: exits N COMMAND ARGUMENT...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits N COMMAND ARGUMENT...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var ended *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &ended) {
		got = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, not %d", got, want)
	}
}

// clean holds what the last command printed to hold no character that drives a terminal or hides text.
func clean(ts *testscript.TestScript, _ bool, _ []string) {
	for _, from := range []string{"stdout", "stderr"} {
		text := ts.ReadFile(from)
		if i := strings.IndexFunc(text, hidden); i >= 0 {
			ts.Fatalf("%s holds %q", from, text[i:])
		}
	}
}

// hidden names the characters by hand, beside the rule that the program itself uses: C0 but the line feed, DEL, C1 (ECMA-48)
// and the bidirectional controls of Unicode Standard Annex #9.
func hidden(r rune) bool {
	return r != '\n' && (r < 0x20 || r >= 0x7f && r < 0xa0) || r == 0x61c || r == 0x200e || r == 0x200f ||
		r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

func TestEveryCommandSaysItsExitStatusInItsHelp(t *testing.T) {
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Name() == "help" {
			return // the library's own
		}
		assert.Contains(t, c.Long, "Exit status:", c.CommandPath())
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&world{getenv: os.Getenv}))
}

func TestWhatIsReadByProgramsSaysWhatItMeansInJSON(t *testing.T) {
	var with []string
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Flags().Lookup("json") != nil {
			with = append(with, c.CommandPath())
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&world{getenv: os.Getenv}))
	assert.ElementsMatch(t, []string{"fenderside jobs", "fenderside audit", "fenderside procedures list", "fenderside procedures prove", "fenderside cards list",
		"fenderside key show", "fenderside roster show", "fenderside rehearse", "fenderside reckon"}, with)
}

func TestAnErrorOfAFileEndsWithThreeWhateverItIsWrappedIn(t *testing.T) {
	_, missing := os.Open(filepath.Join(t.TempDir(), "none"))
	require.Error(t, missing)
	assert.Equal(t, noFile, status(ran{errors.Join(errors.New("read it"), missing)}))
	assert.Equal(t, fault, status(ran{errors.New("refused")}))
	assert.Equal(t, misused, status(errors.New("unknown flag")))
	assert.Equal(t, misused, status(ran{misuse{missing}}))
	assert.Equal(t, fault, status(ran{errFound}))
	assert.Equal(t, done, status(nil))
	assert.Equal(t, 7, status(ran{stated{missing, 7}}))
}

func TestAnErrorDrivesNoTerminal(t *testing.T) {
	_, missing := os.Open("\x1b]0;title\a\u202e.yaml")
	require.Error(t, missing)
	var to strings.Builder
	tell(&to, ran{errors.Join(missing, errors.New("second\tline\u009b2J"))})
	assert.Equal(t, -1, strings.IndexFunc(to.String(), hidden), "%q", to.String())
	assert.Contains(t, to.String(), `\u{202E}.yaml`)
	assert.Equal(t, 2, strings.Count(to.String(), "\n"), "each line stays a line")
}

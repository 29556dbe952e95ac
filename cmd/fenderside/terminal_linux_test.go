package main

// The rule tested here: on a terminal too, a command that only prints sends the terminal nothing but text.

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// patience is how long a program may say nothing that a test waits for: far more than it needs, so that a test that waits
// in vain fails and says what was shown.
const patience = time.Minute

// terminal opens a new pseudo-terminal and returns its two ends. Reading from its own end gives up after patience, for which
// it must never be asked for its Fd: that would make it block for good.
func terminal(t *testing.T) (own, given *os.File) {
	t.Helper()
	own, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("needs pseudo-terminals: %v", err)
	}
	t.Cleanup(func() { own.Close() })
	require.NoError(t, own.SetReadDeadline(time.Now().Add(patience)))
	raw, err := own.SyscallConn()
	require.NoError(t, err)
	var number int
	var unlocked, numbered error
	require.NoError(t, raw.Control(func(fd uintptr) {
		unlocked = unix.IoctlSetPointerInt(int(fd), unix.TIOCSPTLCK, 0)
		number, numbered = unix.IoctlGetInt(int(fd), unix.TIOCGPTN)
	}))
	require.NoError(t, errors.Join(unlocked, numbered))
	given, err = os.OpenFile("/dev/pts/"+strconv.Itoa(number), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	return own, given
}

// onTerminal runs the program with a terminal at all three ends, in an environment in which a screen could be shown, and
// returns everything that was sent to the terminal.
func onTerminal(t *testing.T, args ...string) (sent string, err error) {
	t.Helper()
	return onTerminalOf(t, "xterm-256color", "", args...)
}

// onTerminalOf is onTerminal for a kind of terminal at which something is typed.
func onTerminalOf(t *testing.T, kind, typed string, args ...string) (sent string, err error) {
	t.Helper()
	own, given := terminal(t)
	c := exec.Command("fenderside", args...)
	c.Env = []string{"TERM=" + kind, "COLORTERM=truecolor", "HOME=" + t.TempDir(), "PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + t.TempDir()}
	c.Stdin, c.Stdout, c.Stderr = given, given, given
	c.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.Start())
	require.NoError(t, given.Close())
	_, err = own.WriteString(typed)
	require.NoError(t, err)
	text, readErr := io.ReadAll(own)
	if !errors.Is(readErr, syscall.EIO) { // how Linux tells that the other end was closed
		require.NoError(t, readErr)
	}
	return string(text), c.Wait()
}

func TestPrintingCommandsSendATerminalNothingButText(t *testing.T) {
	for _, args := range []string{"--version", "--help", "procedures list", "cards show millbrook-four", "jobs", "key show", "roster show", "jbos"} {
		sent, _ := onTerminal(t, strings.Fields(args)...)
		assert.NotEmpty(t, sent, args)
		assert.NotContains(t, sent, "\x1b", args)
		assert.NotContains(t, sent, "\u009b", args) // the one-character form, ECMA-48
	}
}

// A terminal that says it is dumb can do nothing but print (the terminal type "dumb" of terminfo, from memory).
func TestATerminalThatCanOnlyPrintIsGivenPlainLines(t *testing.T) {
	for _, args := range []string{"", "start sensor-swap --vehicle millbrook-four"} {
		sent, _ := onTerminalOf(t, "dumb", "\x04", strings.Fields(args)...) // the end of what is typed
		assert.Contains(t, sent, "Fenderside, line mode.", args)
		assert.NotContains(t, sent, "\x1b", args)
		assert.NotContains(t, sent, "\u009b", args)
	}
}

func TestVersionWorksWhereNoFolderCanBeFound(t *testing.T) {
	c := exec.Command("fenderside", "--version")
	c.Env = []string{"PATH=" + os.Getenv("PATH")}
	out, err := c.CombinedOutput()
	require.NoError(t, err)
	assert.Regexp(t, `^fenderside \S+`, string(out))
}

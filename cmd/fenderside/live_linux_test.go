package main

// The rules tested here: live work needs a terminal on standard input, and a signal leaves a job that can be resumed.

import (
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/home"
)

// ownCard writes the card of a vehicle that is no demonstration.
func ownCard(t *testing.T) string {
	t.Helper()
	shipped, ok := library.Card("millbrook-four")
	require.True(t, ok)
	text := strings.Replace(string(shipped.Text), "demonstration: true", "demonstration: false", 1)
	path := filepath.Join(t.TempDir(), "own.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// atTerminal starts the program with a terminal, types the lines, and waits until it has shown a text.
func atTerminal(t *testing.T, folder, typed, shown string, args ...string) (*exec.Cmd, *os.File) {
	t.Helper()
	own, given := terminal(t)
	c := exec.Command("fenderside", args...)
	c.Env = []string{"TERM=xterm-256color", "HOME=" + folder, "USER=asha", "PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + folder}
	c.Stdin, c.Stdout, c.Stderr = given, given, given
	c.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.Start())
	require.NoError(t, given.Close())
	_, err := own.WriteString(typed)
	require.NoError(t, err)
	var sent strings.Builder
	piece := make([]byte, 4096)
	for !strings.Contains(sent.String(), shown) {
		n, err := own.Read(piece)
		sent.Write(piece[:n])
		require.NoError(t, err, "it did not show %q:\n%s", shown, sent.String())
	}
	go func() { // what else it writes is taken off its hands
		for {
			if _, err := own.Read(piece); err != nil {
				return
			}
		}
	}()
	return c, own
}

// listed runs the list of jobs as a program reads it.
func listed(t *testing.T, folder string) []home.Standing {
	t.Helper()
	c := exec.Command("fenderside", "jobs", "--json")
	c.Env = []string{"PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + folder}
	text, err := c.Output()
	require.NoError(t, err)
	var all []home.Standing
	require.NoError(t, json.Unmarshal(text, &all))
	return all
}

func TestASignalLeavesALiveJobThatCanBeResumed(t *testing.T) {
	for _, signal := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP, syscall.SIGINT, syscall.SIGKILL} {
		folder := t.TempDir()
		c, _ := atTerminal(t, folder, "\n\n1\nopen\n", "Briefing 1 of", "start", "sensor-swap", "--vehicle", ownCard(t), "--plain")
		require.NoError(t, c.Process.Signal(signal))
		if err := c.Wait(); signal != syscall.SIGKILL {
			assert.NoError(t, err, signal)
		}
		all := listed(t, folder)
		require.Len(t, all, 1, signal)
		assert.Equal(t, runner.Live, all[0].Mode, signal)
		assert.Equal(t, home.Open, all[0].Stage, signal)

		c = exec.Command("fenderside", "resume", all[0].Job)
		c.Env = []string{"PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + folder}
		out, err := c.CombinedOutput()
		var ended *exec.ExitError
		require.ErrorAs(t, err, &ended, signal)
		assert.Equal(t, fault, ended.ExitCode(), signal)
		assert.Contains(t, string(out), "live work needs a terminal")

		c, own := atTerminal(t, folder, "", "HELD", "resume", "--plain")
		_, err = own.WriteString(".quit\n")
		require.NoError(t, err)
		assert.NoError(t, c.Wait(), signal)
	}
}

// The sequences are xterm's private modes 1049: "use alternate screen buffer" when set, the normal one when reset (xterm
// control sequences, from memory).
func TestASignalGivesTheTerminalBack(t *testing.T) {
	for _, signal := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP, syscall.SIGINT} {
		own, given := terminal(t)
		require.NoError(t, unix.IoctlSetWinsize(int(given.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 30, Col: 100}))
		before, err := unix.IoctlGetTermios(int(given.Fd()), unix.TCGETS)
		require.NoError(t, err)
		folder := t.TempDir()
		c := exec.Command("fenderside")
		c.Env = []string{"TERM=xterm-256color", "USER=asha", "PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + folder}
		c.Stdin, c.Stdout, c.Stderr = given, given, given
		c.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
		require.NoError(t, c.Start())
		var sent strings.Builder
		piece := make([]byte, 4096)
		signalled := false
		for !strings.Contains(sent.String(), "\x1b[?1049l") {
			n, err := own.Read(piece)
			sent.Write(piece[:n])
			require.NoError(t, err, sent.String())
			if !signalled && strings.Contains(sent.String(), "START A JOB") {
				signalled = true
				require.NoError(t, c.Process.Signal(signal))
			}
		}
		assert.True(t, signalled, signal)
		rest := make(chan []byte)
		go func() {
			text, _ := io.ReadAll(own)
			rest <- text
		}()
		ended := c.Wait()
		after, err := unix.IoctlGetTermios(int(given.Fd()), unix.TCGETS)
		require.NoError(t, err)
		assert.Equal(t, before, after, "%v: the terminal's line settings are as they were", signal)
		require.NoError(t, given.Close())
		assert.NoError(t, ended, "%v: %s", signal, <-rest)
	}
}

package main

import (
	"errors"
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
)

// The roster is a pipe that nobody writes to: the audit takes as long as it is let.
func TestALongAuditTellsATerminalHowFarItIsAndCtrlCEndsIt(t *testing.T) {
	folder := t.TempDir()
	pipe := filepath.Join(folder, "roster")
	require.NoError(t, unix.Mkfifo(pipe, 0o600))
	own, given := terminal(t)
	c := exec.Command("fenderside", "audit", folder, "--roster", pipe)
	c.Env = []string{"TERM=xterm-256color", "PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + folder}
	c.Stdin, c.Stdout, c.Stderr = given, given, given
	c.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, c.Start())
	require.NoError(t, given.Close())
	var sent strings.Builder
	piece := make([]byte, 4096)
	for !strings.Contains(sent.String(), "audit: just begun; ctrl+c ends it") {
		n, err := own.Read(piece)
		sent.Write(piece[:n])
		require.NoError(t, err, "it did not tell how far it is:\n%s", sent.String())
	}
	_, err := own.WriteString("\x03")
	require.NoError(t, err)
	rest, err := io.ReadAll(own)
	if !errors.Is(err, syscall.EIO) { // how Linux tells that the other end was closed
		require.NoError(t, err)
	}
	var ended *exec.ExitError
	require.ErrorAs(t, c.Wait(), &ended)
	assert.Equal(t, fault, ended.ExitCode())
	assert.Contains(t, string(rest), "fenderside: audit: ended by ctrl+c, just begun: there is no verdict")
	assert.NotContains(t, sent.String()+string(rest), "\x1b")
}

func TestALongAuditTellsNobodyWhereNobodyLooks(t *testing.T) {
	folder := t.TempDir()
	pipe := filepath.Join(folder, "roster")
	said := interrupted(t, pipe, "audit", folder, "--roster", pipe)
	assert.True(t, strings.HasPrefix(said, "fenderside: audit: ended by ctrl+c"), said)
}

func TestALongReckoningEndsOnCtrlC(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "log.csv")
	said := interrupted(t, pipe, "reckon", "sensor-trace", "file="+pipe, "signal=narrow-band front", "time=time", "column=B1S1")
	assert.True(t, strings.HasPrefix(said, "fenderside: reckon sensor-trace: ended by ctrl+c, at work: there is no verdict"), said)
}

// interrupted starts the program on a pipe that nobody writes to the end, interrupts it once it reads, and gives what it said.
func interrupted(t *testing.T, pipe string, args ...string) string {
	t.Helper()
	require.NoError(t, unix.Mkfifo(pipe, 0o600))
	c := exec.Command("fenderside", args...)
	c.Env = []string{"PATH=" + os.Getenv("PATH"), "FENDERSIDE_HOME=" + filepath.Dir(pipe)}
	var out strings.Builder
	c.Stderr = &out
	require.NoError(t, c.Start())
	to, err := os.OpenFile(pipe, os.O_WRONLY, 0) // waits until it reads, and watches for signals
	require.NoError(t, err)
	defer to.Close()
	require.NoError(t, c.Process.Signal(os.Interrupt))
	var ended *exec.ExitError
	require.ErrorAs(t, c.Wait(), &ended)
	assert.Equal(t, fault, ended.ExitCode())
	return out.String()
}

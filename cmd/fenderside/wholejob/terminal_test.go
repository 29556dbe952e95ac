//go:build unix

package wholejob

// The terminal is tmux: it gives the program a real pseudo-terminal of a fixed size and reads back what a person would see.

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const (
	// patience is how long something that must happen may take on a slow machine on which every journey runs at once.
	patience = 2 * time.Minute

	// glance is the time from one look at the screen to the next.
	glance = 70 * time.Millisecond
)

type terminal struct {
	t      *testing.T
	socket string
	env    []string
	size   size
}

// size is how many columns and rows a window has.
type size struct{ width, height int }

var usual = size{80, 24}

func newTerminal(t *testing.T, window size, env ...string) *terminal {
	if _, err := exec.LookPath("tmux"); err != nil {
		t.Skip("needs tmux")
	}
	term := &terminal{t: t, socket: filepath.Join(t.TempDir(), "tmux"), env: env, size: window}
	t.Cleanup(func() { _ = term.tmux("kill-server").Run() })
	return term
}

func (term *terminal) tmux(args ...string) *exec.Cmd {
	c := exec.Command("tmux", append([]string{"-S", term.socket, "-f", os.DevNull}, args...)...)
	c.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "TERM=xterm-256color")
	return c
}

func (term *terminal) out(args ...string) string {
	out, err := term.tmux(args...).CombinedOutput()
	require.NoError(term.t, err, "tmux %v: %s", args, out)
	return string(out)
}

// run starts the program in a window of the terminal's size.
func (term *terminal) run(program string, args ...string) {
	words := append([]string{"exec", "env"}, term.env...)
	words = append(append(words, program), args...)
	if term.tmux("has-session", "-t", "bay").Run() == nil {
		term.out("respawn-pane", "-k", "-t", "bay", strings.Join(words, " "))
		return
	}
	width, height := strconv.Itoa(term.size.width), strconv.Itoa(term.size.height)
	term.out("new-session", "-d", "-s", "bay", "-x", width, "-y", height, strings.Join(words, " "), ";", "set-option", "remain-on-exit", "on")
}

func (term *terminal) screen() string { return term.out("capture-pane", "-p", "-t", "bay") }

// settled is the screen once it has stopped changing: a screen may be read while it is half drawn, or before a key has told.
func (term *terminal) settled() string {
	last, same := term.screen(), 0
	term.until("the screen is at rest", func() bool {
		now := term.screen()
		if now != last {
			last, same = now, 0
			return false
		}
		same++
		return same == 3
	})
	return last
}

// changes waits a little until the screen is another one than it was. Some keys change nothing that is seen, so it does not
// insist.
func (term *terminal) changes(from string) {
	term.within(5*time.Second, func() bool { return term.screen() != from })
}

// press sends keys by tmux's names for them.
func (term *terminal) press(keys ...string) {
	term.out(append([]string{"send-keys", "-t", "bay"}, keys...)...)
}

// typed sends text as it is.
func (term *terminal) typed(text string) { term.out("send-keys", "-t", "bay", "-l", "--", text) }

// kill ends the program as a dead battery does: without a word.
func (term *terminal) kill() {
	pid, err := strconv.Atoi(strings.TrimSpace(term.out("display-message", "-p", "-t", "bay", "#{pane_pid}")))
	require.NoError(term.t, err)
	require.NoError(term.t, syscall.Kill(pid, syscall.SIGKILL))
	term.until("the program is gone", func() bool {
		return strings.TrimSpace(term.out("display-message", "-p", "-t", "bay", "#{pane_dead}")) == "1"
	})
}

// until looks again and again until something is so.
func (term *terminal) until(what string, so func() bool) {
	term.t.Helper()
	if !term.within(patience, so) {
		require.Failf(term.t, "waited in vain", "%s; the screen shows:\n%s", what, term.screen())
	}
}

// within looks again and again for a time; it reports whether something came to be so.
func (term *terminal) within(long time.Duration, so func() bool) bool {
	ticker := time.NewTicker(glance)
	defer ticker.Stop()
	for end := time.Now().Add(long); time.Now().Before(end); <-ticker.C {
		if so() {
			return true
		}
	}
	return false
}

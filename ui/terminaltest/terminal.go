// Package terminaltest is a real terminal for tests: tmux gives a program a pseudo-terminal of a known size, and reads back
// what a person would see.
//
// The rule kept here: nothing is waited for by the clock. A test looks again and again until something is so, and where it
// looks in vain it fails with what the screen showed.
package terminaltest

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const (
	// Patience is how long something that must happen may take on a slow machine on which every journey runs at once.
	Patience = 2 * time.Minute

	// glance is the time from one look at the screen to the next.
	glance = 70 * time.Millisecond

	// blink is the time to the second look, which is doubled until it is a glance: most of what is waited for is there soon.
	blink = 5 * time.Millisecond

	// pane is the one pane that a terminal has.
	pane = "bay"
)

// Terminal is a window with one program in it, on a tmux server of its own.
type Terminal struct {
	Size   Size
	t      testing.TB
	socket string
	env    []string
}

// Size is how many columns and rows a window has.
type Size struct{ Width, Height int }

// Usual is the size that a terminal has where nobody asked for another.
var Usual = Size{80, 24}

// New is a window of that size, whose programs get these settings of the environment too.
func New(t testing.TB, window Size, env ...string) *Terminal {
	t.Helper()
	if _, err := exec.LookPath("tmux"); err != nil {
		t.Skip("needs tmux")
	}
	term := &Terminal{t: t, socket: filepath.Join(t.TempDir(), "tmux"), env: env, Size: window}
	t.Cleanup(func() { _ = term.tmux("kill-server").Run() })
	return term
}

func (term *Terminal) tmux(args ...string) *exec.Cmd {
	c := exec.Command("tmux", append([]string{"-S", term.socket, "-f", os.DevNull}, args...)...)
	ours := slices.DeleteFunc(os.Environ(), func(v string) bool { return strings.HasPrefix(v, "CI=") }) // nobody sits at a build's terminal
	c.Env = append(ours, "LC_ALL=C.UTF-8", "TERM=xterm-256color")
	return c
}

func (term *Terminal) out(args ...string) string {
	term.t.Helper()
	out, err := term.tmux(args...).CombinedOutput()
	require.NoError(term.t, err, "tmux %v: %s", args, out)
	return string(out)
}

// Run starts a program in the window, in place of the one that ran there.
func (term *Terminal) Run(program string, args ...string) {
	term.t.Helper()
	words := append([]string{"exec", "env"}, term.env...)
	words = append(append(words, program), args...)
	if term.tmux("has-session", "-t", pane).Run() == nil {
		term.out("respawn-pane", "-k", "-t", pane, strings.Join(words, " "))
		return
	}
	width, height := strconv.Itoa(term.Size.Width), strconv.Itoa(term.Size.Height)
	term.out("new-session", "-d", "-s", pane, "-x", width, "-y", height, strings.Join(words, " "), ";", "set-option", "remain-on-exit", "on")
}

// Resize makes the window larger or smaller under its program.
func (term *Terminal) Resize(to Size) {
	term.t.Helper()
	term.Size = to
	term.out("resize-window", "-t", pane, "-x", strconv.Itoa(to.Width), "-y", strconv.Itoa(to.Height))
}

// Ground sets what the terminal draws with where a program names no colour, as tmux names colours.
func (term *Terminal) Ground(ink, ground string) {
	term.t.Helper()
	term.out("set-option", "-w", "-t", pane, "window-style", "fg="+ink+",bg="+ground)
}

// Screen is what the window shows, without blanks at the ends of its rows.
func (term *Terminal) Screen() string {
	term.t.Helper()
	return term.out("capture-pane", "-p", "-t", pane)
}

// Cells is what the window shows, character by character, each with what the program set for it.
func (term *Terminal) Cells() [][]Cell {
	term.t.Helper()
	rows, err := parse(term.out("capture-pane", "-p", "-e", "-t", pane))
	require.NoError(term.t, err)
	return rows
}

// Alternate says whether a program has taken the whole screen for itself.
func (term *Terminal) Alternate() bool {
	term.t.Helper()
	return term.told("alternate_on") == "1"
}

// told is one of the variables that tmux keeps about the window.
func (term *Terminal) told(variable string) string {
	term.t.Helper()
	return strings.TrimSpace(term.out("display-message", "-p", "-t", pane, "#{"+variable+"}"))
}

// Settled is the screen once it has stopped changing: a screen may be read while it is half drawn, or before a key has told.
func (term *Terminal) Settled() string {
	term.t.Helper()
	last, same := term.Screen(), 0
	ticker := time.NewTicker(glance)
	defer ticker.Stop()
	for end := time.Now().Add(Patience); time.Now().Before(end); <-ticker.C {
		now := term.Screen()
		if now != last {
			last, same = now, 0
			continue
		}
		if same++; same == 3 {
			return last
		}
	}
	require.Failf(term.t, "waited in vain", "the screen does not come to rest; it shows:\n%s", last)
	return ""
}

// Changes waits a little until the screen is another one than it was. Some keys change nothing that is seen, so it does not
// insist.
func (term *Terminal) Changes(from string) {
	term.t.Helper()
	term.Within(5*time.Second, func() bool { return term.Screen() != from })
}

// Press sends keys by tmux's names for them.
func (term *Terminal) Press(keys ...string) {
	term.t.Helper()
	term.out(append([]string{"send-keys", "-t", pane}, keys...)...)
}

// Typed sends text as it is.
func (term *Terminal) Typed(text string) {
	term.t.Helper()
	term.out("send-keys", "-t", pane, "-l", "--", text)
}

// Kill ends the program as a dead battery does: without a word.
func (term *Terminal) Kill() {
	term.t.Helper()
	pid, err := strconv.Atoi(term.told("pane_pid"))
	require.NoError(term.t, err)
	program, err := os.FindProcess(pid)
	require.NoError(term.t, err)
	require.NoError(term.t, program.Kill())
	term.Until("the program is gone", func() bool { return term.told("pane_dead") == "1" })
}

// Until looks again and again until something is so.
func (term *Terminal) Until(what string, so func() bool) {
	term.t.Helper()
	if !term.Within(Patience, so) {
		require.Failf(term.t, "waited in vain", "%s; the screen shows:\n%s", what, term.Screen())
	}
}

// Within looks again and again for a time; it reports whether something came to be so.
func (term *Terminal) Within(long time.Duration, so func() bool) bool {
	wait := blink
	next := time.NewTimer(wait)
	defer next.Stop()
	for end := time.Now().Add(long); time.Now().Before(end); <-next.C {
		if so() {
			return true
		}
		next.Reset(wait)
		wait = min(2*wait, glance)
	}
	return false
}

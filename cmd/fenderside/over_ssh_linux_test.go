//go:build unix

package main

// The rule tested here: over ssh the screens are the ones that are seen at the machine itself. The server is OpenSSH's, started
// for one connection and spoken to through a pipe, so that no port is opened; the keys are made for the test.

import (
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/runner/keys"
	"fenderside/ui/terminaltest"
)

const (
	sshdConfig = `HostKey %[1]s/host
AuthorizedKeysFile %[1]s/let-in
StrictModes no
UsePAM no
PasswordAuthentication no
KbdInteractiveAuthentication no
PermitRootLogin prohibit-password
PrintLastLog no
PidFile none
`
	sshConfig = `Host bay
User %[2]s
ProxyCommand %[3]s -i -f %[1]s/sshd_config -E %[1]s/sshd.log
IdentityFile %[1]s/own
IdentitiesOnly yes
IdentityAgent none
UserKnownHostsFile %[1]s/known
GlobalKnownHostsFile none
StrictHostKeyChecking yes
LogLevel ERROR
`
)

// wire is a way to this machine over ssh: the file that ssh is to be configured with.
func wire(t *testing.T) string {
	t.Helper()
	sshd, err := exec.LookPath("sshd")
	if err != nil {
		sshd, err = exec.LookPath("/usr/sbin/sshd") // where Debian has it, outside the path of most people
	}
	if err != nil {
		t.Skip("needs sshd")
	}
	if _, err := exec.LookPath("ssh"); err != nil {
		t.Skip("needs ssh")
	}
	me, err := user.Current()
	require.NoError(t, err)
	dir := t.TempDir()
	host, err := keys.Create(filepath.Join(dir, "host"), "host", nil)
	require.NoError(t, err)
	own, err := keys.Create(filepath.Join(dir, "own"), "own", nil)
	require.NoError(t, err)
	for name, text := range map[string]string{
		"sshd_config": fmt.Sprintf(sshdConfig, dir),
		"ssh_config":  fmt.Sprintf(sshConfig, dir, me.Username, sshd),
		"let-in":      string(ssh.MarshalAuthorizedKey(own)),
		"known":       "bay " + string(ssh.MarshalAuthorizedKey(host)),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	config := filepath.Join(dir, "ssh_config")
	if said, err := exec.Command("ssh", "-F", config, "bay", "true").CombinedOutput(); err != nil {
		log, _ := os.ReadFile(filepath.Join(dir, "sshd.log"))
		t.Skipf("needs sshd to let %s in: %v: %s%s", me.Username, err, said, log)
	}
	return config
}

// twins are two folders of one person, with the same key and the same store of jobs.
func twins(t *testing.T) (one, other string) {
	t.Helper()
	one, other = filepath.Join(t.TempDir(), "1"), filepath.Join(t.TempDir(), "2")
	for _, args := range [][]string{{"key", "new", "--unprotected"}, {"jobs"}} {
		c := exec.Command("fenderside", args...)
		c.Env = []string{"PATH=" + os.Getenv("PATH"), "USER=asha", "FENDERSIDE_HOME=" + one}
		out, err := c.CombinedOutput()
		require.NoError(t, err, string(out))
	}
	require.NoError(t, os.CopyFS(other, os.DirFS(one)))
	require.NoError(t, os.Chmod(filepath.Join(other, "config", "key"), 0o600)) // a copy is open to others
	return one, other
}

func TestOverSSHEveryScreenIsTheOneSeenAtTheMachine(t *testing.T) {
	config := wire(t)
	program, err := exec.LookPath("fenderside")
	require.NoError(t, err)
	one, other := twins(t)
	order := []string{program, "start", "engine-run", "--vehicle", "millbrook-four"}
	asha := []string{"USER=asha", "FENDERSIDE_HOME="}
	kind := []string{"TERM=xterm-256color", "COLORTERM="} // what ssh tells the other end is TERM alone

	near := terminaltest.New(t, terminaltest.Usual, append(kind, asha[0], asha[1]+one)...)
	near.Run(order[0], order[1:]...)
	seen := worked(t, near)

	far := terminaltest.New(t, terminaltest.Usual, kind...)
	far.Run("ssh", append([]string{"-F", config, "-tt", "bay", "env", asha[0], asha[1] + other}, order...)...)
	over := worked(t, far)

	require.Len(t, over, len(seen))
	for i := range seen {
		require.Equal(t, seen[i], over[i], "screen %d", i+1)
	}
	here, there := listed(t, one), listed(t, other)
	require.Len(t, there, 1)
	assert.Equal(t, here[0].At, there[0].At)
	assert.Equal(t, here[0].Job, there[0].Job)
}

var (
	heldFor = regexp.MustCompile(`\b\d+ s\b`)
	stands  = regexp.MustCompile(`(?m)^IN PLACE: |: in place \d`)
	doneBy  = regexp.MustCompile(`(?m)^(Enter|\d) (?:I have read it|it is so|completes the step|opens the job)\b`)
)

// worked begins the job at hand and goes on to its second gate, makes the window larger and stops work. It returns what was
// seen on the way, each character with its ink and ground.
func worked(t *testing.T, term *terminaltest.Terminal) (seen []string) {
	t.Helper()
	last := ""
	looks := func(words string) {
		t.Helper()
		term.Until(words, func() bool {
			screen := term.Screen()
			return screen != last && strings.Contains(screen, words)
		})
		last = term.Settled()
		seen = append(seen, heldFor.ReplaceAllString(drawn(term.Cells()), "1 s"))
	}
	for looks("JOB SHEET"); !stands.MatchString(last); looks("F4 STOP WORK") {
		key := doneBy.FindStringSubmatch(last)
		require.NotNil(t, key, last)
		term.Press(key[1])
	}
	term.Resize(terminaltest.Size{Width: 200, Height: 60})
	looks("Level, chocked, parking brake on: in place")
	term.Press("F4")
	looks("what is no longer true?")
	term.Press("1")
	looks("[x]")
	term.Press("Enter")
	looks("lost")
	return seen
}

// drawn is a screen as text, each change of ink, ground, bold and reverse written before the first character that has it.
func drawn(rows [][]terminaltest.Cell) string {
	var b strings.Builder
	var last terminaltest.Cell
	for _, row := range rows {
		for _, c := range row {
			now := c
			now.Text = 0
			if now != last {
				fmt.Fprintf(&b, "{%s/%s %v %v}", c.Ink, c.Ground, c.Bold, c.Reverse)
				last = now
			}
			b.WriteRune(c.Text)
		}
		b.WriteString("\n")
	}
	return b.String()
}

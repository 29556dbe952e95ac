// Package sealtest helps tests of signatures: it asks the installed OpenSSH for
// its verdict, stands in for security keys, and serves agents.
//
// The rule kept here: OpenSSH, not this project, says what OpenSSH accepts.
package sealtest

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"
)

// Question is what `ssh-keygen -Y verify` is asked.
type Question struct {
	Roster    string   // the allowed_signers text
	Principal string   // -I
	Namespace string   // -n
	Signature string   // the armoured signature
	Message   []byte   // what it should cover
	Options   []string // each after -O
	Revoked   []byte   // -r, when not nil
}

// Accepts reports whether the installed ssh-keygen verifies, and what it says.
// The test is skipped when there is no ssh-keygen.
func Accepts(t testing.TB, q Question) (ok bool, said string) {
	t.Helper()
	dir := t.TempDir()
	args := []string{"-Y", "verify", "-f", write(t, dir, "roster", []byte(q.Roster)),
		"-I", q.Principal, "-n", q.Namespace, "-s", write(t, dir, "sig", []byte(q.Signature))}
	for _, o := range q.Options {
		args = append(args, "-O", o)
	}
	if q.Revoked != nil {
		args = append(args, "-r", write(t, dir, "revoked", q.Revoked))
	}
	cmd := exec.Command(Tool(t, "ssh-keygen"), args...)
	cmd.Stdin = bytes.NewReader(q.Message)
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	return err == nil, string(out)
}

// Run runs a tool in a folder and requires it to succeed.
func Run(t testing.TB, dir, tool string, args ...string) string {
	t.Helper()
	cmd := exec.Command(Tool(t, tool), args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s %q: %s", tool, args, out)
	return string(out)
}

// Tool returns the path of an outside tool, or skips the test.
func Tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("needs %s, which is not installed here", name)
	}
	return path
}

// SignWith has ssh-keygen sign message with the key file, and returns the
// armoured signature.
func SignWith(t testing.TB, keyFile, namespace string, message []byte, options ...string) string {
	t.Helper()
	dir := t.TempDir()
	args := []string{"-q", "-Y", "sign", "-f", keyFile, "-n", namespace}
	for _, o := range options {
		args = append(args, "-O", o)
	}
	file := write(t, dir, "message", message)
	Run(t, dir, "ssh-keygen", append(args, file)...)
	text, err := os.ReadFile(file + ".sig")
	require.NoError(t, err)
	return string(text)
}

// AnyRole returns a roster that lets the key sign for any namespace.
func AnyRole(principal string, key ssh.PublicKey) string {
	return principal + " " + string(ssh.MarshalAuthorizedKey(key))
}

func write(t testing.TB, dir, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

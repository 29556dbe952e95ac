package sealtest

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh/agent"
)

// Serve serves an agent on a socket that SSH_AUTH_SOCK names until the test ends.
func Serve(t *testing.T, held agent.Agent) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("needs sockets in the file system")
	}
	dir, err := os.MkdirTemp("", "agent") // t.TempDir may be too long for a socket
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	path := filepath.Join(dir, "s")
	listener, err := net.Listen("unix", path)
	require.NoError(t, err)
	t.Cleanup(func() { listener.Close() })
	go func() {
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			go agent.ServeAgent(held, conn)
		}
	}()
	t.Setenv("SSH_AUTH_SOCK", path)
}

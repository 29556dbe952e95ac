//go:build unix

package keys

// The rule kept here: on Unix the agent is where SSH_AUTH_SOCK says.

import (
	"fmt"
	"io"
	"net"
	"os"
)

// DialSocket connects to the agent that SSH_AUTH_SOCK names. The error wraps
// ErrNoAgent.
func DialSocket() (io.ReadWriteCloser, error) {
	path := os.Getenv("SSH_AUTH_SOCK")
	if path == "" {
		return nil, fmt.Errorf("%w: SSH_AUTH_SOCK is not set: start one with: eval $(ssh-agent), or give a key file", ErrNoAgent)
	}
	conn, err := net.Dial("unix", path)
	if err != nil {
		return nil, fmt.Errorf("%w: %w: start one with: eval $(ssh-agent), or give a key file", ErrNoAgent, err)
	}
	return conn, nil
}

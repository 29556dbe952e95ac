//go:build !unix

package keys

// The rule kept here: what does not work says so.

import (
	"fmt"
	"io"
	"runtime"
)

// DialSocket always fails: this system's agent is not reached by a socket. The
// error wraps ErrNoAgent. A program that knows how to reach its agent passes
// its own Dial to OpenAgent.
func DialSocket() (io.ReadWriteCloser, error) {
	return nil, fmt.Errorf("%w: signing through an ssh-agent is not supported here (%s): give a key file", ErrNoAgent, runtime.GOOS)
}

// The rule of this file: what is split here is put together again by an
// Assembler, byte for byte.

package isotp

import "fmt"

// Longest is the most bytes that one message can hold.
const Longest = 4095

// Split gives the frames that carry a payload of 1 to Longest bytes, without
// filling.
func Split(payload []byte) ([][]byte, error) {
	n := len(payload)
	if n == 0 || n > Longest {
		return nil, fmt.Errorf("payload of %d bytes: a message carries 1 to %d", n, Longest)
	}
	if n <= 7 {
		return [][]byte{append([]byte{byte(n)}, payload...)}, nil
	}
	frames := [][]byte{append([]byte{0x10 | byte(n>>8), byte(n)}, payload[:6]...)}
	for at, number := 6, byte(1); at < n; at, number = at+7, (number+1)&0xF {
		frames = append(frames, append([]byte{0x20 | number}, payload[at:min(at+7, n)]...))
	}
	return frames, nil
}

// The rule of this file: who sent a message is read from its address, and an
// address that is neither a tester's nor a controller's is neither.

package obd

import (
	"fmt"
	"strings"
)

// The addresses on CAN (ISO 15765-4, from memory): controllers answer from 7E8
// to 7EF or from 18DAF1xx, and are asked at 7DF, 7E0 to 7E7, 18DB33F1 or
// 18DAxxF1.

// IsReply reports an address, three or eight capital hexadecimal digits, that a
// controller answers from.
func IsReply(address string) bool {
	return among(address, "7E", "89ABCDEF") || len(address) == 8 && address[:6] == "18DAF1"
}

// IsRequest reports an address that a controller is asked at.
func IsRequest(address string) bool {
	return address == "7DF" || among(address, "7E", "01234567") || address == "18DB33F1" ||
		len(address) == 8 && address[:4] == "18DA" && address[6:] == "F1" && address[4:6] != "F1"
}

func among(address, start, last string) bool {
	return len(address) == 3 && address[:2] == start && strings.IndexByte(last, address[2]) >= 0
}

// ECUName names a controller by its address: 7E8 is the first, 7EF the eighth,
// and 18DAF1xx carries the controller's own address in its last two digits.
func ECUName(address string) string {
	switch {
	case address == "":
		return "controller not stated"
	case among(address, "7E", "89ABCDEF"):
		return fmt.Sprintf("%s (controller %d)", address, 1+strings.IndexByte("89ABCDEF", address[2]))
	case IsReply(address):
		return fmt.Sprintf("%s (controller at address %s)", address, address[6:])
	}
	return address
}

package plaintext

import "strings"

// ShellWord is a text as one word of a POSIX shell, for a command that a reader is to copy: a name or a path that came from
// outside must not become more than one word, or a command of its own.
func ShellWord(s string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("/._-+=@%", r)
	}
	if s != "" && strings.IndexFunc(s, func(r rune) bool { return !plain(r) }) < 0 {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

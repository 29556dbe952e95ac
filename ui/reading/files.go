package reading

// The rule of this file: a path is taken as a person gives it, by typing, pasting or dropping a file on the terminal; what a
// terminal or a file manager puts around it is taken off.

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"fenderside/runner"
)

// Path is the path in a line. Quotes around it, spaces about it, a file address and backslashes before what a shell would
// take for its own are taken off, and ~ at its beginning is the person's own folder, as in a shell. Elsewhere, and in a path
// that begins as on Windows, a backslash is part of the path.
func Path(line string) string {
	line = strings.TrimSpace(line)
	if quoted, ok := unquoted(line); ok {
		return homed(local(quoted))
	}
	if !strings.HasPrefix(line, `\\`) && !(len(line) > 2 && line[1:3] == `:\`) {
		bare := unescaped(line)
		if strings.HasPrefix(line, `\`) {
			return local(bare) // what begins with an escaped ~ is a file of that name
		}
		line = bare
	}
	return homed(local(line))
}

// homed puts the person's own folder for ~ at the beginning. The folder of somebody else (~name) is left as it is typed.
func homed(path string) string {
	rest, ok := strings.CutPrefix(path, "~")
	if !ok || rest != "" && rest[0] != '/' && rest[0] != os.PathSeparator {
		return path
	}
	own, err := os.UserHomeDir()
	if err != nil {
		return path // as typed, which the error shows
	}
	return filepath.Join(own, rest)
}

// unquoted takes off one pair of quotes. Between single ones a shell closes them for a quote in the name and escapes it.
func unquoted(line string) (string, bool) {
	for quote, within := range map[string]string{`"`: `\"`, "'": `'\''`} {
		if inner, ok := strings.CutPrefix(line, quote); ok {
			if inner, ok = strings.CutSuffix(inner, quote); ok && !strings.Contains(strings.ReplaceAll(inner, within, ""), quote) {
				return strings.ReplaceAll(inner, within, quote), true
			}
		}
	}
	return line, false
}

// shellOwn is what a terminal escapes in a path that is dropped on it.
const shellOwn = " \t'\"()[]{}&;|<>*?!$`#~\\="

func unescaped(line string) string {
	var b strings.Builder
	for i := 0; i < len(line); i++ {
		if line[i] == '\\' && i+1 < len(line) && strings.IndexByte(shellOwn, line[i+1]) >= 0 {
			i++
		}
		b.WriteByte(line[i])
	}
	return b.String()
}

// local is the path of a file address; anything else is a path already.
func local(line string) string {
	if len(line) < len("file://") || !strings.EqualFold(line[:len("file://")], "file://") {
		return line
	}
	rest := line[len("file://"):]
	host, path, _ := strings.Cut(rest, "/")
	if host != "" && !strings.EqualFold(host, "localhost") {
		return line // a file of another machine: the path as typed is what the error shows
	}
	path, err := url.PathUnescape(path)
	if err != nil {
		return line
	}
	if len(path) > 1 && path[1] == ':' {
		return path // a drive letter
	}
	return "/" + path
}

// FileFor is the evidence of the step that a check judges; empty where it judges a file of an earlier step.
func FileFor(v runner.StepView, check string) string {
	for _, e := range v.Evidence {
		for _, c := range v.Checks {
			if c.Use.Name == check && usesID(c, e.Spec.ID) {
				return e.Spec.ID
			}
		}
	}
	return ""
}

// WantsFile says whether a check that holds the step could not judge what is attached under an id.
func WantsFile(v runner.StepView, id string) bool {
	for _, r := range v.Wants {
		if (r.Code == runner.CheckWantsFile || r.Code == runner.FileMissing) && FileFor(v, r.Item) == id {
			return true
		}
	}
	return false
}

func usesID(c runner.CheckView, id string) bool {
	for _, in := range c.Use.Inputs {
		if in.Ref == id {
			return true
		}
	}
	return false
}

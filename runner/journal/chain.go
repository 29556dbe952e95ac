package journal

// The rule of this file: a line is one JSON object whose last member names
// the digest of the line before it, and one function alone decides whether
// a line is sound, for appending, reopening and auditing alike.

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"unicode/utf8"
)

// Genesis is what the first line names as the line before it: 64 zeros.
const Genesis = "0000000000000000000000000000000000000000000000000000000000000000"

// Limits, in bytes, of one line without its LF and of one whole file. They
// bound the memory that an untrusted file can claim; a job of a few hundred
// steps stays below a hundredth of them.
const (
	MaxLine = 4 << 20
	MaxSize = 64 << 20
)

const (
	prevOpen  = `"prev":"`
	prevClose = `"}`
	hexDigits = sha256.Size * 2
	tailBytes = len(prevOpen) + hexDigits + len(prevClose)
)

// Digest returns the lower-case hexadecimal SHA-256 (FIPS 180-4) of a line
// without its LF.
func Digest(line []byte) string {
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:])
}

// Corrupt is the error for a file that is not one unbroken chain of lines.
// Nothing on disk has been changed when it is returned.
type Corrupt struct {
	Line int    // the first unsound line, from 1; 0 when the whole file is meant
	What string // what is wrong with it
}

// Error says which line is unsound, why, and what to do.
func (c *Corrupt) Error() string {
	where := "the journal"
	if c.Line > 0 {
		where = fmt.Sprintf("line %d of the journal", c.Line)
	}
	return where + " " + c.What +
		": keep the file exactly as it is, fetch an undamaged copy if there is one, otherwise go on in a successor job"
}

// Read checks the bytes of a finished file and returns its lines without
// their LF, as slices of data. Every line must be chained to the one before
// it and end with LF; otherwise the error is a *Corrupt. A change to the last
// line that leaves it well formed, or the loss of whole lines at the end,
// shows only against a digest or signature kept elsewhere.
func Read(data []byte) ([][]byte, error) {
	if len(data) == 0 {
		return nil, &Corrupt{Line: 1, What: "is missing, the file is empty"}
	}
	lines, _, fault := scan(data)
	if fault != nil {
		return nil, fault
	}
	return lines, nil
}

// scan reads lines until the first unsound one. It returns the sound lines,
// the bytes from the unsound line to the end, and what is wrong with it.
func scan(data []byte) (lines [][]byte, rest []byte, fault *Corrupt) {
	if len(data) > MaxSize {
		return nil, data, &Corrupt{What: fmt.Sprintf("is larger than %d bytes", MaxSize)}
	}
	prev := Genesis
	for len(data) > 0 {
		line, after, ended := bytes.Cut(data, []byte{'\n'})
		what := unsound(line, prev)
		if what == "" && !ended {
			what = "does not end with LF"
		}
		if what != "" {
			return lines, data, &Corrupt{Line: len(lines) + 1, What: what}
		}
		lines = append(lines, line[:len(line):len(line)])
		prev, data = Digest(line), after
	}
	return lines, nil, nil
}

// unsound says what keeps line from following the line whose digest is prev,
// or "" when nothing does.
func unsound(line []byte, prev string) string {
	named, closed := namedPrev(line)
	switch {
	case len(line) > MaxLine:
		return fmt.Sprintf("is longer than %d bytes", MaxLine)
	case bytes.IndexByte(line, '\n') >= 0:
		return "holds a line break"
	case !utf8.Valid(line):
		return "is not UTF-8"
	case len(line) == 0 || line[0] != '{' || !json.Valid(line):
		return "is not one JSON object"
	case !closed:
		return `does not end with the member "prev" and 64 hexadecimal digits`
	case named != prev:
		return fmt.Sprintf("names %s as the line before it, which has %s", named, prev)
	}
	return ""
}

// namedPrev returns the digest that line names in its last member. A quote
// inside a JSON string is escaped, so these bytes before the closing brace,
// with a comma or brace in front, can only be that member.
func namedPrev(line []byte) (digest string, ok bool) {
	at := len(line) - tailBytes
	if at < 1 || (line[at-1] != ',' && line[at-1] != '{') {
		return "", false
	}
	tail := line[at:]
	if !bytes.HasPrefix(tail, []byte(prevOpen)) || !bytes.HasSuffix(tail, []byte(prevClose)) {
		return "", false
	}
	digest = string(tail[len(prevOpen) : len(prevOpen)+hexDigits])
	for _, c := range digest {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return "", false
		}
	}
	return digest, true
}

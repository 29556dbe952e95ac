package journal

// Tests of the format: the digest, the worked example, and which lines are
// sound.

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The values are the one-block and the empty message of NIST's example
// computations for SHA-256 (FIPS 180-4), from memory.
func TestDigestIsSHA256(t *testing.T) {
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", Digest([]byte("abc")))
	assert.Equal(t, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", Digest(nil))
	assert.Equal(t, strings.Repeat("0", 64), Genesis)
}

// The outside source is sha256sum of GNU coreutils.
func TestDigestOfALineIsWhatSha256sumSays(t *testing.T) {
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip("needs sha256sum")
	}
	for _, line := range small() {
		cmd := exec.Command(tool)
		cmd.Stdin = bytes.NewReader(line)
		out, err := cmd.Output()
		require.NoError(t, err)
		assert.Equal(t, strings.Fields(string(out))[0], Digest(line))
	}
}

func TestWorkedExampleOfThePackageCommentHolds(t *testing.T) {
	source, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	var lines [][]byte
	head := ""
	for text := range strings.Lines(string(source)) {
		text, shown := strings.CutPrefix(strings.TrimRight(text, "\r\n"), "//\t")
		switch {
		case shown && strings.HasPrefix(text, "{"):
			lines = append(lines, []byte(text))
		case shown && len(text) == 64:
			head = text
		}
	}
	require.Len(t, lines, 3)
	read, err := Read(fileOf(lines))
	require.NoError(t, err)
	assert.Equal(t, lines, read)
	assert.Equal(t, head, Digest(lines[2]))
}

func TestReadGivesTheLinesThatWereWritten(t *testing.T) {
	for _, lines := range [][][]byte{small(), long(), chain("only one")} {
		read, err := Read(fileOf(lines))
		require.NoError(t, err)
		assert.Equal(t, lines, read)
	}
}

func TestLinesReadCannotGrowIntoOneAnother(t *testing.T) {
	lines, err := Read(fileOf(small()))
	require.NoError(t, err)
	_ = append(lines[0], "overwrites what follows"...)
	assert.Equal(t, small(), lines)
}

func TestOnlyASoundLineFollows(t *testing.T) {
	end := `"prev":"` + Genesis + `"}`
	cases := []struct{ name, line, want string }{
		{"an object that ends with prev", `{"a":1,` + end, ""},
		{"prev alone", `{` + end, ""},
		{"white space inside the object", `{ "a": 1 ,` + end, ""},
		{"empty", ``, "not one JSON object"},
		{"a number", `1`, "not one JSON object"},
		{"an array", `[1]`, "not one JSON object"},
		{"two objects", `{"a":1}{` + end, "not one JSON object"},
		{"space before", ` {` + end, "not one JSON object"},
		{"carriage return after", `{` + end + "\r", "does not end with the member"},
		{"space after", `{` + end + " ", "does not end with the member"},
		{"space before prev", `{"a":1, ` + end, "does not end with the member"},
		{"no prev", `{"a":1}`, "does not end with the member"},
		{"prev first", `{"prev":"` + Genesis + `","a":1}`, "does not end with the member"},
		{"prev inside another object", `{"a":{` + end + `}`, "does not end with the member"},
		{"prev inside a string", `{"a":"{\"prev\":\"` + Genesis + `"}`, "does not end with the member"},
		{"another name that ends the same", `{"a":1,"xprev":"` + Genesis + `"}`, "does not end with the member"},
		{"63 digits", `{"prev":"` + Genesis[1:] + `"}`, "does not end with the member"},
		{"65 digits", `{"prev":"0` + Genesis + `"}`, "does not end with the member"},
		{"upper-case digits", `{"prev":"` + strings.Repeat("A", 64) + `"}`, "does not end with the member"},
		{"letters past f", `{"prev":"` + strings.Repeat("g", 64) + `"}`, "does not end with the member"},
		{"a bare control character", "{\"a\":\"\x01\"," + end, "not one JSON object"},
		{"a zero byte", "{\"a\":1\x00," + end, "not one JSON object"},
		{"a line break", "{\"a\":1,\n" + end, "holds a line break"},
		{"not UTF-8", "{\"a\":\"\xff\"," + end, "is not UTF-8"},
		{"another digest", `{"prev":"` + strings.Repeat("0", 63) + `1"}`, "names 00"},
		{"too long", `{"a":"` + strings.Repeat("x", MaxLine) + `",` + end, "is longer than"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := unsound([]byte(c.line), Genesis)
			if c.want == "" {
				assert.Empty(t, got)
				return
			}
			assert.Contains(t, got, c.want)
		})
	}
}

func TestReadRefusesAFileThatIsNotFinished(t *testing.T) {
	whole := fileOf(small())
	cases := []struct {
		name string
		data []byte
		line int
		want string
	}{
		{"empty", nil, 1, "the file is empty"},
		{"no LF at the end", whole[:len(whole)-1], 4, "does not end with LF"},
		{"a blank line at the end", append(bytes.Clone(whole), '\n'), 5, "not one JSON object"},
		{"a byte order mark", append([]byte("\ufeff"), whole...), 1, "not one JSON object"},
		{"CRLF", bytes.ReplaceAll(whole, []byte("\n"), []byte("\r\n")), 1, "does not end with the member"},
		{"too large", append(bytes.Clone(whole), make([]byte, MaxSize)...), 0, "is larger than"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			lines, err := Read(c.data)
			var corrupt *Corrupt
			require.ErrorAs(t, err, &corrupt)
			assert.Nil(t, lines)
			assert.Equal(t, c.line, corrupt.Line)
			assert.Contains(t, corrupt.What, c.want)
			assert.Contains(t, err.Error(), "keep the file exactly as it is")
		})
	}
}

// FuzzRead holds that what Read accepts is, byte for byte, a chain by a second
// reckoning, and that opening a job judges by the same rule.
func FuzzRead(f *testing.F) {
	f.Add([]byte(nil))
	for _, lines := range [][][]byte{small(), chain(""), chain("a", "b")} {
		data := fileOf(lines)
		f.Add(data)
		f.Add(data[:len(data)-1])
		f.Add(data[:len(data)/2])
		f.Add(append(bytes.Clone(data), make([]byte, 100)...))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		lines, err := Read(data)
		if err == nil {
			requireChained(t, data, lines)
		}
		opened, torn, openErr := split(data)
		if openErr == nil {
			whole := data[:len(data)-len(torn)]
			requireChained(t, whole, opened)
			again, err := Read(whole)
			require.NoError(t, err)
			require.Equal(t, opened, again)
		}
		if err == nil {
			require.NoError(t, openErr)
			require.Empty(t, torn)
			require.Equal(t, lines, opened)
		}
	})
}

// requireChained walks the chain with the JSON decoder's own idea of "prev".
func requireChained(t *testing.T, data []byte, lines [][]byte) {
	t.Helper()
	require.NotEmpty(t, lines)
	require.Equal(t, data, fileOf(lines))
	prev := Genesis
	for _, line := range lines {
		var members map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(line, &members))
		require.Equal(t, `"`+prev+`"`, string(members["prev"]))
		prev = Digest(line)
	}
}

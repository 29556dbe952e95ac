package procedures

// A file becomes a tree only through here: its bytes are looked at first (size, line ends, characters), then it is
// parsed, then the tree is searched for everything a strict file may not hold.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"fenderside/procedures/plaintext"
)

// The limits of a file.
const (
	MaxFile       = 256 << 10 // bytes
	MaxDepth      = 16        // mappings and lists inside one another
	MaxSteps      = 500       // main line and pinned steps together
	MaxSafeguards = 100       // in one procedure
	MaxDangers    = 200       // in one procedure
	MaxEntries    = 1000      // in one list, or fields in one group
	MaxFaults     = 1000      // after which names are no longer settled
	MaxAsked      = 64        // statements, readings and evidence of one step, over all its ways
	MaxParts      = 64        // procedures included in one, those that its parts include counted
)

// reader collects the faults of one file while it is read.
type reader struct {
	file   string
	within bool // it is included by another file, so its places say which file they are in
	faults Faults
	spoilt map[*yaml.Node]bool // nodes whose fault is already told
}

func newReader(file string) *reader {
	return &reader{file: file, spoilt: map[*yaml.Node]bool{}}
}

// fault keeps one fault; the sentence is formatted like fmt.Sprintf.
func (r *reader) fault(p Place, hint, sentence string, args ...any) {
	if r.within {
		p.File = r.file
	}
	file := r.file
	if p.File != "" {
		file = p.File
	}
	r.faults = append(r.faults, Fault{File: file, Place: p, What: fmt.Sprintf(sentence, args...), Hint: hint})
}

// err returns the faults sorted, or nil where there are none.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	r.faults = r.faults.Sorted()
	return r.faults
}

// document returns the mapping at the root of the file, or false where nothing more can be read.
func (r *reader) document(text []byte) (*yaml.Node, bool) {
	if len(text) > MaxFile {
		r.fault(Place{Line: 1, Column: 1}, "split it, or take out what is not needed", "the file has %d bytes; at most %d are read", len(text), MaxFile)
		return nil, false
	}
	clean, ok := r.bytes(text)
	if !ok {
		return nil, false
	}
	root, ok := r.parse(clean)
	if !ok {
		return nil, false
	}
	r.inspect(root, 0)
	r.stamp(root)
	if root.Kind != yaml.MappingNode {
		r.fault(placeOf(root), "begin with a line such as \"title: ...\"", "the file is %s; fields and their values belong here", kindOf(root))
		return nil, false
	}
	return root, true
}

// stamp writes into every node which file it is from: trees of several files are joined, and each fault must be told of
// its own. Comments are not read, so the field of one carries it.
func (r *reader) stamp(n *yaml.Node) {
	n.HeadComment = ""
	if r.within {
		n.HeadComment = r.file
	}
	for _, c := range n.Content {
		r.stamp(c)
	}
}

// bytes looks at the text before it is parsed. It returns the text with each forbidden character blanked, so that
// places stay right and the rest of the file can be read; false where the rest would make no sense.
func (r *reader) bytes(text []byte) ([]byte, bool) {
	text, bom := bytes.CutPrefix(text, []byte("\ufeff"))
	if bom {
		r.fault(Place{Line: 1, Column: 1}, "save it as UTF-8 without one", "the file begins with a byte order mark")
	}
	if line, _, crlf := bytes.Cut(text, []byte("\r\n")); crlf {
		at := Place{Line: 1 + bytes.Count(line, []byte("\n")), Column: 1 + utf8.RuneCount(line[bytes.LastIndexByte(line, '\n')+1:])}
		r.fault(at, "save the file with line feeds alone", "the lines end with a carriage return and a line feed")
		text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	}
	lines := strings.Split(string(text), "\n")
	readable := true
	for i, line := range lines {
		var ok bool
		lines[i], ok = r.line(i+1, line)
		readable = readable && ok
	}
	return []byte(strings.Join(lines, "\n")), readable
}

// line tells the first forbidden character of one line and blanks all of them. Tabs are left to the parser.
func (r *reader) line(number int, line string) (string, bool) {
	var bad *plaintext.Error
	if !errors.As(plaintext.Check(strings.ReplaceAll(line, "\t", " ")), &bad) {
		return line, true
	}
	r.fault(Place{Line: number, Column: bad.Index + 1}, "take it out, or save the file as UTF-8", "%s", describe(bad))
	if bad.Rune == utf8.RuneError || strings.Contains(line, "\r") {
		return line, false
	}
	blank := func(c rune) rune {
		if c != '\t' && plaintext.Forbidden(c) {
			return ' '
		}
		return c
	}
	return strings.Map(blank, line), utf8.ValidString(line)
}

func describe(bad *plaintext.Error) string {
	if bad.Rune == utf8.RuneError {
		return fmt.Sprintf("the byte 0x%02X is not UTF-8", bad.Byte)
	}
	return fmt.Sprintf("%s U+%04X in the text", plaintext.Kind(bad.Rune), bad.Rune)
}

// parse returns the root node of the only document.
func (r *reader) parse(text []byte) (*yaml.Node, bool) {
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	var doc, second yaml.Node
	switch err := decode(decoder, &doc); {
	case errors.Is(err, io.EOF) || err == nil && len(doc.Content) == 0:
		r.fault(Place{Line: 1, Column: 1}, "begin with its format line", "the file is empty")
		return nil, false
	case err != nil:
		r.syntax(text, err)
		return nil, false
	}
	switch err := decode(decoder, &second); {
	case err == nil:
		r.fault(Place{Line: second.Line, Column: second.Column}, "put it in a file of its own", "a second document begins here")
	case !errors.Is(err, io.EOF):
		r.syntax(text, err)
		return nil, false
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		r.fault(Place{Line: 1, Column: 1}, "begin with its format line", "the file is empty")
		return nil, false
	}
	return root, true
}

// decode turns a panic of the YAML parser into an error: a strange file is a fault of the file, whatever it does.
func decode(d *yaml.Decoder, into *yaml.Node) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("yaml: the parser gave up: %v", p)
		}
	}()
	return d.Decode(into)
}

var (
	syntaxLine    = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`) })
	unknownAnchor = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^unknown anchor '(.*)' referenced$`) })
)

// syntax tells where and how the file stops being YAML.
func (r *reader) syntax(text []byte, err error) {
	m := syntaxLine().FindStringSubmatch(strings.ReplaceAll(err.Error(), "\n", " "))
	if m == nil {
		r.fault(Place{Line: 1, Column: 1}, "", "the file is not YAML: %s", plaintext.Show(err.Error()))
		return
	}
	if a := unknownAnchor().FindStringSubmatch(m[2]); a != nil {
		r.fault(find(text, "*"+a[1]), "write the value out, in quotes where it begins with *", "aliases are not taken")
		return
	}
	said, _ := strconv.Atoi(m[1])
	number := breaks(text, max(1, said))
	r.fault(Place{Line: number, Column: indent(text, number)}, syntaxHint(m[2]), "this is not YAML: %s", plaintext.Show(m[2]))
}

// breaks returns the line at which the text stops being YAML. The parser may name the line before, or the one at which
// an unclosed bracket opened; the right one is where the text above it still reads and the text down to it does not.
func breaks(text []byte, said int) int {
	lines := bytes.SplitAfter(text, []byte("\n"))
	reads := func(n int) bool {
		var node yaml.Node
		err := decode(yaml.NewDecoder(bytes.NewReader(bytes.Join(lines[:n], nil))), &node)
		return err == nil || errors.Is(err, io.EOF)
	}
	for n := max(1, said-1); n <= min(len(lines), said+2); n++ {
		if reads(n-1) && !reads(n) {
			return n
		}
	}
	return min(said, len(lines))
}

// indent returns the column of the first character of a line that is no space or tab.
func indent(text []byte, number int) int {
	lines := bytes.Split(text, []byte("\n"))
	line := lines[number-1]
	return 1 + len(line) - len(bytes.TrimLeft(line, " \t"))
}

// find returns the place of the first time the text holds what.
func find(text []byte, what string) Place {
	before, _, _ := strings.Cut(string(text), what)
	return Place{Line: 1 + strings.Count(before, "\n"), Column: 1 + utf8.RuneCountInString(before[strings.LastIndex(before, "\n")+1:])}
}

func syntaxHint(message string) string {
	switch {
	case strings.Contains(message, "tab character") || strings.Contains(message, "cannot start any token"):
		return "indent with spaces, and put quotes around a text that begins with a sign"
	case strings.Contains(message, "mapping values are not allowed"):
		return "put quotes around a text that has a colon and a space in it, and look at the indentation"
	case strings.Contains(message, "or ']'"), strings.Contains(message, "or '}'"):
		return "close the bracket, put a comma between its items, and quotes around a text with a comma, a question mark or a bracket in it"
	case strings.Contains(message, "escape"):
		return "write a backslash twice between double quotes, or use single quotes"
	}
	return "look at the indentation, the quotes and the brackets of this line"
}

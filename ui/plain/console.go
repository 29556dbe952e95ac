package plain

// The rule kept here: whatever is shown is plain lines of at most Width columns without a control character, and
// whatever is typed comes in a line at a time, read only when it is asked for, so that a passphrase can be read from the
// terminal in between.

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/term"

	"fenderside/procedures/plaintext"
)

// longestLine is how many bytes of one line are taken; it is more than the longest text that a job takes.
const longestLine = 8 << 10

// What ends a question without an answer.
var (
	errLeft  = errors.New("left")  // the input ended, or the person asked to leave
	errMoved = errors.New("moved") // the job changed by itself while the question was open
)

// commandLine is a command that was typed in place of an answer.
type commandLine struct{ name, rest string }

func (c *commandLine) Error() string { return "command ." + c.name }

// typed is one line that came in.
type typed struct {
	text    string
	tooLong bool
	err     error
}

// console is the person's side of a job: lines out, lines in.
type console struct {
	out    io.Writer
	failed error // the first write that failed

	in      io.Reader
	reader  *bufio.Reader
	lines   chan typed
	pending bool // a line is being read

	interrupt <-chan os.Signal
	ticks     <-chan time.Time
	onTick    func() error // errMoved where the question that is open may be out of date
}

func newConsole(in io.Reader, out io.Writer) *console {
	return &console{out: out, in: in, reader: bufio.NewReader(in), lines: make(chan typed, 1)}
}

// say writes one line of text, wrapped. What a text may not hold is shown instead of written.
func (c *console) say(format string, args ...any) {
	for _, line := range wrap(plaintext.Show(fmt.Sprintf(format, args...))) {
		if c.failed == nil {
			_, c.failed = fmt.Fprintln(c.out, strings.TrimRight(line, " "))
		}
	}
}

// sayLines writes a text of several lines, which comes from the program itself.
func (c *console) sayLines(text string) {
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		c.say("%s", line)
	}
}

// sayError says what went wrong.
func (c *console) sayError(err error) { c.sayLines("Not done: " + err.Error()) }

func (c *console) gap() { c.say("") }

// ask says a prompt and returns the line typed, trimmed. A command in its place is returned as a *commandLine error.
func (c *console) ask(prompt ...string) (string, error) {
	for _, p := range prompt {
		c.say("%s", p)
	}
	line, err := c.read()
	if err != nil {
		return "", err
	}
	if name, rest, ok := asCommand(line); ok {
		return "", &commandLine{name, rest}
	}
	return strings.TrimSpace(line), nil
}

// asCommand tells a command from a value: a full stop at the very start with a letter after it.
func asCommand(line string) (name, rest string, ok bool) {
	if len(line) < 2 || line[0] != '.' || !letter(line[1]) {
		return "", "", false
	}
	name, rest, _ = strings.Cut(line[1:], " ")
	return strings.ToLower(strings.TrimSpace(name)), strings.TrimSpace(rest), true
}

func letter(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// read waits for one line. While it waits the job is kept up to date by the ticks.
func (c *console) read() (string, error) {
	for c.failed == nil {
		c.want()
		select {
		case got := <-c.lines:
			c.pending = false
			if got.tooLong {
				c.say("That line was longer than %d bytes. Nothing was taken of it.", longestLine)
				continue
			}
			if got.err != nil {
				return "", errLeft
			}
			if !utf8.ValidString(got.text) {
				c.say("That line was not UTF-8 text. Nothing was taken of it.")
				continue
			}
			return got.text, nil
		case <-c.interrupt:
			return "", errLeft
		case <-c.ticks:
			if err := c.onTick(); err != nil {
				return "", err
			}
		}
	}
	return "", errLeft
}

// want has one line read, unless one is being read already.
func (c *console) want() {
	if c.pending {
		return
	}
	c.pending = true
	go func() { c.lines <- readLine(c.reader) }()
}

// readLine reads up to the end of a line. A last line without an end counts.
func readLine(r *bufio.Reader) typed {
	var line []byte
	for {
		part, err := r.ReadSlice('\n')
		if len(line) <= longestLine {
			line = append(line, part...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if err != nil && len(line) == 0 {
			return typed{err: err}
		}
		text := strings.TrimRight(string(line), "\r\n")
		return typed{text: text, tooLong: len(text) > longestLine}
	}
}

// passphrase asks for a passphrase: with the echo off at a terminal, else from the lines that come in. Ctrl+c at a terminal
// gives it up and turns the echo on again.
func (c *console) passphrase(prompt string) ([]byte, error) {
	c.say("%s", prompt)
	f, ok := c.in.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || c.pending {
		line, err := c.read()
		return []byte(line), err
	}
	was, err := term.GetState(int(f.Fd()))
	if err != nil {
		return nil, fmt.Errorf("turn the echo off: %w", err)
	}
	got := make(chan typed, 1)
	go func() {
		text, err := term.ReadPassword(int(f.Fd()))
		got <- typed{text: string(text), err: err}
	}()
	select {
	case t := <-got:
		if t.err != nil {
			return nil, errLeft
		}
		return []byte(t.text), nil
	case <-c.interrupt:
		return nil, errors.Join(errLeft, term.Restore(int(f.Fd()), was))
	}
}

// askNumber asks for one of a list, by its number or in its own words. An empty answer gives up, with ok false.
func (c *console) askNumber(intro string, list []string) (index int, ok bool, err error) {
	return c.askNumberOr("for none", intro, list)
}

// askNumberOr is askNumber where an empty answer does something that has to be said.
func (c *console) askNumberOr(empty, intro string, list []string) (index int, ok bool, err error) {
	prompt := append(append([]string{intro}, listed(list)...), "Type your answer, or press Enter "+empty+".")
	for {
		line, err := c.ask(prompt...)
		if err != nil || line == "" {
			return 0, false, err
		}
		if i, ok := numbered(line, list); ok {
			return i, true, nil
		}
		c.say("“%s” is not in the list.", line)
		prompt = prompt[len(prompt)-1:]
	}
}

// listed words a list to choose from: each with its number, or without where something in it is a number itself.
func listed(list []string) []string {
	var out []string
	for i, text := range list {
		if hasNumbers(list) {
			out = append(out, "Choice: "+text)
		} else {
			out = append(out, fmt.Sprintf("%d: %s", i+1, text))
		}
	}
	return out
}

func hasNumbers(list []string) bool {
	for _, text := range list {
		if _, err := strconv.Atoi(text); err == nil {
			return true
		}
	}
	return false
}

// numbered finds an answer in a list: by its words, or by its number where listed gives one.
func numbered(line string, list []string) (int, bool) {
	for i, text := range list {
		if line == text || line == strconv.Itoa(i+1) && !hasNumbers(list) {
			return i, true
		}
	}
	i := slices.IndexFunc(list, func(text string) bool { return text != "" && tight(line) == tight(text) })
	return max(0, i), i >= 0
}

// tight is an answer in small letters without its spaces, so that b1 s2 is B1S2 as on the screens.
func tight(answer string) string { return strings.ReplaceAll(strings.ToLower(answer), " ", "") }

// askWords asks for a text until one is given; rest, where it is not empty, is that text.
func (c *console) askWords(rest string, prompt ...string) (string, error) {
	for rest == "" {
		line, err := c.ask(prompt...)
		if err != nil {
			return "", err
		}
		rest = line
	}
	return rest, nil
}

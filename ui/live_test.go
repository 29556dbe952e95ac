package ui

// The rule tested here: what the golden files hold is what a terminal shows. Each screen is brought up in a process of its own
// on a real terminal, by the very program that Run starts, and is read back from there: its text, and every character's ink
// and ground. The clock of a job stands still as it does in the golden files, so no screen is left out.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"fenderside/ui/terminaltest"
)

// screenToShow names the screen that this program is to show instead of running tests.
const screenToShow = "SCREEN_TO_SHOW"

// outlook is a kind of terminal, by the settings that tell a program what it can do, and the ground it has.
type outlook struct {
	name        string
	env         map[string]string
	ink, ground string
	palette     string // what the colours it sets are: numbers of 16 or of 256, or #rrggbb; none for no colour
	whole       bool   // it is looked at in every size; the others in one
}

var outlooks = []outlook{
	{name: "NO_COLOR", env: map[string]string{"NO_COLOR": "1", "COLORTERM": "truecolor"}, ink: "white", ground: "black", whole: true},
	{name: "all colours on dark", env: map[string]string{"COLORTERM": "truecolor", "COLORFGBG": "15;0"}, ink: "white", ground: "black", palette: "true colour", whole: true},
	{name: "all colours on light", env: map[string]string{"COLORTERM": "truecolor", "COLORFGBG": "0;15"}, ink: "black", ground: "white", palette: "true colour"},
	{name: "256 colours", env: map[string]string{"TERM": "screen-256color"}, ink: "white", ground: "black", palette: "256 colours"},
	{name: "16 colours", env: map[string]string{"TERM": "xterm"}, ink: "black", ground: "white", palette: "16 colours"},
}

// setsOut sets the environment up as that of such a terminal.
func (o outlook) setsOut() error {
	for _, name := range []string{"NO_COLOR", "COLORTERM", "COLORFGBG", "CLICOLOR", "CLICOLOR_FORCE", "GOOGLE_CLOUD_SHELL"} {
		if err := os.Unsetenv(name); err != nil {
			return err
		}
	}
	env := maps.Clone(o.env)
	if _, set := env["TERM"]; !set {
		env["TERM"] = "tmux-256color"
	}
	for name, value := range env {
		if err := os.Setenv(name, value); err != nil {
			return err
		}
	}
	return nil
}

// showing is a screen shown by the program. One key of the test's leaves it.
type showing struct{ *rig }

const leaves = "ctrl+q"

func (s showing) Init() tea.Cmd { return nil } // the screen has begun already

func (s showing) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if k, is := msg.(tea.KeyMsg); is && k.String() == leaves {
		return s, tea.Quit
	}
	_, cmd := s.m.Update(msg)
	return s, cmd
}

func (s showing) View() string { return s.view() }

// stage stands in for a test where a screen is shown.
type stage struct {
	testing.TB
	after []func()
}

func (s *stage) Helper()          {}
func (s *stage) Cleanup(f func()) { s.after = append(s.after, f) }
func (s *stage) FailNow()         { s.clear(); os.Exit(1) }

func (s *stage) Errorf(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) }

func (s *stage) clear() {
	for _, f := range slices.Backward(s.after) {
		f()
	}
}

// show brings a screen up on the terminal at hand, each time that a line names an outlook by its number.
func show(name string) error {
	s := &stage{}
	defer s.clear()
	ended, stop := signal.NotifyContext(context.Background(), syscall.SIGHUP, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ended, s.FailNow) // nothing is left behind where the terminal is closed
	r := rigFor(s, name)
	screens[name](r)
	lines := bufio.NewReader(os.Stdin)
	for n := 0; ; n++ {
		fmt.Print(ready(n)) // only where the terminal takes lines again
		line, err := lines.ReadString('\n')
		if errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		at, err := strconv.Atoi(strings.TrimSpace(line))
		if err != nil {
			return err
		}
		if err := outlooks[at].setsOut(); err != nil {
			return err
		}
		r.m.opt.In, r.m.opt.Out = os.Stdin, os.Stdout
		r.m.look = newTheme(os.Stdout, os.Getenv("NO_COLOR") != "")
		if _, err := r.m.program(showing{r}).Run(); err != nil {
			return err
		}
	}
}

// ready is said by a program that has shown its screen so many times; it fits into the smallest window.
func ready(shown int) string { return fmt.Sprintf("ready %d", shown) }

// usualSize is that of a golden file in which every outlook is looked at.
const usualSize = 1

// kept is a golden file in its parts.
type kept struct {
	size terminaltest.Size
	text string
}

var keptSize = regexp.MustCompile(`(?m)^== (\d+) by (\d+)\n`)

func keptScreens(t *testing.T, name string) []kept {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name+".golden"))
	require.NoError(t, err)
	var all []kept
	found := keptSize.FindAllStringSubmatchIndex(string(data), -1)
	for i, at := range found {
		end := len(data)
		if i+1 < len(found) {
			end = found[i+1][0]
		}
		width, err := strconv.Atoi(string(data[at[2]:at[3]]))
		require.NoError(t, err)
		height, err := strconv.Atoi(string(data[at[4]:at[5]]))
		require.NoError(t, err)
		all = append(all, kept{terminaltest.Size{Width: width, Height: height}, unpadded(string(data[at[1]:end]))})
	}
	require.NotEmpty(t, all)
	return all
}

// unpadded is a text without the blanks at the ends of its rows and the empty rows at its own.
func unpadded(text string) string {
	var rows []string
	for row := range strings.Lines(text) {
		rows = append(rows, strings.TrimRight(row, " \n"))
	}
	return strings.TrimRight(strings.Join(rows, "\n"), "\n")
}

// shows waits until the terminal shows a text. It gives up where another has long been at rest, so that a screen that changed
// is soon told.
func shows(t *testing.T, term *terminaltest.Terminal, want string) {
	t.Helper()
	const rest = 20 * time.Second
	last, since := "", time.Now()
	term.Within(terminaltest.Patience, func() bool {
		now := unpadded(term.Screen())
		if now != last {
			last, since = now, time.Now()
		}
		return now == want || now != "" && time.Since(since) > rest
	})
	require.Equal(t, want, last, "at %d by %d", term.Size.Width, term.Size.Height)
}

// few are the screens that are looked at in a short run: each way of drawing there is once.
var few = []string{"board", "sheet", "statement", "two-warnings", "held", "picture-engine", "wait-running", "card-choice"}

func TestEveryScreenIsTheSameOnARealTerminal(t *testing.T) {
	names := slices.Sorted(maps.Keys(screens))
	if testing.Short() {
		names = few
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			onTerminal(t, name, keptScreens(t, name))
		})
	}
}

func TestAWindowTooSmallSaysSoOnARealTerminal(t *testing.T) {
	onTerminal(t, "statement", keptScreens(t, "too-small"))
}

// onTerminal shows a screen on a terminal and holds it to what is kept of it, for every outlook.
func onTerminal(t *testing.T, name string, all []kept) {
	program, err := os.Executable()
	require.NoError(t, err)
	term := terminaltest.New(t, all[0].size, screenToShow+"="+name)
	term.Run(program)
	shown := 0
	for i, k := range all {
		var dark [][]terminaltest.Cell
		for at, o := range outlooks {
			if !o.whole && i != usualSize {
				continue
			}
			term.Until("the screen can be brought up", func() bool { return strings.Contains(term.Screen(), ready(shown)) })
			require.False(t, term.Alternate(), "the terminal was given back")
			term.Ground(o.ink, o.ground)
			term.Typed(strconv.Itoa(at))
			term.Press("Enter")
			if at == 0 && i > 0 {
				shows(t, term, all[i-1].text)
				term.Resize(k.size) // under the program
			}
			shows(t, term, k.text)
			require.True(t, term.Alternate(), "the screen is the program's own")
			cells := term.Cells()
			reads(t, o, cells)
			require.Equal(t, !strings.HasPrefix(k.text, "WINDOW T"), cells[0][0].Reverse, "%s: the title stands out", o.name)
			if o.palette != "" {
				require.Equal(t, signalled.MatchString(k.text), inked(cells), "%s: the signal words are in colour, and nothing else is", o.name)
			}
			switch o.name {
			case "all colours on dark":
				dark = cells
			case "all colours on light":
				require.Equal(t, dark, cells, "a light ground changes nothing")
			}
			term.Press("C-q")
			shown++
		}
	}
}

// reads holds every character to what makes it readable: without colour nothing sets one; in colour whoever sets ink sets
// ground, and the two are as far apart as theme_test.go says.
func reads(t *testing.T, o outlook, rows [][]terminaltest.Cell) {
	t.Helper()
	for _, row := range rows {
		for _, c := range row {
			ink, ground := string(c.Ink), string(c.Ground)
			switch {
			case o.palette == "":
				require.Empty(t, ink+ground, "%s: %q has a colour", o.name, c.Text)
			case ink == "" || ground == "":
				require.Equal(t, ink, ground, "%s: %q sets one of ink and ground", o.name, c.Text)
			default:
				for of, ratio := range contrasts(t, o.palette, ink, ground) {
					require.GreaterOrEqual(t, ratio, leastContrast, "%s: %q in %s on %s, %s", o.name, c.Text, ink, ground, of)
				}
			}
		}
	}
}

// signalled finds a signal word where it stands before its warning.
var signalled = regexp.MustCompile(`\b(DANGER|WARNING|CAUTION|NOTICE)  `)

func inked(rows [][]terminaltest.Cell) bool {
	return slices.ContainsFunc(rows, func(row []terminaltest.Cell) bool {
		return slices.ContainsFunc(row, func(c terminaltest.Cell) bool { return c.Ink != "" })
	})
}

// contrasts are those of two colours as terminals of a kind show them.
func contrasts(t *testing.T, palette, ink, ground string) map[string]float64 {
	t.Helper()
	switch palette {
	case "true colour":
		return map[string]float64{palette: contrast(t, ink, ground)}
	case "256 colours":
		return map[string]float64{palette: contrast(t, termenv.ConvertToRGB(termenv.ANSI256.Color(ink)).Hex(), termenv.ConvertToRGB(termenv.ANSI256.Color(ground)).Hex())}
	}
	all := map[string]float64{}
	for of, colours := range numbered {
		require.Contains(t, colours, ink)
		require.Contains(t, colours, ground)
		all[of] = contrast(t, colours[ink], colours[ground])
	}
	return all
}

package ui

// A rig drives the screens as a person does, key by key, through a real session in a store of its own. The clock stands
// still until it is moved.

import (
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner/home"
	"fenderside/runner/keys"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/session"
	"slices"
	"strconv"
)

func TestMain(m *testing.M) {
	time.Local = time.UTC
	if name := os.Getenv(screenToShow); name != "" {
		if err := show(name); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

const (
	asha       = "asha@millbrook.example"
	bryn       = "bryn@millbrook.example"
	brynsWords = "a kettle of seven fish"
)

// clock is moved by hand.
type clock struct {
	wall time.Time
	mono time.Duration
}

func (c *clock) Now() (time.Time, time.Duration) { return c.wall, c.mono }

func (c *clock) move(d time.Duration) { c.wall, c.mono = c.wall.Add(d), c.mono+d }

type rig struct {
	t      testing.TB
	m      *model
	clock  *clock
	hand   time.Time // the time between keys; a second each
	root   string
	key2   string // bryn's key file, protected
	asks   chan tea.Msg
	wait   chan tea.Msg // a command that asked for a passphrase and has not come back
	keys   int          // pressed so far
	typing int          // of them, the characters of values and the Enter that ends each
}

func newRig(t testing.TB) *rig {
	t.Helper()
	return newRigAs(t, nil)
}

// brynsKey makes the protected key once: a passphrase costs time on purpose.
func brynsKey() ([]byte, ssh.PublicKey, error) {
	made.Do(func() {
		dir, err := os.MkdirTemp("", "key")
		if err != nil {
			made.err = err
			return
		}
		defer os.RemoveAll(dir)
		path := filepath.Join(dir, "bryn")
		if made.public, made.err = keys.Create(path, bryn, []byte(brynsWords)); made.err == nil {
			made.private, made.err = os.ReadFile(path)
		}
	})
	return made.private, made.public, made.err
}

var made struct {
	sync.Once
	private []byte
	public  ssh.PublicKey
	err     error
}

// newRigAs is a rig whose worker has these roles alone; with none named it is every role.
func newRigAs(t testing.TB, roles []string) *rig {
	t.Helper()
	tail := make([]byte, 4)
	_, err := rand.Read(tail)
	require.NoError(t, err)
	root := filepath.Join("/tmp", "fs"+hex.EncodeToString(tail)) // of one length, so that the rows break alike
	require.NoError(t, os.MkdirAll(root, 0o700))
	t.Cleanup(func() { _ = os.RemoveAll(root) })
	r := &rig{t: t, root: root, clock: &clock{wall: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)}, key2: filepath.Join(root, "bryn"), asks: make(chan tea.Msg, 4)}
	h := home.Home{ConfigDir: filepath.Join(root, "config"), DataDir: filepath.Join(root, "data")}
	id, _, err := h.NewKey(asha, nil)
	require.NoError(t, err)
	if roles != nil {
		line, err := roster.Line(asha, id.Public, roles, "")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(h.RosterPath(), []byte(line+"\n"), 0o600))
	}
	private, public, err := brynsKey()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(r.key2, private, 0o600))
	require.NoError(t, h.AddPerson(roster.Entry{Principals: []string{bryn}, Key: public, Fingerprint: seal.Fingerprint(public),
		Namespaces: []string{seal.Record, seal.Stretch, seal.Witness}}))
	r.open(h, Options{})
	return r
}

// open starts the program.
func (r *rig) open(h home.Home, o Options) {
	r.t.Helper()
	o.Home, o.In, o.Out, o.Terminal = h, strings.NewReader(""), &strings.Builder{}, true
	o.Clock = func() session.Clock { return r.clock }
	m, err := newModel(o)
	require.NoError(r.t, err)
	m.later = func(time.Duration, tea.Msg) tea.Cmd { return nil }
	m.asker.send = func(msg tea.Msg) { r.asks <- msg }
	m.look = ascii()
	m.clock = func() time.Time { r.hand = r.hand.Add(time.Second); return r.hand }
	r.m = m
	r.run(m.Init())
}

func ascii() theme {
	render := lipgloss.NewRenderer(&strings.Builder{})
	render.SetColorProfile(termenv.Ascii)
	render.SetHasDarkBackground(true)
	return themeOf(render, true)
}

// run does a command and what follows from it, until nothing is left or a passphrase is asked for.
func (r *rig) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	back := make(chan tea.Msg, 1)
	go func() { back <- cmd() }()
	r.until(back)
}

func (r *rig) until(back chan tea.Msg) {
	select {
	case msg := <-back:
		r.wait = nil
		if all, ok := msg.(tea.BatchMsg); ok {
			for _, c := range all {
				r.run(c)
			}
			return
		}
		r.send(msg)
	case q := <-r.asks:
		r.wait = back
		r.send(q)
	}
}

func (r *rig) send(msg tea.Msg) {
	_, cmd := r.m.Update(msg)
	r.run(cmd)
	if r.wait != nil && r.m.secret == nil {
		r.until(r.wait)
	}
}

var keyTypes = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown, "pgdown": tea.KeyPgDown, "pgup": tea.KeyPgUp, "home": tea.KeyHome, "end": tea.KeyEnd,
	"tab": tea.KeyTab, "backspace": tea.KeyBackspace, "delete": tea.KeyDelete, "left": tea.KeyLeft, "right": tea.KeyRight,
	"f1": tea.KeyF1, "f2": tea.KeyF2, "f3": tea.KeyF3, "f4": tea.KeyF4, "f5": tea.KeyF5, "f6": tea.KeyF6, "f7": tea.KeyF7, "f8": tea.KeyF8, "f9": tea.KeyF9, "f10": tea.KeyF10, "f12": tea.KeyF12,
	"ctrl+x": tea.KeyCtrlX, "ctrl+z": tea.KeyCtrlZ, "ctrl+u": tea.KeyCtrlU, "ctrl+a": tea.KeyCtrlA,
}

func keyMsg(k string) tea.KeyMsg {
	if kind, ok := keyTypes[k]; ok {
		return tea.KeyMsg{Type: kind}
	}
	if k == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

func (r *rig) key(names ...string) *rig {
	for _, k := range names {
		if _, err := strconv.Atoi(k); err == nil && len(k) > 1 { // a number is typed figure by figure
			r.key(strings.Split(k, "")...)
			continue
		}
		r.keys++
		r.send(keyMsg(k))
	}
	return r
}

// typed types words and presses Enter.
func (r *rig) typed(words string) *rig {
	r.typing += len([]rune(words)) + 1
	for _, c := range words {
		r.key(string(c))
	}
	return r.key("enter")
}

// pass moves the clock, second by second as far as the program can tell.
func (r *rig) pass(d time.Duration) *rig {
	r.clock.move(d)
	r.send(second{})
	return r
}

func (r *rig) size(w, h int) *rig {
	r.send(tea.WindowSizeMsg{Width: w, Height: h})
	return r
}

// start opens the sensor swap on a vehicle card of the library.
// starts is the figure that starts a procedure on a board without open jobs.
func (r *rig) starts(name string) string {
	r.t.Helper()
	list, problems := r.m.home.Procedures()
	require.Empty(r.t, problems)
	i := slices.IndexFunc(list, func(p *procedures.Procedure) bool { return p.Name == name })
	require.GreaterOrEqual(r.t, i, 0)
	return strconv.Itoa(i + 1)
}

func (r *rig) start(card string) *rig {
	r.t.Helper()
	p, ok := library.Procedure("sensor-swap")
	require.True(r.t, ok)
	c, ok := library.Card(card)
	require.True(r.t, ok)
	r.m.prepare(Start{Procedure: p, Card: c})
	r.key("down", "down").typed("P0135") // of what it proposes, Enter takes B1S1
	for range p.Sheet {
		if r.m.work == nil {
			r.key("enter")
		}
	}
	require.NotNil(r.t, r.m.work, r.m.message)
	return r
}

// plainJob answers what the sensor swap asks on the four-cylinder demonstration card, without trouble.
var plainJob = map[string][]string{
	"codes": {"P0135 stored"}, "freeze_frame": {"P0135, load 18 %"}, "readiness": {"oxygen sensor heater"},
	"battery.proof_before": {"12.4"}, "battery.residual": {"-0.02"}, "battery.proof_after": {"12.4 V"},
	"choose-reach": {"from above"}, "cool.place": {"boss and pipe"}, "cool.method": {"contact probe"}, "cool.ambient": {"18"}, "cool.surface": {"39.5", "38.0"},
	"found": {"B1S1"}, "bank_told_by": {"maker's drawing"}, "look-over-wiring": {"Dry and whole along the length I can see"},
	"new_part_number": {"MM-4411"}, "new_kind": {"wide-band zirconia"}, "new_thread": {"M18×1.5"}, "new_hex": {"22"}, "new_lead": {"360"}, "new_heater": {"3.1"}, "old_heater": {"5.9"},
	"note-lead": {"It is written down"}, "lead_route": {"up behind the shield, clip at the dipstick"}, "unplug": {"Both halves whole"},
	"break-loose": {"It turns"}, "unscrew": {"It is out"}, "tip": {"clean grey or tan"}, "old_thread": {"M18×1.5"},
	"clean-threads": {"By fingers to the bottom of the thread"}, "dressing": {"the maker's coating alone"}, "threads_seen": {"coated"},
	"start-by-hand": {"To its seat"}, "torque.drive": {"on an adapter that stands out"}, "torque.pull-wrench": {"It clicked once on a steady pull"}, "torque.wrench_length": {"300"}, "torque.adapter_length": {"30"},
	"torque.adapter_angle": {"0"}, "torque.wrench_accuracy": {"4"}, "torque.wrench_setting": {"45.5"}, "torque.wrench_reading": {"45.5"}, "first-start": {"It idles without smoke"}, "check-leaks": {"None heard or seen"},
	"codes_after": {"none"}, "readiness_after": {"catalyst, oxygen sensor heater"}, "left_boss": {"new sensor torqued and plugged in"},
	"key_keeper": {bryn}, "marked": {"no tag and fit to drive"},
	"meter": {"DM-1"}, "thermometer": {"TH-2"}, "torque-wrench": {"TW-3"},
}

// one answers what is asked now, once.
func (r *rig) one(book map[string][]string) {
	r.t.Helper()
	ask := r.m.work.scene().want
	kind, id, _ := strings.Cut(ask.id, " ")
	id, _, _ = strings.Cut(id, " ")
	answers := book[id]
	switch {
	case r.m.work.step() != nil && r.m.work.step().ID == "photo-fitted":
		r.key("f10").typed("no camera in the bay today")
	case len(ask.choices) > 0 && kind != "clear":
		require.NotEmpty(r.t, answers, "no answer for %q: %v", ask.id, ask.choices)
		r.key(r.number(ask.choices, answers[0]), "enter")
	case kind == "take":
		r.typed(answers[0])
		if id == "torque-wrench" {
			r.typed("2027-01-31")
		}
	case kind == "read":
		require.NotEmpty(r.t, answers, "no answer for %q", ask.id)
		v, _ := r.m.work.view()
		n := 0
		for _, rd := range v.Readings {
			if rd.Spec.ID == id {
				n = len(rd.Values)
			}
		}
		r.typed(answers[min(n, len(answers)-1)])
		r.pass(60 * time.Second)
	case ask.act == nil:
		r.pass(3 * time.Minute)
	case ask.figure != "":
		r.key(ask.figure)
	default:
		r.key("enter")
	}
}

func (r *rig) number(choices []string, want string) string {
	for i, c := range choices {
		if c == want && figures(choices) {
			return c
		}
		if c == want || strings.HasPrefix(c, want+" (") {
			return string(rune('1' + i))
		}
	}
	require.Failf(r.t, "no such choice", "%q among %q", want, choices)
	return ""
}

// to plays a job until its screen asks something whose id begins like that.
func (r *rig) to(want string, book map[string][]string) *rig {
	r.t.Helper()
	for range 600 {
		if strings.HasPrefix(r.m.work.scene().want.id, want) {
			return r
		}
		r.one(book)
	}
	require.Failf(r.t, "not reached", "%q, but at %q: %s", want, r.m.work.scene().want.id, r.m.message)
	return r
}

// view is the screen, with what differs from run to run made the same.
func (r *rig) view() string {
	s := r.m.View()
	s = strings.ReplaceAll(s, filepath.Base(r.root), "fs00000000")
	s = leftAt.ReplaceAllString(s, "left 2026-03-14 09:00")
	s = jobID.ReplaceAllString(s, "00000000-$1")
	return printed.ReplaceAllStringFunc(s, func(f string) string { return "SHA256:" + strings.Repeat("x", len(f)-7) })
}

var (
	leftAt  = regexp.MustCompile(`left \d{4}-\d\d-\d\d \d\d:\d\d`)
	jobID   = regexp.MustCompile(`[0-9a-f]{8}-(\d{4})`)
	printed = regexp.MustCompile(`SHA256:[A-Za-z0-9+/]{12,43}`)
)

// witness has bryn sign for the step at hand.
func (r *rig) witness() *rig {
	return r.key("enter", "1", "enter").typed(r.key2).typed(brynsWords)
}

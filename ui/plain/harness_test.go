package plain

// What the tests of this package share: a machine of its own with people on it, a clock that they move, and a person who
// types. The person is a script; each line is handed over only when the program asks for one, and what was typed stands in
// the dialogue behind ">".

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/journal"
	"fenderside/runner/keys"
	"fenderside/runner/record"
	"fenderside/runner/roster"
	"fenderside/runner/session"
)

// handClock is moved by hand.
type handClock struct {
	mu   sync.Mutex
	wall time.Time
	mono time.Duration
}

func (c *handClock) Now() (time.Time, time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.wall, c.mono
}

func (c *handClock) move(by time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.wall, c.mono = c.wall.Add(by), c.mono+by
}

// bench is one machine: a home, a clock and what was said and typed so far.
type bench struct {
	t     *testing.T
	home  home.Home
	clock *handClock
	said  bytes.Buffer
	mu    sync.Mutex
	seen  int // what of said the person has answered
	dir   string
}

const passphrase = "three invented words"

// newBench has asha as its user, and bryn and dilys on the roster with keys of their own, under a passphrase.
func newBench(t *testing.T) *bench {
	t.Setenv("SSH_AUTH_SOCK", "")
	dir := t.TempDir()
	t.Setenv("HOME", dir) // so that ~ is the folder of the test
	b := &bench{t: t, dir: dir, home: home.Home{ConfigDir: filepath.Join(dir, "config"), DataDir: filepath.Join(dir, "data")},
		clock: &handClock{wall: time.Date(2031, 3, 1, 9, 0, 0, 0, time.UTC)}}
	b.person("asha@millbrook.example", b.home.KeyPath(), "", nil)
	b.person("bryn@millbrook.example", b.keyOf("bryn"), passphrase, nil)
	b.person("dilys@millbrook.example", b.keyOf("dilys"), passphrase, nil)
	return b
}

func (b *bench) keyOf(name string) string { return filepath.Join(b.dir, name+"-key") }

// person puts somebody on the roster, with a key file of their own.
func (b *bench) person(name, key, pass string, roles []string) {
	k := keyMade(b.t, name, pass)
	require.NoError(b.t, os.MkdirAll(filepath.Dir(key), 0o700))
	require.NoError(b.t, os.WriteFile(key, k.private, 0o600))
	require.NoError(b.t, os.WriteFile(key+".pub", k.public, 0o600))
	line, err := roster.Line(name, k.key, roles, "")
	require.NoError(b.t, err)
	old, err := os.ReadFile(b.home.RosterPath())
	require.True(b.t, err == nil || os.IsNotExist(err))
	require.NoError(b.t, os.WriteFile(b.home.RosterPath(), append(old, line+"\n"...), 0o600))
}

type madeKey struct {
	key             ssh.PublicKey
	private, public []byte
}

// made holds each person's key: locking one with a passphrase is slow on purpose, so it is done once.
var made sync.Map

func keyMade(t *testing.T, name, pass string) madeKey {
	if k, ok := made.Load(name); ok {
		return k.(madeKey)
	}
	path := filepath.Join(t.TempDir(), "key")
	key, err := keys.Create(path, name, []byte(pass))
	require.NoError(t, err)
	private, err := os.ReadFile(path)
	require.NoError(t, err)
	public, err := os.ReadFile(path + ".pub")
	require.NoError(t, err)
	made.Store(name, madeKey{key, private, public})
	return madeKey{key, private, public}
}

// Write takes what the program says.
func (b *bench) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.said.Write(p)
}

// dialogue is all that was said and typed.
func (b *bench) dialogue() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.said.String()
}

// script types its lines in order. A line that begins with "@" moves the clock by that much first.
type script struct {
	b     *bench
	lines []string
	rest  string // of a line too long for one read
}

func (s *script) Read(p []byte) (int, error) {
	if s.rest != "" {
		n := copy(p, s.rest)
		s.rest = s.rest[n:]
		return n, nil
	}
	for len(s.lines) > 0 && strings.HasPrefix(s.lines[0], "@") {
		by, err := time.ParseDuration(s.lines[0][1:])
		if err != nil {
			return 0, err
		}
		s.b.clock.move(by)
		s.lines = s.lines[1:]
	}
	if len(s.lines) == 0 {
		return 0, io.EOF
	}
	line := s.lines[0] + "\n"
	s.lines = s.lines[1:]
	n, err := s.b.type1(p, line)
	s.rest = line[n:]
	return n, err
}

func (b *bench) type1(p []byte, line string) (int, error) {
	b.clock.move(time.Second)
	_, _ = b.Write([]byte("> " + plaintext.Show(strings.TrimSuffix(line, "\n")) + "\n"))
	return copy(p, line), nil
}

// person answers by looking at what was said since the last answer; "" with ok false ends the input.
type answers struct {
	b      *bench
	answer func(asked string) (line string, ok bool)
}

func (a *answers) Read(p []byte) (int, error) {
	a.b.mu.Lock()
	asked := a.b.said.String()[a.b.seen:]
	a.b.seen = a.b.said.Len()
	a.b.mu.Unlock()
	line, ok := a.answer(asked)
	if !ok {
		return 0, io.EOF
	}
	return a.b.type1(p, line+"\n")
}

// run works a job with these lines typed.
func (b *bench) run(o Options, lines ...string) error {
	s := &script{b: b, lines: lines}
	o.Home, o.Out, o.Clock = b.home, b, b.newClock
	if o.In == nil {
		o.In = s
	}
	err := Run(o)
	for len(s.lines) > 0 && strings.HasPrefix(s.lines[0], "@") {
		s.lines = s.lines[1:]
	}
	assert.Empty(b.t, s.lines, "lines that nothing asked for")
	b.plainLines()
	return err
}

// newClock is the clock of one more process: running time begins again.
func (b *bench) newClock() session.Clock {
	b.clock.mu.Lock()
	defer b.clock.mu.Unlock()
	b.clock = &handClock{wall: b.clock.wall.Add(time.Minute)}
	return b.clock
}

// plainLines holds all that was said to the form of the line mode.
func (b *bench) plainLines() {
	b.t.Helper()
	for _, line := range strings.Split(b.dialogue(), "\n") {
		if strings.HasPrefix(line, ">") {
			continue
		}
		require.NoError(b.t, plaintext.Check(line), "%q", line)
		require.LessOrEqual(b.t, columns(line), Width, "%q", line)
	}
}

// lamp is the small procedure of the tests.
func lamp(t *testing.T) *procedures.Procedure {
	text, err := os.ReadFile("testdata/bench-lamp.yaml")
	require.NoError(t, err)
	p, err := procedures.Parse("bench-lamp.yaml", text)
	require.NoError(t, err)
	return p
}

func practice(t *testing.T) Options {
	return Options{Start: &Start{Procedure: lamp(t), NoCard: true, Practice: true}}
}

// opened are the answers that open the job, and briefed those that lead to its first step.
var (
	opened  = []string{"left", "1 V", "leaflet page 2", "", "open"}
	briefed = append(opened[:len(opened):len(opened)], "read", "read", "read")
	dead    = []string{"pocket", "one", "M-4", "2031-12-31", "0.2 V"}
	cooled  = []string{"start", "@2m", "", "meanwhile", "P-1", "41 °C", "@40s", "40 °C"}
	looked  = []string{"1", "clean", "", "", "1"}
)

func join(parts ...[]string) []string {
	var out []string
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// only is the id of the one open job.
func (b *bench) only() string {
	st, err := b.home.Store()
	require.NoError(b.t, err)
	jobs, err := st.OpenJobs()
	require.NoError(b.t, err)
	require.Len(b.t, jobs, 1)
	return jobs[0]
}

// record is the folder of the one signed record.
func (b *bench) record() string {
	st, err := b.home.Store()
	require.NoError(b.t, err)
	ids, err := st.Records()
	require.NoError(b.t, err)
	require.Len(b.t, ids, 1)
	return st.RecordDir(ids[0])
}

// replayed replays a record through the core, line by line, and returns its end.
func (b *bench) replayed() *record.Replay {
	data, err := os.ReadFile(filepath.Join(b.record(), "record.jsonl"))
	require.NoError(b.t, err)
	lines, err := journal.Read(data)
	require.NoError(b.t, err)
	var r *record.Replay
	for i, text := range lines {
		l, err := record.Decode(text)
		require.NoError(b.t, err)
		if i == 0 {
			r, err = record.Start(&record.Binder{}, l)
		} else {
			err = r.Step(l)
		}
		require.NoError(b.t, err, "line %d", i+1)
	}
	return r
}

// events are all events of the one open job, as they are on disk.
func (b *bench) events() []runner.Event {
	st, err := b.home.Store()
	require.NoError(b.t, err)
	data, err := os.ReadFile(filepath.Join(st.JobDir(b.only()), "journal.jsonl"))
	require.NoError(b.t, err)
	lines, err := journal.Read(data)
	require.NoError(b.t, err)
	var out []runner.Event
	for _, text := range lines {
		l, err := record.Decode(text)
		require.NoError(b.t, err)
		out = append(out, l.Events...)
	}
	return out
}

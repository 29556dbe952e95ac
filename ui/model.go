package ui

// The rule of this file: Update is the only place where anything changes, and it waits for nothing. What may take time is
// a command that comes back as a message.

import (
	"fmt"
	"os"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

// screen is one thing on the stack of screens; the last one is shown.
type screen interface {
	press(m *model, k tea.KeyMsg) tea.Cmd
	page(m *model, w, h int) page
}

// page is what a screen shows in a body of a given size. Missing is how many rows more it needs to show what must not be
// left out.
type page struct {
	rows    []string
	keys    []hint
	missing int
	folded  int // rows of how a step is done that did not fit
	unread  int // rows of a list, or of a text that is turned page by page, that stand on others
}

// hint is one key and what it does now.
type hint struct{ key, does string }

// model is everything the screens know.
type model struct {
	opt   Options
	home  home.Home
	store *store.Store
	who   runner.Person
	look  theme
	asker *asker
	later func(time.Duration, tea.Msg) tea.Cmd // the message, after that long

	clock   func() time.Time // of the keyboard alone; a job has its own
	entered time.Time        // when Enter was last pressed

	width, height int
	stack         []screen           // the board is the first
	work          *work              // the job in hand, or nil
	records       []session.Finished // those signed since the program was started
	message       string
	secret        *secret // a passphrase that is being asked for
	escaped       bool    // Esc was pressed: a letter stands for a function key
	busy          bool    // something other than an entry is being read or signed
}

// firstTime is said to somebody who has never started the program.
const firstTime = "Fenderside takes you through one job at a vehicle, a step at a time, holds it at every safety gate, and leaves a signed record. A demonstration vehicle is for practice: try everything on it."

func newModel(o Options) (*model, error) {
	if o.In == nil {
		o.In = os.Stdin
	}
	if o.Out == nil {
		o.Out = os.Stdout
	}
	if o.Clock == nil {
		o.Clock = session.MachineClock
	}
	m := &model{opt: o, home: o.Home, look: newTheme(o.Out, o.NoColor), asker: newAsker(), clock: time.Now, width: 80, height: 24}
	m.later = func(d time.Duration, msg tea.Msg) tea.Cmd {
		return tea.Tick(d, func(time.Time) tea.Msg { return msg })
	}
	m.home.Ask = m.asker.ask
	id, notice, err := m.home.Identity()
	if err != nil {
		return nil, err
	}
	m.who = id.Person
	if m.store, err = m.home.Store(); err != nil {
		return nil, err
	}
	var notices []string
	if notice != "" { // whoever has no key yet is here for the first time
		notices = append(notices, firstTime, "")
	}
	for _, n := range append([]string{notice}, o.Notices...) {
		if n != "" {
			notices = append(notices, strings.Split(n, "\n")...)
		}
	}
	b := &board{}
	m.stack = []screen{b}
	if err := m.open(o); err != nil {
		return nil, err
	}
	if len(m.stack) == 1 {
		b.notices = notices
	} else if len(notices) > 0 {
		m.push(&reader{title: "BEFORE YOU START", text: notices})
	}
	return m, nil
}

// open goes straight to what the options ask for.
func (m *model) open(o Options) error {
	switch {
	case o.Resume != "":
		s, err := session.Resume(m.store, o.Resume, o.Clock())
		if err != nil {
			return err
		}
		m.takeUp(s)
	case o.Start != nil:
		m.prepare(*o.Start)
	}
	return nil
}

// Init starts the clock and reads the board.
func (m *model) Init() tea.Cmd { return tea.Batch(m.later(time.Second, second{}), m.readBoard()) }

// Update takes one message.
func (m *model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
	case tea.KeyMsg:
		return m, m.press(msg)
	case durable:
		return m, m.settle(msg)
	case second:
		return m, tea.Batch(m.tick(), m.later(time.Second, second{}))
	case ticked:
		return m, m.afterTick(msg)
	case askFor:
		m.secret = newSecret(msg)
	case boardRead:
		if b, ok := m.stack[0].(*board); ok {
			b.take(msg)
		}
	case opened:
		return m, m.afterOpening(msg)
	case answersKept:
		return m, m.kept(msg)
	case cardKept:
		return m, m.written(msg)
	}
	return m, nil
}

func (m *model) top() screen { return m.stack[len(m.stack)-1] }

func (m *model) push(s screen) { m.stack = append(m.stack, s) }

// pop goes back to the screen before; the board stays.
func (m *model) pop() {
	if len(m.stack) > 1 {
		m.stack = m.stack[:len(m.stack)-1]
	}
}

// toWork takes every screen above the job away.
func (m *model) toWork() {
	for i, s := range m.stack {
		if _, ok := s.(*work); ok {
			m.stack = m.stack[:i+1]
			return
		}
	}
}

func (m *model) say(format string, args ...any) {
	m.message = strings.ReplaceAll(fmt.Sprintf(format, args...), "\n", "; ")
}

// takeUp puts a job in hand.
func (m *model) takeUp(s *session.Session) {
	m.work = &work{session: s, job: s.Job(), who: m.who, state: s.State(), now: s.Moment(), lines: s.Lines(), astray: s.Astray()}
	m.stack = append(m.stack[:1], m.work)
}

// letGo closes the job in hand and goes back to the board.
func (m *model) letGo() tea.Cmd {
	if m.work != nil {
		if err := m.work.session.Close(); err != nil {
			m.say("The job could not be let go of: %v", err)
		}
	}
	m.work, m.stack = nil, m.stack[:1]
	return m.readBoard()
}

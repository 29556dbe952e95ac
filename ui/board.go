package ui

// The rule of this file: open jobs come first, each with where it stands and why it is held; looking at one writes nothing.

import (
	"errors"
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/session"
)

// board is the first screen.
type board struct {
	notices []string
	read    boardRead
	list    picker
}

// boardRead is what was found for the board.
type boardRead struct {
	jobs     []home.Standing
	records  []home.Standing
	problems []string
	items    []item
}

// opened is a job that was taken up or started, or could not be.
type opened struct {
	session *session.Session
	err     error
}

// readBoard looks through the store.
func (m *model) readBoard() tea.Cmd {
	st, h := m.store, m.home
	return func() tea.Msg {
		var b boardRead
		all, err := home.Standings(st)
		b.problem(err)
		for i := len(all) - 1; i >= 0; i-- {
			if all[i].Stage == home.Done || all[i].Stage == home.Unreadable && strings.HasPrefix(all[i].Dir, st.RecordDir("")) {
				b.records = append(b.records, all[i])
			} else {
				b.jobs = append(b.jobs, all[i])
			}
		}
		list, problems := h.Procedures()
		b.items = append(offered(list), vehicles(h)...)
		for _, err := range problems {
			b.problem(err)
		}
		return b
	}
}

// offered lists the procedures, those that are but parts of others under a head of their own.
func offered(list []*procedures.Procedure) []item {
	ranks, head := home.Ranks(list), ""
	var items []item
	for _, p := range list {
		it := item{text: p.Title, more: fmt.Sprintf("%s, revision %d", p.Name, p.Revision), act: func(m *model) tea.Cmd { return m.chooseVehicle(p, false, "") }}
		under := "START A JOB"
		if ranks[p.Name] == home.MerePart {
			under = "PARTS OF THESE JOBS, EACH ALSO ON ITS OWN"
		}
		if under != head {
			it.head, head = under, under
		}
		items = append(items, it)
	}
	return items
}

// vehicles offers to write a card, or to go on with one that was left.
func vehicles(h home.Home) []item {
	board := func(m *model, _ *procedures.Card) tea.Cmd { return m.readBoard() }
	items := []item{{head: "VEHICLES", text: "Write a card for a vehicle of your own", more: "asked for figure by figure; live work can then take its figures from it",
		act: func(m *model) tea.Cmd { return m.nameCard(board) }}}
	for _, u := range h.UnfinishedCards() {
		items = append(items, item{text: "Go on with the card " + plaintext.Show(u.Name), more: "left " + u.Last.Local().Format("2006-01-02 15:04"),
			act: func(m *model) tea.Cmd { return m.interview(u.Name, board) }})
	}
	return items
}

func (b *boardRead) problem(err error) {
	if err != nil {
		b.problems = append(b.problems, strings.Split(err.Error(), "\n")...)
	}
}

// place says where a job stands, in one sentence.
func place(s home.Standing) string {
	var out []string
	switch {
	case s.Stage == home.Unreadable:
		return "LOCKED: " + plaintext.Show(s.Problem)
	case s.Stage == home.Unsigned:
		out = append(out, s.Outcome+", sealed and not signed yet")
	case s.Outcome != "":
		out = append(out, s.Outcome, "by "+plaintext.Show(s.Performer))
	case s.At == string(runner.Closing):
		out = append(out, "to be read and signed")
	case s.At == string(runner.Briefing):
		out = append(out, "before the first step")
	case s.At != "":
		out = append(out, "at: "+s.At)
	}
	if len(s.Held) > 0 {
		out = append(out, "HELD: "+s.Held[0])
	}
	if s.Problem != "" {
		out = append(out, plaintext.Show(s.Problem))
	}
	return strings.Join(append(out, s.Last.Local().Format("2006-01-02 15:04")), "; ")
}

// named is a job in one row: procedure, vehicle, mode, number.
func named(s home.Standing) string {
	title := s.Title
	if title == "" {
		title = s.Procedure
	}
	vehicle := s.Card
	if vehicle == "" {
		vehicle = "no card"
	}
	if title == "" {
		return "job " + plaintext.Show(s.Job)
	}
	return plaintext.Show(fmt.Sprintf("%s, %s (%s, job %s)", title, vehicle, modeWords[s.Mode], s.Job))
}

// modeWords are the modes as they are shown.
var modeWords = map[runner.Mode]string{runner.Practice: "PRACTICE", runner.Rehearsal: "REHEARSAL", runner.Live: "live work"}

// take shows what was found.
func (b *board) take(found boardRead) {
	b.read = found
	at := b.list.mark
	b.list = picker{title: "What is to be done?", stay: true, empty: "There are no procedures and no jobs here.", mark: at}
	for i, j := range found.jobs {
		it := item{text: named(j), more: place(j), act: func(m *model) tea.Cmd { return m.resume(j.Job) }}
		if i == 0 {
			it.head = "OPEN JOBS"
		}
		b.list.items = append(b.list.items, it)
	}
	b.list.items = append(b.list.items, found.items...)
	for i, r := range found.records {
		it := item{text: named(r), more: place(r), act: func(m *model) tea.Cmd { return m.showRecord(r) }}
		if i == 0 {
			it.head = "RECORDS"
		}
		b.list.items = append(b.list.items, it)
	}
	b.list.at = min(b.list.at, max(0, len(b.list.items)-1))
}

func (b *board) page(m *model, w, h int) page {
	b.list.intro = append(append([]string(nil), b.notices...), b.read.problems...)
	pg := b.list.page(m, w, h)
	pg.keys = append(pg.keys, hint{"Ctrl+C", "leave"})
	return pg
}

func (b *board) press(m *model, k tea.KeyMsg) tea.Cmd {
	if k.String() == "enter" && len(b.notices) > 0 {
		b.notices = nil // they were shown until something was done
	}
	return b.list.press(m, k)
}

// resume takes up an open job.
func (m *model) resume(id string) tea.Cmd {
	if m.busy {
		return nil
	}
	m.busy = true
	st, clock := m.store, m.opt.Clock
	return func() tea.Msg {
		s, err := session.Resume(st, id, clock())
		return opened{s, err}
	}
}

func (m *model) afterOpening(msg opened) tea.Cmd {
	m.busy = false
	var locked *session.Locked
	switch {
	case errors.As(msg.err, &locked):
		m.push(m.successors(locked))
	case msg.err != nil:
		m.say("Not opened: %v", msg.err)
		return m.readBoard() // which says how it stands now
	default:
		m.takeUp(msg.session)
	}
	return nil
}

// successors is the page of a job that cannot be taken up: what is wrong, and the jobs that can follow it.
func (m *model) successors(locked *session.Locked) *picker {
	p := &picker{title: "JOB LOCKED: make the vehicle safe under a job that follows it", intro: strings.Split(locked.Error(), "\n"), empty: "There is no procedure to follow it with."}
	list, _ := m.home.Procedures()
	for _, one := range list {
		p.items = append(p.items, item{text: one.Title, more: "opened as the job that follows " + locked.Job,
			act: func(m *model) tea.Cmd { return m.chooseVehicle(one, false, locked.Job) }})
	}
	return p
}

// showRecord says where a record is and how it is verified.
func (m *model) showRecord(s home.Standing) tea.Cmd {
	f := session.Finished{Dir: s.Dir, By: runner.Person{Name: s.Performer}}
	r := &reader{title: "RECORD " + s.Job, text: []string{named(s), place(s), "", "Folder: " + s.Dir}}
	if s.Stage == home.Done {
		r.text = append(r.text, "Anybody verifies it in that folder with:", "  "+f.VerifyLine(),
			"There, -I names who signed it: the person above, where nobody else signed for them.")
	}
	r.text = append(r.text, "The audit replays it: fenderside audit "+s.Dir+" --roster FILE")
	m.push(r)
	return nil
}

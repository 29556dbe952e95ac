package ui

// The rule of this file: open jobs come first, each with where it stands and why it is held; looking at one writes nothing.

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/session"
	"fenderside/runner/store"
)

// board is the first screen.
type board struct {
	notices []string
	read    boardRead
	list    picker
}

// boardRead is what was found for the board.
type boardRead struct {
	jobs     []glance
	records  []glance
	problems []string
	items    []item
}

// glance is one job or record, looked at and left alone.
type glance struct {
	id, title, place string
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
		jobs, err := st.OpenJobs()
		b.problem(err)
		for i := len(jobs) - 1; i >= 0; i-- {
			b.jobs = append(b.jobs, look(jobs[i], filepath.Join(st.JobDir(jobs[i]), store.JournalFile)))
		}
		records, err := st.Records()
		b.problem(err)
		for i := len(records) - 1; i >= 0; i-- {
			b.records = append(b.records, look(records[i], filepath.Join(st.RecordDir(records[i]), store.RecordFile)))
		}
		list, problems := h.Procedures()
		for i, p := range list {
			it := item{text: p.Title, more: fmt.Sprintf("%s, revision %d", p.Name, p.Revision), act: func(m *model) tea.Cmd { return m.chooseVehicle(p, false, "") }}
			if i == 0 {
				it.head = "START A JOB"
			}
			b.items = append(b.items, it)
		}
		for _, err := range problems {
			b.problem(err)
		}
		return b
	}
}

func (b *boardRead) problem(err error) {
	if err != nil {
		b.problems = append(b.problems, plaintext.Show(err.Error()))
	}
}

// look reads how a job stands from its journal, as the core decides it again.
func look(id, path string) glance {
	g := glance{id: id, title: "job " + plaintext.Show(id)}
	data, err := os.ReadFile(path)
	if err != nil {
		g.place = "cannot be read: " + err.Error()
		return g
	}
	lines, err := journal.Read(data)
	var torn *journal.Corrupt
	if err != nil && (!errors.As(err, &torn) || len(lines) == 0) {
		g.place = "LOCKED, its journal is unsound: " + err.Error()
		return g
	}
	replay, err := replayed(lines)
	if replay == nil || err != nil {
		g.place = fmt.Sprintf("LOCKED, its journal does not follow the rules: %v", err)
		return g
	}
	o := replay.Job.Opening
	g.title = fmt.Sprintf("%s, %s (%s, job %s)", replay.Job.Procedure.Title, vehicle(replay.Job), o.Mode, id)
	g.place = place(replay.Job, replay.State)
	return g
}

func replayed(lines [][]byte) (replay *record.Replay, err error) {
	for i, data := range lines {
		l, err := record.Decode(data)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			replay, err = record.Start(&record.Binder{}, l)
		} else {
			err = replay.Step(l)
		}
		if err != nil {
			return nil, err
		}
	}
	return replay, nil
}

// vehicle is how the sheet names the vehicle: its first text, or the card.
func vehicle(j *runner.Job) string {
	for _, e := range j.Opening.Sheet {
		if e.ID == "vehicle" {
			return plaintext.Show(e.Value)
		}
	}
	if j.Card != nil {
		return plaintext.Show(j.Card.Title)
	}
	return "vehicle not named"
}

// place says where a job stands, in one sentence.
func place(j *runner.Job, s runner.State) string {
	switch {
	case s.Phase() == runner.Closed:
		if s.Seal() != nil {
			return fmt.Sprintf("%s, signed or to be signed by %s, %s", s.Outcome(), plaintext.Show(s.Seal().By.Name), s.Last().Wall.Local().Format("2006-01-02 15:04"))
		}
		return string(s.Outcome())
	case s.Stopped():
		return "WORK STOPPED, not cleared yet"
	case s.Phase() == runner.Briefing:
		return "before the first step"
	case s.Handover() != nil:
		return "being handed to " + plaintext.Show(s.Handover().To.Name)
	case s.Phase() == runner.Closing && s.Current() == nil:
		return fmt.Sprintf("closing as %s, to be signed", s.Outcome())
	}
	text := "at: "
	if s.Phase() == runner.Closing {
		text = fmt.Sprintf("closing as %s, at: ", s.Outcome())
	}
	switch {
	case s.Cursor() != nil:
		text += s.Cursor().Title
	case s.Current() != nil:
		text += s.Current().Title
	}
	if held := s.HeldBy(); len(held) > 0 {
		what, _ := j.Text(held[0])
		text += "; held: " + what
	}
	return text
}

// take shows what was found.
func (b *board) take(found boardRead) {
	b.read = found
	at := b.list.at
	b.list = picker{title: "What is to be done?", stay: true, empty: "There are no procedures and no jobs here.", at: at}
	for i, j := range found.jobs {
		it := item{text: j.title, more: j.place, act: func(m *model) tea.Cmd { return m.resume(j.id) }}
		if i == 0 {
			it.head = "OPEN JOBS"
		}
		b.list.items = append(b.list.items, it)
	}
	b.list.items = append(b.list.items, found.items...)
	for i, r := range found.records {
		it := item{text: r.title, more: r.place, act: func(m *model) tea.Cmd { return m.showRecord(r) }}
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
	if msg.err != nil {
		m.say("Not opened: %v", msg.err)
		return nil
	}
	m.takeUp(msg.session)
	return nil
}

// showRecord says where a record is and how it is verified.
func (m *model) showRecord(g glance) tea.Cmd {
	dir := m.store.RecordDir(g.id)
	r := &reader{title: "RECORD " + g.id, text: []string{g.title, g.place, "", "Folder: " + dir}}
	data, err := os.ReadFile(filepath.Join(dir, store.RecordFile))
	if err != nil {
		r.text = append(r.text, err.Error())
	} else if lines, err := journal.Read(data); err == nil {
		if replay, err := replayed(lines); err == nil && replay.State.Seal() != nil {
			f := session.Finished{By: replay.State.Seal().By}
			r.text = append(r.text, "Anybody verifies it in that folder with:", "  "+f.VerifyLine())
		}
	}
	r.text = append(r.text, "The audit replays it: fenderside audit "+dir+" --roster FILE")
	m.push(r)
	return nil
}

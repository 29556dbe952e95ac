package ui

// The rule of this file: a job is signed after its record was read to the end, and the reader is told what the signature
// means. Afterwards the screen shows how anybody verifies it without this program.

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/seal"
	"fenderside/runner/session"
	"fenderside/ui/reading"
)

// stillDue is the work that follows the job, by when.
func (w *work) stillDue() (out []string) {
	for _, f := range w.state.FollowUps() {
		out = append(out, "To follow by "+f.Due+": "+plaintext.Show(f.What))
	}
	return out
}

// endScene is the end of the main line or of an early close, with every due step done.
func (w *work) endScene() scene {
	s := w.state
	sc := scene{banner: []string{fmt.Sprintf("END OF THE JOB: %s", s.Outcome())}, action: "Read the record, then sign it."}
	for _, l := range s.Left() {
		sc.must = append(sc.must, "LEFT IN THIS STATE: "+w.title(l.Step)+": "+plaintext.Show(l.State))
	}
	sc.must = append(sc.must, w.stillDue()...)
	sc.must = append(sc.must, reading.Astray(s, w.job, w.now, w.astray)...)
	if len(s.Unsigned()) > 0 {
		sc.must = append(sc.must, "UNSIGNED STRETCHES: "+people(s.Unsigned()))
	}
	if !s.ReadyToSeal() {
		for _, r := range s.Unsafe() {
			what, next := w.job.Text(r)
			sc.must = append(sc.must, sentence(what)+" "+sentence(next))
		}
	}
	sc.want = want{id: "review", title: "Work still due, such as a drive that completes the monitors, is written down with F7 first.", enter: "opens the record",
		act: func(m *model, _ string, _ int) tea.Cmd { m.push(m.review()); return nil }}
	return sc
}

func people(all []runner.Person) string {
	var names []string
	for _, p := range all {
		names = append(names, plaintext.Show(p.Name))
	}
	return strings.Join(names, ", ")
}

func (w *work) title(step string) string {
	if st, ok := w.job.Procedure.StepByID(step); ok {
		return st.Title
	}
	return plaintext.Show(step)
}

// meaning is what a signature under a record says.
func meaning(name string) []string {
	return []string{
		"WHAT THE SIGNATURE MEANS",
		fmt.Sprintf("With this key %s says: these entries were made as the work was done, the affirmed ones were seen, the measured ones were read off the named instruments, and the lines above about what is left and what follows are all there is to say.", name),
		"The signature covers every byte of the record. Nothing in it can be changed afterwards without its showing.",
	}
}

// review is the whole record in words.
func (m *model) review() *reader {
	w := m.work
	s := w.state
	sheet := w.sheetLines()
	end := []string{"", fmt.Sprintf("The job ends as %s, with %s.", s.Outcome(), counted(s.Refusals(), "refused command"))}
	if len(s.Unsigned()) > 0 {
		end = append(end, "UNSIGNED STRETCHES: "+people(s.Unsigned()))
	}
	end = append(end, reading.Astray(s, w.job, w.now, w.astray)...)
	end = append(append(end, ""), meaning(plaintext.Show(s.Performer().Name))...)
	figure := figureFor("sign", 0, w.job.Opening.Number, 0)
	end = append(end, "", "To sign it, press the figure "+figure+".")
	return &reader{title: "THE RECORD, BEFORE IT IS SIGNED", last: "signs it", figure: figure,
		enter: func(m *model) tea.Cmd { m.pop(); return m.sign() },
		drawn: func(width int) []string {
			return slices.Concat(paragraphs(sheet, width), w.told(width), paragraphs(end, width))
		}}
}

// sheetLines are the lines of the job sheet. Of those that stand at one place, one after the other, the first says where.
func (w *work) sheetLines() []string {
	out, cited := []string{"Job sheet:"}, ""
	for _, e := range w.state.Sheet() {
		title, source := e.ID, e.Source
		if f, ok := w.job.Procedure.FieldByID(e.ID); ok {
			title = f.Title
		}
		switch source {
		case "":
		case cited:
			source = ""
		default:
			cited = source
		}
		out = append(out, fmt.Sprintf("  %s: %s (%s)", title, plaintext.Show(e.Value), origin(e.From, source)))
	}
	return out
}

// told is all that happened, each beside its time, under whoever was acting.
func (w *work) told(width int) (rows []string) {
	by := ""
	for _, l := range w.lines {
		for _, e := range l.Events {
			text := w.job.Tell(e)
			if text == "" {
				continue
			}
			if l.By != by {
				by = l.By
				rows = append(append(rows, ""), wrapped([]string{"Acting: " + plaintext.Show(by)}, "", width)...)
			}
			rows = append(rows, hang(l.At.Local().Format("15:04:05")+" ", text, min(width, widestText))...)
		}
	}
	return rows
}

func origin(from, source string) string {
	what := "typed"
	if from == procedures.FromCard {
		what = "from the card"
	}
	if source != "" {
		what += ": " + plaintext.Show(source)
	}
	return what
}

// sign seals and signs as the performer, or asks for somebody who may where the performer may not.
func (m *model) sign() tea.Cmd {
	w := m.work
	p := w.state.Performer()
	if w.job.Roster.May(p.Fingerprint, seal.Record, w.now.Wall) != nil {
		m.say("%s may not close a job by the roster. Another person signs the record.", plaintext.Show(p.Name))
		return m.signAsOther()
	}
	return m.seal(p, func() (ssh.Signer, error) { return m.home.Signer(p) })
}

// seal seals the job and signs its record. It may ask for a passphrase on the way.
func (m *model) seal(by runner.Person, signer func() (ssh.Signer, error)) tea.Cmd {
	h, performer := m.home, m.work.state.Performer()
	done := new(session.Finished)
	return m.send(func(s *session.Session) (runner.Decision, error) {
		key, err := signer()
		if err != nil {
			return runner.Decision{State: s.State()}, err
		}
		var own ssh.Signer
		if by.Fingerprint != performer.Fingerprint {
			if own, err = h.Signer(performer); err != nil {
				return runner.Decision{State: s.State()}, err
			}
		}
		d, f, err := s.Seal(by, key, own)
		if d.Events == nil && d.Refusal == nil {
			d.State = s.State()
		}
		*done = f
		return d, err
	}, func(m *model, d runner.Decision) tea.Cmd {
		if d.Refusal == nil {
			m.toWork()
			m.work.finished = done
			m.records = append(m.records, *done)
		}
		return nil
	})
}

// unsignedScene is a job that was sealed by a program that ended before it could sign.
func (w *work) unsignedScene() scene {
	by := w.state.Seal().By
	return scene{banner: []string{"SEALED, NOT SIGNED YET"}, action: "Sign the record.",
		must: append([]string{fmt.Sprintf("%s, key %s, sealed it.", plaintext.Show(by.Name), by.Fingerprint)}, meaning(plaintext.Show(by.Name))...),
		want: want{id: "sign", title: "Nothing else is left to do.", enter: "signs it", act: func(m *model, _ string, _ int) tea.Cmd {
			return m.seal(by, func() (ssh.Signer, error) { return m.home.Signer(by) })
		}}}
}

// doneScene is a signed record: where it is and how it is verified.
func (w *work) doneScene() scene {
	f := *w.finished
	sc := scene{banner: []string{fmt.Sprintf("SIGNED by %s: %s", plaintext.Show(f.By.Name), w.state.Outcome())}, action: "The record is closed and signed."}
	if tag := session.Tag(w.state); tag != "" {
		sc.action = "Put this on a tag at the wheel:"
		for _, l := range strings.Split(strings.TrimSpace(tag), "\n") {
			if l != "" {
				sc.must = append(sc.must, "| "+l)
			}
		}
		sc.must = append(sc.must, "It is ready to print in "+f.Tag)
	}
	sc.must = append(sc.must, w.stillDue()...) // closed, it is easily forgotten
	sc.must = append(sc.must, "Record:", f.Record, "Anybody verifies it in its folder with:", f.VerifyLine())
	sc.want = want{id: "done", title: "Keep the whole folder with the vehicle's papers.", enter: "goes back to the board",
		act: func(m *model, _ string, _ int) tea.Cmd { return m.letGo() }}
	return sc
}

package ui

// The rule of this file: whoever signs does so with their own key, here and now. A passphrase is asked for on the screen
// and not shown; a key file or an ssh-agent holds the key.

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
	"golang.org/x/crypto/ssh"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/session"
	"fenderside/ui/reading"
)

// others are the people on the job's roster except some.
func (w *work) others(not ...runner.Person) (all []runner.Person, names []string) {
	for _, e := range w.job.Roster.Entries() {
		p := runner.Person{Name: e.Principals[0], Fingerprint: e.Fingerprint}
		keep := true
		for _, n := range not {
			keep = keep && n.Fingerprint != p.Fingerprint
		}
		if keep {
			all = append(all, p)
			names = append(names, plaintext.Show(p.Name)+", key "+short(p.Fingerprint))
		}
	}
	return all, names
}

func short(fingerprint string) string {
	if len(fingerprint) > 19 {
		return fingerprint[:19]
	}
	return fingerprint
}

const keyHint = "Path of their OpenSSH key file. Enter alone uses the key in the ssh-agent."

// person asks for somebody on the roster, with more questions after that.
func (m *model) person(title, enter string, intro []string, not []runner.Person, more []question, done func(*model, runner.Person, []question) tea.Cmd) tea.Cmd {
	all, names := m.work.others(not...)
	if len(all) == 0 {
		m.say("Nobody else is on the roster of this job. Add people with: fenderside roster add. A job keeps the roster it was opened with.")
		return nil
	}
	ask := append([]question{{title: "Who?", choices: names}}, more...)
	m.push(newForm(title, enter, intro, ask, func(m *model, ask []question) tea.Cmd { return done(m, all[ask[0].mark.at], ask[1:]) }))
	return nil
}

// signed sends something that needs a person's signature.
func (m *model) signed(key func(home.Home) (ssh.Signer, error), what func(*session.Session, ssh.Signer) (runner.Decision, error), told string) tea.Cmd {
	h := m.home
	return m.send(func(s *session.Session) (runner.Decision, error) {
		signer, err := key(h)
		if err != nil {
			return runner.Decision{State: s.State()}, err
		}
		return what(s, signer)
	}, closed(told))
}

// keyOf opens a person's key: the file that was named, or else what this machine or the agent holds.
func keyOf(p runner.Person, file string) func(home.Home) (ssh.Signer, error) {
	return func(h home.Home) (ssh.Signer, error) {
		if file != "" {
			return h.SignerFrom(p, reading.Path(file))
		}
		return h.Signer(p)
	}
}

// witness has a second person sign for a step. Their key is opened for this one signature.
func (m *model) witness(step string) tea.Cmd {
	w := m.work
	return m.person("WITNESS", "signs", []string{"Step: " + w.title(step), "The second person has looked, and signs with their own key. The key is opened afresh each time."},
		[]runner.Person{w.state.Performer(), w.state.Acting()}, []question{{title: "Their key", hint: "Path of their OpenSSH key file, which has a passphrase. Enter alone uses their security key through the ssh-agent; it must be touched.", optional: true}},
		func(m *model, p runner.Person, ask []question) tea.Cmd {
			file := ask[0].input.String()
			return m.signed(func(h home.Home) (ssh.Signer, error) { return h.WitnessSigner(p, reading.Path(file)) },
				func(s *session.Session, key ssh.Signer) (runner.Decision, error) { return s.Witness(step, p, key) }, "Witnessed.")
		})
}

// handOver begins a handover.
func (m *model) handOver() tea.Cmd {
	return m.person("HAND THE JOB OVER", "begins the handover",
		[]string{"What lapses at a handover falls. The person who takes over secures it again with their own eyes, then signs on; then you sign off."},
		[]runner.Person{m.work.state.Performer()}, nil, func(m *model, p runner.Person, _ []question) tea.Cmd {
			return m.do(runner.HandOver{To: p}, closed(""))
		})
}

// signingOverScene is a handover in which everything is secured again.
func (w *work) signingOverScene() scene {
	h, from := w.state.Handover(), w.state.Performer()
	sc := scene{banner: []string{"HANDOVER to " + plaintext.Show(h.To.Name)}}
	if !h.SignedOn {
		sc.action = "Sign on: " + plaintext.Show(h.To.Name)
		sc.must = []string{"What fell is secured again. The person who takes over signs for it."}
		sc.want = w.signWant("sign-on", "signs on", h.To, (*session.Session).SignOn)
		return sc
	}
	sc.action = "Sign off: " + plaintext.Show(from.Name)
	sc.must = []string{"The person who leaves signs for their stretch of the work."}
	sc.want = w.signWant("sign-off", "signs off", from, (*session.Session).SignOff)
	return sc
}

// signWant asks for the key to sign with.
func (w *work) signWant(id, does string, p runner.Person, what func(*session.Session, ssh.Signer) (runner.Decision, error)) want {
	return want{id: id, title: fmt.Sprintf("%s signs with key %s.", plaintext.Show(p.Name), short(p.Fingerprint)), enter: "asks for the key",
		act: func(m *model, _ string, _ int) tea.Cmd {
			m.push(newForm("SIGN: "+plaintext.Show(p.Name), does, nil, []question{{title: "The key",
				hint: "Path of the OpenSSH key file. Enter alone uses the key of this machine, or the one in the ssh-agent.", optional: true}},
				func(m *model, ask []question) tea.Cmd {
					return m.signed(keyOf(p, ask[0].input.String()), what, "Signed.")
				}))
			return nil
		}}
}

// takeOver takes the job on from a performer who is gone.
func (m *model) takeOver() tea.Cmd {
	return m.person("TAKE THE JOB OVER", "signs and takes it over",
		[]string{fmt.Sprintf("%s is gone, and their stretch stays unsigned. What lapses at a handover falls.", plaintext.Show(m.work.state.Performer().Name))},
		[]runner.Person{m.work.state.Performer()},
		[]question{{title: "Why?"}, {title: "The key", hint: "Path of the OpenSSH key file. Enter alone uses the key of this machine, or the one in the ssh-agent.", optional: true}},
		func(m *model, p runner.Person, ask []question) tea.Cmd {
			why := ask[0].input.String()
			return m.signed(keyOf(p, ask[1].input.String()), func(s *session.Session, key ssh.Signer) (runner.Decision, error) {
				return s.TakeOver(p, why, key)
			}, "Taken over.")
		})
}

// signAsOther has somebody else than the performer sign the finished record.
func (m *model) signAsOther() tea.Cmd {
	if !m.work.state.ReadyToSeal() {
		m.say("The job is not ready to be signed: go through what is still asked first.")
		return nil
	}
	return m.person("ANOTHER PERSON SIGNS THE RECORD", "signs the record", meaning("this person"),
		[]runner.Person{m.work.state.Performer()}, []question{{title: "Their key", hint: keyHint, optional: true}},
		func(m *model, p runner.Person, ask []question) tea.Cmd {
			h, file := m.home, ask[0].input.String()
			return m.seal(p, func() (ssh.Signer, error) { return keyOf(p, file)(h) })
		})
}

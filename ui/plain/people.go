package plain

// The rule kept here: whoever signs is chosen from the roster that the job was opened with, and signs with their own key.

import (
	"errors"
	"fmt"
	"slices"

	"golang.org/x/crypto/ssh"

	"fenderside/runner"
	"fenderside/runner/seal"
	"fenderside/ui/reading"
)

// choosePerson offers those on the roster who have a role now, but for those left out.
func (d *desk) choosePerson(intro, role string, except ...runner.Person) (p runner.Person, ok bool, err error) {
	var people []runner.Person
	var lines []string
	now := d.s.Moment().Wall
	for _, e := range d.s.Job().Roster.Entries() {
		one := runner.Person{Name: e.Principals[0], Fingerprint: e.Fingerprint}
		if e.May(role, now) != nil || slices.ContainsFunc(except, func(x runner.Person) bool { return x.Fingerprint == one.Fingerprint }) {
			continue
		}
		people = append(people, one)
		lines = append(lines, fmt.Sprintf("%s, key %s", one.Name, one.Fingerprint))
	}
	if len(people) == 0 {
		d.say("Nobody else on the roster of this job may do that. The roster a job was opened with stays with it.")
		return p, false, nil
	}
	i, ok, err := d.askNumber(intro, lines)
	if err != nil || !ok {
		return p, false, err
	}
	return people[i], true, nil
}

// signer finds a person's key: the one of this machine's user, one in an agent, else the key file they name. It is nil
// where they give up.
func (d *desk) signer(p runner.Person) (ssh.Signer, error) {
	s, err := d.home.Signer(p)
	if err == nil {
		return s, nil
	}
	if errors.Is(err, errLeft) {
		return nil, errLeft
	}
	if p.Fingerprint == d.me.Person.Fingerprint {
		d.sayError(err)
		return nil, nil
	}
	for {
		path, err := d.ask(p.Name + " signs. Type the path of their key file, or press Enter to leave it.")
		if err != nil || path == "" {
			return nil, err
		}
		s, err := d.home.SignerFrom(p, reading.Path(path))
		if err == nil {
			return s, nil
		}
		if errors.Is(err, errLeft) {
			return nil, errLeft
		}
		d.sayError(err)
	}
}

// witnessWant has a second person sign for the step.
func (d *desk) witnessWant(v runner.StepView) (want, bool) {
	if _, ok := wanted(v, runner.WitnessMissing); !ok {
		return want{}, false
	}
	return want{
		prompt: []string{"A second person is to look at this step and sign for it with their own key.", "When they are here, type: witness"},
		take: func(line string) error {
			if line != "witness" {
				d.notThat(line, "witness")
				return nil
			}
			return d.witness(v.Step.ID)
		},
	}, true
}

func (d *desk) witness(step string) error {
	st := d.s.State()
	p, ok, err := d.choosePerson("Who witnesses?", seal.Witness, st.Performer(), st.Acting())
	if err != nil || !ok {
		return err
	}
	d.say("%s: with your signature you say that you saw this step done as it is recorded.", p.Name)
	path, err := d.ask("Type the path of your key file, or press Enter for a security key in an agent.")
	if err != nil {
		return err
	}
	s, err := d.home.WitnessSigner(p, reading.Path(path))
	if err != nil {
		return d.result(runner.Decision{}, err)
	}
	return d.result(d.s.Witness(step, p, s))
}

// handOver begins a handover.
func (d *desk) handOver() error {
	p, ok, err := d.choosePerson("To whom is the job handed?", seal.Stretch, d.s.State().Performer())
	if err != nil || !ok {
		return err
	}
	return d.do(runner.HandOver{To: p})
}

// signOver is a handover in which all is secured again: the incoming person signs on, then the outgoing one signs off.
func (d *desk) signOver() want {
	st := d.s.State()
	to, from := st.Handover().To, st.Performer()
	if !st.Handover().SignedOn {
		return want{key: "sign on",
			intro:  func() { d.say("Handover to %s: what fell is secured again.", to.Name) },
			prompt: []string{to.Name + ": with your signature you take the job on as it stands.", "Type: sign on"},
			take:   d.signs("sign on", to, d.signOn)}
	}
	return want{key: "sign off",
		intro:  func() { d.say("%s has signed on.", to.Name) },
		prompt: []string{from.Name + ": with your signature you stand for your stretch of the work, and it ends.", "Type: sign off"},
		take:   d.signs("sign off", from, d.signOff)}
}

func (d *desk) signOn(s ssh.Signer) (runner.Decision, error)  { return d.s.SignOn(s) }
func (d *desk) signOff(s ssh.Signer) (runner.Decision, error) { return d.s.SignOff(s) }

// signs takes a word, finds the key of who is to sign, and signs.
func (d *desk) signs(word string, p runner.Person, sign func(ssh.Signer) (runner.Decision, error)) func(string) error {
	return func(line string) error {
		if line != word {
			d.notThat(line, word)
			return nil
		}
		s, err := d.signer(p)
		if err != nil || s == nil {
			return err
		}
		return d.result(sign(s))
	}
}

// takeOver takes the job on from somebody who is gone.
func (d *desk) takeOver(reason string) error {
	p, ok, err := d.choosePerson("Who takes the job over?", seal.Stretch, d.s.State().Performer())
	if err != nil || !ok {
		return err
	}
	if reason, err = d.askWords(reason, "Why is it taken over, and where is the person who did it? The stretch up to here stays unsigned."); err != nil {
		return err
	}
	s, err := d.signer(p)
	if err != nil || s == nil {
		return err
	}
	return d.result(d.s.TakeOver(p, reason, s))
}

// pause breaks the work off on purpose, signed where the key can be had.
func (d *desk) pause(reason string) error {
	reason, err := d.askWords(reason, "Why is the work broken off?")
	if err != nil {
		return err
	}
	s, err := d.home.Signer(d.s.State().Acting())
	if errors.Is(err, errLeft) {
		return errLeft
	}
	if err != nil {
		d.say("The pause is not signed: %v", err)
		return d.do(runner.Pause{Reason: reason})
	}
	return d.result(d.s.Pause(reason, s))
}

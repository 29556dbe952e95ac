package rehearsal

// What the script's people sign. Each signs with their own key, through the session, as in live work.

import (
	"golang.org/x/crypto/ssh"

	"fenderside/runner"
)

// person finds one of the script's people.
func (j *Journey) person(name string) (Somebody, error) {
	p, ok := j.people[name]
	if !ok {
		return Somebody{}, j.fail(nil, "%s is not among the script's people", quote(name))
	}
	return p, nil
}

// due is the person of that name, or the one who is due to sign where no name is given.
func (j *Journey) due(name string, whoever runner.Person) (Somebody, error) {
	if name == "" {
		name = whoever.Name
	}
	return j.person(name)
}

func (j *Journey) pause(reason string) error {
	p, err := j.person(j.sess.State().Acting().Name)
	if err != nil {
		return err
	}
	return j.signed(func() (runner.Decision, error) { return j.sess.Pause(reason, p.Signer) })
}

func (j *Journey) witness(e entries) error {
	if e.witness == "" {
		return nil
	}
	p, err := j.person(e.witness)
	if err != nil {
		return err
	}
	return j.signed(func() (runner.Decision, error) { return j.sess.Witness(e.step, p.Person, p.Signer) })
}

func (j *Journey) signOn(name string) error {
	p, err := j.due(name, j.sess.State().Acting())
	if err != nil {
		return err
	}
	return j.signed(func() (runner.Decision, error) { return j.sess.SignOn(p.Signer) })
}

func (j *Journey) signOff(name string) error {
	p, err := j.due(name, j.sess.State().Performer())
	if err != nil {
		return err
	}
	return j.signed(func() (runner.Decision, error) { return j.sess.SignOff(p.Signer) })
}

func (j *Journey) takeOver(by, reason string) error {
	p, err := j.person(by)
	if err != nil {
		return err
	}
	return j.signed(func() (runner.Decision, error) { return j.sess.TakeOver(p.Person, reason, p.Signer) })
}

// sign closes the job and signs its record. Where somebody else than the performer signs it, the performer signs their
// stretch too.
func (j *Journey) sign(name string) error {
	performer := j.sess.State().Performer()
	by, err := j.due(name, performer)
	if err != nil {
		return err
	}
	var own ssh.Signer
	if by.Person != performer {
		p, err := j.person(performer.Name)
		if err != nil {
			return err
		}
		own = p.Signer
	}
	return j.signed(func() (runner.Decision, error) {
		d, done, err := j.sess.Seal(by.Person, by.Signer, own)
		if err == nil && d.Refusal == nil {
			j.finished = done
		}
		return d, err
	})
}

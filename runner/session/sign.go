package session

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/crypto/ssh"

	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/store"
)

// Signatures inside a journal cover its chain head, so nothing may be written between the signing and the writing down:
// both happen here under one lock.

// signed has signer sign a message over the chain head and does the command made with that signature.
func (s *Session) signed(signer ssh.Signer, namespace string, message func(head string) []byte, command func(sig string) runner.Command) (runner.Decision, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	sig, err := seal.Sign(signer, namespace, message(s.journal.Head()))
	if err != nil {
		return runner.Decision{State: s.state}, fmt.Errorf("sign: %w", err)
	}
	return s.do(command(sig))
}

// Witness signs for a step as a second person.
func (s *Session) Witness(step string, by runner.Person, signer ssh.Signer) (runner.Decision, error) {
	return s.signed(signer, seal.Witness,
		func(head string) []byte { return runner.WitnessMessage(s.job.Opening.Job, step, head) },
		func(sig string) runner.Command { return runner.Witnessed{Step: step, By: by, Signature: sig} })
}

func (s *Session) stretch(signer ssh.Signer, occasion string, command func(sig string) runner.Command) (runner.Decision, error) {
	return s.signed(signer, seal.Stretch,
		func(head string) []byte { return runner.StretchMessage(s.job.Opening.Job, occasion, head) }, command)
}

// Pause interrupts the job, with the performer's signature over the stretch so far.
func (s *Session) Pause(reason string, signer ssh.Signer) (runner.Decision, error) {
	return s.stretch(signer, "pause", func(sig string) runner.Command { return runner.Pause{Reason: reason, Signature: sig} })
}

// SignOn signs as the incoming person of a handover.
func (s *Session) SignOn(signer ssh.Signer) (runner.Decision, error) {
	return s.stretch(signer, "sign-on", func(sig string) runner.Command { return runner.SignOn{Signature: sig} })
}

// SignOff signs as the outgoing person of a handover.
func (s *Session) SignOff(signer ssh.Signer) (runner.Decision, error) {
	return s.stretch(signer, "sign-off", func(sig string) runner.Command { return runner.SignOff{Signature: sig} })
}

// TakeOver takes the job on from somebody who is gone.
func (s *Session) TakeOver(by runner.Person, reason string, signer ssh.Signer) (runner.Decision, error) {
	return s.stretch(signer, "take-over", func(sig string) runner.Command { return runner.TakeOver{By: by, Reason: reason, Signature: sig} })
}

// Finished is a signed record.
type Finished struct {
	Dir       string
	Record    string
	Signature string
	Roster    string
	Tag       string // the do-not-start tag; empty where nothing was left unsafe
	By        runner.Person
}

// VerifyLine is the command with which anybody who has OpenSSH verifies the record's signature, to be run in its folder.
func (f Finished) VerifyLine() string {
	return fmt.Sprintf("ssh-keygen -Y verify -f %s -I %s -n %s -s %s < %s",
		store.RosterFile, plaintext.ShellWord(f.By.Name), seal.Record, store.SignatureFile, store.RecordFile)
}

// Seal closes the job and signs the record. By is who signs it with signer; where that is not the performer, the performer
// signs their own stretch with own. A job that was sealed before, and not signed for a crash between, is signed now. When
// the sealing is refused the decision says why, and Finished is empty.
func (s *Session) Seal(by runner.Person, signer, own ssh.Signer) (runner.Decision, Finished, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var d runner.Decision
	if sealed := s.state.Seal(); sealed != nil {
		by = sealed.By
	}
	if got := seal.Fingerprint(signer.PublicKey()); got != by.Fingerprint {
		return d, Finished{}, fmt.Errorf("sign the record: key %s is not that of %s: use key %s", got, by.Name, by.Fingerprint)
	}
	if s.state.Phase() != runner.Closed {
		var err error
		if d, err = s.seal(by, own); err != nil || d.Refusal != nil {
			return d, Finished{}, err
		}
	}
	done, err := s.finish(signer)
	return d, done, err
}

// errRefused keeps the store's chain where it is; the decision says why.
var errRefused = errors.New("the sealing was refused")

// seal writes the last line, under the store's lock for its place in the chain.
func (s *Session) seal(by runner.Person, own ssh.Signer) (d runner.Decision, err error) {
	err = s.store.Seal(by.Fingerprint, func(link runner.Link) (string, error) {
		c := runner.Seal{By: by, Chain: link}
		if own != nil && by.Fingerprint != s.state.Performer().Fingerprint {
			sig, err := seal.Sign(own, seal.Stretch, runner.StretchMessage(s.job.Opening.Job, "close", s.journal.Head()))
			if err != nil {
				return "", fmt.Errorf("sign: %w", err)
			}
			c.Signature = sig
		}
		if d, err = s.do(c); err != nil {
			return "", err
		}
		if d.Refusal != nil {
			return "", errRefused
		}
		data, err := os.ReadFile(s.journal.Path())
		return record.Digest(data), err
	})
	if errors.Is(err, errRefused) {
		err = nil
	}
	return d, err
}

// finish signs the exact bytes on disk and moves the job to the records.
func (s *Session) finish(signer ssh.Signer) (Finished, error) {
	by := s.state.Seal().By
	path := s.journal.Path()
	data, err := os.ReadFile(path)
	if err != nil {
		return Finished{}, fmt.Errorf("sign the record: %w", err)
	}
	sig, err := seal.Sign(signer, seal.Record, data)
	if err != nil {
		return Finished{}, fmt.Errorf("sign the record: %w", err)
	}
	dir := filepath.Dir(path)
	if err := journal.WriteFileDurably(filepath.Join(dir, store.SignatureFile), []byte(sig), 0o600); err != nil {
		return Finished{}, err
	}
	if err := journal.WriteFileDurably(filepath.Join(dir, store.RosterFile), []byte(s.job.Opening.Roster.Text), 0o600); err != nil {
		return Finished{}, err
	}
	tag := Tag(s.state)
	if tag != "" {
		if err := journal.WriteFileDurably(filepath.Join(dir, store.TagFile), []byte(tag), 0o600); err != nil {
			return Finished{}, err
		}
	}
	if err := s.journal.Close(); err != nil {
		return Finished{}, err
	}
	to, err := s.store.Finish(s.job.Opening.Job)
	if err != nil {
		return Finished{}, err
	}
	done := Finished{Dir: to, Record: filepath.Join(to, store.RecordFile), Signature: filepath.Join(to, store.SignatureFile),
		Roster: filepath.Join(to, store.RosterFile), By: by}
	if tag != "" {
		done.Tag = filepath.Join(to, store.TagFile)
	}
	return done, nil
}

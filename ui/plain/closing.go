package plain

// The rule kept here: nothing is signed that was not read back first, and whoever signs is told what it means.

import (
	"strings"

	"golang.org/x/crypto/ssh"

	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/runner/seal"
	"fenderside/runner/session"
)

// close begins an early end of the job.
func (d *desk) close(rest string) error {
	outcome, reason, _ := strings.Cut(rest, " ")
	outcomes := []procedures.Outcome{procedures.Referred, procedures.Abandoned}
	if outcome == "" {
		i, ok, err := d.askNumber("How does the job end?", []string{
			"referred: the fault is elsewhere, or the work needs another job", "abandoned: the work is given up"})
		if err != nil || !ok {
			return err
		}
		outcome = string(outcomes[i])
	}
	reason, err := d.askWords(strings.TrimSpace(reason), "Why does the job end early?")
	if err != nil {
		return err
	}
	return d.do(runner.Close{Outcome: procedures.Outcome(outcome), Reason: reason})
}

// goOn withdraws a close.
func (d *desk) goOn(reason string) error {
	reason, err := d.askWords(reason, "Why does the job go on?")
	if err != nil {
		return err
	}
	return d.do(runner.Continue{Reason: reason})
}

// leftState writes down what cannot be made safe.
func (d *desk) leftState(state string) error {
	due := d.s.State().Due()
	if len(due) == 0 {
		d.say("Nothing waits to be made safe.")
		return nil
	}
	var titles []string
	for _, st := range due {
		titles = append(titles, st.Title)
	}
	i, ok, err := d.askNumber("Which of these cannot be done?", titles)
	if err != nil || !ok {
		return err
	}
	if state, err = d.askWords(state, "In which state is the vehicle left? These words are signed and go on the tag."); err != nil {
		return err
	}
	return d.do(runner.Leave{Step: due[i].ID, State: state})
}

// follow promises work that is still due.
func (d *desk) follow(what string) error {
	what, err := d.askWords(what, "What is still to be done?")
	if err != nil {
		return err
	}
	due, err := d.ask("By which date? Type year-month-day, such as 2031-04-30.")
	if err != nil {
		return err
	}
	return d.do(runner.FollowUp{What: what, Due: due})
}

// signing reads the job back and waits for the signature.
func (d *desk) signing() want {
	outcome := d.s.State().Outcome()
	word := "sign " + string(outcome)
	return want{
		key: word,
		intro: func() {
			d.say("Nothing is left to do. The job ends as %s. Read it back before it is signed.", outcome)
			d.review("")
			d.meaning(outcome)
		},
		prompt: []string{"To add work that is still due, type .follow. To correct an entry, type .correct.", "To sign, type: " + word},
		take:   d.signWord(word),
	}
}

func (d *desk) signWord(word string) func(string) error {
	return func(line string) error {
		if line != word {
			d.notThat(line, word)
			return nil
		}
		return d.sign()
	}
}

// meaning says what the signature stands for.
func (d *desk) meaning(outcome procedures.Outcome) {
	d.say("What your signature means: that this record tells what you did and saw, in the order in which it was done.")
	switch outcome {
	case procedures.Complete:
		d.say("It says that the work is complete and every safeguard was released on purpose.")
	default:
		d.say("It says that the work is not complete (%s), and in which state the vehicle is left.", outcome)
	}
	d.say("Any change to the record after it shows. The record cannot be opened again.")
}

// sign seals the job and signs the record. Who may not close a job has another person sign it, over their own signature.
func (d *desk) sign() error {
	st := d.s.State()
	by, own := st.Performer(), ssh.Signer(nil)
	if d.s.Job().Roster.May(by.Fingerprint, seal.Record, d.s.Moment().Wall) != nil {
		d.say("%s may not close a job alone: another person signs the record.", by.Name)
		p, ok, err := d.choosePerson("Who signs the record?", seal.Record, by)
		if err != nil || !ok {
			return err
		}
		if own, err = d.signer(by); err != nil || own == nil {
			return err
		}
		by = p
	}
	s, err := d.signer(by)
	if err != nil || s == nil {
		return err
	}
	return d.finished(d.s.Seal(by, s, own))
}

// unsigned is a job that was sealed and, for a crash or a wrong passphrase, not signed.
func (d *desk) unsigned() want {
	return want{
		key: "unsigned",
		intro: func() {
			d.say("This job is closed as %s and its record is not signed yet.", d.s.State().Seal().Outcome)
		},
		prompt: []string{"To sign it as " + d.s.State().Seal().By.Name + ", type: sign"},
		take: func(line string) error {
			if line != "sign" {
				d.notThat(line, "sign")
				return nil
			}
			by := d.s.State().Seal().By
			s, err := d.signer(by)
			if err != nil || s == nil {
				return err
			}
			return d.finished(d.s.Seal(by, s, nil))
		},
	}
}

// finished says what came of the signing, and where the record is.
func (d *desk) finished(dec runner.Decision, done session.Finished, err error) error {
	if err := d.result(dec, err); err != nil || done.Record == "" {
		return err
	}
	st := d.s.State()
	d.gap()
	d.say("SIGNED. The job is %s, signed by %s with key %s.", st.Outcome(), done.By.Name, done.By.Fingerprint)
	d.say("The record:")
	d.say("%s", done.Record)
	d.say("Anybody with OpenSSH can verify it. In its folder, run:")
	d.code(done.VerifyLine())
	for _, p := range st.Unsigned() {
		d.say("The stretch of %s is unsigned.", p.Name)
	}
	d.tag(st)
	return errDone
}

// code says a command in lines that a shell takes as one.
func (d *desk) code(line string) {
	part := ""
	for _, word := range strings.Fields(plaintext.Show(line)) {
		if part != "" && len(part)+len(word)+3 > Width {
			d.say(`%s \`, part)
			part = ""
		}
		part = strings.TrimSpace(part + " " + word)
	}
	d.say("%s", part)
}

// tag says what to write on the vehicle where it is left unsafe, and what is still due.
func (d *desk) tag(st runner.State) {
	for _, f := range st.FollowUps() {
		d.say("To follow by %s: %s.", f.Due, f.What)
	}
	if len(st.Left()) == 0 {
		return
	}
	d.gap()
	d.say("Write this on a tag and fix it to the vehicle:")
	d.say("DANGER. DO NOT START. DO NOT MOVE.")
	for _, l := range st.Left() {
		d.say("%s.", strings.TrimRight(d.s.Job().Tell(runner.LeftInState(l)), "."))
	}
	d.say("Job %s, %s.", d.s.Job().Opening.Job, st.Seal().By.Name)
}

// signNow answers .sign: it is taken where the job has come to it.
func (d *desk) signNow() error {
	st := d.s.State()
	switch {
	case st.Phase() == runner.Closed:
		d.say("Type: sign")
	case st.ReadyToSeal():
		d.told = ""
	default:
		d.say("It cannot be signed yet.")
		for _, line := range d.words(st.Unsafe()) {
			d.say("%s", line)
		}
	}
	return nil
}

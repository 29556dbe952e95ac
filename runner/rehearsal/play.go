package rehearsal

// What an item does: clock moves, and commands that the core takes or refuses.

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session"
)

// expectation is a refusal that the script foresees.
type expectation struct {
	code runner.Code
	met  bool
}

// errMet ends an item whose first command was refused as the script foresaw.
var errMet = errors.New("refused as expected")

func digest(text []byte) string { return record.Digest(text) }

// do gives one command, the clock moved by the script's pace before it.
func (j *Journey) do(c runner.Command) error {
	j.clock.advance(j.script.Pace)
	return j.judge(j.sess.Do(c))
}

// signed does what signs, the clock moved before it.
func (j *Journey) signed(sign func() (runner.Decision, error)) error {
	j.clock.advance(j.script.Pace)
	return j.judge(sign())
}

// judge holds a decision to what the script expects of it.
func (j *Journey) judge(d runner.Decision, err error) error {
	if err != nil {
		return j.fail(nil, "%v", err)
	}
	j.tell(d.Events)
	if j.expect != nil {
		return j.judgeExpected(d)
	}
	if d.Refusal != nil {
		return j.fail(d.Refusal.Reasons, "%s is refused", d.Refusal.Command)
	}
	if j.holding || j.item.Step == "" {
		return nil
	}
	for _, e := range d.Events {
		switch e := e.(type) {
		case runner.ReadingTaken:
			if !e.Accepted {
				return j.fail(e.Reasons, "reading %s of %s is kept as refused; hold: true expects that", quote(e.Value), quote(e.Reading))
			}
		case runner.Computed:
			if e.Verdict == checks.Fail && !j.advice(e) {
				return j.fail([]runner.Reason{{Code: runner.CheckNotPassed, Step: e.Step, Item: e.Check, Detail: e.Because}},
					"check %s fails; hold: true expects that", quote(e.Check))
			}
		}
	}
	return nil
}

// advice says whether a check only advises at its step: what it finds holds nothing.
func (j *Journey) advice(e runner.Computed) bool {
	st, ok := j.sess.State().Job().Procedure.StepByID(e.Step)
	return ok && slices.ContainsFunc(st.Checks, func(c procedures.CheckUse) bool { return c.Name == e.Check && c.Advice })
}

func (j *Journey) judgeExpected(d runner.Decision) error {
	code := j.expect.code
	if d.Refusal == nil {
		return j.fail(nil, "a refusal is expected here, and the command was taken")
	}
	has := func(r runner.Reason) bool { return r.Code == code }
	if code != "" && !slices.ContainsFunc(d.Refusal.Reasons, has) {
		return j.fail(d.Refusal.Reasons, "%s is refused, but not for %s", d.Refusal.Command, quote(string(code)))
	}
	j.expect.met = true
	return errMet
}

// refused plays an item whose first command the core must refuse.
func (j *Journey) refused(inside Item, code runner.Code) error {
	e := &expectation{code: code}
	j.item.Step, j.expect = inside.Step, e
	err := inside.act(j)
	j.expect = nil
	switch {
	case errors.Is(err, errMet):
		return nil
	case err == nil && !e.met:
		return j.fail(nil, "a refusal is expected here, and no command was given")
	}
	return err
}

func (j *Journey) tell(events []runner.Event) {
	if j.o.Tell == nil {
		return
	}
	for _, e := range events {
		if what := j.sess.Job().Tell(e); what != "" {
			j.o.Tell(j.sess.Moment(), what)
		}
	}
}

// tick has the core notice what time did.
func (j *Journey) tick() error {
	d, err := j.sess.Do(runner.Tick{})
	if err != nil {
		return j.fail(nil, "%v", err)
	}
	j.tell(d.Events)
	if d.Refusal != nil {
		return j.fail(d.Refusal.Reasons, "time is refused")
	}
	return nil
}

func (j *Journey) advance(d time.Duration) error {
	j.clock.advance(d)
	return j.tick()
}

func (j *Journey) sleep(d time.Duration) error {
	j.clock.sleep(d)
	return j.tick()
}

// until moves the clock on to a point in time.
func (j *Journey) until(t time.Time) error {
	if t.Before(j.clock.wall) {
		return j.fail(nil, "the script's clock is past %s already: it is %s", t.Format(time.RFC3339), j.clock.wall.Format(time.RFC3339))
	}
	return j.advance(t.Sub(j.clock.wall))
}

// kill ends the program without a word and opens the job again from disk, so much later.
func (j *Journey) kill(off time.Duration) error {
	job := j.sess.Job().Opening.Job
	if err := j.sess.Close(); err != nil {
		return j.fail(nil, "%v", err)
	}
	j.clock.restart(off)
	s, err := session.Resume(j.store, job, j.clock)
	if err != nil {
		return j.fail(nil, "%v", err)
	}
	j.sess = s
	lines := s.Lines()
	j.tell(lines[len(lines)-1].Events)
	return nil
}

// step makes the entries of one item.
func (j *Journey) step(e entries) error {
	if err := j.advance(e.advance); err != nil {
		return err
	}
	if j.expect == nil && !j.open(e.step) {
		return j.notCurrent(e.step)
	}
	j.holding = e.hold
	defer func() { j.holding = false }()
	for _, enter := range []func(entries) error{j.wait, j.way, j.affirm, j.take, j.attach, j.witness, j.end} {
		if err := enter(e); err != nil {
			return err
		}
	}
	return nil
}

// open says whether a step takes entries: it is the current one, or a pinned step that runs.
func (j *Journey) open(step string) bool {
	s := j.sess.State()
	if c := s.Current(); c != nil && c.ID == step {
		return true
	}
	return slices.ContainsFunc(s.Pins(j.sess.Moment()), func(p runner.PinView) bool { return p.Step.ID == step })
}

func (j *Journey) wait(e entries) error {
	if e.wait == 0 {
		return nil
	}
	if st, ok := j.sess.Job().Procedure.StepByID(e.step); !ok || st.Kind != procedures.Pinned {
		if err := j.do(runner.StartWait{Step: e.step}); err != nil {
			return err
		}
	}
	return j.advance(e.wait)
}

func (j *Journey) way(e entries) error {
	if e.way == "" {
		return nil
	}
	return j.do(runner.Choose{Step: e.step, Way: e.way})
}

func (j *Journey) affirm(e entries) error {
	numbers := e.affirm
	if v, ok := j.sess.State().View(e.step, j.sess.Moment()); ok && e.all {
		for _, st := range v.Statements {
			if !st.Affirmed {
				numbers = append(numbers, st.Index)
			}
		}
	}
	for _, n := range numbers {
		if err := j.do(runner.Affirm{Step: e.step, Statement: n}); err != nil {
			return err
		}
	}
	return nil
}

func (j *Journey) take(e entries) error {
	for _, t := range e.take {
		for i, value := range t.values {
			if i > 0 {
				if err := j.advance(e.spacing); err != nil {
					return err
				}
			}
			if err := j.do(runner.Read{Step: e.step, Reading: t.reading, Value: value}); err != nil {
				return err
			}
		}
	}
	return nil
}

// make writes a file that the script makes up, or a copy of one beside the script.
func (j *Journey) make(m made) (string, error) {
	name, data := fileName(m.item)+".txt", []byte(m.text+"\n")
	if m.file != "" {
		if j.o.Files == nil {
			return "", fmt.Errorf("attach %q: this script has no folder that files lie in: play it from its file", m.file)
		}
		var err error
		if data, err = fs.ReadFile(j.o.Files, m.file); err != nil {
			return "", fmt.Errorf("attach %q: %w: put it beside the script", m.file, err)
		}
		name = filepath.Base(m.file)
	}
	path := filepath.Join(j.o.Out, FilesDir, name)
	return path, os.WriteFile(path, data, 0o600)
}

// attach binds files to the step, each as old as the script's clock.
func (j *Journey) attach(e entries) error {
	for _, m := range e.evidence {
		path, err := j.make(m)
		if err != nil {
			return j.fail(nil, "%v", err)
		}
		if err := os.Chtimes(path, j.clock.wall, j.clock.wall); err != nil {
			return j.fail(nil, "%v", err)
		}
		err = j.signed(func() (runner.Decision, error) { return j.sess.Attach(e.step, m.item, path) })
		if err != nil {
			return err
		}
	}
	return nil
}

// end completes the step, unless the script holds it.
func (j *Journey) end(e entries) error {
	switch {
	case e.hold:
		return nil
	case e.skip != "":
		return j.do(runner.Skip{Step: e.step, Reason: e.skip})
	case e.answer != "":
		return j.do(runner.Answer{Step: e.step, Say: e.answer})
	}
	return j.do(runner.Finish{Step: e.step})
}

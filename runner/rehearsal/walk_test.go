package rehearsal_test

// A walk is a job on which a technician does whatever the state says is wanted, answers at random, and is interrupted at
// random. However it goes, the job must not strand: it can always be brought to a seal. What each line rests on is kept
// in a ledger of its own here, from the events alone.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
	"fenderside/runner/seal"
)

type walker struct {
	t      *rapid.T
	s      runner.State
	now    runner.Moment
	people []rehearsal.Somebody
	ledger map[string]bool // safeguards that stand, by the events
	trace  []string
}

func (w *walker) do(c runner.Command) bool {
	w.now.Wall, w.now.Mono = w.now.Wall.Add(5*time.Second), w.now.Mono+5*time.Second
	d := runner.Decide(w.s, c, w.now)
	w.trace = append(w.trace, fmt.Sprintf("%T%+v", c, c))
	for _, e := range d.Events {
		w.enter(e)
		if what := w.s.Job().Tell(e); what != "" {
			w.trace = append(w.trace, "    "+what)
		}
	}
	w.s = d.State
	w.agree()
	return d.Refusal == nil
}

// enter writes an event into the ledger, and holds it to the ledger.
func (w *walker) enter(e runner.Event) {
	p := w.s.Job().Procedure
	switch e := e.(type) {
	case runner.Secured:
		w.ledger[e.Safeguard] = true
	case runner.Released:
		delete(w.ledger, e.Safeguard)
	case runner.Fell:
		delete(w.ledger, e.Safeguard)
	case runner.Done:
		st, _ := p.StepByID(e.Step)
		for _, n := range st.Needs {
			if n.Pin < 0 && len(n.When) == 0 {
				w.require(w.ledger[p.Safeguards[n.Safeguard].ID], "%s is done without %s", e.Step, p.Safeguards[n.Safeguard].ID)
			}
		}
	case runner.Sealed:
		for id := range w.ledger {
			g, _ := p.SafeguardByID(id)
			w.require(e.Outcome != procedures.Complete || p.Safeguards[g].Lasting, "complete while %s stands", id)
		}
	}
}

// agree holds the state to the ledger.
func (w *walker) agree() {
	for _, g := range w.s.Strip(w.now) {
		w.require(w.ledger[g.Safeguard.ID] == (g.State == runner.InPlace), "%s is %s", g.Safeguard.ID, g.State)
		lapses := slices.Contains(g.Safeguard.LapseOn, procedures.InterruptionCause)
		w.require(w.s.Hold() == nil || !lapses || g.State != runner.InPlace, "%s stands through an interruption", g.Safeguard.ID)
	}
}

func (w *walker) require(ok bool, say string, args ...any) {
	if !ok {
		w.t.Fatalf("%s\n%s", fmt.Sprintf(say, args...), strings.Join(w.trace[max(0, len(w.trace)-80):], "\n"))
	}
}

func (w *walker) pick(n int, what string) int { return rapid.IntRange(0, n-1).Draw(w.t, what) }

func (w *walker) sign(who runner.Person, namespace string, message []byte) string {
	for _, p := range w.people {
		if p.Person == who {
			sig, err := seal.Sign(p.Signer, namespace, message)
			require.NoError(w.t, err)
			return sig
		}
	}
	w.require(false, "nobody is %s", who.Name)
	return ""
}

// masters are the people who may witness and close; the last one is an apprentice.
func (w *walker) masters() []rehearsal.Somebody { return w.people[:len(w.people)-1] }

// another is one of them who does not work at the job now.
func (w *walker) another(of []rehearsal.Somebody) rehearsal.Somebody {
	free := slices.DeleteFunc(slices.Clone(of), func(p rehearsal.Somebody) bool {
		return p.Person == w.s.Performer() || p.Person == w.s.Acting()
	})
	return free[w.pick(len(free), "person")]
}

func (w *walker) stretch(who runner.Person, occasion string) string {
	return w.sign(who, seal.Stretch, runner.StretchMessage(w.s.Job().Opening.Job, occasion, w.now.Head))
}

// figures are values that the checks of the sensor swap accept.
var figures = map[string]string{"supports": "4", "residual": "0.1 V", "proof_before": "12.6 V", "proof_after": "12.6 V", "surface": "30 °C",
	"emissivity": "0.9", "ambient": "18 °C", "wrench_accuracy": "4 %", "wrench_setting": "42 N·m", "wrench_reading": "42 N·m", "heated_for": "60 s",
	"wrench_length": "300 mm", "adapter_length": "0 mm", "adapter_angle": "0°"}

// last is the id of a reading in the procedure that defines it, which may be included by another.
func last(id string) string { return id[strings.LastIndex(id, ".")+1:] }

func (w *walker) read(step string, v runner.ReadingView) {
	value := "words"
	switch {
	case v.Same != "":
		value = v.Same
	case v.Spec.Kind == procedures.TakesChoice:
		value = v.Spec.Choose[w.pick(len(v.Spec.Choose), "choice")]
	case v.Spec.Kind == procedures.TakesQuantity:
		value = figures[last(v.Spec.ID)]
	}
	if last(v.Spec.ID) == "method" {
		value = "contact probe"
	}
	w.pass(v.Next)
	w.do(runner.Read{Step: step, Reading: v.Spec.ID, Value: value})
}

func (w *walker) pass(d time.Duration) { w.now.Wall, w.now.Mono = w.now.Wall.Add(d), w.now.Mono+d }

// meet does one thing that a step wants.
func (w *walker) meet(step string, r runner.Reason) {
	v, _ := w.s.View(step, w.now)
	switch r.Code {
	case runner.WayMissing:
		w.do(runner.Choose{Step: step, Way: v.Step.Ways[w.pick(len(v.Step.Ways), "way")].ID})
	case runner.StatementMissing:
		n, _ := strconv.Atoi(r.Detail)
		w.do(runner.Affirm{Step: step, Statement: n})
	case runner.ReadingMissing, runner.ReadingRefused:
		for _, rv := range v.Readings {
			if rv.Spec.ID == r.Item {
				w.read(step, rv)
			}
		}
	case runner.CheckWantsMore, runner.CheckNotPassed:
		for _, rv := range v.Readings {
			if rv.Spec.Series {
				w.read(step, rv)
			}
		}
	case runner.EvidenceMissing:
		w.do(runner.Attach{Step: step, Item: r.Item, File: runner.File{Name: "a.jpg", SHA256: strings.Repeat("0", 64), Modified: "2026-01-01T00:00:00Z"}})
	case runner.WaitNotStarted, runner.WaitMissed:
		w.do(runner.StartWait{Step: step})
	case runner.WaitRunning:
		w.pass(v.Wait.Left)
		w.do(runner.Tick{})
	case runner.WitnessMissing:
		by := w.another(w.masters())
		w.do(runner.Witnessed{Step: step, By: by.Person,
			Signature: w.sign(by.Person, seal.Witness, runner.WitnessMessage(w.s.Job().Opening.Job, step, w.now.Head))})
	case runner.AnswerMissing:
		answers, n := v.Step.Ask.Answers, 0 // the first is how the work should go
		if w.pick(100, "luck") > 85 {
			n = w.pick(len(answers), "answer")
		}
		w.do(runner.Answer{Step: step, Say: answers[n].Say})
	default:
		w.require(false, "step %s wants %+v, and nothing can be done about it", step, r)
	}
}

// work takes the one thing that is to be done now.
func (w *walker) work() {
	h := w.s.Handover()
	switch {
	case w.s.Stopped():
		w.require(w.do(runner.Clear{}), "clearing is refused")
	case w.s.Hold() != nil:
		w.require(w.do(runner.Resume{}), "resuming is refused")
	case w.s.Phase() == runner.Briefing:
		for i, b := range runner.Briefs(w.s.Job().Procedure) {
			if !w.s.Acknowledged()[i] {
				w.do(runner.Acknowledge{Item: b.ID})
			}
		}
	case w.s.Current() != nil:
		id := w.s.Current().ID
		if wants := w.s.Wants(id, w.now); len(wants) > 0 {
			w.meet(id, wants[0])
			return
		}
		w.require(w.do(runner.Finish{Step: id}), "finishing %s is refused", id)
	case h != nil && !h.SignedOn:
		w.require(w.do(runner.SignOn{Signature: w.stretch(h.To, "sign-on")}), "signing on is refused")
	case h != nil:
		w.require(w.do(runner.SignOff{Signature: w.stretch(w.s.Performer(), "sign-off")}), "signing off is refused")
	default:
		w.require(w.s.ReadyToSeal(), "nothing is open, and the job cannot be sealed: %+v", w.s.Unsafe())
		c := runner.Seal{By: w.s.Performer(), Chain: runner.Link{Number: 1}}
		if !slices.ContainsFunc(w.masters(), func(p rehearsal.Somebody) bool { return p.Person == c.By }) {
			c.By, c.Signature = w.another(w.masters()).Person, w.stretch(w.s.Performer(), "close")
		}
		w.require(w.do(c), "the seal is refused")
	}
}

func newWalk(t *rapid.T, job *runner.Job, people []rehearsal.Somebody) *walker {
	w := &walker{t: t, people: people, ledger: map[string]bool{}}
	w.now = runner.Moment{Wall: time.Date(2026, 4, 2, 8, 0, 0, 0, time.UTC), Session: 1, Head: strings.Repeat("0", 64)}
	w.s = runner.Begin(job, w.now)
	w.work()
	for _, in := range job.Procedure.Instruments {
		w.require(w.do(runner.Take{Instrument: in.ID, Name: "M-1", Due: "2027-01-01"}), "an instrument is refused")
	}
	return w
}

// walkJob is the job that walks begin with, and its people.
func walkJob(t *testing.T) (*runner.Job, []rehearsal.Somebody) {
	t.Helper()
	j, err := rehearsal.Begin(rehearsal.Options{Script: read(t, "testdata/swap-broken-off.yaml"), ScriptName: "walk.yaml", Out: t.TempDir()})
	require.NoError(t, err)
	defer func() { require.NoError(t, j.Close()) }()
	var people []rehearsal.Somebody
	for _, name := range []string{"asha", "bryn", "dilys"} {
		p, ok := j.Somebody(name + "@millbrook.example")
		require.True(t, ok)
		people = append(people, p)
	}
	return j.Session().Job(), people
}

func TestHoweverASwapIsDisturbedItCanBeBroughtToASealAndNeverWorksWithoutItsSafeguards(t *testing.T) {
	job, people := walkJob(t)
	ends := map[procedures.Outcome]int{}
	rapid.Check(t, func(t *rapid.T) {
		w := newWalk(t, job, people)
		for range rapid.IntRange(0, 12).Draw(t, "disturbances") {
			for range rapid.IntRange(0, 120).Draw(t, "calm") {
				if w.s.Phase() != runner.Closed {
					w.work()
				}
			}
			if w.s.Phase() != runner.Closed {
				w.disturb()
			}
		}
		for n := 0; w.s.Phase() != runner.Closed; n++ {
			w.require(n < 2000, "the job does not come to an end")
			w.work()
		}
		ends[w.s.Outcome()]++
	})
	require.Positive(t, ends[procedures.Complete], "some walks end complete: %v", ends)
	require.Positive(t, ends[procedures.Referred], "some walks end referred: %v", ends)
}

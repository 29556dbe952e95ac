package runner_test

// A job driven as a front end drives it: commands with a clock, each decision folded and written down. What the tests of
// the rules share.

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/ssh"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/roster"
	"fenderside/runner/seal"
	"fenderside/runner/seal/sealtest"
	"fenderside/runner/session/sessiontest"
)

// morning is when every job of these tests opens.
var morning = time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)

const genesis = "0000000000000000000000000000000000000000000000000000000000000000"

// The people of the depot: two technicians, a witness, an apprentice who may not close jobs, and a stranger.
var (
	asha, bryn, dilys, cefin, efa = person("asha"), person("bryn"), person("dilys"), person("cefin"), person("efa")

	roles = []struct {
		who  runner.Person
		list string
	}{
		{asha, "record@fenderside,stretch@fenderside,witness@fenderside"},
		{bryn, "record@fenderside,stretch@fenderside,witness@fenderside"},
		{dilys, "witness@fenderside"},
		{cefin, "stretch@fenderside"},
	}
)

func person(name string) runner.Person {
	full := name + "@millbrook.example"
	return runner.Person{Name: full, Fingerprint: seal.Fingerprint(key(full).PublicKey())}
}

func key(name string) ssh.Signer { return sealtest.NewKey("interlock " + name) }

// depot is the roster of these people.
func depot() string {
	var b strings.Builder
	for _, r := range roles {
		public := strings.TrimSpace(string(ssh.MarshalAuthorizedKey(key(r.who.Name).PublicKey())))
		b.WriteString(r.who.Name + ` namespaces="` + r.list + `" ` + public + "\n")
	}
	return b.String()
}

// checker is what the tests of the package and rapid's own have in common.
type checker interface {
	Helper()
	Errorf(format string, args ...any)
	FailNow()
}

// bench is one job on the bench.
type bench struct {
	t      checker
	job    *runner.Job
	state  runner.State
	folded runner.State // from Begin, event by event
	now    runner.Moment
	lines  []record.Line
	values map[string]string // what is read, by reading; others are made up to fit
	ways   map[string]string // which way is taken, by step; else the first
}

// setup is what a job is opened with.
type setup struct {
	text  string
	card  *procedures.Card
	sheet map[string]string
	by    runner.Person
	after string
}

func heater(t checker) string {
	text, err := os.ReadFile("testdata/heater.yaml")
	require.NoError(t, err)
	return string(text)
}

// above opens the heater job, reached from above; beneath, from beneath.
func above(t checker) *bench {
	return open(t, setup{text: heater(t), sheet: map[string]string{"reach": "above", "longest": "50 mm"}})
}

func beneath(t checker) *bench {
	return open(t, setup{text: heater(t), sheet: map[string]string{"reach": "beneath", "longest": "50 mm"}})
}

// shipped are the procedures of the library, each as one file that includes nothing, which the oracle and the spoilers read
// by themselves.
func shipped(t checker) []*procedures.Procedure {
	all := library.Procedures()
	for i, p := range all {
		text, err := p.Flat()
		require.NoError(t, err)
		all[i], err = procedures.Parse(p.File, text)
		require.NoError(t, err)
	}
	return all
}

func open(t checker, s setup) *bench {
	t.Helper()
	if s.by.Name == "" {
		s.by = asha
	}
	p, err := procedures.Parse("test.yaml", []byte(s.text))
	require.NoError(t, err, "%s", s.text)
	values, missing, faults := procedures.Resolve(p, s.card, s.sheet)
	require.Empty(t, faults)
	require.Empty(t, missing)
	ros, err := roster.Parse([]byte(depot()))
	require.NoError(t, err)
	o := runner.Opening{Fenderside: runner.RecordFormat, Semantics: runner.Semantics, Program: "test", Job: "millbrook-0001",
		Mode: runner.Practice, Performer: s.by, After: s.after,
		Procedure: runner.Document{Name: p.Name, Revision: p.Revision, Digest: p.Digest, Text: string(p.Text)},
		Roster:    runner.Document{Name: "roster", Digest: ros.Digest(), Text: depot()}}
	if s.card != nil {
		o.Card = runner.Document{Name: s.card.Name, Digest: s.card.Digest, Text: string(s.card.Text)}
	}
	for _, f := range p.Sheet {
		if v, ok := values[f.ID]; ok {
			o.Sheet = append(o.Sheet, runner.Entry{ID: f.ID, Value: v.Value, From: v.From, Source: v.Source})
		}
	}
	job, err := runner.Bind(o, p, s.card, ros)
	require.NoError(t, err)
	b := &bench{t: t, job: job, now: runner.Moment{Wall: morning, Session: 1}, values: map[string]string{}, ways: map[string]string{}}
	b.state, b.folded = runner.Begin(job, b.now), runner.Begin(job, b.now)
	b.lines = []record.Line{{At: morning, Session: 1, By: s.by.Name, Mode: o.Mode, Open: &job.Opening, Prev: genesis}}
	b.now.Head = b.head()
	return b
}

// head is the digest of the last line, which the next one follows.
func (b *bench) head() string {
	data, err := record.Encode(b.lines[len(b.lines)-1])
	require.NoError(b.t, err)
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// try gives a command and writes the decision down.
func (b *bench) try(c runner.Command) runner.Decision {
	d := runner.Decide(b.state, c, b.now)
	if len(d.Events) == 0 {
		return d
	}
	for _, e := range d.Events {
		b.folded = runner.Evolve(b.folded, e, b.now)
	}
	b.lines = append(b.lines, record.Line{Seq: len(b.lines), At: b.now.Wall, Mono: b.now.Mono, Session: b.now.Session,
		By: record.Author(b.state, c), Mode: runner.Practice, Do: c, Events: d.Events, Prev: b.now.Head})
	b.state = d.State
	b.now.Head = b.head()
	return d
}

// do gives a command that is taken.
func (b *bench) do(c runner.Command) runner.Decision {
	b.t.Helper()
	d := b.try(c)
	if d.Refusal != nil {
		require.Fail(b.t, "refused", "%s %+v: %+v (open %s)", runner.CommandName(c), c, d.Refusal.Reasons, b.open())
	}
	return d
}

// refused gives a command that is refused for exactly these reasons, and holds the refusal to naming each with what to do.
func (b *bench) refused(c runner.Command, codes ...runner.Code) runner.Decision {
	b.t.Helper()
	at, phase := b.open(), b.state.Phase()
	d := b.try(c)
	require.NotNil(b.t, d.Refusal, "taken: %s %+v", runner.CommandName(c), c)
	var got []runner.Code
	for _, r := range d.Refusal.Reasons {
		got = append(got, r.Code)
		what, next := b.job.Text(r)
		assert.NotEmpty(b.t, what)
		assert.NotEmpty(b.t, next)
	}
	require.ElementsMatch(b.t, codes, got)
	if phase != runner.Closed {
		assert.Equal(b.t, *d.Refusal, d.Events[len(d.Events)-1], "a refusal is journalled")
	}
	if len(d.Events) == 1 {
		assert.Equal(b.t, at, b.open(), "a refusal moves nothing")
		assert.Equal(b.t, phase, b.state.Phase())
	}
	return d
}

// pass lets time pass on both clocks.
func (b *bench) pass(d time.Duration) *bench {
	b.now.Mono += d
	b.now.Wall = b.now.Wall.Add(d)
	return b
}

// restart takes the job up in another process.
func (b *bench) restart() {
	b.now.Session++
	b.now.Mono = 0
	b.now.Wall = b.now.Wall.Add(time.Hour)
	b.do(runner.Reopen{})
}

func (b *bench) open() string {
	if st := b.state.Current(); st != nil {
		return st.ID
	}
	return ""
}

func (b *bench) cursor() string {
	if st := b.state.Cursor(); st != nil {
		return st.ID
	}
	return ""
}

func (b *bench) stands(id string) bool {
	for _, v := range b.state.Strip(b.now) {
		if v.Safeguard.ID == id {
			return v.State == runner.InPlace
		}
	}
	require.Fail(b.t, "no safeguard "+id)
	return false
}

func (b *bench) status(id string) runner.Status {
	v, ok := b.state.View(id, b.now)
	require.True(b.t, ok)
	return v.Status
}

// brief acknowledges the briefing.
func (b *bench) brief() *bench {
	for _, item := range runner.Briefs(b.job.Procedure) {
		b.do(runner.Acknowledge{Item: item.ID})
	}
	return b
}

// to does every step up to one, without it.
func (b *bench) to(id string) *bench {
	b.t.Helper()
	if b.state.Phase() == runner.Briefing {
		b.brief()
	}
	for range 60 {
		if b.open() == id {
			return b
		}
		b.step()
	}
	require.Fail(b.t, "never came to "+id, "stopped at %s", b.open())
	return b
}

// step does the open step, with the first answer where it asks.
func (b *bench) step() {
	b.t.Helper()
	st := b.state.Current()
	require.NotNil(b.t, st, "nothing is open")
	b.fill(st.ID)
	if st.Ask != nil {
		b.do(runner.Answer{Step: st.ID, Say: st.Ask.Answers[0].Say})
		return
	}
	b.do(runner.Finish{Step: st.ID})
}

func (b *bench) answer(step, say string) {
	b.t.Helper()
	b.fill(step)
	b.do(runner.Answer{Step: step, Say: say})
}

// fill enters whatever a step asks for, but its answer.
func (b *bench) fill(id string) *bench {
	b.t.Helper()
	for range 80 {
		c := b.next(id)
		if c == nil {
			return b
		}
		b.do(c)
	}
	require.Fail(b.t, "never full: "+id)
	return b
}

// next is what a careful person enters next at a step; nil where nothing but the answer is wanted.
func (b *bench) next(id string) runner.Command {
	for _, pin := range b.state.Pins(b.now) {
		if pin.Step.ID == id {
			b.pass(pin.Left)
		}
	}
	for _, r := range b.state.Wants(id, b.now) {
		switch r.Code {
		case runner.AnswerMissing:
		case runner.WaitRunning:
			left, err := time.ParseDuration(strings.NewReplacer(" min", "m", " ", "").Replace(r.Detail))
			require.NoError(b.t, err)
			b.pass(left)
		default:
			return b.meet(id, r)
		}
	}
	return nil
}

// judgedBefore names the check that a step waits for first, where it judges nothing but what is recorded: no entry at the
// step will mend it.
func judgedBefore(wants []runner.Reason, st *procedures.Step) (check string, is bool) {
	if len(wants) == 0 || wants[0].Code != runner.CheckNotPassed && wants[0].Code != runner.CheckWantsMore {
		return "", false
	}
	series := func(r procedures.Reading) bool { return r.Series }
	return wants[0].Item, !slices.ContainsFunc(st.Readings, series)
}

// meet is the command that meets one want.
func (b *bench) meet(id string, r runner.Reason) runner.Command {
	v, _ := b.state.View(id, b.now)
	switch r.Code {
	case runner.WayMissing:
		if way, ok := b.ways[id]; ok {
			return runner.Choose{Step: id, Way: way}
		}
		return runner.Choose{Step: id, Way: v.Step.Ways[0].ID}
	case runner.StatementMissing:
		for _, s := range v.Statements {
			if !s.Affirmed {
				return runner.Affirm{Step: id, Statement: s.Index}
			}
		}
	case runner.EvidenceMissing:
		return photo(id, r.Item)
	case runner.WaitNotStarted, runner.WaitMissed:
		return runner.StartWait{Step: id}
	case runner.WitnessMissing:
		return b.witness(id, dilys)
	}
	return b.reading(id, v, r)
}

func (b *bench) reading(id string, v runner.StepView, want runner.Reason) runner.Command {
	for _, r := range v.Readings {
		if want.Code == runner.CheckNotPassed || want.Code == runner.CheckWantsMore {
			if !r.Spec.Series {
				continue
			}
		} else if r.Spec.ID != want.Item {
			continue
		}
		if n := r.Spec.Instrument; n >= 0 {
			tool := b.job.Procedure.Instruments[n]
			if _, in := b.state.InstrumentOf(tool.ID); !in {
				return runner.Take{Instrument: tool.ID, Name: tool.Title + " 7", Due: "2027-01-31"}
			}
		}
		b.pass(r.Next)
		return runner.Read{Step: id, Reading: r.Spec.ID, Value: b.value(r)}
	}
	require.Fail(b.t, "cannot meet", "%+v", want)
	return nil
}

// value is one that fits.
func (b *bench) value(r runner.ReadingView) string {
	for _, id := range []string{r.Spec.ID, r.Spec.ID[strings.LastIndex(r.Spec.ID, ".")+1:]} { // an included reading is known by its own id too
		if v, ok := b.values[id]; ok {
			return v
		}
	}
	switch {
	case r.Same != "":
		return r.Same
	case r.High != "":
		return r.High
	case r.Low != "":
		return r.Low
	}
	switch r.Spec.Kind {
	case procedures.TakesChoice:
		return r.Spec.Choose[0]
	case procedures.TakesDate:
		return "2026-03-14"
	case procedures.TakesText:
		return "seen"
	}
	return map[string]string{"temperature": "20 °C", "length": "20 mm", "voltage": "0.2 V", "time": "10 s", "number": "2",
		"torque": "42 N·m", "ratio": "1 %", "angle": "0°", "resistance": "9 Ω"}[string(r.Spec.Quantity)]
}

// typed is what the sheets of the shipped procedures ask for and no card holds.
func typed(p *procedures.Procedure) map[string]string {
	sheet := map[string]string{}
	for id, value := range map[string]string{"position": "B1S2", "wheel": "rear right", "touch_limit": "43 °C", "torque_low": "40 N·m",
		"torque_high": "50 N·m", "told": "P0135", "code_before": "P0135",
		"bank": "bank 1", "trace_time": "time", "trace_column": "B1S1", "front_column": "B1S1", "rear_column": "B1S2"} {
		if f, asked := p.FieldByID(id); asked && f.Card == "" {
			sheet[id] = value
		}
	}
	return sheet
}

// tighten has every shipped procedure's wrench read a torque that its sheet takes, whatever the wrench may be wrong by, and
// its findings come to the verdict that leads on.
func (b *bench) tighten() {
	b.values["wrench_accuracy"], b.values["adapter_length"] = "1 %", "0 mm"
	b.values["rich"], b.values["lean"] = "not followed", "slow"                                    // a sensor at fault,
	b.values["trim"], b.values["monitors"], b.values["codes"] = "2 %", "41 01 00 07 E5 00", "none" // and one mended
	b.job.Files = logs
	for _, id := range []string{"wheel_setting", "stud_1", "stud_2", "stud_3", "stud_4", "stud_5", "stud_6"} {
		b.values[id] = "162 N·m" // the middle of what the card millbrook-six says
	}
}

// logs gives, for whatever is attached, a log that leads on: one that clears a catalyst, or one of a sensor that was bad and,
// after the work, is good.
func logs(f runner.File) (checks.Data, bool) {
	give := func() (io.ReadCloser, error) { return library.ScriptFiles().Open("front-and-rear.csv") }
	if strings.Contains(f.Name, "trace") {
		text := sessiontest.Weak()
		if strings.Contains(f.Name, "trace_after") {
			text = sessiontest.Healthy()
		}
		give = func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
	}
	return checks.Data{Name: f.Name, Open: give}, true
}

func photo(step, item string) runner.Attach {
	return runner.Attach{Step: step, Item: item, File: runner.File{Name: item + ".jpg", SHA256: strings.Repeat("ab", 32), Size: 9,
		Modified: "2026-03-14T08:00:00Z"}}
}

// sign signs a message in a role with a person's own key.
func (b *bench) sign(who runner.Person, namespace string, message []byte) string {
	sig, err := seal.Sign(key(who.Name), namespace, message)
	require.NoError(b.t, err)
	return sig
}

func (b *bench) witness(step string, who runner.Person) runner.Witnessed {
	return runner.Witnessed{Step: step, By: who, Signature: b.sign(who, seal.Witness, runner.WitnessMessage(b.job.Opening.Job, step, b.now.Head))}
}

func (b *bench) stretch(who runner.Person, occasion string) string {
	return b.sign(who, seal.Stretch, runner.StretchMessage(b.job.Opening.Job, occasion, b.now.Head))
}

// kindsOf lists the kinds of a decision's events.
func kindsOf(d runner.Decision) []string {
	var out []string
	for _, e := range d.Events {
		out = append(out, runner.EventName(e))
	}
	return out
}

// find returns the events of one type.
func find[T runner.Event](d runner.Decision) []T {
	var out []T
	for _, e := range d.Events {
		if v, ok := e.(T); ok {
			out = append(out, v)
		}
	}
	return out
}

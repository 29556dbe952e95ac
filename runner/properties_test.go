package runner_test

// What holds of every job, whatever is asked of it: random commands, sensible and senseless, on made-up procedures.

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/record"
)

// rider gives random commands to a job and holds every decision to what must always be so.
type rider struct {
	*bench
	r     *rapid.T
	books *oracle
	given runner.State // given up to the core with each command
}

func ride(r *rapid.T, b *bench) *rider {
	plain, err := decode(b.job.Procedure.Text)
	require.NoError(b.t, err)
	return &rider{bench: b, r: r, books: newOracle(plain, b.job.Opening.Sheet), given: runner.Begin(b.job, b.now)}
}

func TestEveryJobKeepsTheRulesWhateverIsAsked(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := made(r)
		x := ride(r, open(r, setup{text: text, sheet: map[string]string{
			"side": rapid.SampledFrom([]string{"left", "right"}).Draw(r, "side"), "most": "50 mm"}}))
		for range rapid.IntRange(1, 120).Draw(r, "commands") {
			x.passTime()
			x.command(x.draw())
		}
		if len(x.lines) > 1 {
			x.replays()
		}
	})
}

func TestEveryShippedJobKeepsTheRulesWhateverIsAsked(t *testing.T) {
	t.Parallel()
	card, ok := library.Card("millbrook-six")
	require.True(t, ok)
	rapid.Check(t, func(r *rapid.T) {
		all := shipped(t)
		p := all[rapid.IntRange(0, len(all)-1).Draw(r, "procedure")] // its number: the whole of it would fill the screen
		sheet := typed(p)
		if sheet["position"] != "" {
			sheet["position"] = rapid.SampledFrom([]string{"B1S1", "B2S2"}).Draw(r, "position")
		}
		x := ride(r, open(r, setup{text: string(p.Text), card: card, sheet: sheet}))
		x.tighten()
		for range rapid.IntRange(1, 40).Draw(r, "steps ahead") {
			if x.state.Phase() == runner.Closed {
				break
			}
			x.command(x.sensible())
		}
		for range rapid.IntRange(1, 40).Draw(r, "commands") {
			x.passTime()
			x.command(x.draw())
		}
		x.replays()
	})
}

// passTime moves the clocks, most often together.
func (x *rider) passTime() {
	switch rapid.IntRange(0, 19).Draw(x.r, "clock") {
	case 0:
		x.pass(time.Duration(rapid.IntRange(1, 40).Draw(x.r, "minutes")) * time.Minute)
	case 1:
		x.now.Wall = x.now.Wall.Add(time.Duration(rapid.IntRange(-90, 90).Draw(x.r, "drift")) * time.Second)
	case 2:
		x.now.Session, x.now.Mono = x.state.Last().Session+1, 0
		x.command(runner.Reopen{})
	case 3:
		x.now.Mono = x.state.Last().Mono - time.Second // time that runs backwards
		x.command(runner.Note{Text: "earlier"})
		x.now.Mono = x.state.Last().Mono
	default:
		x.pass(time.Duration(rapid.IntRange(0, 90_000).Draw(x.r, "ms")) * time.Millisecond)
	}
}

// draw is a command: what a careful person gives next, a disturbance, or nonsense.
func (x *rider) draw() runner.Command {
	switch k := rapid.IntRange(0, 9).Draw(x.r, "kind"); {
	case k < 6:
		return x.sensible()
	case k < 8:
		return x.disturbance()
	}
	return x.nonsense()
}

func (x *rider) sensible() runner.Command {
	switch {
	case x.state.Phase() == runner.Briefing && x.state.Hold() == nil:
		for i, b := range runner.Briefs(x.job.Procedure) {
			if !x.state.Acknowledged()[i] {
				return runner.Acknowledge{Item: b.ID}
			}
		}
	case x.state.Stopped():
		return runner.Clear{}
	case x.state.Hold() != nil:
		return runner.Resume{}
	case x.state.Handover() != nil && x.open() == "":
		if !x.state.Handover().SignedOn {
			return runner.SignOn{Signature: x.stretch(x.state.Handover().To, "sign-on")}
		}
		return runner.SignOff{Signature: x.stretch(x.state.Performer(), "sign-off")}
	case x.open() == "":
		return runner.Seal{By: x.state.Performer()}
	}
	st := x.state.Current()
	if c := x.next(st.ID); c != nil {
		return c
	}
	if st.Ask != nil {
		return runner.Answer{Step: st.ID, Say: rapid.SampledFrom(st.Ask.Answers).Draw(x.r, "answer").Say}
	}
	return runner.Finish{Step: st.ID}
}

func (x *rider) disturbance() runner.Command {
	other := bryn
	if x.state.Performer() == bryn {
		other = asha
	}
	guard := rapid.SampledFrom(x.job.Procedure.Safeguards).Draw(x.r, "guard").ID
	step := rapid.SampledFrom(x.job.Procedure.Steps).Draw(x.r, "step").ID
	return rapid.SampledFrom([]runner.Command{
		runner.Pause{Reason: "tea"}, runner.StopWork{Safeguards: []string{guard}}, runner.StopWork{}, runner.HandOver{To: other},
		runner.KeepJob{Reason: "no"}, runner.TakeOver{By: other, Reason: "gone", Signature: x.stretch(other, "take-over")},
		runner.Close{Outcome: procedures.Referred, Reason: "cracked"}, runner.Continue{Reason: "on"}, runner.Leave{Step: step, State: "so"},
		answerOf(step), statement(step, 0), sheet("most", "30 mm"), sheet("side", "left"), sheet("side", "right"),
		reading(x.aReading(), "60 mm"), runner.Tick{}, runner.Skip{Step: step, Reason: "not today"}, runner.Finish{Step: step},
		runner.FollowUp{What: "look again", Due: "2026-05-01"},
	}).Draw(x.r, "disturbance")
}

func (x *rider) aReading() string {
	ids := []string{"none"}
	for _, st := range x.job.Procedure.Steps {
		for _, r := range st.Readings {
			ids = append(ids, r.ID)
		}
	}
	return rapid.SampledFrom(ids).Draw(x.r, "reading")
}

// nonsense is a command whose every field is drawn from ids of all kinds and from rubbish.
func (x *rider) nonsense() runner.Command {
	words := []string{"", "x", "g0", "gate0", "do0", "r0", "side", "left", "undo0", "watch", "one", "12 mm", "-3 V", "\x1b[2J", "\u202e",
		strings.Repeat("long ", 600), "2026-03-14", "complete", "referred", asha.Name, asha.Fingerprint, "meter"}
	c := reflect.New(reflect.TypeOf(rapid.SampledFrom(everyCommand()).Draw(x.r, "command"))).Elem()
	x.scramble(c, words)
	return c.Interface().(runner.Command)
}

func (x *rider) scramble(v reflect.Value, words []string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.SampledFrom(words).Draw(x.r, "word"))
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(rapid.SampledFrom([]int{-1, 0, 1, 2, 63, 64, 1 << 40}).Draw(x.r, "number")))
	case reflect.Struct:
		for i := range v.NumField() {
			x.scramble(v.Field(i), words)
		}
	case reflect.Slice:
		for range rapid.IntRange(0, 2).Draw(x.r, "many") {
			e := reflect.New(v.Type().Elem()).Elem()
			x.scramble(e, words)
			v.Set(reflect.Append(v, e))
		}
	}
}

func everyCommand() []runner.Command {
	return []runner.Command{runner.Acknowledge{}, runner.Choose{}, runner.Affirm{}, runner.Read{}, runner.Take{}, runner.Attach{},
		runner.StartWait{}, runner.Witnessed{}, runner.Finish{}, runner.Answer{}, runner.Skip{}, runner.Correct{}, runner.Note{},
		runner.StopWork{}, runner.Clear{}, runner.Pause{}, runner.Reopen{}, runner.Resume{}, runner.HandOver{}, runner.SignOn{},
		runner.SignOff{}, runner.KeepJob{}, runner.TakeOver{}, runner.Close{}, runner.Continue{}, runner.Leave{}, runner.FollowUp{},
		runner.Seal{}, runner.Tick{}}
}

// command gives one command, twice, and holds the decision to what must always be so.
func (x *rider) command(c runner.Command) {
	before, at := x.state, x.now
	shown := show(before, at)
	first, second := runner.Decide(before, c, at), runner.Decide(before, c, at)
	require.Equal(x.t, first.Events, second.Events, "the same command at the same moment")
	require.True(x.t, reflect.DeepEqual(first.State, second.State))
	require.True(x.t, reflect.DeepEqual(before, x.folded), "a decision changed the state it was asked about")

	d := x.try(c)
	require.True(x.t, reflect.DeepEqual(x.state, x.folded), "the events folded are the state: %v", kindsOf(d))
	x.givenUp(c, d, at)
	if d.Refusal != nil {
		x.refusal(d, before, shown, at)
	}
	x.roundTrip(c, d)
	if faults := x.books.copy().follow(c, d, at); len(faults) > 0 {
		require.Fail(x.t, "the core and the oracle part", "%s %+v:\n%s\n%v\n%s", runner.CommandName(c), c, strings.Join(faults, "\n"), kindsOf(d), x.story())
	}
	x.books = x.books.copy()
	x.books.follow(c, d, at)
}

// givenUp holds the core to the same answer where the state is given up to it.
func (x *rider) givenUp(c runner.Command, d runner.Decision, at runner.Moment) {
	answer, ok := runner.Advance(x.given, c, at)
	if ok {
		require.Equal(x.t, d.Events, answer.Events)
		require.True(x.t, show(d.State, at) == show(answer.State, at))
		x.given = answer.State
		return
	}
	require.NotNil(x.t, d.Refusal, "only what is refused is taken back")
	x.given = runner.Begin(x.job, x.lines[0].Moment())
	for _, l := range x.lines[1:] {
		for _, e := range l.Events {
			x.given = runner.Evolve(x.given, e, l.Moment())
		}
	}
}

func (x *rider) story() string {
	var b strings.Builder
	for _, l := range x.lines[1:] {
		fmt.Fprintf(&b, "%s %+v\n", runner.CommandName(l.Do), l.Do)
	}
	return b.String()
}

// refusal holds a refusal to its reasons, and to changing nothing but the count.
func (x *rider) refusal(d runner.Decision, before runner.State, shown string, at runner.Moment) {
	require.NotEmpty(x.t, d.Refusal.Reasons)
	for _, r := range d.Refusal.Reasons {
		what, next := x.job.Text(r)
		require.NotEmpty(x.t, what, "%+v", r)
		require.NotEmpty(x.t, next, "%+v", r)
		require.NotRegexp(x.t, `\{[a-z_]+\}`, what+next)
		require.NotContains(x.t, what+next, "\x1b")
	}
	if len(d.Events) == 1 {
		require.Equal(x.t, shown, show(x.state, at))
		require.Equal(x.t, before.Refusals()+1, x.state.Refusals())
	}
}

// show is everything a front end can see of a state.
func show(s runner.State, at runner.Moment) string {
	var b strings.Builder
	fmt.Fprintln(&b, s.Phase(), s.Outcome(), s.Reason(), s.Left(), s.FollowUps(), s.Performer(), s.Unsigned(), s.Acknowledged(), s.Sheet(), len(s.StopWork()))
	for _, st := range s.Due() {
		fmt.Fprintln(&b, "due", st.ID)
	}
	for _, m := range s.Marks() {
		v, _ := s.View(m.Step.ID, at)
		for i := range v.Readings {
			v.Readings[i].Spec = nil // a place in memory
		}
		fmt.Fprintf(&b, "%s %v %v %v %d %q %v %v %+v %q %v %v\n", m.Step.ID, m.Status, m.Here, m.Open, v.Rounds, v.Way, v.Statements, v.Wait, v.Readings, v.Answer, v.Witness, v.Wants)
	}
	for _, g := range s.Strip(at) {
		fmt.Fprintln(&b, g.Safeguard.ID, g.State, g.Engaged, g.Left)
	}
	if h := s.Hold(); h != nil {
		fmt.Fprintln(&b, *h)
	}
	if h := s.Handover(); h != nil {
		fmt.Fprintln(&b, *h)
	}
	return b.String()
}

// roundTrip holds a command and its events to being read back as they were written.
func (x *rider) roundTrip(c runner.Command, d runner.Decision) {
	data, err := runner.MarshalCommand(c)
	require.NoError(x.t, err)
	back, err := runner.UnmarshalCommand(data)
	require.NoError(x.t, err)
	again, err := runner.MarshalCommand(back)
	require.NoError(x.t, err)
	require.True(x.t, bytes.Equal(data, again))
	require.Equal(x.t, runner.CommandName(c), runner.CommandName(back))
	for _, e := range d.Events {
		data, err := runner.MarshalEvent(e)
		require.NoError(x.t, err)
		back, err := runner.UnmarshalEvent(data)
		require.NoError(x.t, err)
		again, err := runner.MarshalEvent(back)
		require.NoError(x.t, err)
		require.True(x.t, bytes.Equal(data, again))
		require.Equal(x.t, runner.EventName(e), runner.EventName(back))
	}
}

// replays holds the record to being replayed, line by line, from its own bytes.
func (x *rider) replays() {
	var replay *record.Replay
	for i, l := range x.lines {
		data, err := record.Encode(l)
		require.NoError(x.t, err)
		read, err := record.Decode(data)
		require.NoError(x.t, err)
		if i == 0 {
			replay, err = record.Start(&record.Binder{}, read)
		} else {
			err = replay.Step(read)
		}
		require.NoError(x.t, err, "line %d: %s", i, data)
	}
	last := x.state.Last()
	require.Equal(x.t, show(x.state, last), show(replay.State, last))
}

func TestEveryCommandAndEventIsReadBackAsItWasWritten(t *testing.T) {
	for _, c := range everyCommand() {
		data, err := runner.MarshalCommand(c)
		require.NoError(t, err)
		back, err := runner.UnmarshalCommand(data)
		require.NoError(t, err)
		assert.Equal(t, c, back)
	}
	for _, bad := range []string{``, `{}`, `{"affirm":{},"read":{}}`, `{"override":{}}`, `{"affirm":{"force":true}}`, `[]`, `{"affirm":{"statement":"0"}}`} {
		_, err := runner.UnmarshalCommand([]byte(bad))
		assert.Error(t, err, bad)
		_, err = runner.UnmarshalEvent([]byte(bad))
		assert.Error(t, err, bad)
	}
}

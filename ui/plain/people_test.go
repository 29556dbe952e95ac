package plain

// Several people and several runs of the program on one job.

import (
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"slices"
	"strconv"
)

func (b *bench) resume(lines ...string) error {
	return b.run(Options{Resume: b.only()}, lines...)
}

func TestTheEndOfTheInputLeavesAJobThatGoesOn(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead, []string{"start", "@30s"})...))
	assert.Contains(t, b.dialogue(), "fenderside resume "+b.only()+" --plain")
	before := len(b.dialogue())
	lines := join([]string{"yes", "pocket", "resume"}, dead[:2], dead[4:], cooled[:3], []string{".quit"})
	require.NoError(t, b.resume(lines...))
	again := b.dialogue()[before:]
	golden(t, "taken-up-again", again)
	for _, said := range []string{"HELD. INTERRUPTED: the program was ended or lost power", "Fell: “Unplugged, plug in your pocket”", "What happened last:"} {
		assert.Contains(t, strings.ReplaceAll(again, "\n  ", " "), said)
	}
	assert.Contains(t, again, "2 minutes to go", "a wait gets no credit for time before the restart")
}

func TestTheBoardOffersOpenJobsFirst(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead)...))
	id := b.only()
	require.NoError(t, b.run(Options{}, "7 of 9", "1", ".quit"))
	assert.Contains(t, strings.ReplaceAll(b.dialogue(), "\n  ", " "),
		"1: Open job "+id+": Change the heat lamp over the parts bench, practice, by asha@millbrook.example, at “Let the lamp cool and measure it”")
	assert.Contains(t, b.dialogue(), "“7 of 9” is not in the list.")
	assert.Contains(t, b.dialogue(), "HELD.")
}

// numberOf is the number of a procedure in the list that is asked from.
func numberOf(t *testing.T, b *bench, name string) string {
	list, problems := b.home.Procedures()
	require.Empty(t, problems)
	i := slices.IndexFunc(list, func(p *procedures.Procedure) bool { return p.Name == name })
	require.GreaterOrEqual(t, i, 0)
	return strconv.Itoa(i + 1)
}

func TestWhatIsNotGivenIsAskedFor(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(Options{Start: &Start{}}, ".stop", ".help", numberOf(t, b, "sensor-swap"), "2", "", "B1S1", "", "open", ".quit"))
	assert.Contains(t, b.dialogue(), "There is no job yet for .stop")
	assert.Contains(t, b.dialogue(), "Briefing 1 of 8")
	b2 := newBench(t)
	require.NoError(t, b2.run(Options{}, ".quit"))
	assert.Contains(t, b2.dialogue(), "No job was opened.")
}

func TestPauseHoldsTheJobAndIsSigned(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead, []string{".pause lunch", "yes", ".sign", "resume", "pocket"})...))
	assert.Contains(t, b.dialogue(), "HELD. INTERRUPTED: paused: lunch")
	var signed bool
	for _, e := range b.events() {
		if i, ok := e.(runner.Interrupted); ok && i.Cause == runner.ByPause {
			signed = i.Signed
		}
	}
	assert.True(t, signed)
}

func TestHandoverSecuresAgainAndSignsBothPeople(t *testing.T) {
	b := newBench(t)
	lines := join(briefed, dead, []string{".handover", "1"}, dead[:2], dead[4:], []string{
		".pause later", "resume"}, dead[:2], dead[4:], []string{
		"yes", "sign on", "nowhere", "~/bryn-key", passphrase, "sign off", ".quit"})
	require.NoError(t, b.run(practice(t), lines...))
	text := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	for _, said := range []string{"Handover: bryn@millbrook.example secures this again before signing on.", "bryn@millbrook.example signed on, key",
		"asha@millbrook.example signed off their stretch; bryn@millbrook.example goes on."} {
		assert.Contains(t, text, said)
	}
	require.NoError(t, b.resume(".quit"))
	assert.Contains(t, strings.ReplaceAll(b.dialogue(), "\n  ", " "), "The work on this job is bryn@millbrook.example's, and the key here is yours, asha@millbrook.example.")
}

func TestAHandoverCanBeWithdrawn(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead, []string{".handover", "2", ".note no", ".keep the relief did not come"})...))
	assert.Contains(t, b.dialogue(), "Handover withdrawn: the relief did not come.")
}

func TestATakeoverLeavesTheStretchUnsigned(t *testing.T) {
	b := newBench(t)
	lines := join(briefed, dead, []string{".takeover", "dilys@millbrook.example, key " + b.print("dilys"), "asha went home ill", b.keyOf("dilys"), passphrase, "resume",
		".close abandoned no time", ".left unplugged", "1", "sign abandoned", b.keyOf("dilys"), passphrase})
	require.NoError(t, b.run(practice(t), lines...))
	assert.Contains(t, b.dialogue(), "The stretch of asha@millbrook.example is unsigned.")
	assert.Equal(t, procedures.Abandoned, b.replayed().State.Outcome())
}

func (b *bench) print(name string) string {
	r, err := b.home.People()
	require.NoError(b.t, err)
	return r.ByPrincipal(name + "@millbrook.example")[0].Fingerprint
}

// The performer is never offered as witness, and their key file is not taken for another's. A key without a passphrase
// cannot witness.
func TestTheWitnessIsAnotherPersonWithTheirOwnKey(t *testing.T) {
	b := newBench(t)
	lines := join(toFit(), []string{"true", "left", "witness", "asha@millbrook.example", "1", b.home.KeyPath(),
		"witness", "1", "'~/dilys-key'", passphrase, "witness", "1", b.keyOf("bryn"), "wrong", passphrase, ".witness", "", "1"})
	require.NoError(t, b.run(practice(t), lines...))
	text := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	assert.Contains(t, text, "“asha@millbrook.example” is not in the list.")
	assert.Contains(t, text, "this key has no passphrase")
	assert.Contains(t, text, "not theirs")
	assert.Contains(t, text, "witnessed by bryn@millbrook.example")
}

// An apprentice may sign a stretch alone: every gate is witnessed, and another person signs the record.
func TestAnApprenticesRecordIsSignedByAnother(t *testing.T) {
	b := newBench(t)
	require.NoError(t, os.Remove(b.home.KeyPath()))
	require.NoError(t, os.Remove(b.home.KeyPath()+".pub"))
	b.person("emlyn@millbrook.example", b.home.KeyPath(), "", []string{"stretch@fenderside"})
	lines := join(briefed, dead, []string{"witness", "bryn@millbrook.example, key " + b.print("bryn"), b.keyOf("bryn"), passphrase,
		".close referred the socket is loose", ".left", "1", "unplugged", "sign referred",
		"bryn@millbrook.example, key " + b.print("bryn"), b.keyOf("bryn"), passphrase})
	require.NoError(t, b.run(practice(t), lines...))
	assert.Contains(t, b.dialogue(), "SIGNED. The job is referred, signed by bryn@millbrook.example")
	b.replayed()
}

func TestLiveWorkNeedsATerminal(t *testing.T) {
	b := newBench(t)
	o := practice(t)
	o.Start.Practice = false
	require.ErrorContains(t, b.run(o), "live work needs a terminal")
	st, err := b.home.Store()
	require.NoError(t, err)
	jobs, err := st.OpenJobs()
	require.NoError(t, err)
	require.Empty(t, jobs)

	o.Terminal = true
	require.NoError(t, b.run(o, join(briefed, dead)...))
	assert.Contains(t, b.dialogue(), "This is live work on a real vehicle.")
	events := len(b.events())
	require.ErrorContains(t, b.resume(), "live work needs a terminal")
	require.Len(t, b.events(), events, "nothing is written to the job")
	require.NoError(t, b.run(Options{Resume: b.only(), Terminal: true}, "resume", ".quit"))
}

// interrupting sends ctrl+c in place of a line, and then never ends.
type interrupting struct {
	in   io.Reader
	stop chan struct{}
}

func (r *interrupting) Read(p []byte) (int, error) {
	n, err := r.in.Read(p)
	if err != io.EOF {
		return n, err
	}
	if me, err := os.FindProcess(os.Getpid()); err != nil || me.Signal(os.Interrupt) != nil {
		return 0, io.EOF // where there is no such signal the input just ends
	}
	<-r.stop
	return 0, io.EOF
}

func TestCtrlCLeavesAJobThatGoesOn(t *testing.T) {
	b := newBench(t)
	o := practice(t)
	in := &interrupting{&script{b: b, lines: join(briefed, dead)}, make(chan struct{})}
	defer close(in.stop)
	o.In = in
	require.NoError(t, b.run(o))
	assert.Contains(t, b.dialogue(), "Take it up again with: fenderside resume "+b.only())
	require.NoError(t, b.resume("resume"))
	assert.Contains(t, b.dialogue(), "HELD: “Let the lamp cool and measure it” waits for this.")
}

// What time brings is said while a question is open, without anything being typed.
func TestTheEndOfAWaitIsSaidUnasked(t *testing.T) {
	b := newBench(t)
	o := practice(t)
	o.Home, o.Out, o.Clock = b.home, b, b.newClock
	pr, pw := io.Pipe()
	in := &script{b: b, lines: join(briefed, dead, []string{"start"})}
	o.In = io.MultiReader(in, pr)
	d := newDesk(o)
	ticks := make(chan time.Time)
	d.ticks = ticks
	ended := make(chan error)
	go func() { ended <- d.run() }()
	for !strings.Contains(b.dialogue(), "to go. Press Enter") {
		select {
		case ticks <- time.Time{}:
		case <-time.After(10 * time.Second):
			t.Fatal("nothing happens")
		}
	}
	b.clock.move(2 * time.Minute)
	ticks <- time.Time{}
	ticks <- time.Time{} // taken when the first one was worked through
	assert.Contains(t, b.dialogue(), "The wait of “Let the lamp cool and measure it” is over.")
	assert.True(t, strings.HasSuffix(b.dialogue(), "type the last word of the statement.\n"), "the next question is asked")
	require.NoError(t, pw.Close())
	require.NoError(t, <-ended)
}

func TestWhoeverWorksAloneIsToldBeforeTheFirstStepOfWhatNobodyCanWitness(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(opened, []string{".quit"})...))
	assert.NotContains(t, b.dialogue(), "NOBODY CAN WITNESS", "bryn can")
	alone := newBench(t)
	require.NoError(t, os.Remove(alone.home.RosterPath()))
	alone.person("asha@millbrook.example", alone.home.KeyPath(), "", nil)
	require.NoError(t, alone.run(practice(t), join(opened, []string{"read", ".quit"})...))
	assert.Equal(t, 1, strings.Count(alone.dialogue(), "NOBODY CAN WITNESS: a second person signs"), "once")
}

package audit

// A forger who holds the key can make the digests, the chain and the signature right. What is left is the replay: the rules
// themselves must refuse what is written.

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/seal"
	"fenderside/runner/session/sessiontest"
)

// at is the index of the nth line whose command is of a kind.
func at[C runner.Command](t testing.TB, lines []record.Line, n int) int {
	for i, l := range lines {
		if _, ok := l.Do.(C); ok {
			if n == 0 {
				return i
			}
			n--
		}
	}
	require.Fail(t, "no such line")
	return 0
}

func without(lines []record.Line, i int) []record.Line {
	return append(append([]record.Line(nil), lines[:i]...), lines[i+1:]...)
}

// forgeries are what a forger does to the lines of the lamp job, and what the replay says to it.
var forgeries = map[string]struct {
	edit func(t *testing.T, lines []record.Line) []record.Line
	says string
}{
	"nothing at all": {func(t *testing.T, l []record.Line) []record.Line { return l }, ""},
	"a statement left out": {func(t *testing.T, l []record.Line) []record.Line {
		return without(l, at[runner.Affirm](t, l, 0))
	}, "stands where the rules give"},
	"a gate reading left out": {func(t *testing.T, l []record.Line) []record.Line {
		return without(l, at[runner.Read](t, l, 0))
	}, "stands where the rules give"},
	"a gate left out": {func(t *testing.T, l []record.Line) []record.Line {
		return without(l, at[runner.Finish](t, l, 0))
	}, "stands where the rules give"},
	"a value out of bounds called accepted": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Read](t, l, 0)
		l[i].Do = runner.Read{Step: "switch-off", Reading: "residual", Value: "12 V"}
		e := l[i].Events[0].(runner.ReadingTaken)
		e.Value = "12 V"
		l[i].Events[0] = e
		return l
	}, "stands where the rules give"},
	"an event of its own": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Finish](t, l, 0)
		l[i].Events = append(l[i].Events, runner.Noted{Text: "all well"})
		return l
	}, "does not follow from the command"},
	"an event missing": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Finish](t, l, 0)
		l[i].Events = l[i].Events[:1]
		return l
	}, "should follow and does not"},
	"a line from which nothing follows": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Finish](t, l, 0)
		tick := l[i]
		tick.Do, tick.Events = runner.Tick{}, nil
		return append(append(append([]record.Line(nil), l[:i]...), tick), l[i:]...)
	}, "nothing follows from this line"},
	"a line after the sealing": {func(t *testing.T, l []record.Line) []record.Line {
		end := l[len(l)-1]
		end.Do, end.Events = runner.Note{Text: "and more"}, []runner.Event{runner.Noted{Text: "and more"}}
		return append(l, end)
	}, "does not follow from the command"},
	"an expired instrument": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Take](t, l, 0)
		l[i].Do = runner.Take{Instrument: "meter", Name: "DM-1", Due: "2026-03-01"}
		l[i].Events = []runner.Event{runner.InstrumentTaken{Instrument: "meter", Name: "DM-1", Due: "2026-03-01"}}
		return l
	}, "stands where the rules give"},
	"a clock that jumps without an interruption": {func(t *testing.T, l []record.Line) []record.Line {
		for i := at[runner.Finish](t, l, 0); i < len(l); i++ {
			l[i].At = l[i].At.Add(-3 * time.Hour)
		}
		return l
	}, "rules give"},
	"a mode in one line": {func(t *testing.T, l []record.Line) []record.Line {
		l[5].Mode = runner.Practice
		return l
	}, `mode "practice" in a live job`},
	"another author": {func(t *testing.T, l []record.Line) []record.Line {
		l[5].By = bryn.Name
		return l
	}, "was acting"},
	"not sealed": {func(t *testing.T, l []record.Line) []record.Line { return l[:len(l)-1] }, "not sealed"},
	"sealed by another": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Seal](t, l, 0)
		s := l[i].Do.(runner.Seal)
		s.By = bryn.Person
		l[i].Do = s
		l[i].Events = []runner.Event{runner.Sealed{Outcome: "complete", By: bryn.Person, Chain: s.Chain}}
		return l
	}, "rules give"},
	"a place in the chain that no store gives": {func(t *testing.T, l []record.Line) []record.Line {
		i := at[runner.Seal](t, l, 0)
		s := l[i].Do.(runner.Seal)
		s.Chain = runner.Link{Number: 1, Previous: strings.Repeat("a", 64)}
		l[i].Do = s
		l[i].Events = []runner.Event{runner.Sealed{Outcome: "complete", By: asha.Person, Chain: s.Chain}}
		return l
	}, "no store gives out such a place"},
}

func TestTheReplayRefusesWhatTheRulesWouldNotGive(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).lamp())
	for name, c := range forgeries {
		t.Run(name, func(t *testing.T) {
			r := one(t, forged(t, chained(t, c.edit(t, linesOf(t, rec))), asha.Signer))
			if c.says == "" {
				require.Equal(t, Sound, r.Verdict, "%+v", r.Findings)
				return
			}
			require.Equal(t, Rejected, r.Verdict)
			assert.Contains(t, r.Findings[0].What+r.Findings[len(r.Findings)-1].What, c.says)
		})
	}
}

func TestTheOpeningIsBoundToItsDocuments(t *testing.T) {
	easier := func(o *runner.Opening) {
		o.Procedure.Text = strings.Replace(o.Procedure.Text, "at most: 1 V", "at most: 24 V", 1)
	}
	cases := map[string]struct {
		edit func(*runner.Opening)
		says string
	}{
		"procedure text":            {easier, "it was changed"},
		"procedure text and digest": {func(o *runner.Opening) { easier(o); o.Procedure.Digest = record.Digest([]byte(o.Procedure.Text)) }, ""},
		"procedure revision":        {func(o *runner.Opening) { o.Procedure.Revision = 2 }, "is not the text"},
		"card text": {func(o *runner.Opening) {
			o.Card.Text = strings.Replace(o.Card.Text, "settle: 3 min", "settle: 1 min", 1)
		}, "it was changed"},
		"sheet other than the card":  {func(o *runner.Opening) { o.Sheet[0].Value = "1 min" }, "but the card and the sheet give"},
		"roster text":                {func(o *runner.Opening) { o.Roster.Text = strings.Replace(o.Roster.Text, "bryn", "bran", 1) }, "it was changed"},
		"semantics":                  {func(o *runner.Opening) { o.Semantics = runner.Semantics + 1 }, "engine rules of version"},
		"format":                     {func(o *runner.Opening) { o.Fenderside = runner.RecordFormat + 1 }, "record format"},
		"mode of the opening alone":  {func(o *runner.Opening) { o.Mode = runner.Practice }, `the first line says "live"`},
		"no terminal":                {func(o *runner.Opening) { o.Terminal = false }, "terminal"},
		"a demonstration card, live": {demonstrated, "is a demonstration"},
		"a performer off the roster": {func(o *runner.Opening) { o.Performer.Fingerprint = "SHA256:nobody" }, "is not on the roster"},
	}
	rec, sig := bytesOf(t, newDepot(t).lamp())
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			lines := linesOf(t, rec)
			o := *lines[0].Open
			o.Sheet = append([]runner.Entry(nil), o.Sheet...)
			c.edit(&o)
			lines[0].Open = &o
			data := chained(t, lines)
			var b record.Binder
			assert.Equal(t, Rejected, judgeBytes(t, &b, data, sig).Verdict, "without the key")
			r := one(t, forged(t, data, asha.Signer))
			if c.says == "" {
				return // with the key the text may be another: that is another procedure, honestly named by its digest
			}
			require.Equal(t, Rejected, r.Verdict)
			assert.Contains(t, r.Findings[0].What, c.says)
		})
	}
}

func demonstrated(o *runner.Opening) {
	o.Card.Text = strings.Replace(o.Card.Text, "demonstration: false", "demonstration: true", 1)
	o.Card.Digest = record.Digest([]byte(o.Card.Text))
}

func TestAPracticeRecordCannotBeRewrittenAsLive(t *testing.T) {
	d := newDepot(t)
	o := d.opening("lamp.yaml")
	o.Mode, o.Terminal = runner.Practice, false
	h := d.start(o)
	h.switchOff()
	h.changeLamp()
	rec, sig := bytesOf(t, h.seal(asha, nil))
	lines := linesOf(t, rec)
	for i := range lines {
		lines[i].Mode = runner.Live
	}
	lines[0].Open.Mode = runner.Live
	var b record.Binder
	assert.Equal(t, Rejected, judgeBytes(t, &b, chained(t, lines), sig).Verdict)
	r := one(t, forged(t, chained(t, lines), asha.Signer))
	assert.Equal(t, Rejected, r.Verdict)
	assert.Contains(t, r.Findings[0].What, "terminal")
}

// rewitness makes somebody the witness of a record, with a good signature over the chain head.
func rewitness(t *testing.T, rec []byte, by sessiontest.Who) []byte {
	lines := linesOf(t, rec)
	i := at[runner.Witnessed](t, lines, 0)
	head := lines[i].Prev
	sig, err := seal.Sign(by.Signer, seal.Witness, runner.WitnessMessage(lines[0].Open.Job, "agree", head))
	require.NoError(t, err)
	lines[i].Do = runner.Witnessed{Step: "agree", By: by.Person, Signature: sig}
	for k, e := range lines[i].Events {
		if e, ok := e.(runner.WitnessSigned); ok {
			e.By = by.Person
			lines[i].Events[k] = e
		}
	}
	return chained(t, lines)
}

func TestAWitnessIsAnotherKeyThatTheAuditorKnows(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).heater(nil))
	other := one(t, forged(t, rewitness(t, rec, dilys), asha.Signer))
	assert.Equal(t, Sound, other.Verdict, "%+v", other.Findings)

	same := one(t, forged(t, rewitness(t, rec, asha), asha.Signer))
	assert.Equal(t, Rejected, same.Verdict)
	assert.Contains(t, same.Findings[0].What, "same-key")

	unknown := run(t, sessiontest.RosterOf(asha, dilys), forged(t, rec, asha.Signer)).Records[0]
	assert.Equal(t, Rejected, unknown.Verdict)
	assert.Contains(t, unknown.Findings[0].What, "witnessed step agree: key "+bryn.Fingerprint+" is not on the roster")
}

func TestAWitnessSignatureFromAnotherPlaceFails(t *testing.T) {
	d := newDepot(t)
	first, _ := bytesOf(t, d.heater(nil))
	second, _ := bytesOf(t, d.heater(nil))
	from, to := linesOf(t, first), linesOf(t, second)
	to[at[runner.Witnessed](t, to, 0)].Do = from[at[runner.Witnessed](t, from, 0)].Do
	r := one(t, forged(t, chained(t, to), asha.Signer))
	assert.Equal(t, Rejected, r.Verdict)
	assert.Contains(t, r.Findings[0].What, "signature-bad")
}

func TestTheRecordIsSignedByTheKeyThatClosedIt(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).lamp())
	r := one(t, forged(t, rec, bryn.Signer))
	assert.Equal(t, Rejected, r.Verdict)
	assert.Contains(t, r.Findings[len(r.Findings)-1].What, "closed the job, and key "+bryn.Fingerprint+" signed it")
	assert.Equal(t, bryn.Name, r.Signatures[0].Who)
}

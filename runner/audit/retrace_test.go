package audit

// There is a quick way through a sound record and a slow one that says what is wrong. They must agree: what the quick way
// takes, the slow way takes too, and finds the same in it.

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/runner/rehearsal"
)

// bothWays reads a record the quick way and the slow way.
func bothWays(b *record.Binder, data []byte) (quick *examined, ok bool, slow *examined) {
	f := files{path: "record.jsonl", record: content{data: data}}
	quick, slow = begin(f), begin(f)
	_, ok = record.Retrace(b, data, quick.take)
	slow.replay(b)
	return quick, ok, slow
}

// samples are honest records with much in them.
func samples(t testing.TB) [][]byte {
	var out [][]byte
	for _, s := range library.Scripts() {
		if bytes.Contains(s.Text, []byte("{file:")) {
			continue // a check judged a file, which lies beside the record: such a record goes the slow way
		}
		done, err := rehearsal.Sample(t.TempDir(), s.Name)
		require.NoError(t, err)
		data, err := os.ReadFile(done.Record)
		require.NoError(t, err)
		out = append(out, data)
	}
	lamp, _ := bytesOf(t, newDepot(t).lamp())
	busy, _ := bytesOf(t, newDepot(t).heater(inSwitchOn(correctGate)))
	torn, _ := bytesOf(t, newDepot(t).heater(inSwitchOn(tear)))
	return append(out, lamp, busy, torn)
}

func TestTheQuickWayFindsWhatTheSlowWayFinds(t *testing.T) {
	var b record.Binder
	for _, data := range samples(t) {
		for range 2 { // the second time the documents are known
			quick, ok, slow := bothWays(&b, data)
			require.True(t, ok)
			require.Empty(t, slow.Findings)
			assert.Equal(t, slow, quick)
		}
	}
}

func TestTheQuickWayTakesNothingThatTheSlowWayRefuses(t *testing.T) {
	var b record.Binder
	all := samples(t)
	for _, data := range all {
		_, ok, _ := bothWays(&b, data)
		require.True(t, ok)
	}
	rapid.Check(t, func(rt *rapid.T) {
		data := bytes.Clone(rapid.SampledFrom(all).Draw(rt, "record"))
		lines := bytes.Count(data, []byte("\n"))
		switch rapid.IntRange(0, 2).Draw(rt, "kind") {
		case 0:
			data[rapid.IntRange(0, len(data)-1).Draw(rt, "at")] ^= byte(rapid.IntRange(1, 255).Draw(rt, "mask"))
		case 1:
			data = data[:rapid.IntRange(0, len(data)-1).Draw(rt, "cut")]
		case 2:
			i := rapid.IntRange(0, lines-1).Draw(rt, "line")
			split := bytes.SplitAfter(data, []byte("\n"))
			data = bytes.Join(append(split[:i:i], split[i+1:]...), nil)
		}
		_, ok, slow := bothWays(&b, data)
		if refused := len(slow.Findings) > 0; ok == refused {
			rt.Fatalf("quick way %v, slow way %+v", ok, slow.Findings)
		}
	})
}

// A later release may word a check's result better: that is no fault of the record.
func TestARecordInOtherWordsIsSound(t *testing.T) {
	done, err := rehearsal.Sample(t.TempDir(), "sensor-swap-plain")
	require.NoError(t, err)
	data, err := os.ReadFile(done.Record)
	require.NoError(t, err)
	lines, changed := linesOf(t, data), map[int]bool{} // a line may hold several results
	for i := range lines {
		for k, e := range lines[i].Events {
			if e, ok := e.(runner.Computed); ok {
				e.Workings = append([]string{"in other words"}, e.Workings...)
				lines[i].Events[k] = e
				changed[i] = true
			}
		}
	}
	require.NotEmpty(t, changed)
	var b record.Binder
	_, ok, slow := bothWays(&b, chained(t, lines))
	assert.False(t, ok)
	assert.Len(t, slow.Findings, len(changed))
	for _, f := range slow.Findings {
		assert.Equal(t, Note, f.Severity, f.What)
		assert.Contains(t, f.What, "in other words")
	}

	for i := range lines {
		for k, e := range lines[i].Events {
			if e, ok := e.(runner.Computed); ok {
				e.Verdict = "more"
				lines[i].Events[k] = e
			}
		}
	}
	_, ok, slow = bothWays(&b, chained(t, lines))
	assert.False(t, ok)
	assert.Equal(t, Against, slow.Findings[len(slow.Findings)-1].Severity, "but another verdict is")
}

// A text that the binder knows is taken out of the first line only where it stands under its own digest.
func TestAKnownTextUnderAnotherDigestIsNotTaken(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).lamp())
	var b record.Binder
	_, ok, _ := bothWays(&b, rec)
	require.True(t, ok)
	for name, edit := range map[string]func(o *runner.Opening){
		"texts exchanged":  func(o *runner.Opening) { o.Procedure.Text, o.Card.Text = o.Card.Text, o.Procedure.Text },
		"digests as well":  func(o *runner.Opening) { o.Procedure.Digest, o.Card.Digest = o.Card.Digest, o.Procedure.Digest },
		"a text left out":  func(o *runner.Opening) { o.Procedure.Text = "" },
		"no card any more": func(o *runner.Opening) { o.Card = runner.Document{} },
		"a card twice":     func(o *runner.Opening) { o.Roster = o.Card },
	} {
		lines := linesOf(t, rec)
		edit(lines[0].Open)
		_, ok, slow := bothWays(&b, chained(t, lines))
		assert.False(t, ok, name)
		assert.NotEmpty(t, slow.Findings, name)
	}
}

func TestTheFirstLineFollowsNone(t *testing.T) {
	rec, _ := bytesOf(t, newDepot(t).lamp())
	bad := bytes.Replace(rec, []byte(journal.Genesis), []byte(strings.Repeat("a", 64)), 1)
	first, _, _ := bytes.Cut(bad, []byte("\n"))
	var b record.Binder
	_, ok, slow := bothWays(&b, bad[:len(first)+1])
	assert.False(t, ok)
	assert.NotEmpty(t, slow.Findings)
}

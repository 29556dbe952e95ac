package plain

// The form of what is shown, whatever is typed.

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/library"
)

func TestWrapKeepsTheWordsAndTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-z°µ漢é—]{1,30}|[a-z]{70,200}`)).Draw(t, "words")
		lines := wrap(strings.Join(words, " "))
		for i, line := range lines {
			if columns(line) > Width {
				t.Fatalf("%d columns: %q", columns(line), line)
			}
			if i > 0 && !strings.HasPrefix(line, "  ") {
				t.Fatalf("line %d is not indented: %q", i, line)
			}
		}
		got := strings.Join(strings.Fields(strings.Join(lines, "")), "")
		if got != strings.Join(words, "") {
			t.Fatalf("%q became %q", words, got)
		}
	})
}

func TestSpanIsSaidInWords(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"no time": 0, "1 second": 200 * time.Millisecond, "2 minutes": 2 * time.Minute, "1 minute 1 second": 61 * time.Second,
		"1 hour 30 minutes": 90 * time.Minute, "2 hours 1 second": 2*time.Hour + time.Second,
	} {
		assert.Equal(t, want, span(d))
	}
}

func TestAGateIsAnsweredWithItsOwnWord(t *testing.T) {
	gate, do := &procedures.Step{Kind: procedures.Gate}, &procedures.Step{Kind: procedures.Do}
	for text, want := range map[string]string{
		"The dash is dark.": "dark", "It reads “dead”": "dead", "The answer is yes": "is yes", "Both are OK!": "are ok",
		"No": "no", "At 12 V": "v", "…": "…", "it is done done": "done done",
	} {
		reply, _ := replyTo(gate, text)
		assert.Equal(t, want, reply, text)
	}
	reply, how := replyTo(do, "The dash is dark")
	assert.Equal(t, "true", reply)
	assert.Contains(t, how, "type: true")
}

// Each statement of a shipped gate is answered with a word that none of the routine replies fits, and the statements of
// one gate seldom share theirs.
func TestShippedGatesAskForVariedWords(t *testing.T) {
	for _, p := range library.Procedures() {
		seen, all := map[string]bool{}, map[string]bool{} // what a part asks stands in the whole once for each time it is included
		for i := range p.Steps {
			for _, s := range p.Steps[i].Statements {
				if p.Steps[i].Kind == procedures.Do {
					continue
				}
				reply, how := replyTo(&p.Steps[i], s.Text)
				assert.NotContains(t, routine, reply, s.Text)
				assert.NotContains(t, how, reply+"”")
				seen[reply], all[s.Text] = true, true
			}
		}
		assert.GreaterOrEqual(t, len(seen)*3, len(all)*2, "of three replies two are different at least: %s", p.Name)
	}
}

func TestCommandsAreToldFromValues(t *testing.T) {
	for line, want := range map[string]bool{".help": true, ".Stop 1 2": true, ".5 V": false, "./photo.jpg": false, " .note": false, "": false, ".": false, "12 V": false} {
		_, _, ok := asCommand(line)
		assert.Equal(t, want, ok, line)
	}
}

func TestAListOfNumbersIsAnsweredInItsOwnWords(t *testing.T) {
	i, ok := numbered("1", []string{"2", "1"})
	require.True(t, ok)
	assert.Equal(t, 1, i)
	assert.Equal(t, []string{"Choice: 2", "Choice: 1"}, listed([]string{"2", "1"}))
}

// FuzzLines types anything at all, at every stage of a job, and holds what is shown to plain lines without control
// characters. The job must stay one that can be taken up again.
func FuzzLines(f *testing.F) {
	f.Add(0, "yes\n.help\n.strip\n")
	f.Add(5, "\x1b[2J\x1b]0;x\a\n\u202e\n\xff\xfe\r\n.note \x9b31m\n")
	f.Add(8, ".stop\nall \x1b[1m\n.correct\n1\n"+strings.Repeat("w", 9000)+"\n")
	f.Add(13, ".attach /\x1b[0m\n1\n.close referred \u0085\n.left\n1\n\u2028\nsign referred\n")
	f.Add(21, ".witness\n1\n/dev/null\n.handover\n1\n.takeover\n1\nx\n")
	f.Fuzz(func(t *testing.T, at int, text string) {
		b := newBench(t)
		path := join(briefed, dead, cooled, looked)
		o := practice(t)
		lines := path[:max(0, min(at, len(path)))]
		o.Home, o.Out, o.Clock = b.home, b, b.newClock
		o.In = &andThen{&script{b: b, lines: lines}, strings.NewReader(text)}
		if err := Run(o); err != nil {
			require.ErrorIs(t, err, errNone)
		}
		b.plainLines()
		st, err := b.home.Store()
		require.NoError(t, err)
		jobs, err := st.OpenJobs()
		require.NoError(t, err)
		for _, id := range jobs {
			require.NoError(t, b.run(Options{Resume: id}))
		}
	})
}

// andThen types a script and then raw bytes, which stand nowhere in what was said.
type andThen struct {
	first *script
	then  *strings.Reader
}

func (r *andThen) Read(p []byte) (int, error) {
	if n, err := r.first.Read(p); err == nil {
		return n, nil
	}
	return r.then.Read(p)
}

func TestAnAnswerIsTakenInSmallLettersAndWhereverItsSpacesAre(t *testing.T) {
	list := []string{"B1S1", "B1S2", "heat shield"}
	for line, at := range map[string]int{"B1S2": 1, "b1s2": 1, "b1 s2": 1, "Heat Shield": 2, "2": 1} {
		i, ok := numbered(line, list)
		assert.True(t, ok, line)
		assert.Equal(t, at, i, line)
	}
	for _, line := range []string{"", " ", "B1", "4", "heat"} {
		_, ok := numbered(line, list)
		assert.False(t, ok, line)
	}
	i, ok := numbered("on", []string{"ON", "on"})
	assert.True(t, ok)
	assert.Equal(t, 1, i, "as it is written goes first")
}

package plain

// Every figure that the line mode says is traced to where it comes from, as on the screens.

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/runner/journal"
	"fenderside/runner/record"
	"fenderside/ui/figuretest"
)

// listener hears what is said between one answer and the next, with the journal as it is then.
type listener struct {
	b                         *bench
	r                         *record.Replay
	lines                     []record.Line
	from                      *figuretest.Sources
	before                    *figuretest.Known // what the words since the last answer may still be about
	step                      *procedures.Step  // at which the last answer was given
	figures, tampered, caught int
}

// follow takes over what was written down since.
func (l *listener) follow() bool {
	st, err := l.b.home.Store()
	require.NoError(l.b.t, err)
	jobs, err := st.OpenJobs()
	require.NoError(l.b.t, err)
	if len(jobs) == 0 {
		return false
	}
	data, err := os.ReadFile(filepath.Join(st.JobDir(jobs[0]), "journal.jsonl"))
	require.NoError(l.b.t, err)
	all, err := journal.Read(data)
	require.NoError(l.b.t, err)
	for _, text := range all[len(l.lines):] {
		line, err := record.Decode(text)
		require.NoError(l.b.t, err)
		if l.r == nil {
			l.r, err = record.Start(&record.Binder{}, line)
			require.NoError(l.b.t, err)
			l.from = figuretest.New(l.r.Job)
		} else {
			require.NoError(l.b.t, l.r.Step(line))
		}
		l.lines = append(l.lines, line)
	}
	l.from.Take(l.lines)
	return true
}

// hear traces the figures of what was said.
func (l *listener) hear(said string) {
	if !l.follow() {
		return
	}
	wall, mono := l.b.clock.Now()
	now := runner.Moment{Wall: wall, Mono: mono, Session: l.lines[len(l.lines)-1].Session}
	sc := figuretest.Screen{State: l.r.State, Lines: l.lines, Step: l.r.State.Current(), Now: now}
	known := l.from.Shown(sc)
	known.Says(spoken(l.r.State, now)...)
	sc.Step, l.step = l.step, sc.Step
	came := l.from.Shown(sc) // what came of the answer, at the step that it was given at
	traces := func(f figuretest.Figure) bool {
		return known.Traces(f) || came.Traces(f) || l.before != nil && l.before.Traces(f)
	}
	for _, f := range l.from.Figures(said) {
		l.figures++
		assert.True(l.b.t, traces(f), "“%s”: from where? It was said in\n%s", f, said)
		for _, other := range f.Tampered() {
			l.tampered++
			if !traces(other) {
				l.caught++
			}
		}
	}
	l.before = known
}

// spoken are the counts and the times as the line mode words them.
func spoken(s runner.State, now runner.Moment) []string {
	p := s.Job().Procedure
	read, in := 0, 0
	for _, done := range s.Acknowledged() {
		if done {
			read++
		}
	}
	for _, g := range s.Strip(now) {
		if g.State == runner.InPlace {
			in++
		}
	}
	out := []string{"such as 2031-04-30", fmt.Sprintf("Job %s, number %d", s.Job().Opening.Job, s.Job().Opening.Number),
		fmt.Sprintf("Briefing %d of %d", read+1, len(runner.Briefs(p))), fmt.Sprintf("Safeguards in place now: %d", in),
		fmt.Sprintf("Commands refused in all: %d", s.Refusals()), "On " + now.Wall.Format(time.DateOnly)}
	st := s.Current()
	if st == nil {
		return out
	}
	out = append(out, fmt.Sprintf("Step %d of %d", st.Index+1, p.MainLine()))
	v, _ := s.View(st.ID, now)
	if v.Wait.Timed {
		out = append(out, "at least "+inWords(v.Wait.Least), inWords(v.Wait.Left)+" to go")
	}
	for _, r := range v.Readings {
		if r.Spec.Series {
			out = append(out, fmt.Sprintf("value %d of a series", len(r.Values)+len(r.Refused)+1), "taken in "+inWords(r.Next))
		}
	}
	return out
}

// inWords is a time of less than an hour, as it is spoken.
func inWords(d time.Duration) string {
	var out []string
	for _, part := range []struct {
		n    int
		word string
	}{{int(d.Minutes()), "minute"}, {int(d.Seconds()) % 60, "second"}} {
		switch {
		case part.n == 1:
			out = append(out, "1 "+part.word)
		case part.n > 1:
			out = append(out, fmt.Sprintf("%d %ss", part.n, part.word))
		}
	}
	return strings.Join(out, " ")
}

func TestEveryFigureThatTheLineModeSaysHasASource(t *testing.T) {
	b := newBench(t)
	o := swap(t)
	l, answer := &listener{b: b}, worker(b)
	asks := 0
	o.In = &answers{b, func(asked string) (string, bool) {
		l.hear(asked)
		if asks++; asks%2 == 0 && l.step != nil {
			return ".picture", true // the picture of the step in words, and then the question again
		}
		return answer(asked)
	}}
	require.NoError(t, b.run(o))
	assert.Contains(t, b.dialogue(), "Cylinders from left to right: 4, 3, 2, 1.")
	share := float64(l.caught) / float64(l.tampered)
	t.Logf("%d figures; of %d made wrong in the last digit %.1f %% are caught", l.figures, l.tampered, 100*share)
	assert.Greater(t, l.figures, 500)
	assert.Greater(t, share, 0.94)
}

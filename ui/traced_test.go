package ui

// Every figure that the screens of a job show is traced to where it comes from: the procedure, the card, a person's entry,
// the recorded result of a check, or the clock. Every procedure that ships is gone through, with its pictures.

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/rehearsal"
	"fenderside/runner/session"
	"fenderside/ui/figuretest"
)

// tracer looks at the screens of a job, one after the other.
type tracer struct {
	*rig
	sizes    [][2]int
	from     *figuretest.Sources
	lines    int    // of the journal that were looked at
	asked    string // what the last screen asked
	step     string
	seen     map[string]bool // figures that were tampered with already
	figures  int
	pictures int
	steps    map[string]bool
	tampered int
	caught   int
}

func newTracer(r *rig, sizes ...[2]int) *tracer {
	return &tracer{rig: r, sizes: sizes, seen: map[string]bool{}, steps: map[string]bool{}}
}

// takeUp puts a job in hand as it is now. It says whether there is anything new to look at.
func (tr *tracer) takeUp(s *session.Session) bool {
	if w := tr.m.work; w == nil || w.session != s {
		tr.m.takeUp(s)
		tr.from, tr.lines = figuretest.New(s.Job()), 0
	}
	if len(s.Lines()) == tr.lines {
		return false
	}
	tr.lines = len(s.Lines())
	tr.m.work.take(s.State(), s.Moment(), s.Lines())
	return true
}

// lookRound looks at the screen of the job and at those behind its keys: of what is asked now the reasons, the picture and, at
// the end, the record; of a step the stop-work page; of every fifth the whole job and the entries.
func (tr *tracer) lookRound() {
	tr.from.Take(tr.m.work.lines)
	tr.look("", tr.from.Shown)
	if id := tr.m.work.scene().want.id; id != tr.asked {
		tr.asked = id
		tr.behind(tr.from.AtStep, "f2")
		tr.behind(tr.from.AtStep, "f12")
		if id == "review" {
			tr.behind(tr.from.Whole, "enter")
		}
	}
	if st := tr.m.work.step(); st != nil && st.ID != tr.step {
		tr.step, tr.steps[st.ID] = st.ID, true
		tr.behind(tr.from.AtStep, "f4")
		if len(tr.steps)%5 == 1 {
			tr.behind(tr.from.Whole, "f3")
			tr.behind(tr.from.Whole, "f5")
			tr.behind(tr.from.Whole, "f5", "1", "enter")
		}
	}
}

// behind looks at every page of what the keys show.
func (tr *tracer) behind(known func(figuretest.Screen) *figuretest.Known, keys ...string) {
	tr.key(keys...)
	if tr.m.top() == screen(tr.m.work) {
		return // there is nothing behind it now, which the message says
	}
	if keys[0] == "f12" {
		tr.pictures++
	}
	what := strings.Join(keys, " ")
	tr.look(what, known)
	for text, ok := tr.m.top().(*reader); ok; {
		before := text.at
		if tr.key("pgdown"); text.at == before {
			break
		}
		tr.look(what, known)
	}
	for tr.m.top() != screen(tr.m.work) {
		tr.key("esc")
	}
}

// look traces the figures of the screen, and then tampers with each that it sees for the first time.
func (tr *tracer) look(key string, known func(figuretest.Screen) *figuretest.Known) {
	w := tr.m.work
	k := known(figuretest.Screen{State: w.state, Lines: w.lines, Step: w.step(), Now: w.now})
	for _, size := range tr.sizes {
		tr.m.width, tr.m.height = size[0], size[1]
		shown := tr.m.View()
		for _, f := range tr.from.Figures(shown) {
			tr.figures++
			if !assert.True(tr.t, k.Traces(f), "“%s”, at %q %s: from where?\n%s", f, w.scene().want.id, key, shown) {
				continue
			}
			if at := w.scene().want.id + key + f.In(); !tr.seen[at] {
				tr.seen[at] = true
				tr.tamper(k, f)
			}
		}
	}
}

func (tr *tracer) tamper(k *figuretest.Known, f figuretest.Figure) {
	for _, other := range f.Tampered() {
		tr.tampered++
		if !k.Traces(other) {
			tr.caught++
		}
	}
}

// told says what was looked at, and holds the tracing to catching a figure that is wrong in its last digit.
func (tr *tracer) told(name string) {
	share := float64(tr.caught) / float64(tr.tampered)
	tr.t.Logf("%s: %d figures at %d steps, %d pictures; of %d figures made wrong in the last digit %.1f %% are caught",
		name, tr.figures, len(tr.steps), tr.pictures, tr.tampered, 100*share)
	assert.Greater(tr.t, share, 0.94)
}

// rehearsed are the scripts that ship, and those of the procedures that others include, by name.
func rehearsed(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, s := range library.Scripts() {
		out[s.Name] = s.Text
	}
	files, err := fs.Glob(os.DirFS("testdata/rehearsed"), "*.yaml")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile("testdata/rehearsed/" + f)
		require.NoError(t, err)
		out[strings.TrimSuffix(f, ".yaml")] = text
	}
	return out
}

// play goes through a script and looks round after each line of its journal, until the job is closed.
func (tr *tracer) play(name string, text []byte) {
	tr.t.Helper()
	var j *rehearsal.Journey
	look := func(runner.Moment, string) {
		if j != nil && j.Session().State().Phase() != runner.Closed && tr.takeUp(j.Session()) {
			tr.lookRound()
		}
	}
	j, err := rehearsal.Begin(rehearsal.Options{Script: text, ScriptName: name + ".yaml", Files: library.ScriptFiles(), Out: tr.t.TempDir(), Program: "test", Tell: look})
	require.NoError(tr.t, err)
	for more := true; more; {
		more, err = j.Next()
		require.NoError(tr.t, err)
	}
}

// The scripts that take long, and those whose screens are looked at in every size that the screens are held to.
var (
	longScripts = []string{"oxygen-sensor-rear", "prove-the-fault-sides", "swap-sides", "sensor-swap-heated", "sensor-swap-leak", "sensor-swap-plain", "thread-repair-insert", "wheel-refit-corrected"}
	inEverySize = []string{"sensor-swap-plain", "exhaust-cooling", "prove-the-repair"}
)

func TestEveryFigureOfEveryProcedureComesFromTheProcedureTheCardAPersonACheckOrTheClock(t *testing.T) {
	scripts := rehearsed(t)
	var gone []string
	for name, text := range scripts {
		s, err := rehearsal.Parse(name, text)
		require.NoError(t, err)
		gone = append(gone, s.Procedure)
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if testing.Short() && slices.Contains(longScripts, name) {
				t.Skip("long")
			}
			at := [][2]int{{120, 30}}
			if slices.Contains(inEverySize, name) {
				at = sizes
			}
			tr := newTracer(newRig(t), at...)
			tr.play(name, text)
			tr.told(name)
		})
	}
	for _, p := range library.Procedures() {
		assert.Contains(t, gone, p.Name)
	}
}

// entered is what is typed on the screens of the table, and the choices that they number.
var entered = []string{"0.3", "TW-3", "Tighten the front left wheel again at 148 310 km", "1 " + bryn, "1 Referred", "2 Abandoned"}

// traced holds a screen of a job to the same, in every size.
func (r *rig) traced() *rig {
	if r.m.work == nil {
		return r
	}
	tr := newTracer(r, sizes...)
	tr.from = figuretest.New(r.m.work.job)
	tr.from.Take(r.m.work.lines)
	tr.from.Breaks(r.paths()...)
	tr.look("", func(sc figuretest.Screen) *figuretest.Known {
		k := tr.from.Whole(sc)
		k.Says(entered...)
		return k
	})
	r.m.width, r.m.height = 80, 24
	return r
}

// paths are those that the screens of a job name.
func (r *rig) paths() []string {
	w := r.m.work
	out := []string{filepath.Join(r.root, "no such log.csv"), r.key2}
	if w.finished == nil {
		return append(out, w.session.JournalPath())
	}
	return append(out, w.finished.Record, w.finished.Tag, w.finished.VerifyLine())
}

// The job sheet, line by line and whole: its figures are the procedure's, the card's or typed.
func TestEveryFigureOnAJobSheetHasASource(t *testing.T) {
	typed := map[string]string{"touch_limit": "43 °C", "torque_low": "41 N·m", "torque_high": "59 N·m", "told": "P0141", "mileage": "96 400 km", "position": "B1S2",
		"code_before": "P0141", "trace_time": "time", "trace_column": "B1S2", "front_column": "B1S1", "rear_column": "B1S2", "bank": "bank 1"}
	figures, tampered, caught := 0, 0, 0
	cards := append(library.Cards(), nil)
	if testing.Short() {
		cards = cards[:1]
	}
	for _, p := range library.Procedures() {
		for _, c := range cards {
			r := newRig(t)
			r.m.chooseMode(p, c, true, "")
			s, ok := r.m.top().(*sheet)
			require.True(t, ok)
			words := []string{}
			for i, f := range p.Sheet {
				if f.Card == "" {
					s.typed[i] = typedLine(typed[f.ID])
					words = append(words, typed[f.ID])
				}
			}
			s.resolve()
			known := figuretest.Sheet(p, c, words...)
			for _, made := range s.proposed {
				known.Says(append(made.Workings, made.Because, made.Value)...)
			}
			for s.at = range len(p.Sheet) + 1 {
				at := sizes[s.at%len(sizes):][:1]
				if s.at == len(p.Sheet) { // where the whole sheet is looked at once more
					at = sizes
				}
				for _, size := range at {
					r.m.width, r.m.height = size[0], size[1]
					shown := r.m.View()
					for _, f := range figuretest.Of(shown) {
						figures++
						assert.True(t, known.Traces(f), "“%s”, on the sheet of %s: from where?\n%s", f, p.Name, shown)
						for _, other := range f.Tampered() {
							tampered++
							if !known.Traces(other) {
								caught++
							}
						}
					}
				}
			}
		}
	}
	share := float64(caught) / float64(tampered)
	t.Logf("%d figures; of %d made wrong in the last digit %.1f %% are caught", figures, tampered, 100*share)
	assert.Greater(t, figures, 3000)
	assert.Greater(t, share, 0.9)
}

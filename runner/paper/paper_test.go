package paper_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/home"
	"fenderside/runner/paper"
	"fenderside/runner/record"
	"fenderside/runner/session"
	"fenderside/runner/session/sessiontest"
	"fenderside/runner/store"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, lines []string) {
	file, text := filepath.Join("testdata", name+".golden"), strings.Join(lines, "\n")+"\n"
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(kept), text)
}

func parse(t testing.TB, file string) *procedures.Procedure {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := procedures.Parse(file, text)
	require.NoError(t, err)
	return p
}

func samples(t testing.TB) []*procedures.Procedure {
	return append(library.Procedures(), parse(t, "../../procedures/testdata/oven-element.yaml"), parse(t, "../../procedures/drawing/testdata/strange.yaml"))
}

// half is a job that was broken off in the wait, after a reading that was refused.
func half(t *testing.T) (*store.Store, *session.Session, *sessiontest.Clock) {
	clock := sessiontest.NewClock()
	st, s := sessiontest.Start(t, t.TempDir(), clock, runner.Practice, sessiontest.Person("asha"))
	sessiontest.Brief(t, s)
	sessiontest.Unplug(t, s)
	clock.Pass(time.Minute)
	_, err := s.Do(runner.Read{Step: "let-cool", Reading: "cavity", Value: "52 °C"})
	require.NoError(t, err)
	sessiontest.Cool(t, s)
	sessiontest.Do(t, s, runner.StartWait{Step: "wait-dark"})
	return st, s, clock
}

func form(t *testing.T, st *store.Store, s *session.Session) []string {
	replay, err := home.Replayed(st, s.Job().Opening.Job)
	require.NoError(t, err)
	lines := paper.Of(replay.State).Lines()
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], s.Job().Opening.Job, "00000000-0001")
	}
	return lines
}

func TestTheFormIsAsKept(t *testing.T) {
	p, err := procedures.Parse("oven-lamp.yaml", []byte(sessiontest.Oven()))
	require.NoError(t, err)
	golden(t, "blank", paper.Blank(p).Lines())
	st, s, _ := half(t)
	golden(t, "half-done", form(t, st, s))
	sessiontest.Do(t, s, runner.StopWork{Safeguards: []string{"unplugged"}, Note: "plug back in"})
	golden(t, "stopped", form(t, st, s))
}

// The job may be open in a program that still runs: the form is printed all the same, and the journal stays as it is.
func TestALineOfTheSheetSaysWhatItIsProposedByAndWhereItHoldsSomethingElse(t *testing.T) {
	p, ok := library.Procedure("catalyst-check")
	require.True(t, ok)
	blank := strings.Join(strings.Fields(strings.Join(paper.Blank(p).Lines(), " ")), " ")
	assert.Contains(t, blank, "To help: What a trouble code says (trouble-code), from code “Trouble code or words that named the catalyst”.")
	// SAE J2012 (read at second hand): P0420 is the catalyst of bank 1.
	for bank, noted := range map[string]bool{"bank 1": false, "bank 2": true} {
		clock, asha := sessiontest.NewClock(), sessiontest.Person("asha")
		names := sessiontest.RosterOf(asha)
		st, err := store.Open(t.TempDir())
		require.NoError(t, err)
		o := runner.Opening{Program: "test", Mode: runner.Practice, Performer: asha.Person, Roster: runner.Document{Name: "roster", Digest: record.Digest([]byte(names)), Text: names}}
		for _, e := range [][2]string{{"vehicle", "MCM 9"}, {"told", "P0420"}, {"bank", bank}, {"rear_column", "B1S2"}, {"figures_from", "invented"}} {
			o.Sheet = append(o.Sheet, runner.Entry{ID: e[0], Value: e[1], From: procedures.FromTyping})
		}
		o.Procedure, o.Included = runner.Documents(p)
		s, err := session.Start(st, o, clock)
		require.NoError(t, err)
		text := strings.Join(strings.Fields(strings.Join(form(t, st, s), " ")), " ")
		require.NoError(t, s.Close())
		assert.Equal(t, noted, strings.Contains(text, "Bank of the catalyst: "+bank+" NOTE: the lines above lead to bank 1 (P0420: bank 1: "), text)
		assert.Equal(t, noted, strings.Contains(text, "Find out which is right."))
	}
}

func TestPrintingAJobChangesNothing(t *testing.T) {
	st, s, _ := half(t)
	path := filepath.Join(st.JobDir(s.Job().Opening.Job), store.JournalFile)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	first := form(t, st, s)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
	assert.Equal(t, first, form(t, st, s))
	sessiontest.Do(t, s, runner.Note{Text: "the session goes on"})
}

func TestALineThatIsNotWholeIsLeftOutAndADamagedJournalGivesNoForm(t *testing.T) {
	st, s, _ := half(t)
	want := form(t, st, s)
	id := s.Job().Opening.Job
	path := filepath.Join(st.JobDir(id), store.JournalFile)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(append([]byte{}, sound...), `{"seq":99,"at":"20`...), 0o600))
	assert.Equal(t, want, form(t, st, s))
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(sound), "41 °C", "31 °C", 1)), 0o600))
	_, err = home.Replayed(st, id)
	require.ErrorContains(t, err, id)
	_, err = home.Replayed(st, "0000-0009")
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestABlankFormTicksNothing(t *testing.T) {
	for _, p := range samples(t) {
		assert.NotContains(t, strings.Join(paper.Blank(p).Lines(), "\n"), "[x]", p.Name)
	}
}

// section is the lines under a title.
func section(t *testing.T, lines []string, title string) []string {
	for i, l := range lines {
		if strings.HasPrefix(l, title) {
			rest := lines[i+2:]
			for k, l := range rest {
				if l == "" {
					return rest[:k]
				}
			}
			return rest
		}
	}
	require.Fail(t, "no such section", title)
	return nil
}

func TestEverySafeguardIsToBeLookedAtAgainHoweverItStood(t *testing.T) {
	st, s, clock := half(t)
	states := []func(){
		func() {},
		func() { sessiontest.Do(t, s, runner.Pause{Reason: "lunch"}) },
		func() { sessiontest.Do(t, s, runner.Resume{}) },
		func() { sessiontest.Unplug(t, s); clock.Pass(time.Minute) },
	}
	for _, next := range states {
		next()
		rows := section(t, form(t, st, s), "SAFEGUARDS")
		boxes := 0
		for _, l := range rows {
			assert.NotContains(t, l, "[x]")
			boxes += strings.Count(l, "[ ]")
		}
		assert.Equal(t, len(s.Job().Procedure.Safeguards), boxes)
	}
}

func TestNoLineIsWiderThanThePage(t *testing.T) {
	st, s, _ := half(t)
	replay, err := home.Replayed(st, s.Job().Opening.Job)
	require.NoError(t, err)
	forms := []paper.Form{paper.Of(replay.State)}
	for _, p := range samples(t) {
		forms = append(forms, paper.Blank(p))
	}
	for _, f := range forms {
		for _, l := range f.Lines() {
			require.LessOrEqual(t, ansi.StringWidth(l), paper.Width, l)
		}
	}
}

func TestEveryPageHasItsHeadAndNothingIsLostBetweenPages(t *testing.T) {
	for _, p := range samples(t) {
		f := paper.Blank(p)
		rapid.Check(t, func(t *rapid.T) {
			length := rapid.IntRange(30, 120).Draw(t, "length")
			var body []string
			for _, page := range f.Pages(length) {
				require.LessOrEqual(t, len(page), length)
				require.Equal(t, f.Head, page[1:1+len(f.Head)])
				require.Contains(t, strings.Join(f.Head, " "), p.Name)
				body = append(body, page[3+len(f.Head):]...)
			}
			require.Equal(t, strings.Join(f.Lines()[2+len(f.Head):], "\n"), strings.Join(body, "\n"))
		})
	}
}

// A step is not torn apart where a page ends, unless it is longer than a page.
func TestABlockThatFitsStandsOnOnePage(t *testing.T) {
	for _, p := range samples(t) {
		f := paper.Blank(p)
		for _, length := range []int{45, 60, 66} {
			var pages []string
			for _, page := range f.Pages(length) {
				pages = append(pages, strings.Join(page, "\n"))
			}
			for _, b := range f.Blocks {
				if len(b)+1 > length-len(f.Head)-3 {
					continue
				}
				on := 0
				for _, page := range pages {
					on += min(1, strings.Count(page, strings.Join(b, "\n")))
				}
				assert.Equal(t, 1, on, "%s, pages of %d: %s", p.Name, length, b[0])
			}
		}
	}
}

// A warning is read on the same page as its step, and before it.
func TestAWarningStandsImmediatelyBeforeItsStep(t *testing.T) {
	for _, p := range samples(t) {
		for _, page := range paper.Blank(p).Pages(66) {
			inWarning := false
			for _, l := range page {
				switch {
				case strings.HasPrefix(l, "  !"):
					inWarning = true
				case inWarning:
					require.Regexp(t, `^\[ \] +P?[0-9]+\. `, l, "after a warning")
					inWarning = false
				}
			}
			require.False(t, inWarning, "a page ends in a warning")
		}
	}
}

func TestEveryStepAndWhatItAsksIsOnTheForm(t *testing.T) {
	flat := func(lines ...string) string { return strings.Join(strings.Fields(strings.Join(lines, " ")), " ") }
	for _, p := range library.Procedures() {
		text := flat(paper.Blank(p).Lines()...)
		has := func(step, want string) {
			assert.True(t, strings.Contains(text, flat(want)), "%s: %q is not on the form", step, want)
		}
		for _, st := range p.Steps {
			has(st.ID, st.Title)
			has(st.ID, st.Why)
			for _, how := range st.How {
				has(st.ID, "- "+how)
			}
			for _, id := range st.Shows {
				title := ""
				if f, ok := p.FieldByID(id); ok {
					title = f.Title
				}
				has(st.ID, "Go by: "+title)
			}
			for _, s := range st.Statements {
				has(st.ID, "[ ] "+s.Text)
			}
			for _, r := range st.Readings {
				has(st.ID, "* "+r.Title)
			}
			for _, w := range st.Warnings {
				has(st.ID, string(w.Word)+": ")
			}
		}
	}
}

package ui

// The rule of this file: the first thing that the step still waits for is what is asked. A time to wait comes before the
// statements, for what is said of a wait is true only after it.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"

	"fenderside/checks"
	"fenderside/procedures"
	"fenderside/procedures/plaintext"
	"fenderside/runner"
	"fenderside/ui/picture"
	"fenderside/ui/reading"
)

// stepScene is the step at hand.
func (w *work) stepScene() scene {
	v, _ := w.view()
	sc := scene{
		banner: w.banner(v), warnings: v.Step.Warnings, action: v.Step.Title, how: v.Step.How,
		shown: reading.Shown(v), want: w.wantOf(v), given: w.given(v), track: true,
	}
	if sc.want.compared {
		sc.shown = nil // what is looked at with the eyes has the room
	}
	sc.found, sc.worked = found(v, sc.want.told)
	if v.Wait.Timed && v.Wait.Started && v.Wait.Left > 0 {
		sc.clock, sc.passed, sc.whole = span(v.Wait.Left), v.Wait.For, v.Wait.Least
	}
	if v.Step.Wait != nil && !v.Wait.Started && !strings.HasPrefix(sc.want.id, "start ") {
		sc.keys = []hint{{"F8", "start time"}}
	}
	if v.Step.Optional {
		sc.keys = append(sc.keys, hint{"F10", "pass over"})
	}
	if s, ok := picture.OfStep(w.state, v.Step.ID, w.now); ok {
		sc.picture = &s
	}
	return sc
}

// banner says why the job is at this step where that is not its place in the procedure.
func (w *work) banner(v runner.StepView) []string {
	s := w.state
	switch {
	case w.focus != "":
		return []string{"BESIDE THE JOB. F9 goes back to it."}
	case s.Handover() != nil:
		return []string{fmt.Sprintf("HANDOVER: %s secures again what fell.", plaintext.Show(s.Handover().To.Name))}
	case s.Phase() == runner.Closing:
		return []string{fmt.Sprintf("CLOSING as %s: %s still to make safe.", s.Outcome(), counted(len(s.Due()), "step"))}
	case len(s.HeldBy()) > 0 && s.Cursor() != nil:
		what, _ := w.job.Text(s.HeldBy()[0])
		return []string{fmt.Sprintf("HELD before “%s”: %s.", s.Cursor().Title, what)}
	case v.Step.Optional:
		return []string{"OPTIONAL. F10 passes over it, with a reason."}
	case v.Step.Repeat != nil && v.Rounds > 1:
		return []string{fmt.Sprintf("Time %d of at most %d, until %s.", v.Rounds, v.Step.Repeat.AtMost, v.Step.Repeat.Until)}
	}
	return nil
}

// counted is a number of things, in words that fit one as well as several.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// askOrder is the order in which what a step waits for is asked; the core lists statements before waits.
func askOrder(wants []runner.Reason) []runner.Reason {
	later := func(r runner.Reason) int {
		switch r.Code {
		case runner.WaitNotStarted, runner.WaitMissed:
			return 0
		case runner.WaitRunning:
			return 2
		case runner.StatementMissing:
			return 3
		case runner.WitnessMissing, runner.AnswerMissing:
			return 4
		}
		return 1
	}
	out := slices.Clone(wants)
	waits := slices.ContainsFunc(wants, func(r runner.Reason) bool {
		return r.Code == runner.WaitNotStarted || r.Code == runner.WaitMissed || r.Code == runner.WaitRunning
	})
	if waits {
		slices.SortStableFunc(out, func(a, b runner.Reason) int { return later(a) - later(b) })
	}
	return out
}

// wantOf is what the step asks next.
func (w *work) wantOf(v runner.StepView) want {
	if len(v.Wants) == 0 {
		title := "Nothing more is asked here."
		if v.Step.Secures >= 0 {
			title = "Completing this gate puts in place: " + w.job.Procedure.Safeguards[v.Step.Secures].Title
		}
		return want{id: "finish " + v.Step.ID, title: title, notes: another(v), enter: "completes the step",
			act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.Finish{Step: v.Step.ID}, nil) }}
	}
	r := askOrder(v.Wants)[0]
	switch r.Code {
	case runner.WayMissing:
		return w.wayWant(v)
	case runner.StatementMissing:
		return w.statementWant(v, r)
	case runner.ReadingMissing, runner.ReadingRefused:
		return w.readingWant(v, r.Item)
	case runner.CheckWantsMore, runner.CheckNotPassed:
		if id := seriesOf(v, r.Item); id != "" {
			return w.readingWant(v, id)
		}
	case runner.EvidenceMissing:
		return w.evidenceWant(v, r.Item)
	case runner.CheckWantsFile, runner.FileMissing:
		if id := reading.FileFor(v, r.Item); id != "" {
			return w.evidenceWant(v, id)
		}
		return w.fileWant(v, r)
	case runner.WaitNotStarted, runner.WaitMissed:
		return w.startWant(v, r)
	case runner.WaitRunning:
		return w.waitingWant(v, r)
	case runner.WitnessMissing:
		return want{id: "witness", title: "A second person looks at this step and signs for it with their own key.", enter: "opens the witness's page",
			act: func(m *model, _ string, _ int) tea.Cmd { return m.witness(v.Step.ID) }}
	case runner.AnswerMissing:
		return w.answerWant(v)
	}
	what, next := w.job.Text(r)
	return want{id: string(r.Code) + r.Item, title: sentence(what), notes: []string{sentence(next)}, enter: sentence(what) + " " + sentence(next)}
}

// another says that a file can still be exchanged, where a check could not judge the one that the step was given.
func another(v runner.StepView) []string {
	for _, c := range v.Checks {
		if c.Ran && c.Verdict == checks.More && reading.FileFor(v, c.Use.Name) != "" {
			return []string{"F7 attaches another file in place of the one that cannot be judged."}
		}
	}
	return nil
}

func (w *work) wayWant(v runner.StepView) want {
	ask := want{id: "way " + v.Step.ID, title: "How is it done?", enter: "takes this way"}
	for _, way := range v.Step.Ways {
		ask.choices = append(ask.choices, way.Say)
	}
	ask.act = func(m *model, _ string, i int) tea.Cmd {
		return m.do(runner.Choose{Step: v.Step.ID, Way: v.Step.Ways[i].ID}, accepted)
	}
	return ask
}

func (w *work) statementWant(v runner.StepView, r runner.Reason) want {
	index, _ := strconv.Atoi(r.Detail)
	place, text := 0, ""
	var row []string
	for i, s := range v.Statements {
		row = append(row, s.Text)
		if s.Index == index {
			place, text = i+1, s.Text
		}
	}
	figure := ""
	if v.Step.Kind != procedures.Do {
		figure = figureFor(v.Step.ID, index, w.job.Opening.Number, v.Rounds)
	}
	return want{id: "affirm " + v.Step.ID + r.Detail, title: text, row: row, enter: "it is so", figure: figure,
		before: "Look first.", hint: fmt.Sprintf("Statement %d of %d.", place, len(v.Statements)),
		act: func(m *model, _ string, _ int) tea.Cmd {
			return m.do(runner.Affirm{Step: v.Step.ID, Statement: index}, nil)
		}}
}

// figureFor is the figure that affirms a statement of a gate. It differs from one statement to the next, from one job of a
// store to the next and each time the step is begun anew, so that no habit of the hand affirms them: attention to a prompt
// drops at the second one that looks the same (Anderson and others, CHI 2015).
func figureFor(step string, statement, job, round int) string {
	sum := 4*statement + 7*job + 5*round
	for _, c := range []byte(step) {
		sum += int(c)
	}
	return strconv.Itoa(1 + sum%9)
}

func (w *work) startWant(v runner.StepView, r runner.Reason) want {
	ask := want{id: "start " + v.Step.ID, title: waitTitle(v.Step), enter: "starts the time",
		act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.StartWait{Step: v.Step.ID}, nil) }}
	if r.Code == runner.WaitMissed {
		ask.title = sentence("The time is over: " + v.Step.Wait.IfMissed)
		ask.enter = "starts the time again"
	}
	if v.Wait.Least > 0 {
		ask.notes = append(ask.notes, "At least "+runner.InWords(v.Wait.Least)+".")
	}
	if v.Wait.Most > 0 {
		ask.notes = append(ask.notes, "At most "+runner.InWords(v.Wait.Most)+".")
	}
	if ask.title == "" && len(ask.notes) > 0 {
		ask.title, ask.notes = ask.notes[0], ask.notes[1:]
	}
	return ask
}

// waitTitle is what is waited for, or nothing where the step says just that.
func waitTitle(st *procedures.Step) string {
	title := "Wait for " + strings.TrimPrefix(st.Wait.Title, "for ")
	if title == st.Title {
		return ""
	}
	return title
}

// waitingWant is a time that runs: nothing answers it but its end.
func (w *work) waitingWant(v runner.StepView, r runner.Reason) want {
	what, next := w.job.Text(r)
	ask := want{id: "waiting " + v.Step.ID, title: "The time runs.", notes: []string{"Time counts only while this program runs."}, enter: sentence(what) + " " + sentence(next)}
	if v.Step.Wait != nil && waitTitle(v.Step) != "" {
		ask.title = waitTitle(v.Step)
	}
	return ask
}

func (w *work) answerWant(v runner.StepView) want {
	ask := want{id: "answer " + v.Step.ID, title: v.Step.Ask.Question, enter: "gives the answer"}
	for _, a := range v.Step.Ask.Answers {
		say := a.Say
		if a.Then.End == procedures.Referred || a.Then.End == procedures.Abandoned {
			say += " (the job ends as " + string(a.Then.End) + ")"
		}
		ask.choices = append(ask.choices, say)
	}
	ask.act = func(m *model, _ string, i int) tea.Cmd {
		return m.do(runner.Answer{Step: v.Step.ID, Say: v.Step.Ask.Answers[i].Say}, accepted)
	}
	return ask
}

func (w *work) evidenceWant(v runner.StepView, item string) want {
	title := item
	for _, e := range v.Evidence {
		if e.Spec.ID == item {
			title = e.Spec.Title
		}
	}
	return want{id: "attach " + item, title: title, typed: true, notes: []string{"Type the path of the photo or file, or drop it here."},
		enter: "attaches it", act: func(m *model, path string, _ int) tea.Cmd { return m.attach(v.Step.ID, item, path) }}
}

// fileWant waits for a file of an earlier step to be put back; the step is then completed as any other.
func (w *work) fileWant(v runner.StepView, r runner.Reason) want {
	r.Detail = sentence(reading.Because(r.Item, r.Detail))
	what, next := w.job.Text(r)
	notes := []string{sentence(next)}
	if r.Code == runner.CheckWantsFile {
		notes = append(notes, "The file is of an earlier step: go back to it with F5, by correcting what led on from there.")
	}
	return want{id: string(r.Code) + r.Item, title: sentence(what), notes: notes, enter: "looks for it again", told: []string{r.Item},
		act: func(m *model, _ string, _ int) tea.Cmd { return m.do(runner.Finish{Step: v.Step.ID}, nil) }}
}

// sentence makes a sentence of words that begin small and have no full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	first, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[n:]
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

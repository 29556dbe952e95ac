//go:build unix

package wholejob

// The hand reads the screen and the state of the job, and gives the one answer that a person would. Every decision is made
// from one screen at rest, with the state that was on disk before and after it: where the two do not belong together yet, the
// hand looks again.

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/runner"
	"fenderside/ui/terminaltest"
)

const (
	// pace is the least time between two entries of somebody who looks before they speak. The audit remarks on long runs of
	// entries that are quicker.
	pace = 1050 * time.Millisecond

	// beat is the least time between two other keys.
	beat = 300 * time.Millisecond

	// mostKeys is more keys than any step takes without an entry: the pages of a record are turned before it is signed.
	mostKeys = 200
)

type hand struct {
	t *testing.T
	*terminaltest.Terminal
	*journal
	book      book
	tried     map[string]bool // the gates at which every key was tried
	last      time.Time       // of the last key
	followUps [][2]string     // what is still to be written down before the record is signed, and by when
	idle      int             // keys since the last entry
}

// look is one screen at rest and the state that belongs to it.
type look struct {
	state  runner.State
	length int // of the journal
	screen string
	shown  string // the screen as words
}

func (l look) shows(words string) bool { return strings.Contains(l.shown, words) }

// looks reads the screen and the journal; open is false once the job has moved to the records.
func (h *hand) looks() (l look, open bool) {
	for range 100 {
		before := h.length()
		screen := h.Settled()
		if !h.grow() {
			return look{}, false
		}
		if len(h.lines) == before {
			return look{h.replay.State, before, screen, h.flat(screen)}, true
		}
	}
	require.Fail(h.t, "the journal does not come to rest", h.Screen())
	return look{}, false
}

// work goes on until the job has moved to the records. First may do something else than what the screen asks for; it reports
// whether it did.
func (h *hand) work(first func(look) bool) {
	unknown := time.Now()
	for at := -1; ; {
		l, open := h.looks()
		if !open {
			return
		}
		if l.length != at {
			at, h.idle, unknown = l.length, 0, time.Now()
		}
		if first != nil && first(l) || h.once(l) {
			unknown = time.Now()
			h.idle++
			require.Less(h.t, h.idle, mostKeys, "the job does not go on; the screen shows:\n%s", l.screen)
			continue
		}
		if time.Since(unknown) > terminaltest.Patience {
			require.Failf(h.t, "no answer known", "at %s; the screen shows:\n%s", wanted(l.state), l.screen)
		}
	}
}

// wanted is what the open step waits for, for a failure.
func wanted(s runner.State) string {
	step := s.Current()
	if step == nil {
		return "nothing"
	}
	return fmt.Sprintf("%s: %v", step.ID, s.Wants(step.ID, s.Last()))
}

// once does the next thing that the screen asks for. It reports false where the screen and the state do not belong together.
func (h *hand) once(l look) bool {
	step := l.state.Current()
	switch m := figure.FindStringSubmatch(l.shown); {
	case l.shows("WINDOW TOO SMALL"):
		require.Fail(h.t, "a step cannot be worked in this window", l.screen)
	case l.shows("Enter turns the page"), l.shows("HELD AT A GATE"):
		h.turn(l)
	case l.shows("Time counts only while this program runs"):
		h.Until("the time is over", func() bool { return !strings.Contains(h.flat(h.Screen()), "Time counts only while") })
	case l.state.Phase() == runner.Briefing, l.state.Hold() != nil, l.shows("Enter it is so"):
		h.entry(l, pace, "Enter")
	case l.shows("Enter starts the time"):
		h.entry(l, beat, "Enter")
	case l.shows("Enter completes the step"):
		if step == nil || !h.optional(l, step) {
			h.entry(l, beat, "Enter")
		}
	case l.state.ReadyToSeal() || step == nil:
		h.end(l)
	case m != nil:
		h.entry(l, pace, m[1])
	case step.Optional:
		h.passOver(l)
	default:
		return h.meets(l, step)
	}
	return true
}

// meets gives the first thing that the step waits for and the screen asks for.
func (h *hand) meets(l look, step *procedures.Step) bool {
	v := view(l, step)
	for _, want := range v.Wants {
		if h.meet(l, v, want) {
			return true
		}
	}
	return false
}

func (h *hand) meet(l look, view runner.StepView, want runner.Reason) bool {
	step := view.Step
	switch want.Code {
	case runner.WayMissing:
		return l.shows("How is it done?") && h.way(l, step)
	case runner.AnswerMissing:
		return l.shows(step.Ask.Question) && h.reply(l, step)
	case runner.ReadingMissing, runner.ReadingRefused:
		for _, r := range view.Readings {
			if r.Spec.ID == want.Item {
				return h.read(l, r)
			}
		}
	case runner.CheckWantsMore, runner.CheckNotPassed:
		for _, r := range view.Readings {
			if r.Spec.Series && h.read(l, r) {
				return true
			}
		}
	}
	return h.attach(l, view)
}

// way chooses how a step is done.
func (h *hand) way(l look, step *procedures.Step) bool {
	says := make([]string, len(step.Ways))
	for i, w := range step.Ways {
		says[i] = w.Say
	}
	answer := h.answer(l, step.ID, 0)
	for _, w := range step.Ways {
		if w.ID == answer {
			answer = w.Say
		}
	}
	return h.choose(l, beat, says, answer)
}

// reply answers the question of a step.
func (h *hand) reply(l look, step *procedures.Step) bool {
	var says []string
	for _, a := range step.Ask.Answers {
		says = append(says, a.Say)
	}
	return h.choose(l, beat, says, h.answer(l, step.ID, view(l, step).Rounds-1))
}

// view is the open step as the state has it.
func view(l look, step *procedures.Step) runner.StepView {
	v, _ := l.state.View(step.ID, l.state.Last())
	return v
}

// read takes a reading that the screen asks for, after the instrument it is taken with.
func (h *hand) read(l look, r runner.ReadingView) bool {
	if r.Spec.Instrument >= 0 {
		in := l.state.Job().Procedure.Instruments[r.Spec.Instrument]
		if _, named := l.state.InstrumentOf(in.ID); !named {
			return l.shows("Which one is in your hand? "+in.Title) && h.name(l, in)
		}
	}
	if !l.shows(r.Spec.Title) {
		return false
	}
	n := len(r.Values) + len(r.Refused)
	if !r.Spec.Series {
		n += view(l, l.state.Current()).Rounds - 1
	}
	given := h.answer(l, r.Spec.ID, n)
	require.Less(h.t, len(r.Refused), len(h.book.of(r.Spec.ID)), "%s is refused; the screen shows:\n%s", r.Spec.ID, l.screen)
	if r.Spec.Kind == procedures.TakesChoice {
		return h.choose(l, pace, r.Spec.Choose, given)
	}
	if l.shows("The next value in ") {
		h.Until("the next value may be taken", func() bool { return strings.Contains(h.flat(h.Screen()), "can be taken now") })
	}
	h.entry(l, pace, "text:"+given, "Enter")
	return true
}

// attach gives the file that the screen asks for, by its path.
func (h *hand) attach(l look, view runner.StepView) bool {
	for _, e := range view.Evidence {
		if e.File == nil && !e.Spec.Optional && l.shows(e.Spec.Title) && l.shows("Type the path of the photo or file") {
			h.entry(l, beat, "text:"+h.answer(l, e.Spec.ID, 0), "Enter")
			return true
		}
	}
	return false
}

// answer is what the book has for an id the nth time it is asked for; the last answer stands for all that follow.
func (h *hand) answer(l look, id string, n int) string {
	all := h.book.of(id)
	require.NotEmpty(h.t, all, "the book has no answer for %s; the screen shows:\n%s", id, l.screen)
	return filled(all[min(max(0, n), len(all)-1)], l.state.Sheet())
}

// choose presses the number that stands before an answer, then Enter. It does not where the screen does not show them yet.
func (h *hand) choose(l look, after time.Duration, all []string, answer string) bool {
	i := numberOf(all, answer)
	require.GreaterOrEqual(h.t, i, 0, "%q is none of the answers %q, or begins several", answer, all)
	number := fmt.Sprint(i + 1)
	if !l.shows(number + " " + all[i]) {
		return false
	}
	h.entry(l, after, number, "Enter")
	return true
}

// numberOf is where an answer stands among all, from 0, or -1. The words that only one of them begins with are enough.
func numberOf(all []string, answer string) int {
	if i := slices.Index(all, answer); i >= 0 {
		return i
	}
	found := -1
	for i, a := range all {
		if strings.HasPrefix(a, answer) && found >= 0 {
			return -1
		} else if strings.HasPrefix(a, answer) {
			found = i
		}
	}
	return found
}

// entry makes an entry, no sooner after the last than it takes to look, and waits until it is on disk and the screen has gone
// on. Where the program asked for the key again, there is none: then the hand looks again.
func (h *hand) entry(l look, after time.Duration, keys ...string) {
	h.keys(l.screen, after, keys...)
	if h.Within(10*time.Second, func() bool { return h.length() != l.length || !h.grow() }) {
		h.last = time.Now()
	}
}

// keys presses keys, and waits until each that is not the last is seen on the screen.
func (h *hand) keys(screen string, after time.Duration, keys ...string) {
	time.Sleep(time.Until(h.last.Add(after)))
	for i, k := range keys {
		if i > 0 {
			h.Changes(screen)
			screen = h.Settled()
		}
		if text, ok := strings.CutPrefix(k, "text:"); ok {
			h.Press("C-u")
			h.Typed(text)
			continue
		}
		h.Press(k)
	}
	h.last = time.Now()
	h.Changes(screen)
}

// turn presses Enter where no entry follows from it.
func (h *hand) turn(l look) { h.keys(l.screen, beat, "Enter") }

package plain

// The sensor swap of the library, worked in the line mode by a person who reads each prompt, and attacked by one who does
// not.

import (
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
)

func swap(t *testing.T) Options {
	p, ok := library.Procedure("sensor-swap")
	require.True(t, ok)
	card, ok := library.Card("millbrook-four")
	require.True(t, ok)
	return Options{Start: &Start{Procedure: p, Card: card}}
}

// told are answers by a part of what is asked.
var told = [][2]string{
	{"type: open", "open"}, {"Sensor to replace.", "B1S1"}, {"type: read", "read"},
	{"type: start", "start"}, {"type: done", "done"}, {"type: sign complete", "sign complete"}, {"type: resume", "resume"},
	{"Its calibration", "2031-12-31"}, {"calibration due?", "2031-12-31"}, {"in your hand: type", "MM-7"},
	{"A photo is kept with this job", "2"}, {"What is on the threads now", "the maker's coating alone"}, {"How the socket sits", "2"},
	{"Meter on a live source", "12.4 V"}, {"loose negative cable.", "-0.02 V"},
	{"Hottest place near", "boss and pipe"}, {"How it is measured", "contact probe"}, {"Air temperature at", "18 °C"},
	{"value 1 of a series", "39.5 °C"}, {"value 2 of a series", "38 °C"},
	{"Photo of the fitted sensor", ".skip no camera in the bay today"}, {"Position of the sensor under", "B1S1"}, {"How you know which bank is bank 1", "1"},
	{"Kind of the new sensor", "wide-band zirconia"}, {"Thread of the", "M18×1.5"}, {"Hexagon of the new", "22 mm"},
	{"Lead length the new part", "360 mm"}, {"Tip of the old sensor", "clean grey or tan"},
	{"came out of the box", "coated"}, {"middle of grip", "300 mm"}, {"Adapter, drive to", "30 mm"},
	{"Adapter's angle", "0°"}, {"plus or minus", "4 %"}, {"before the pull", "45.5 N·m"}, {"at which it clicked", "45.5 N·m"},
	{"place is left with", "new sensor torqued and plugged in"}, {"How the vehicle is marked", "no tag and fit to drive"},
}

// questions are answers to the steps' questions.
var questions = map[string]string{"From where will the sensor and its lead be reached?": "from above"}

var (
	statementForm = regexp.MustCompile(`(?m)^Statement \d+ of \d+: (.*)$`)
	questionForm  = regexp.MustCompile(`(?m)^Question: (.*)$`)
)

// worker reads what is asked and answers as the work goes well.
func worker(b *bench) func(string) (string, bool) {
	left := 1000 // answers, so that a question asked for ever ends the test
	return func(asked string) (string, bool) {
		asked = strings.ReplaceAll(asked, "\n  ", " ")
		if i := strings.LastIndex(asked, "\nRecorded: "); i >= 0 {
			asked = asked[i+1+strings.Index(asked[i+1:], "\n"):] // what came of the answer before is not what is asked
		}
		left--
		switch {
		case left < 0:
			return "", false
		case strings.Contains(asked, "to go. Press Enter"):
			b.clock.move(3 * time.Minute)
			return "", true
		case strings.Contains(asked, "of a series"):
			b.clock.move(5 * time.Minute)
		case strings.Contains(asked, "may be left out"):
			return "", true
		case statementForm.MatchString(asked) && strings.Contains(asked, "type: true"):
			return "true", true
		case statementForm.MatchString(asked):
			words := strings.FieldsFunc(statementForm.FindStringSubmatch(asked)[1], unicode.IsSpace)
			return strings.TrimRight(words[len(words)-1], ".,;"), true
		case questionForm.MatchString(asked):
			if say, ok := questions[questionForm.FindStringSubmatch(asked)[1]]; ok {
				return say, true
			}
			return "1", true
		}
		for _, pair := range told {
			if strings.Contains(asked, pair[0]) {
				return pair[1], true
			}
		}
		return "none", !strings.Contains(asked, "REFUSED")
	}
}

func TestSensorSwapIsWorkedInLinesToARecordThatReplays(t *testing.T) {
	b := newBench(t)
	o := swap(t)
	o.In = &answers{b, worker(b)}
	require.NoError(t, b.run(o))
	require.True(t, strings.Contains(b.dialogue(), "\nSIGNED."), "%s", tail(b.dialogue()))
	for _, no := range []string{"REFUSED", "NOT ACCEPTED", "Nothing was affirmed"} {
		before, after, found := strings.Cut(b.dialogue(), no)
		assert.False(t, found, "%s %s", tail(before), after[:min(len(after), 300)])
	}
	assert.Contains(t, b.dialogue(), "so this is a practice job")
	r := b.replayed()
	assert.Equal(t, procedures.Complete, r.State.Outcome())
	assert.Zero(t, r.State.Refusals())
	for _, e := range r.Job.Opening.Sheet {
		if e.ID == "torque_low" {
			assert.Equal(t, procedures.FromCard, e.From)
			assert.NotEmpty(t, e.Source)
		}
	}
}

// The picture of a step is said in words at any of its questions, and tells no position before it was read back.
func TestThePictureOfAStepIsSaidInWords(t *testing.T) {
	b := newBench(t)
	o := swap(t)
	answer, asks := worker(b), []string{"Surface temperature, value 2", "Position of the sensor under", "Recorded: Position of the sensor under", "NOT ACCEPTED"}
	var marks []int
	pulled := false
	o.In = &answers{b, func(asked string) (string, bool) {
		if len(asks) > 0 && strings.Contains(strings.ReplaceAll(asked, "\n  ", " "), asks[0]) {
			asks, marks = asks[1:], append(marks, len(b.dialogue()))
			return ".picture", true
		}
		if len(asks) == 1 && !pulled && strings.Contains(asked, "Torque wrench MM-7.") {
			pulled = true
			return "80 N·m", true
		}
		return answer(asked)
	}}
	require.NoError(t, b.run(o))
	require.Len(t, marks, 4)
	said := func(i int) string { return strings.ReplaceAll(b.dialogue()[marks[i]:][:900], "\n  ", " ") }
	assert.Contains(t, said(0), "Readings: 39.5 °C at minute 0.0.")
	assert.Contains(t, said(0), "No forecast (too few readings)")
	assert.Contains(t, said(1), "Cylinders from left to right: 4, 3, 2, 1.")
	before, _, _ := strings.Cut(said(1), "Recorded:")
	assert.NotContains(t, before, "THIS ONE")
	assert.Contains(t, said(2), "THIS ONE: B1S1: bank 1 (rear), before the catalyst, nearest the engine.")
	assert.Contains(t, said(3), "The torque at the fastener is 88.00 N·m: reject.")
}

// Every warning of a step is said before its action, and directly before: nothing is asked in between.
func TestWarningsAreSaidBeforeTheAction(t *testing.T) {
	b := newBench(t)
	o := swap(t)
	o.In = &answers{b, worker(b)}
	require.NoError(t, b.run(o))
	text := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	checked := 0
	for _, st := range o.Start.Procedure.Steps {
		at := strings.Index(text, "\nDO: "+st.Title+".\n")
		if at < 0 {
			continue
		}
		block := text[strings.LastIndex(text[:at], "\nStep "):at]
		for _, w := range st.Warnings {
			checked++
			assert.Contains(t, block, "\n"+string(w.Word)+". "+strings.TrimRight(w.Hazard, "."), st.ID)
			assert.NotContains(t, block, "\n>", st.ID)
		}
	}
	assert.Greater(t, checked, 10)
}

func TestWhatAStepIsGoneByIsSaidWithIt(t *testing.T) {
	b := newBench(t)
	o := swap(t)
	o.In = &answers{b, worker(b)}
	require.NoError(t, b.run(o))
	text := strings.ReplaceAll(b.dialogue(), "\n  ", " ")
	_, after, _ := strings.Cut(text, "DO: Compare the new part with the sheet and with the old part.")
	before, _, _ := strings.Cut(after, "\nStatement ")
	assert.Contains(t, before, "On the sheet: Connector (pins, colour, keys): 5 pins, black, two keys.")
}

// pushy answers like a worker until the first step is said, and from then on with the same replies over and over.
func pushy(b *bench, times int, replies ...string) func(string) (string, bool) {
	work, n := worker(b), -1
	return func(asked string) (string, bool) {
		if n < 0 && strings.Contains(asked, "Step 1 of") {
			n = 0
		}
		if n < 0 {
			return work(asked)
		}
		n++
		return replies[n%len(replies)], n < times
	}
}

func TestRepliesGivenWithoutReadingPassNoGate(t *testing.T) {
	all := []string{"yes", "y", "ok", "true", "done", "", "1", "2", "start", "read", "clear", "resume", "sign", "12 V", "2031-01-01",
		".again", ".entries", ".pinned", ".resume", ".sign", ".continue yes", ".keep yes"}
	cases := map[string][]string{"yes": {"yes"}, "empty": {""}, "one": {"1"}, "true": {"true"}, "done": {"done"}, "ok": {"OK"}, "all in turn": all,
		"skip": {".skip yes"}, "no": {"no"}}
	for name, replies := range cases {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			o := swap(t)
			o.In = &answers{b, pushy(b, 120, replies...)}
			require.NoError(t, b.run(o))
			for _, e := range b.events() {
				switch e.(type) {
				case runner.Affirmed, runner.Secured, runner.Done, runner.Skipped, runner.Sealed:
					t.Fatalf("%s led to %#v", name, e)
				}
			}
		})
	}
}

func tail(s string) string { return s[max(0, len(s)-1500):] }

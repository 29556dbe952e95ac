package plain

// Every command, and every way in which the interlock says no.

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/runner"
)

// flat is what was said and typed, with its wrapped lines joined.
func (b *bench) flat() string { return strings.ReplaceAll(b.dialogue(), "\n  ", " ") }

func TestEveryCommandDoesWhatItSays(t *testing.T) {
	atGate, atCool, atLook := briefed, join(briefed, dead), join(briefed, dead, cooled)
	atWipe := join(atLook, looked)
	cases := map[string]struct {
		before, typed []string
		says          []string
	}{
		"stop": {atCool, []string{".stop 1 the plug is out of my pocket", "clear"},
			[]string{"DO THIS FIRST: Take your hands out of the lamp.", "WORK STOPPED: no longer true: Unplugged, plug in your pocket: the plug is out of my pocket", "HELD: “Let the lamp cool"}},
		"again":      {atGate, []string{".again"}, []string{"type the last word of the statement.\n> .again\n\nStep 1 of 8. GATE."}},
		"why":        {atGate, []string{".why"}, []string{"Why: Somebody can plug the lamp in while your hand is inside."}},
		"strip":      {atLook, []string{"@70s", ".strip"}, []string{"Safeguard: Unplugged, plug in your pocket: in place for 3 minutes 57 seconds", "Safeguard: Lamp measured cool: in place for 1 minute 11 seconds."}},
		"track":      {atCool, []string{".track"}, []string{"Done: Pull the plug and keep it on you (gate, its safeguard in place).", "Here: Let the lamp cool and measure it (gate, its safeguard not in place).", "Ahead: Look the holder over."}},
		"wants":      {atGate, []string{".wants"}, []string{"Because not affirmed: The plug is in my pocket. Next: look, then affirm it if it is true.", "Still wanted by this step: 3."}},
		"sheet":      {atGate, []string{".sheet"}, []string{"Sheet: Greatest voltage that counts as dead: 1 V (typed, leaflet page 2)."}},
		"workings":   {join(atCool, cooled[:len(cooled)-2]), []string{".workings"}, []string{"Check touch-safe: cannot judge yet.", "Working: "}},
		"picture":    {join(atGate, []string{".picture"}), []string{".picture"}, []string{"This step has no picture, or not yet"}},
		"entries":    {join(atCool, []string{"start"}), []string{".entries", "meanwhile", "P-1", "41 °C", "@45s", "40 °C", "", "@2m", ""}, []string{"The wait of “Let the lamp cool and measure it” is over.", "In place: Lamp measured cool."}},
		"pinned":     {join(atWipe, []string{"true", "done"}), []string{".pinned", "@5m", ".pinned", "itself"}, []string{"Keep the glued cover pressed: 1 second passed, 4 minutes 59 seconds to go", "Beside the work, practice job", "Done: Keep the glued cover pressed."}},
		"read":       {join(atGate, dead[:4]), []string{".read 0.5 V", "1"}, []string{"Recorded: Voltage across the lamp's contacts: 0.5 V with M-4."}},
		"instrument": {atGate, []string{".instrument", "1", "M-5", "2032-01-31"}, []string{"Meter in hand: M-5, calibration due 2032-01-31."}},
		"attach":     {join(atLook, looked[:1]), []string{".attach testdata/bench-lamp.yaml", "1", ".attach", "1", "no-such-file"}, []string{"file bench-lamp.yaml,", "Not done: attach \"no-such-file\""}},
		"skip":       {atWipe, []string{".skip", "no cloth"}, []string{"Why is “Wipe the reflector” passed over?", "Skipped: Wipe the reflector: no cloth."}},
		"correct": {atCool, []string{".correct zebra", ".correct", "", ".correct voltage across", "1", "0.4 V", "read the wrong range", ".correct pocket", "1", "it was on the bench"},
			[]string{"There is no such entry to correct.", "CORRECTED: Voltage across the lamp's contacts is 0.4 V (was 0.2 V): read the wrong range", "CORRECTED: “The plug is in my pocket” taken back", "No longer done: Pull the plug and keep it on you."}},
		"note":     {atGate, []string{".note", "the bench is wet", ".note it was dried"}, []string{"Note: the bench is wet.", "Note: it was dried."}},
		"witness":  {atGate, []string{".witness", "1", b0}, []string{"Not done: "}},
		"pause":    {atGate, []string{".pause", "the phone rings"}, []string{"HELD. INTERRUPTED: paused: the phone rings"}},
		"resume":   {atGate, []string{".resume", ".pause tea", ".resume"}, []string{"REFUSED.", "Resumed."}},
		"handover": {atGate, []string{".handover", ""}, []string{"1: bryn@millbrook.example, key"}},
		"keep":     {atGate, []string{".keep me"}, []string{"Because no handover is under way. Next: begin one first."}},
		"takeover": {atGate, []string{".takeover", ""}, []string{"Who takes the job over?"}},
		"close":    {atGate, []string{".close complete I am done", ".close", "1", "cracked", ".quit"}, []string{"Because only the end of the procedure makes a job complete.", "Closing as referred: cracked."}},
		"continue": {atGate, []string{".continue so there"}, []string{"REFUSED."}},
		"left":     {atGate, []string{".left here"}, []string{"Nothing waits to be made safe."}},
		"follow":   {atGate, []string{".follow", "paint the bench", "soon"}, []string{"“soon” is not a date"}},
		"review":   {atGate, []string{".review", ".review all"}, []string{"Commands refused in all: 0.", "Acknowledged: What can hurt you."}},
		"sign":     {atGate, []string{".sign"}, []string{"It cannot be signed yet."}},
		"help":     {atGate, []string{".help", ".zebra", " .zebra is no word of mine"}, []string{".takeover reason: take on a job", "There is no command .zebra.", "Nothing was affirmed."}},
		"quit":     {atGate, []string{".quit"}, []string{"Take it up again with:"}},
	}
	for _, c := range commands() {
		require.Contains(t, cases, c.name, "a command without a test")
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			for i, line := range c.typed {
				if line == b0 {
					c.typed[i] = b.keyOf("nobody")
				}
			}
			require.NoError(t, b.run(practice(t), join(c.before, c.typed)...))
			for _, says := range c.says {
				assert.True(t, strings.Contains(b.flat(), says), "%q is not said in %s", says, tail(b.flat()))
			}
		})
	}
}

const b0 = "KEY OF NOBODY"

func TestRefusalsNameEachReasonAndTheNextAction(t *testing.T) {
	cases := map[string]struct{ typed, says []string }{
		"a gate is not skipped":       {[]string{".skip why not"}, []string{"“Pull the plug and keep it on you” is a gate. Next: a gate is never passed over"}},
		"a bare number":               {join(dead[:4], []string{"0.2"}), []string{"Recorded: Voltage across the lamp's contacts: 0.2 V with M-4."}},
		"a reading above its limit":   {join(dead[:4], []string{"-230 V", "0.1 V"}), []string{"NOT ACCEPTED: Voltage across the lamp's contacts: -230 V with M-4.", "is above 1 V. Next: put right what it shows, then take a fresh reading.", "Recorded: Voltage across the lamp's contacts: 0.1 V"}},
		"an overdue meter":            {join(dead[:3], []string{"2031-02-28", "M-5", "2031-03-01", "0.2 V"}), []string{"ran out on 2031-02-28. Next: use one that is in date, and name it.", "In place: Unplugged"}},
		"a date that is none":         {join(dead[:3], []string{"next year"}), []string{"“next year” is not a date. Next: write it as year-month-day"}},
		"a reading too soon":          {join(dead, cooled[:6], []string{"40 °C"}), []string{"is wanted 29 s from now. Next: wait, then read again."}},
		"a wrong word":                {[]string{"true", "The plug is in my pocket", "Pocket."}, []string{"Nothing was affirmed.", "Affirmed."}},
		"a mark that hides text":      {[]string{".note a\u202eb", "po\x1b[31mcket"}, []string{"REFUSED. Nothing was changed", "bidirectional control character"}},
		"another lamp under the hand": {join(dead, cooled, looked, []string{"true", "done", "true", "right", ".wants"}), []string{"“Lamp under my hand” is not what was entered before. Next: look again; if what was entered before is wrong, correct that."}},
		"bytes that are no text":      {[]string{".note \x9b31m", "\xff"}, []string{"That line was not UTF-8 text."}},
		"a long line":                 {[]string{strings.Repeat("pocket ", 1500)}, []string{"longer than 8192 bytes"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			require.NoError(t, b.run(practice(t), join(briefed, c.typed)...))
			for _, says := range c.says {
				assert.True(t, strings.Contains(b.flat(), says), "%q is not said in %s", says, tail(b.flat()))
			}
		})
	}
}

// What to get clear of is said before anything is asked, from the middle of any question.
func TestStopIsTakenFromAnyQuestion(t *testing.T) {
	for name, typed := range map[string][]string{
		"a statement": join(dead), "a date": join(dead, []string{".instrument", "1", "M-9"}), "a list": join(dead, []string{".correct"}),
		"a reason": join(dead, []string{".close referred"}), "a signature": join(dead, []string{".takeover", "1", "gone"}),
		"a key": join(toFit()[len(briefed):], []string{"true", "left", "witness", "1"}),
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			lines := join(briefed, typed, []string{".stop", "0 what", "1 the cord moved", "start", ".sign", "clear"})
			require.NoError(t, b.run(practice(t), lines...))
			_, after, _ := strings.Cut(b.flat(), "STOP. Get clear first.")
			first := strings.Index(after, "If this is lost: Take your hands out of the lamp.")
			asked := strings.Index(after, "Which is no longer true?")
			require.True(t, first >= 0 && first < asked)
			clear := strings.Index(after, "Clear after the stop.")
			require.Greater(t, clear, strings.Index(after, "DO THIS FIRST: Warn the others at the bench."))
			require.True(t, strings.Contains(after[clear:], "DO: Pull the plug") || strings.Contains(after[clear:], "HELD"))
			require.NotContains(t, after[:clear], "DO: Pull the plug", "no gate is offered before that")
		})
	}
}

func TestStopWithNothingNamedStopsEverything(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead, cooled, []string{".stop", "", "clear"})...))
	for _, e := range b.events() {
		if stop, ok := e.(runner.WorkStopped); ok {
			assert.Equal(t, []string{"unplugged", "cool"}, stop.Safeguards)
			return
		}
	}
	t.Fatal("no stop was written down")
}

func TestTheSheetSaysWhereEachFigureComesFrom(t *testing.T) {
	b := newBench(t)
	lines := []string{"middle", "2", "", "9 V", "a few", "0.5 V", "a\u200bb", strings.Repeat("x", 300), "label on the lamp", "by the door",
		"7", "2", "1 V", "leaflet page 2", "3", "", "open"}
	require.NoError(t, b.run(practice(t), lines...))
	for _, says := range []string{"\"middle\" is no choice", "is too much", "2: Greatest voltage that counts as dead: 0.5 V, typed, from label on the lamp",
		"2: Greatest voltage that counts as dead: 1 V, typed, from leaflet page 2", "3: Remark: left out", "“7” is neither open nor a line's number.", "A value is needed."} {
		assert.True(t, strings.Contains(b.flat(), says), "%q is not said in %s", says, b.flat())
	}
}

// A job whose journal was damaged is locked, and says how to go on.
func TestADamagedJobIsLocked(t *testing.T) {
	b := newBench(t)
	require.NoError(t, b.run(practice(t), join(briefed, dead)...))
	st, err := b.home.Store()
	require.NoError(t, err)
	path := filepath.Join(st.JobDir(b.only()), "journal.jsonl")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	data[len(data)/2] ^= 1
	require.NoError(t, os.WriteFile(path, data, 0o600))
	require.ErrorContains(t, b.resume(), "is locked")
	assert.Contains(t, b.flat(), "--after "+b.only())
	require.NoError(t, b.run(Options{}, ""))
	assert.Contains(t, b.flat(), "it cannot be read:")
}

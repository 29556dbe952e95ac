package writing_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/procedures/writing"
)

// base is a procedure with nothing to warn of; each case changes one line of it.
const base = `fenderside: 1
procedure: bench-lamp
revision: 1
title: Change the lamp of a workbench
scope: One lamp.
hazards: [Burns]
protective: [Gloves against hot glass, goggles against splinters]
safeguards:
  unplugged: {title: Unplugged}
steps:
  - gate: pull-plug
    title: Pull the plug
    why: The socket is live until then.
    how: [Pull by the plug.]
    secures: unplugged
    affirm: [The plug is in my pocket]
  - do: take-out
    title: Take the lamp out
    how: ["IF it is hot, THEN wait."]
    warning: {word: CAUTION, hazard: Hot glass, consequence: Burnt fingers, avoid: Wear gloves}
    needs: [unplugged]
    ask: {question: How does it look, answers: [{say: Whole}, {say: Broken, then: referred}]}
  - gate: plug-in
    title: Plug the lamp in
    why: It shows that the new one works.
    releases: [unplugged]
    readings: [{id: light, title: Light, choose: [bright, dim]}]
make safe: [plug-in]
dangers:
  shock: {title: A live socket, kept off by: [unplugged]}
`

func check(t *testing.T, text string) []writing.Warning {
	p, err := procedures.Parse("bench.yaml", []byte(text))
	require.NoError(t, err)
	return writing.Check(p)
}

func TestGoodWritingGetsNoWarning(t *testing.T) {
	assert.Empty(t, check(t, base))
	for old, good := range map[string]string{
		"Pull by the plug.":       "Slowly pull by the plug; never by the cord. Keep hold of it.",
		"IF it is hot, THEN wait": "WHEN the lamp is off, THEN do not touch it yet",
		"Wear gloves}":            "Do not touch it}",
		"Hot glass,":              "Open flame or a cut in the glass,",
		"Take the lamp out":       "Re-seat the lamp",
		"Burnt fingers":           "Splinters in the eyes",
	} {
		assert.Empty(t, check(t, strings.Replace(base, old, good, 1)), good)
	}
}

func TestEachRuleWarnsAtItsPlaceWithItsSource(t *testing.T) {
	for _, c := range []struct{ old, new, place, what, source string }{
		{"Pull by the plug.", "If it sticks, pull harder.", "14:11", "condition without IF or WHEN", "IF or WHEN"},
		{"Pull by the plug.", "\"Unless it sticks, pull harder.\"", "14:11", "condition without IF or WHEN", "IF or WHEN"},
		{"Pull by the plug.", "Pull harder if it sticks.", "14:11", "after the action", "IF or WHEN"},
		{"IF it is hot, THEN wait.", "Look THEN wait.", "19:11", "THEN without a condition", "IF or WHEN"},
		{"IF it is hot, THEN wait.", "IF it is hot, wait.", "19:11", "condition without IF or WHEN before a THEN", "IF or WHEN"},
		{"IF it is hot, THEN wait.", "IF it is hot, THEN patience helps.", "19:11", "does not begin with a verb", "verb first"},
		{"Pull by the plug.", "Pull by the plug. The cord is weak.", "14:11", `"The cord is weak" does not begin`, "verb first"},
		{"Pull by the plug.", "The plug must be pulled.", "14:11", "not who does it", "active"},
		{"Pull by the plug.", "Do not pull the cord.", "14:11", "says what not to do", "positive"},
		{"Pull by the plug.", "Never pull the cord.", "14:11", "says what not to do", "positive"},
		{"title: Take the lamp out", "title: Lamp removal", "18:12", "does not begin with a verb", "verb first"},
		{"Pull by the plug.", "WARNING the socket is live.", "14:11", "warning among the actions", "INL/EXT-16-39808"},
		{"Pull by the plug.", "\"Caution: the socket is live.\"", "14:11", "warning among the actions", "INL/EXT-16-39808"},
		{"The socket is live until then.", "DANGER of shock.", "13:10", "warning among the actions", "INL/EXT-16-39808"},
		{"hazard: Hot glass", "hazard: Hot glass; keep clear", "20:38", "asks for an action", "DOE-STD-1029"},
		{"consequence: Burnt fingers", "consequence: You must expect burnt fingers", "20:62", "asks for an action", "DOE-STD-1029"},
		{"consequence: Burnt fingers", "consequence: hot glass", "20:62", "twice", "ANSI Z535.6"},
		{"avoid: Wear gloves", "avoid: Gloves", "20:84", "does not say what to do", "ANSI Z535.6"},
		{"word: CAUTION", "word: DANGER", "20:21", "names no death", "ANSI Z535.4"},
		{"word: CAUTION", "word: NOTICE", "20:21", "names an injury", "ANSI Z535.4"},
		{"Burnt fingers", "Death by shock", "20:21", "CAUTION, but its consequence names death", "ANSI Z535.4"},
		{"say: Whole", "say: OK", "22:55", "says nothing of what is seen", "CR-177549"},
		{"choose: [bright, dim]", "choose: [Good, dim]", "27:51", "says nothing of what is seen", "CR-177549"},
		{"    why: The socket is live until then.\n", "", "11:11", "does not say why", "this program's own"},
		{"protective: [Gloves against hot glass, goggles against splinters]\n", "", "6:10", "no protective equipment", "29 CFR 1910.132(d)"},
		{"protective: [Gloves against hot glass, goggles", "protective: [Goggles", "20:62", "about skin or hands", "1910.138"},
		{"dangers:\n  shock: {title: A live socket, kept off by: [unplugged]}\n", "", "9:3", "stated once", "double entry"},
		{"Burnt fingers", "Loss of hearing", "20:62", "about hearing", "1910.95"},
	} {
		require.Equal(t, 1, strings.Count(base, c.old), c.old)
		found := check(t, strings.Replace(base, c.old, c.new, 1))
		require.Len(t, found, 1, "%s: %v", c.new, found)
		assert.Equal(t, c.place, fmt.Sprintf("%d:%d", found[0].Place.Line, found[0].Place.Column), c.new)
		assert.Contains(t, found[0].What, c.what)
		assert.Contains(t, found[0].Source, c.source)
		assert.NotEmpty(t, found[0].Hint)
		assert.True(t, strings.HasPrefix(found[0].String(), "bench.yaml:"+c.place+": warning: "), found[0].String())
	}
}

func TestDangersAreFew(t *testing.T) {
	danger := "warning: {word: DANGER, hazard: Live socket, consequence: Death by shock, avoid: Pull the plug}\n"
	text := strings.Replace(base, "word: CAUTION", "word: DANGER", 1)
	text = strings.Replace(text, "Burnt fingers", "Death by shock", 1)
	text = strings.Replace(text, "    secures: unplugged\n", "    secures: unplugged\n    "+danger, 1)
	assert.Empty(t, check(t, text), "two are taken")
	found := check(t, strings.Replace(text, "    releases: [unplugged]\n", "    releases: [unplugged]\n    "+danger, 1))
	require.Len(t, found, 1)
	assert.Contains(t, found[0].What, "one DANGER more")
}

// The verbs are those that the writer's guide DOE-STD-1029-92 uses in its own examples of action steps, from memory.
func TestTheVerbsOfAWritersGuideAreKnown(t *testing.T) {
	for _, verb := range strings.Fields("Adjust Check Close Disconnect Ensure Install Isolate Lubricate Monitor Notify Open Place Record Remove Replace Start Stop Throttle Verify") {
		found := check(t, strings.Replace(base, "title: Take the lamp out", "title: "+verb+" the lamp", 1))
		if verb == "Throttle" { // no verb of a small workshop: the list has an end, and says so
			require.Len(t, found, 1)
			assert.Contains(t, found[0].Hint, "yours may not be among them")
			continue
		}
		assert.Empty(t, found, verb)
	}
}

// What ships is written by these rules.
func TestWhatShipsIsWellWritten(t *testing.T) {
	for _, p := range library.Procedures() {
		for _, w := range writing.Check(p) {
			assert.Fail(t, "a shipped procedure has a warning", w.String())
		}
	}
}

func TestNoSoundProcedureIsTooStrangeToRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.StringMatching(`[A-Za-z][A-Za-z .;,!]{0,40}[a-z]`).Draw(t, "line")
		p, err := procedures.Parse("bench.yaml", []byte(strings.Replace(base, "[Pull by the plug.]", `["`+line+`"]`, 1)))
		require.NoError(t, err)
		for _, w := range writing.Check(p) {
			assert.Equal(t, 14, w.Place.Line, "a strange line warns of itself alone")
		}
	})
}

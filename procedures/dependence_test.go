package procedures

// What rests on what: conditions, optional parts, causes that reach further, and steps beside the main line.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// with returns base.yaml with pairs of old and new text replaced.
func with(t *testing.T, edits ...string) string {
	text := base(t)
	for i := 0; i < len(edits); i += 2 {
		require.Equal(t, 1, strings.Count(text, edits[i]), "%q", edits[i])
		text = strings.Replace(text, edits[i], edits[i+1], 1)
	}
	return text
}

func sound(t *testing.T, edits ...string) *Procedure {
	p, err := Parse("base.yaml", []byte(with(t, edits...)))
	require.NoError(t, err)
	return p
}

func faulty(t *testing.T, edits ...string) string {
	_, err := Parse("bad.yaml", []byte(with(t, edits...)))
	require.Error(t, err)
	return err.Error()
}

const touchCheck = "quantity: temperature, series: true}\n      - {id: air, title: Air, quantity: temperature, optional: true}\n" +
	"      - {id: most, title: Limit, quantity: temperature}\n    check: {touch-safe: {surface: heat, limit: "

func TestOnlyAnOptionalInputTakesAnOptionalReading(t *testing.T) {
	sound(t, "quantity: temperature, at most: 48 °C}", touchCheck+"most, method: infrared, ambient: air}}")
	assert.Equal(t, `bad.yaml:32:48: check "touch-safe" input "limit" depends on the reading "air", which is optional `+
		`(take optional from it, or do not depend on it)`,
		faulty(t, "quantity: temperature, at most: 48 °C}", touchCheck+"air, method: infrared}}"))
}

func TestASafeguardDoesNotRestOnAConditionalNeed(t *testing.T) {
	p := sound(t, "needs: [off]\n    readings", "needs: [{safeguard: off, when: {side: left}}]\n    readings")
	cold, _ := p.SafeguardByID("cold")
	assert.Empty(t, p.Safeguards[cold].Rests)
	cool, _ := p.StepByID("cool")
	assert.Equal(t, Condition{{Choice: "side", In: []string{"left"}, Place: cool.Needs[0].When[0].Place}}, cool.Needs[0].When)
}

func TestACauseFellsWhatRestsOnWhatItFells(t *testing.T) {
	assert.Equal(t, `bad.yaml:39:14: step "warm" causes "opened", which fells "cold" that it needs `+
		`(cause it in another step, or take the need out)`,
		faulty(t, "{on: [handover]", "{on: [handover, opened]", "{on: [heated]", "{on: [warmed]",
			"needs: [off]\n    causes: [heated]", "needs: [cold]\n    causes: [opened]",
			"releases: [off, cold]", "releases: [off, cold]\n    causes: [warmed]", "starts on: [heated]", "starts on: [opened]"))
}

func TestAGateBesideTheMainLineLeadsNowhereByItself(t *testing.T) {
	gate := "  - gate: close\n    title: Close it\n    releases: [off, cold]\n    affirm: [The cover is on]\n"
	beside := gate + "    then: complete\n  - gate: light\n    title: Light the place\n    secures: lit\n    affirm: [The lamp hangs over the work]\n"
	lit := []string{"  cold:\n    title: Cold\n", "  lit:\n    title: Lit\n    lasting: true\n  cold:\n    title: Cold\n",
		"needs: [off, cold, watch]", "needs: [off, cold, watch, lit]"}
	sound(t, append(lit, gate, beside)...)

	// a question is not passed, so only its answers lead on
	stray := "  - do: ask\n    title: Ask\n    ask: {question: Shut, answers: [{say: It is shut, then: complete}, {say: It is open, then: work}]}\n" +
		"  - gate: light\n    title: Light the place\n    secures: lit\n    affirm: [The lamp hangs over the work]\n" +
		"  - do: stray\n    title: Never done\n"
	assert.Contains(t, faulty(t, append(lit, gate, gate+stray)...), `step "stray" cannot be reached`)
	assert.NotContains(t, faulty(t, append(lit, gate, gate+stray)...), `step "light" cannot be reached`)
}

func TestAStepMayLeadToAnyEnd(t *testing.T) {
	for _, end := range []string{"complete", "referred", "abandoned"} {
		p := sound(t, "then: close}", "then: close}, {say: It is broken, then: "+end+"}")
		work, _ := p.StepByID("work")
		assert.Equal(t, Outcome(end), work.Ask.Answers[1].Then.End)
		assert.Empty(t, work.Ask.Answers[1].Then.Step)
	}
}

func TestWarningsAreOneOrSeveral(t *testing.T) {
	one := "{word: CAUTION, hazard: Hot oil, consequence: burns, avoid: let it run off}"
	p := sound(t, "    title: Warm it\n", "    title: Warm it\n    warning: ["+one+", "+one+"]\n")
	warm, _ := p.StepByID("warm")
	require.Len(t, warm.Warnings, 2)
	assert.Equal(t, Caution, warm.Warnings[0].Word)
	p = sound(t, "    title: Warm it\n", "    title: Warm it\n    warning: "+one+"\n")
	warm, _ = p.StepByID("warm")
	assert.Len(t, warm.Warnings, 1)
}

func TestSmallerFaultsAreToldToo(t *testing.T) {
	for _, c := range []struct{ old, replacement, want string }{
		{"    affirm: [The cover is on]", "    affirm: [{when: {side: left}}, The cover is on]", `45:14: a statement of step "close" has no "say" (add say: ...)`},
		{"    affirm: [The cover is on]", "    check: {}\n    affirm: [The cover is on]", `45:12: check of step "close" names no check (write {check-name: {input: value}})`},
		{"    affirm: [The cover is on]", "    check: soon\n    affirm: [The cover is on]", `45:12: check of step "close" is a single value; fields and their values belong here`},
		{"text: true, optional", "text: false, optional", `11:35: text of sheet field "note" is false (write true)`},
		{"{on: [handover], because", "{after: 0 min, because", `15:21: after of lapses of safeguard "off" is "0 min" (write a time such as 30 min)`},
		{"    title: Turned off\n", "    title: Turned off\n    if lost: [Stand back, Stand back]\n", `15:27: "Stand back" stands in if lost of safeguard "off" twice (keep one of the two)`},
		{"quantity: temperature, at most: 48 °C}", "quantity: temperature, series: true}\n      - {id: after, title: After, quantity: temperature, at most: heat}",
			`30:67: a bound names the reading "heat", which is a series (name a reading of one value)`},
		{"    title: Warm it\n", "    title: Warm it\n    when: always\n", `38:11: when of step "warm" is a single value; fields and their values belong here`},
		{"scope: For tests", "scope: \"a\\q\"", `5:1: this is not YAML: found unknown escape character (write a backslash twice between double quotes, or use single quotes)`},
		{"sheet:\n", "sheet:\n  - loose\n", `9:5: a sheet field is a single value; fields and their values belong here (its fields: id, title, quantity`},
		{"{say: It is stuck}", "It is stuck", `35:74: an answer to ask of step "work" is a single value`},
		{"    repeat: {at most: 2, until: it moves}", "    wait: soon", `40:11: wait of step "warm" is a single value`},
		{"unit: N·m}", "unit: N·m, at most: " + strings.Repeat("9", 70) + " N·m}", `10:74: "999999999999999999999999999999999999999999999999999999999999…" is no torque`},
		{"revision: 1\n", "revision: 1\nrevision: *a\n", `4:11: aliases are not taken`},
		{"{id: note, ", "{id: work, ", `30:9: the id "work" is taken by the sheet field on line 11 (give each its own id)`},
	} {
		assert.Contains(t, faulty(t, c.old, c.replacement), "bad.yaml:"+c.want)
	}
}

func TestTheGrammarNamesEveryFieldThatAGoodFileUses(t *testing.T) {
	all := Grammar()
	assert.Contains(t, all["step"], "due after")
	assert.Contains(t, all["procedure"], "make safe")
	for group, fields := range all {
		seen := map[string]bool{}
		for _, f := range fields {
			assert.False(t, seen[f], "%s has %s twice", group, f)
			seen[f] = true
		}
	}
}

func TestAJobMayEndCompleteBeforeItsLastStep(t *testing.T) {
	last := "    affirm: [The cover is on]\n"
	tell := last + "  - do: hand-over\n    title: Hand it over\n    then: complete\n  - do: tell\n    title: Tell the owner\n    then: referred\n"
	sound(t, last, tell, "{say: It is stuck}", "{say: It is stuck}, {say: It is broken, then: tell}")
}

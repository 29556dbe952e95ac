package procedures_test

// The rules tested here: what one of the two statements of a danger lacks, the other gives; each difference is kept with its place;
// a danger of a part goes with its part under the part's name.

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/prove"
)

// lamp states everything twice; each case changes one line of it.
const lamp = `fenderside: 1
procedure: bench-lamp
revision: 1
title: Change the lamp of a workbench
scope: One lamp.
sheet: [{id: bulb, title: Bulb, choose: [glass, plastic]}]
safeguards:
  unplugged: {title: Unplugged, lapses: {on: [interruption], after: 30 min, because: somebody can plug it in}}
  cool: {title: Cool, lapses: {on: [lit], because: a lit lamp is hot}}
  swept: {title: Splinters swept up, lapses: {on: [broken], because: there are new ones}, lasting: true}
dangers:
  shock: {title: A live socket, kept off by: [unplugged], comes with: [interruption], comes back after: 30 min}
  burns: {title: Hot glass, kept off by: [cool], comes with: [lit]}
  splinters: {title: Splinters, kept off by: [swept], comes with: [broken]}
  ember: {title: An ember, kept off by: [watch], comes with: [lit]}
steps:
  - gate: pull-plug
    title: Pull the plug
    secures: unplugged
    affirm: [The plug is in my pocket]
  - gate: let-it-cool
    title: Let the lamp cool
    secures: cool
    affirm: [It is cool]
  - do: draw-lamp
    title: Draw the lamp
    needs: [unplugged, {safeguard: cool, when: {bulb: glass}}]
    faces: [shock, {danger: burns, when: {bulb: glass}}]
    causes: [broken]
    brings: [splinters]
  - gate: sweep
    title: Sweep the splinters up
    secures: swept
    due after: [draw-lamp]
    affirm: [The bench is bare]
  - do: light
    title: Light it
    needs: [swept]
    faces: [splinters]
    causes: [lit]
    brings: [burns, ember]
  - do: look
    title: Look at it
    needs: [watch]
    faces: [ember]
  - gate: plug-back
    title: Put the plug back
    releases: [unplugged, cool]
    affirm: [The lamp burns]
pinned:
  - {pin: watch, title: Watch it, starts on: [lit], at least: 1 min, affirm: [Nothing glows]}
make safe: [sweep, plug-back]
`

func changed(t *testing.T, old, new string) *procedures.Procedure {
	require.Equal(t, 1, strings.Count(lamp, old), old)
	p, err := procedures.Parse("lamp.yaml", []byte(strings.Replace(lamp, old, new, 1)))
	require.NoError(t, err, "%s -> %s", old, new)
	return p
}

// worked is what the engine goes by, without places.
func worked(p *procedures.Procedure) (out []any) {
	for _, s := range p.Steps {
		for _, n := range s.Needs {
			when := map[string][]string{}
			for _, c := range n.When {
				when[c.Choice] = c.In
			}
			out = append(out, s.ID, n.Safeguard, n.Pin, when)
		}
		out = append(out, s.Causes, s.DueAfter)
	}
	for _, g := range p.Safeguards {
		out = append(out, g.LapseOn, g.After, g.Rests)
	}
	return out
}

func TestWhatOneStatementLacksTheOtherGives(t *testing.T) {
	sound := changed(t, "revision: 1", "revision: 2")
	require.Empty(t, sound.Apart)
	require.Empty(t, prove.Procedure(sound, prove.Limits{}).Failures)
	for _, c := range []struct{ old, new, place, what string }{
		{"    needs: [unplugged, {safeguard: cool, when: {bulb: glass}}]\n", "    needs: [{safeguard: cool, when: {bulb: glass}}]\n", "28:13", `faces "shock" and does not need "unplugged"`},
		{"[unplugged, {safeguard: cool, when: {bulb: glass}}]", "[unplugged]", "28:20", `faces "burns" and does not need "cool"`},
		{"[shock, {danger", "[{danger", "27:13", `needs "unplugged" and faces nothing that it keeps off`},
		{"    needs: [watch]\n", "", "44:13", `faces "ember" and does not need "watch"`},
		{"kept off by: [watch], ", "", "44:13", `needs "watch" and faces nothing`},
		{"on: [interruption], after", "after", "8:3", `comes with "interruption", and does not lapse on it`},
		{"comes with: [interruption], ", "", "8:47", `lapses on "interruption", with which no danger comes`},
		{"after: 30 min, because", "because", "8:3", `stands longer than it takes for "shock" to come back`},
		{"after: 30 min, because", "after: 31 min, because", "8:3", `stands longer than it takes for "shock" to come back`},
		{", comes back after: 30 min", "", "8:3", `lapses by the clock, and no danger`},
		{"    causes: [broken]\n    brings: [splinters]\n", "    causes: [broken]\n", "29:14", `causes "broken", with which "splinters" comes, and does not bring it on`},
		{"brings: [burns, ember]", "brings: [burns]", "40:14", `with which "ember" comes`},
		{"    due after: [draw-lamp]\n", "    due after: [light]\n", "31:5", `"draw-lamp" fells "swept", and a close after it does not ask for "sweep"`},
	} {
		p := changed(t, c.old, c.new)
		require.NotEmpty(t, p.Apart, c.new)
		proof := prove.Procedure(p, prove.Limits{})
		told := proof.Faults().Error()
		assert.Contains(t, told, "lamp.yaml:"+c.place+": ", c.new)
		assert.Contains(t, told, c.what)
		for _, f := range proof.Failures {
			assert.Equal(t, prove.Agree, f.Rule)
			assert.NotEmpty(t, f.Step)
			assert.NotEmpty(t, f.Hint)
		}
		if !strings.Contains(c.new, "light]") {
			assert.ElementsMatch(t, worked(sound), worked(p), "%s: what is worked by is the same", c.new)
		}
	}
}

func TestTheShorterTimeIsWorkedBy(t *testing.T) {
	for times, want := range map[string]time.Duration{"5 min": 5 * time.Minute, "45 min": 30 * time.Minute} {
		p := changed(t, "comes back after: 30 min", "comes back after: "+times)
		assert.Equal(t, want, p.Safeguards[0].After)
		assert.Equal(t, times == "5 min", len(p.Apart) > 0, "a safeguard may fall sooner than it must")
	}
}

// A cause that is dropped comes back by what the step brings on, though another of its causes stays.
func TestABroughtDangerGivesTheCauseItComesWith(t *testing.T) {
	both := strings.Replace(strings.Replace(lamp, "causes: [lit]", "causes: [lit, broken]", 1), "[burns, ember]", "[burns, ember, splinters]", 1)
	both = strings.Replace(strings.Replace(both, "    needs: [swept]\n    faces: [splinters]\n", "", 1), "[draw-lamp]", "[draw-lamp, light]", 1)
	p, err := procedures.Parse("lamp.yaml", []byte(both))
	require.NoError(t, err)
	assert.Empty(t, p.Apart)
	p, err = procedures.Parse("lamp.yaml", []byte(strings.Replace(both, "causes: [lit, broken]", "causes: [lit]", 1)))
	require.NoError(t, err)
	light, _ := p.StepByID("light")
	assert.ElementsMatch(t, []string{"lit", "broken"}, light.Causes)
	require.NotEmpty(t, p.Apart)
	assert.Contains(t, p.Apart[0].What, `brings "splinters" on, and causes nothing that it comes with`)
}

func TestWithoutDangersNothingIsUnitedOrAskedFor(t *testing.T) {
	text := lamp[:strings.Index(lamp, "dangers:")] + lamp[strings.Index(lamp, "steps:"):]
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		if !strings.Contains(line, " faces: ") && !strings.Contains(line, " brings: ") {
			lines = append(lines, line)
		}
	}
	p, err := procedures.Parse("lamp.yaml", []byte(strings.Join(lines, "\n")))
	require.NoError(t, err)
	assert.Empty(t, p.Apart)
	assert.Empty(t, prove.Procedure(p, prove.Limits{}).Failures)
}

func TestADangerThatIsNotThereIsToldAtItsPlace(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"faces: [splinters]", "faces: [splinter]", `lamp.yaml:39:13: there is no danger "splinter" (did you mean "splinters"?)`},
		{"faces: [ember]", "faces: [ember, ember]", `step "look" faces "ember" twice`},
		{"brings: [splinters]", "brings: [splinter]", `lamp.yaml:30:14: there is no danger "splinter"`},
		{"kept off by: [cool]", "kept off by: [kool]", `lamp.yaml:13:43: there is no safeguard or pinned step "kool" to keep a danger off`},
		{"comes with: [broken]", "comes with: [boken]", `no step causes "boken" (did you mean "broken"?)`},
		{"comes back after: 30 min", "comes back after: 30", "is a bare number"},
		{"ember: {title: An ember, ", "ember: {", `danger "ember" has no "title"`},
	} {
		require.Equal(t, 1, strings.Count(lamp, c.old), c.old)
		_, err := procedures.Parse("lamp.yaml", []byte(strings.Replace(lamp, c.old, c.new, 1)))
		assert.ErrorContains(t, err, c.want)
	}
}

// A part's dangers go with it: kept off by what is lent, and coming with what its outside causes are called in the whole.
func TestDangersGoWithTheirPart(t *testing.T) {
	part := strings.NewReplacer("outside causes:", `dangers:
  mislaid: {title: A key that goes astray, kept off by: [key-kept], comes with: [handover]}
  live: {title: A live supply, kept off by: [dead], comes with: [interruption, handover, bench-bumped]}
outside causes:`, "needs: [key-kept]", "needs: [key-kept]\n    faces: [mislaid]", "needs: [dead]", "needs: [dead]\n    faces: [live]").Replace(shelved(t, "bench-supply"))
	whole := strings.NewReplacer("steps:\n", "dangers:\n  gone: {title: A key that is gone, kept off by: [key], comes with: [handover]}\nsteps:\n",
		"using: {key-kept: key}", "using: {key-kept: key}\n    causes: {bench-bumped: knocked}\n    needs: [key]\n    faces: [gone]",
		"needs: [supply.dead]", "needs: [supply.dead]\n    faces: [supply.live]",
		"  - gate: key-off", "  - do: knock\n    title: Knock on the bench\n    causes: [knocked]\n    brings: [supply.live]\n  - gate: key-off").Replace(shelved(t, "bench-bulb"))
	part = strings.Replace(part, "needs: [key-kept]\n    faces: [mislaid]\n    secures", "secures", 1) // the include says it of each step
	p, err := procedures.ParseWith("bench-bulb.yaml", []byte(whole), shelfOf(map[string]string{"bench-supply": part}))
	require.NoError(t, err)
	assert.Empty(t, p.Apart)
	require.Len(t, p.Dangers, 3)
	assert.Equal(t, []string{"gone", "supply.mislaid", "supply.live"}, []string{p.Dangers[0].ID, p.Dangers[1].ID, p.Dangers[2].ID})
	assert.Equal(t, "key", p.Safeguards[p.Dangers[1].KeptOff[0].Safeguard].ID, "the safeguard that is lent keeps it off")
	assert.Equal(t, []string{"interruption", "handover", "knocked"}, p.Dangers[2].ComesWith)
	isolate, _ := p.StepByID("supply.isolate")
	require.Len(t, isolate.Faces, 1)
	assert.Equal(t, 0, isolate.Faces[0].Danger, "what each of its steps faces beside its own")

	// What is lent must lapse on what the part's danger comes with, and does so whatever the whole says.
	lax := strings.Replace(strings.Replace(whole, "lapses: {on: [handover]", "lapses: {after: 9 h", 1), "comes with: [handover]", "comes back after: 9 h", 1)
	p, err = procedures.ParseWith("bench-bulb.yaml", []byte(lax), shelfOf(map[string]string{"bench-supply": part}))
	require.NoError(t, err)
	assert.Equal(t, []string{"handover"}, p.Safeguards[0].LapseOn)
	require.Len(t, p.Apart, 1)
	assert.Contains(t, p.Apart[0].What, `safeguard "key" keeps "supply.mislaid" off, which comes with "handover", and does not lapse on it`)
}

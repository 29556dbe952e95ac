package procedures_test

// The rules tested here: an included procedure is expanded into the one that includes it, under ids of its own, and what
// does not fit is told at its place in its own file.

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/prove"
)

// shelfOf gives the procedures of testdata, and those written here in the place of them.
func shelfOf(own map[string]string) procedures.Shelf {
	return func(name string) (string, []byte, error) {
		file := name + ".yaml"
		if text, ok := own[name]; ok {
			return file, []byte(text), nil
		}
		text, err := os.ReadFile(filepath.Join("testdata", file))
		if err != nil {
			return "", nil, fmt.Errorf("there is no procedure of that name")
		}
		return file, text, nil
	}
}

func shelved(t *testing.T, name string) string {
	_, text, err := shelfOf(nil)(name)
	require.NoError(t, err)
	return string(text)
}

// bulb reads the bench bulb with one change to it, and one to the supply that it includes.
func bulb(t *testing.T, from, to, partFrom, partTo string) (*procedures.Procedure, error) {
	whole, part := shelved(t, "bench-bulb"), shelved(t, "bench-supply")
	require.Contains(t, whole, from)
	require.Contains(t, part, partFrom)
	return procedures.ParseWith("bench-bulb.yaml", []byte(strings.Replace(whole, from, to, 1)),
		shelfOf(map[string]string{"bench-supply": strings.Replace(part, partFrom, partTo, 1)}))
}

func stepsOf(p *procedures.Procedure) (ids []string) {
	for _, s := range p.Steps {
		ids = append(ids, s.ID)
	}
	return ids
}

func TestAnIncludeIsExpandedAroundTheWorkItMakesWayFor(t *testing.T) {
	p, err := bulb(t, "", "", "", "")
	require.NoError(t, err)
	assert.Equal(t, []string{"key-on", "supply.isolate", "change", "supply.switch-on", "key-off"}, stepsOf(p))
	assert.Equal(t, []string{"supply.switch-on", "key-off"}, p.MakeSafe)
	guards := []string{}
	for _, g := range p.Safeguards {
		guards = append(guards, g.ID)
	}
	assert.Equal(t, []string{"key", "supply.dead"}, guards)
	isolate, _ := p.StepByID("supply.isolate")
	assert.Equal(t, 0, isolate.Needs[0].Safeguard, "the safeguard that is lent stands for the one whose gate is left out")
	assert.Equal(t, "cooling", isolate.Wait.AtLeast.Ref, "what is given stands for the sheet field")
	assert.Equal(t, "supply.volts", isolate.Readings[0].ID)
	assert.Len(t, p.Sheet, 1)
	assert.Equal(t, "bench-supply.yaml", isolate.Place.File)
	require.Len(t, p.Included, 1)
	assert.Equal(t, "bench-supply", p.Included[0].Name)
	assert.Empty(t, prove.Procedure(p, prove.Limits{}).Failures)
}

func TestAPartIsAProcedureOfItsOwn(t *testing.T) {
	for _, name := range []string{"bench-supply", "bench-bulb"} {
		p, err := procedures.ParseWith(name, []byte(shelved(t, name)), shelfOf(nil))
		require.NoError(t, err)
		assert.Empty(t, prove.Procedure(p, prove.Limits{}).Failures, name)
	}
}

func TestASheetFieldThatIsNotGivenJoinsTheSheet(t *testing.T) {
	p, err := bulb(t, "    with: {settle: cooling}\n", "", "", "")
	require.NoError(t, err)
	f, ok := p.FieldByID("supply.settle")
	require.True(t, ok)
	assert.Equal(t, procedures.Place{Line: 7, Column: 5, File: "bench-supply.yaml"}, f.Place)
}

func TestAFigureMayBeGiven(t *testing.T) {
	p, err := bulb(t, "settle: cooling", "settle: 20 s", "", "")
	require.NoError(t, err)
	isolate, _ := p.StepByID("supply.isolate")
	assert.Equal(t, "20 s", isolate.Wait.AtLeast.Figure.String())
}

// Where a step of the part leads, and where that is in the whole.
func TestWhatAStepOfAPartShowsIsWhatStandsForIt(t *testing.T) {
	const how = "    title: Isolate and prove dead\n"
	for given, want := range map[string][]string{"cooling": {"cooling"}, "3 min": nil} {
		p, err := bulb(t, "{settle: cooling}", "{settle: "+given+"}", how, how+"    shows: [settle]\n")
		require.NoError(t, err)
		isolate, _ := p.StepByID("supply.isolate")
		assert.Equal(t, want, isolate.Shows, "a figure is shown nowhere: it has no title")
	}
}

func TestAPartReturnsToWhereItLeftOff(t *testing.T) {
	for then, want := range map[string]procedures.Target{
		"complete":  {Step: "key-off"},
		"work":      {Step: "change"},
		"take-key":  {Step: "supply.isolate"},
		"give-key":  {Step: "key-off"},
		"switch-on": {Step: "supply.switch-on"},
		"referred":  {End: procedures.Referred},
	} {
		ask := "    ask: {question: What now, answers: [{say: Dead}, {say: Other, then: " + then + "}]}\n"
		p, err := bulb(t, "", "", "    secures: dead\n", "    secures: dead\n"+ask)
		require.NoError(t, err, then)
		isolate, _ := p.StepByID("supply.isolate")
		got := isolate.Ask.Answers[1].Then
		assert.Equal(t, want, procedures.Target{Step: got.Step, End: got.End}, then)
	}
}

func TestAnIncludeAddsNeedsToStepsThatDoNotMakeSafe(t *testing.T) {
	p, err := bulb(t, "    using: {key-kept: key}\n", "    needs: [gloves]\n    using: {key-kept: key}\n", "", "")
	require.ErrorContains(t, err, `bench-bulb.yaml:18:13: there is no safeguard or pinned step "gloves" to need`)
	require.Nil(t, p)
	with := "    needs: [lit]\n    using: {key-kept: key}\n"
	own := strings.NewReplacer("    using: {key-kept: key}\n", with,
		"steps:\n", "  lit: {title: Bench lit}\nsteps:\n  - {gate: light, title: Light the bench, secures: lit, affirm: [I see what I do]}\n",
		"releases: [key]", "releases: [key, lit]").Replace(shelved(t, "bench-bulb"))
	p, err = procedures.ParseWith("bench-bulb.yaml", []byte(own), shelfOf(nil))
	require.NoError(t, err)
	lit, _ := p.SafeguardByID("lit")
	for id, want := range map[string]bool{"supply.isolate": true, "supply.switch-on": false, "change": false} {
		s, _ := p.StepByID(id)
		got := slices.ContainsFunc(s.Needs, func(n procedures.Need) bool { return n.Safeguard == lit })
		assert.Equal(t, want, got, id)
	}
	assert.Empty(t, prove.Procedure(p, prove.Limits{}).Failures)
}

func TestACauseOfAPartIsItsOwnUnlessItSharesItWithTheWorld(t *testing.T) {
	lapses := func(p *procedures.Procedure) []string {
		i, _ := p.SafeguardByID("supply.dead")
		return p.Safeguards[i].LapseOn
	}
	p, err := bulb(t, "", "", "", "")
	require.NoError(t, err)
	assert.Equal(t, []string{"interruption", "handover", "bench-bumped"}, lapses(p))

	shake := "  - do: shake\n    title: Shake the bench\n    causes: [bench-bumped]\n  - do: change\n"
	p, err = bulb(t, "  - do: change\n", shake, "", "")
	require.NoError(t, err, "the whole brings it about")
	step, _ := p.StepByID("shake")
	assert.Equal(t, []string{"bench-bumped"}, step.Causes)

	p, err = bulb(t, "    using:", "    causes: {bench-bumped: lamp-dropped}\n    using:", "", "")
	require.ErrorContains(t, err, `no step causes "lamp-dropped"`)
	require.Nil(t, p)

	p, err = bulb(t, "", "", "outside causes: [bench-bumped]\nsteps:\n  - gate: take-key\n    alone: true\n", "steps:\n  - gate: take-key\n    alone: true\n    causes: [bench-bumped]\n")
	require.ErrorContains(t, err, `no step causes "supply.bench-bumped"`, "its own cause goes with the step that is left out")
	require.Nil(t, p)

	_, err = bulb(t, "    using:", "    causes: {bumped: key}\n    using:", "", "")
	require.ErrorContains(t, err, `"supply" has no outside cause "bumped"`)
}

func TestAnEarlyEndOfAPartMayLeadOn(t *testing.T) {
	ask := "    ask: {question: What now, answers: [{say: Dead}, {say: Other, then: referred}]}\n"
	p, err := bulb(t, "    using:", "    ends: {referred: key-off}\n    using:", "    secures: dead\n", "    secures: dead\n"+ask)
	require.NoError(t, err)
	isolate, _ := p.StepByID("supply.isolate")
	assert.Equal(t, "key-off", isolate.Ask.Answers[1].Then.Step)
}

func TestFaultsOfAnIncludeAreToldAtTheirPlace(t *testing.T) {
	for _, c := range []struct{ name, from, to, partFrom, partTo, want string }{
		{"no such procedure", "include: bench-supply", "include: bench-suply", "", "", `bench-bulb.yaml:15:14: "bench-suply" cannot be included: there is no procedure of that name`},
		{"no name", "    as: supply\n", "", "", "", `an include has no "as"`},
		{"a field that is not there", "settle: cooling", "setle: cooling", "", "", `the included procedure has no sheet field "setle" (did you mean "settle"?)`},
		{"another quantity", "quantity: time, between: [2 s, 4 min]", "quantity: torque, between: [2 N·m, 4 N·m]", "", "", `"cooling" is not of the kind that "settle" of "supply" takes`},
		{"looser limits", "[2 s, 4 min]", "[2 s, 6 min]", "", "", `"cooling" may be more than 5 min, which "settle" of "supply" does not take (limit it with at most: 5 min)`},
		{"no limit", ", between: [2 s, 4 min]", "", "", "", `"cooling" may be less than 1 s`},
		{"a figure beyond the limits", "settle: cooling", "settle: 9 min", "", "", `"9 min" may be more than 5 min`},
		{"a figure of another kind", "settle: cooling", "settle: 9 N·m", "", "", `"9 N·m" is a torque; a time belongs here`},
		{"left to others", "between: [2 s, 4 min]}", "between: [2 s, 4 min], optional: true}", "", "", `"cooling" may be left out`},
		{"nothing lent", "    using: {key-kept: key}\n", "", "", "", `"supply" leaves the gate of its safeguard "key-kept" to this procedure (add using: {key-kept: ...})`},
		{"lent what is not there", "key-kept: key}", "key-kept: keys}", "", "", `there is no safeguard "keys" to lend (did you mean "key"?)`},
		{"lent what it has", "using: {key-kept: key}", "using: {key-kept: key, dead: key}", "", "", `"supply" has a gate of its own for "dead"`},
		{"lent under a wrong name", "using: {key-kept: key}", "using: {key-kept: key, kept: key}", "", "", `the included procedure has no safeguard "kept"`},
		{"no rest", "  - rest of: supply\n", "", "", "", `the steps of "supply" behind where it makes way stand nowhere (add - rest of: supply)`},
		{"the rest twice", "  - rest of: supply\n", "  - rest of: supply\n  - rest of: supply\n", "", "", `the rest of "supply" stands here already`},
		{"the rest of nothing", "rest of: supply", "rest of: suply", "", "", `nothing is included above as "suply" (did you mean "supply"?)`},
		{"nothing makes way", "", "", "    makes way: true\n", "", `"supply" makes way nowhere, so it has no rest`},
		{"two make way", "", "", "    alone: true\n    title: Take", "    makes way: true\n    title: Take", `makes way in a second place`},
		{"not made safe", "make safe: [supply, key-off]", "make safe: [key-off]", "", "", `make safe does not say where the make-safe steps of "supply" come (add supply to make safe)`},
		{"the same name twice", "  - rest of: supply\n", "  - rest of: supply\n  - {include: bench-supply, as: supply, with: {settle: 5 s}, using: {key-kept: key}}\n", "", "", `"supply" is what the include on line 15 is called`},
		{"a gate makes way", "", "", "    title: Isolate and prove dead\n", "    title: Isolate and prove dead\n    makes way: true\n", "makes way"},
		{"an unknown field", "    as: supply\n", "    as: supply\n    mit: {}\n", "", "", `an include has no field "mit"`},
		{"a fault within", "", "", "quantity: voltage", "quantity: voltige", `bench-supply.yaml:22:54: there is no quantity "voltige"`},
		{"no YAML within", "", "", "steps:", "steps: [", `bench-supply.yaml:`},
		{"another procedure in the file", "", "", "procedure: bench-supply", "procedure: bench-lathe", `the procedure here is "bench-lathe", not "bench-supply"`},
		{"itself", "", "", "steps:\n", "steps:\n  - {include: bench-bulb, as: bulb}\n", `"bench-bulb" includes itself: bench-bulb includes bench-supply includes bench-bulb`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := bulb(t, c.from, c.to, c.partFrom, c.partTo)
			assert.ErrorContains(t, err, c.want)
		})
	}
}

func TestWhereNothingCanBeIncludedAnIncludeIsAFault(t *testing.T) {
	_, err := procedures.Parse("bench-bulb.yaml", []byte(shelved(t, "bench-bulb")))
	assert.ErrorContains(t, err, "no procedure can be included here")
}

func TestAProcedureWrittenFlatSaysTheSame(t *testing.T) {
	text := []byte(shelved(t, "bench-bulb"))
	whole, err := procedures.ParseWith("bench-bulb.yaml", text, shelfOf(nil))
	require.NoError(t, err)
	flat, err := whole.Flat()
	require.NoError(t, err)
	alone, err := procedures.Parse("flat.yaml", flat)
	require.NoError(t, err)
	assert.Empty(t, alone.Included)
	assert.Equal(t, stepsOf(whole), stepsOf(alone))
	assert.Equal(t, whole.MakeSafe, alone.MakeSafe)
	again, err := alone.Flat()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(flat, again), "what is flat stays as it is")
}

// A part that includes a part, twice under two names.
func TestPartsIncludeParts(t *testing.T) {
	own := map[string]string{"bench-two": `fenderside: 1
procedure: bench-two
revision: 1
title: Change two bulbs
scope: Two lamps on one bench.
sheet:
  - {id: rest, title: Rest, quantity: time, between: [5 s, 10 s]}
steps:
  - {include: bench-bulb, as: left, with: {cooling: rest}}
  - {include: bench-bulb, as: right, with: {cooling: rest}}
make safe: [left, right]
`}
	p, err := procedures.ParseWith("bench-two.yaml", []byte(own["bench-two"]), shelfOf(own))
	require.NoError(t, err)
	assert.Equal(t, []string{"left.key-on", "left.supply.isolate", "left.change", "left.supply.switch-on", "left.key-off",
		"right.key-on", "right.supply.isolate", "right.change", "right.supply.switch-on", "right.key-off"}, stepsOf(p))
	isolate, _ := p.StepByID("right.supply.isolate")
	assert.Equal(t, "rest", isolate.Wait.AtLeast.Ref, "what is given is given on")
	assert.Len(t, p.Included, 2, "each text once")
	assert.Empty(t, prove.Procedure(p, prove.Limits{}).Failures)
}

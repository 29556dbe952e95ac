package procedures

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryFaultOfAFileIsToldAtOnceInOrder(t *testing.T) {
	text, err := os.ReadFile("testdata/many-faults.yaml")
	require.NoError(t, err)
	_, err = Parse("many-faults.yaml", text)
	var faults Faults
	require.ErrorAs(t, err, &faults)
	for i := 1; i < len(faults); i++ {
		assert.False(t, faults[i].Place.before(faults[i-1].Place), "%v comes after %v", faults[i-1], faults[i])
	}
	golden := filepath.Join("testdata", "many-faults.golden")
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
	}
	want, readErr := os.ReadFile(golden)
	require.NoError(t, readErr)
	assert.Equal(t, string(want), err.Error()+"\n")
}

// refused parses base.yaml with one piece of text replaced and returns what is told.
func refused(t *testing.T, old, replacement string) string {
	text := base(t)
	require.Equal(t, 1, strings.Count(text, old))
	_, err := Parse("bad.yaml", []byte(strings.Replace(text, old, replacement, 1)))
	require.Error(t, err)
	return err.Error()
}

func TestAFileHasLimits(t *testing.T) {
	var statements, steps, safeguards, choices strings.Builder
	for i := range MaxEntries {
		fmt.Fprintf(&choices, ", c%04d", i)
	}
	for i := range MaxAsked {
		fmt.Fprintf(&statements, ", Point %d is tight", i)
	}
	for i := range MaxSteps {
		fmt.Fprintf(&steps, "  - {do: extra-%d, title: Extra}\n", i)
	}
	for i := range MaxSafeguards {
		fmt.Fprintf(&safeguards, "  extra-%d: {title: Extra, lasting: true}\n", i)
	}
	deep := strings.Repeat("[", MaxDepth+1) + strings.Repeat("]", MaxDepth+1)

	assert.Contains(t, refused(t, "affirm: [The cover is on", "affirm: [The cover is on"+statements.String()),
		`bad.yaml:42:5: step "close" asks for 65 things; at most 64 are taken`)
	assert.Contains(t, refused(t, "pinned:\n", steps.String()+"pinned:\n"), "there are more than 500 steps (take the procedure apart)")
	assert.Contains(t, refused(t, "steps:\n", safeguards.String()+"steps:\n"), "there are more than 100 safeguards")
	// the third choice stands in column 51, and each takes seven columns
	assert.Equal(t, fmt.Sprintf("bad.yaml:9:%d: more than 1000 entries stand in one list or group (take it apart)", 51+7*(MaxEntries-2)),
		refused(t, "choose: [left, right]", "choose: [left, right"+choices.String()+"]"))
	assert.Contains(t, refused(t, "scope: For tests", "scope: "+deep),
		"bad.yaml:5:24: more than 16 groups and lists stand inside one another (take it apart)")
	assert.Equal(t, "bad.yaml:1:1: the file has 262145 bytes; at most 262144 are read (split it, or take out what is not needed)",
		func() string {
			_, err := Parse("bad.yaml", []byte(strings.Repeat("#", MaxFile+1)))
			return err.Error()
		}())
}

func TestAFileWithNothingInItIsRefused(t *testing.T) {
	for name, text := range map[string]string{"no bytes": "", "a comment": "# nothing\n", "a null": "~\n", "a bare document": "---\n"} {
		_, err := Parse("empty.yaml", []byte(text))
		assert.EqualError(t, err, "empty.yaml:1:1: the file is empty (begin with its format line)", name)
	}
	_, err := Parse("list.yaml", []byte("- a\n- b\n"))
	assert.ErrorContains(t, err, "list.yaml:1:1: the file is a list; fields and their values belong here")
}

func TestAFileNameIsShownVisibly(t *testing.T) {
	_, err := Parse("a\x1b[2J\u202e.yaml", nil)
	assert.ErrorContains(t, err, `a\u{001B}[2J\u{202E}.yaml:1:1: the file is empty`)
}

func TestReferencesBecomeIndexes(t *testing.T) {
	p, err := Parse("oven-element.yaml", oven(t))
	require.NoError(t, err)
	unplugged, ok := p.SafeguardByID("unplugged")
	require.True(t, ok)
	cool, ok := p.SafeguardByID("cavity-cool")
	require.True(t, ok)
	assert.Equal(t, []int{unplugged}, p.Safeguards[cool].Rests, "cool rests on unplugged, which its gate needs")
	assert.Empty(t, p.Safeguards[unplugged].Rests)
	assert.Equal(t, "let-it-cool", p.Steps[p.Safeguards[cool].Gate].ID)
	assert.Equal(t, 30*time.Minute, p.Safeguards[unplugged].After)
	assert.Equal(t, []string{"Take your hands out of the cavity"}, p.Safeguards[unplugged].IfLost)

	fit, ok := p.StepByID("fit-element")
	require.True(t, ok)
	watch, ok := p.StepByID("fire-watch")
	require.True(t, ok)
	assert.Equal(t, []Need{{Safeguard: unplugged, Pin: -1, Place: fit.Needs[0].Place}, {Safeguard: -1, Pin: watch.Index, Place: fit.Needs[1].Place}}, fit.Needs)
	assert.Equal(t, "high", fit.Readings[1].AtMost.Ref)
	assert.Equal(t, "N·m", fit.Readings[1].Unit, "the customary unit stands in for one that is not written")

	plug, _ := p.StepByID("plug-in")
	assert.ElementsMatch(t, []int{unplugged, cool}, plug.Releases)
	assert.Equal(t, []int{0}, plug.DueAfter)
	low, ok := p.FieldByID("low")
	require.True(t, ok)
	assert.Equal(t, "1 N·m", low.AtLeast.Figure.String())
	_, ok = p.StepByID("nowhere")
	assert.False(t, ok)
	for i := range p.Steps {
		assert.Equal(t, i, p.Steps[i].Index)
	}
}

func TestALastingSafeguardRestsOnNothing(t *testing.T) {
	text := strings.Replace(base(t), "    title: Cold\n", "    title: Cold\n    lasting: true\n", 1)
	p, err := Parse("base.yaml", []byte(text))
	require.NoError(t, err)
	cold, _ := p.SafeguardByID("cold")
	assert.True(t, p.Safeguards[cold].Lasting)
	assert.Empty(t, p.Safeguards[cold].Rests)
}

func TestALastingSafeguardNeedsNoRelease(t *testing.T) {
	text := strings.Replace(base(t), "    title: Cold\n", "    title: Cold\n    lasting: true\n", 1)
	text = strings.Replace(text, "releases: [off, cold]", "releases: [off]", 1)
	_, err := Parse("base.yaml", []byte(text))
	assert.NoError(t, err)
}

func TestWhatAWayAsksStandsInTheStepWithAClause(t *testing.T) {
	p, err := Parse("oven-element.yaml", oven(t))
	require.NoError(t, err)
	s, _ := p.StepByID("let-it-cool")
	require.Len(t, s.Ways, 2)
	require.Len(t, s.Readings, 1)
	require.Len(t, s.Statements, 1)
	assert.Equal(t, "let-it-cool", s.Readings[0].When[0].Choice)
	assert.Equal(t, []string{"contact"}, s.Readings[0].When[0].In)
	assert.Equal(t, []string{"overnight"}, s.Statements[0].When[0].In)
}

func TestAGateThatAsksOnEverySideOfAChoiceIsSound(t *testing.T) {
	text := strings.Replace(base(t), "affirm: [The key is in my pocket]",
		"affirm: [{say: The left key is in my pocket, when: {side: left}}, {say: The right key is, when: {side: right}}]", 1)
	_, err := Parse("base.yaml", []byte(text))
	assert.NoError(t, err)
}

func TestACheckTakesFiguresChoicesAndNames(t *testing.T) {
	text := strings.Replace(base(t), "quantity: temperature, at most: 48 °C}",
		"quantity: temperature, series: true}\n    check: {touch-safe: {surface: heat, limit: 48 °C, method: contact probe}}", 1)
	p, err := Parse("base.yaml", []byte(text))
	require.NoError(t, err)
	s, _ := p.StepByID("cool")
	require.Len(t, s.Checks, 1)
	inputs := map[string]CheckInput{}
	for _, in := range s.Checks[0].Inputs {
		inputs[in.Name] = in
	}
	assert.Equal(t, "heat", inputs["surface"].Ref)
	assert.Equal(t, "48 °C", inputs["limit"].Literal.Quantity.String())
	assert.Equal(t, "contact probe", inputs["method"].Literal.Choice)
	assert.Equal(t, "touch-safe", s.Checks[0].Check.Name)
}

func TestAnIDNearByIsSuggested(t *testing.T) {
	for _, c := range []struct{ word, want string }{
		{"recieves", "receives"}, {"fire-watc", "fire-watch"}, {"x", ""}, {"unrelated", ""}, {"", ""},
	} {
		assert.Equal(t, c.want, nearest(c.word, []string{"receives", "fire-watch", "torque"}), c.word)
	}
}

// The distances between kitten and sitting (3) and between saturday and sunday (3) are the usual textbook examples of
// edit distance; a swap of neighbours counts one in the optimal string alignment distance. From memory.
func TestEditDistanceCountsEditsAndSwaps(t *testing.T) {
	assert.Equal(t, 3, distance("kitten", "sitting"))
	assert.Equal(t, 3, distance("saturday", "sunday"))
	assert.Equal(t, 1, distance("lapses", "lapess"))
	assert.Equal(t, 3, distance("ca", "abc"), "unlike the unrestricted distance, which gives 2")
	assert.Equal(t, 4, distance("", "four"))
}

func TestAFileOfNothingButFaultsIsGivenUp(t *testing.T) {
	var fields strings.Builder
	for i := range MaxEntries {
		fmt.Fprintf(&fields, "  - {id: f%d, title: Field, quantity: torque, at most: x%d, card: '{y%d}'}\n", i, i, i)
	}
	_, err := Parse("bad.yaml", []byte(strings.Replace(base(t), "sheet:\n", "sheet:\n"+fields.String(), 1)))
	assert.ErrorContains(t, err, "bad.yaml:1:1: there are more than 1000 faults; the rest is not looked at (mend these first)")
}

// Each line of a sound file is taken out, doubled, indented, or swapped with the next. Whatever comes of it is a sound
// file or a file with its faults told; the reader never fails.
func TestADisturbedFileIsReadOrItsFaultsAreTold(t *testing.T) {
	lines := strings.SplitAfter(string(oven(t)), "\n")
	disturbed := func(change func(i int, rest []string) []string) {
		for i := range len(lines) - 1 {
			rest := change(i, append([]string(nil), lines...))
			p, err := Parse("disturbed.yaml", []byte(strings.Join(rest, "")))
			if err != nil {
				told(t, err)
			} else {
				assert.NotEmpty(t, p.Steps)
			}
		}
	}
	disturbed(func(i int, l []string) []string { return append(l[:i], l[i+1:]...) })
	disturbed(func(i int, l []string) []string { l[i] += l[i]; return l })
	disturbed(func(i int, l []string) []string { l[i] = "  " + l[i]; return l })
	disturbed(func(i int, l []string) []string { l[i], l[i+1] = l[i+1], l[i]; return l })
	disturbed(func(i int, l []string) []string { l[i] = strings.Replace(l[i], ": ", ": [", 1); return l })
}

// What remains when one field of one group is taken out of a sound file, wherever that field is required, is refused.
func TestEveryRequiredFieldIsMissed(t *testing.T) {
	for _, line := range []string{"fenderside: 1\n", "procedure: base\n", "revision: 1\n", "title: Base of the faulty files\n",
		"scope: For tests\n", "    title: Turned off\n", "    title: Turn it off\n", "    title: Watch it\n", "title: Surface, ", "question: How is it, ",
		", until: it moves", ", because: it was heated"} {
		assert.Contains(t, refused(t, line, ""), "(add ", "without %q", line)
	}
}

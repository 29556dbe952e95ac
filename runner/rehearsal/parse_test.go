package rehearsal_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner/rehearsal"
)

// in is a script with one item, and swap one with something else in its head.
func in(item string) string       { return string(script("  - " + item + "\n")) }
func swap(from, to string) string { return strings.Replace(string(script(unplug)), from, to, 1) }

type slip struct{ text, at, what string }

var slips = map[string]slip{
	"empty":                      {"", "1:1", "the file is empty"},
	"not YAML":                   {"a: [", "1:1", "not YAML"},
	"a list":                     {"- a", "1:1", "fields and their values belong here"},
	"a second document":          {swap("title", "---\ntitle"), "2:1", "a second document"},
	"an unknown field":           {swap("sheet:", "shete:"), "4:1", `no field "shete"`},
	"a field twice":              {swap("title: A try", "title: A try\ntitle: B"), "3:1", "stands here twice, first on line 2"},
	"a missing field":            {swap("title: A try\n", ""), "1:1", `no "title"`},
	"an empty field":             {swap("title: A try", "title:"), "2:7", "is empty"},
	"a list for a text":          {swap("title: A try", "title: [a]"), "2:8", "one text belongs here"},
	"another format":             {swap("script: 1", "script: 2"), "1:20", "format 2"},
	"a format that is no number": {swap("script: 1", "script: one"), "1:20", "a whole number from 1 on"},
	"an anchor":                  {swap("A try", "&a try"), "2:8", "anchors are not taken"},
	"an alias":                   {swap("procedure: kiln-fuse", "procedure: *x"), "3:12", "aliases are not taken"},
	"a tag":                      {swap("A try", "!x try"), "2:8", "tags are not taken"},
	"a control character":        {swap("A try", `"A \e try"`), "2:8", "control character U+001B"},
	"a bidirectional character":  {swap("A try", `"A \u202e try"`), "2:8", "U+202E"},
	"a byte order mark":          {swap("fenderside", "\ufefffenderside"), "1:1", "byte order mark"},
	"carriage returns":           {swap("title: A try\n", "title: A try\r\n"), "2:13", "a carriage return"},
	"several lines":              {swap("A try", "|\n  a\n  b"), "2:8", "several lines"},
	"a merge":                    {swap("title: A try", "title: A try\n<<: {a: b}"), "3:1", "merge keys are not taken"},
	"local time":                 {swap("T08:00:00Z", "T08:00:00+01:00"), "5:8", "no time in UTC"},
	"no time":                    {swap("2026-02-02T08:00:00Z", "tomorrow"), "5:8", "no time in UTC"},
	"a pace without unit":        {swap("acknowledge", "pace: 15\nacknowledge"), "8:7", "no length of time"},
	"a pace backwards":           {swap("acknowledge", "pace: -15 s\nacknowledge"), "8:7", "no length of time"},
	"no people":                  {swap("people: [{name: asha@millbrook.example, roles: all}, {name: bryn@millbrook.example, roles: stretch@fenderside}]", "people: []"), "6:9", "a list with entries"},
	"a person twice":             {swap("name: bryn", "name: asha"), "6:54", "twice"},
	"a role nobody has":          {swap("stretch@fenderside", "boss@fenderside"), "6:92", `"boss@fenderside" is no role`},
	"a person without roles":     {swap(", roles: all", ""), "6:10", `no "roles"`},
	"briefing in part":           {swap("acknowledge: all", "acknowledge: [scope]"), "8:14", "one text belongs here"},
	"briefing refused":           {swap("acknowledge: all", "acknowledge: none"), "8:14", "as a whole"},
	"an instrument with more":    {swap("due: 2027", "duo: 2027"), "7:35", `no field "duo"`},
	"nothing done":               {head + "  []\n", "10:3", "a list with entries"},
	"nothing signed":             {head + "  - note: a\n", "10:5", "does not end with the signing"},
	"something after signing":    {head + "  - sign: true\n  - note: a\n", "11:5", "after the record was signed"},
	"an item that is a word":     {in("clear"), "10:5", "fields and their values belong here"},
	"an empty item":              {in("{}"), "10:5", "an item is empty"},
	"an unknown item":            {in("override: true"), "10:5", `no field "override"`},
	"two items in one":           {in("{note: a, clear: true}"), "10:22", `both "note" and "clear"`},
	"an entry without a step":    {in("affirm: all"), "10:13", "belongs to a step"},
	"an action inside a step":    {in("{step: look, note: a}"), "10:24", "does not belong to a step"},
	"two ends of a step":         {in("{step: look, answer: a, hold: true}"), "10:35", `both "answer" and "hold"`},
	"clear that is not true":     {in("clear: yes"), "10:12", "is not true"},
	"hold that is not true":      {in("{step: look, hold: false}"), "10:24", "is not true"},
	"a statement by words":       {in("{step: look, affirm: [the plug is out]}"), "10:26", "is no statement"},
	"statement nought":           {in("{step: look, affirm: [0]}"), "10:26", "is no statement"},
	"readings as a list":         {in("{step: look, take: [a]}"), "10:24", "fields and their values"},
	"evidence as a word":         {in("{step: look, evidence: a}"), "10:28", "fields and their values"},
	"a wait without unit":        {in("{step: look, wait: 5}"), "10:24", "no length of time"},
	"a kill of no length":        {in("kill: false"), "10:11", "no length of time"},
	"a stop without safeguard":   {in("stop-work: {note: a}"), "10:16", `no "safeguard"`},
	"a pause that is empty":      {in("pause:"), "10:11", "is empty"},
	"a pause that is signed":     {in("pause: {reason: a}"), "10:12", `no "unsigned"`},
	"a close without reason":     {in("close: {outcome: referred}"), "10:12", `no "reason"`},
	"a leave without state":      {in("leave: {step: a}"), "10:12", `no "state"`},
	"a follow-up without date":   {in("follow-up: {what: a}"), "10:16", `no "due"`},
	"a correction of two":        {in("correct: {reading: a, sheet: b, reason: c}"), "10:34", `both "reading" and "sheet"`},
	"a take-over by nobody":      {in("take-over: {reason: a}"), "10:16", `no "by"`},
	"an instrument unnamed":      {in("instrument: {id: a}"), "10:17", `no "name"`},
	"a refusal of nothing":       {in("expect refused: {reason: not-now}"), "10:21", "an item is empty"},
	"a refusal of a word":        {in("expect refused: clear"), "10:21", "fields and their values"},
	"a refusal in a refusal":     {in("expect refused: {expect refused: {clear: true}}"), "10:21", "inside another"},
	"a refusal with a stranger":  {in("expect refused: {overide: true}"), "10:22", `no field "overide"`},
	"nested too deep":            {in("note: " + strings.Repeat("[", 15) + "a" + strings.Repeat("]", 15)), "10:25", "stand inside one another"},
	"too large":                  {"# " + strings.Repeat("a", procedures.MaxFile), "1:1", "at most"},
}

func TestEachFaultOfAScriptIsToldAtItsPlaceWithAHint(t *testing.T) {
	for name, c := range slips {
		t.Run(name, func(t *testing.T) {
			_, err := rehearsal.Parse("s.yaml", []byte(c.text))
			var faults procedures.Faults
			require.ErrorAs(t, err, &faults)
			assert.Equal(t, "s.yaml:"+c.at+": ", err.Error()[:len("s.yaml:"+c.at+": ")], err.Error())
			assert.Contains(t, faults[0].What, c.what)
			assert.NotEmpty(t, faults[0].Hint)
			assert.Len(t, faults, 1, "one slip is one fault")
		})
	}
}

func TestEveryFaultIsToldAtOnceInOrder(t *testing.T) {
	_, err := rehearsal.Parse("s.yaml", script("  - clear: no\n  - overide: true\n  - {step: look, wait: 5}\n"))
	var faults procedures.Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 3)
	for i, f := range faults {
		assert.Equal(t, 10+i, f.Place.Line)
	}
}

func TestAScriptIsReadWithItsHead(t *testing.T) {
	s, err := rehearsal.Parse("s.yaml", script(unplug))
	require.NoError(t, err)
	assert.Equal(t, "A try", s.Title)
	assert.Equal(t, "kiln-fuse", s.Procedure)
	assert.Equal(t, []string{"asha@millbrook.example", "bryn@millbrook.example"}, s.People)
	require.Len(t, s.Items, 2)
	assert.Equal(t, "pull-plug", s.Items[0].Step)
	assert.Equal(t, procedures.Place{Line: 11, Column: 5}, s.Items[1].Place)
}

// A script that parses has an act for each item and ends in one signature; one that does not has faults with places.
func FuzzParse(f *testing.F) {
	for _, s := range library.Scripts() {
		f.Add(s.Text)
	}
	files, err := filepath.Glob("testdata/*.yaml")
	require.NoError(f, err)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Add([]byte(head + "  - expect refused: {reason: a, reason: b, step: *a}\n  - stop-work: &a {safeguard: [a, b]}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := rehearsal.Parse("s.yaml", text)
		if err == nil {
			require.NotEmpty(t, s.Items)
			require.NotEmpty(t, s.People)
			require.False(t, s.Begin.IsZero())
			return
		}
		require.Nil(t, s)
		var faults procedures.Faults
		require.ErrorAs(t, err, &faults)
		require.NotEmpty(t, faults)
		for _, fault := range faults {
			require.Positive(t, fault.Place.Line)
			require.Positive(t, fault.Place.Column)
			require.NotEmpty(t, fault.What)
		}
	})
}

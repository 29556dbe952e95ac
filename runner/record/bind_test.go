package record_test

// The rule tested here: a job rests on the very texts that its opening binds, those of included procedures too.

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/procedures"
	"fenderside/procedures/library"
	"fenderside/runner"
	"fenderside/runner/record"
	"fenderside/runner/session/sessiontest"
)

func opening(t *testing.T) runner.Opening {
	p, ok := library.Procedure("sensor-swap")
	require.True(t, ok)
	card, ok := library.Card("millbrook-four")
	require.True(t, ok)
	o := sessiontest.Opening(t, runner.Practice, sessiontest.Person("asha@millbrook.example"))
	o.Fenderside, o.Semantics = runner.RecordFormat, runner.Semantics
	o.Procedure, o.Included = runner.Documents(p)
	o.Card = runner.Document{Name: card.Name, Digest: card.Digest, Text: string(card.Text)}
	values, missing, faults := procedures.Resolve(p, card, map[string]string{"position": "B1S1"})
	require.Empty(t, missing)
	require.Empty(t, faults)
	o.Sheet = nil
	for _, f := range p.Sheet {
		if v, ok := values[f.ID]; ok {
			o.Sheet = append(o.Sheet, runner.Entry{ID: f.ID, Value: v.Value, From: v.From, Source: v.Source})
		}
	}
	return o
}

func TestAnOpeningBindsTheTextsOfIncludedProcedures(t *testing.T) {
	var b record.Binder
	job, err := b.Bind(opening(t))
	require.NoError(t, err)
	assert.Len(t, job.Procedure.Included, 5)

	for name, c := range map[string]struct {
		change func(*runner.Opening)
		want   string
	}{
		"a part changed": {func(o *runner.Opening) {
			o.Included[0].Text = strings.Replace(o.Included[0].Text, "at most: 0.5 V", "at most: 12 V", 1)
		}, `the text of procedure "battery-isolation" has digest`},
		"a part left out": {func(o *runner.Opening) { o.Included = slices.Delete(o.Included, 1, 2) },
			`"vehicle-support" cannot be included: the opening does not bind it`},
		"a part of no use": {func(o *runner.Opening) {
			spare, _ := library.Procedure("sensor-swap")
			whole, _ := runner.Documents(spare)
			o.Included = append(o.Included, whole)
		}, "is not the text that the job was opened with"},
		"parts in another order": {func(o *runner.Opening) { slices.Reverse(o.Included) }, "is not the text that the job was opened with"},
		"a part renamed":         {func(o *runner.Opening) { o.Included[0].Name = "battery-off" }, `"battery-isolation" cannot be included`},
	} {
		o := opening(t)
		c.change(&o)
		_, err := b.Bind(o)
		assert.ErrorContains(t, err, c.want, name)
		var fresh record.Binder
		_, err = fresh.Bind(o)
		assert.ErrorContains(t, err, c.want, name)
	}
}

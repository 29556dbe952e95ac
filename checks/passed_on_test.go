package checks_test

// What one check says can be given to another as it stands: it is one of the words that the other takes, and it says what the
// verdict of the check says.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fenderside/checks"
)

func TestWhatOneCheckSaysIsAmongTheWordsThatAVerdictTakes(t *testing.T) {
	for _, x := range []struct{ from, output, to, input string }{
		{"heater", "shows", "fault-verdict", "heater"},
		{"sensor-trace", "shows", "fault-verdict", "trace"},
		{"fuel-trim", "pattern", "fault-verdict", "trims"},
		{"fuel-trim", "where", "fault-verdict", "trims-where"},
		{"fuel-trim", "banks", "fault-verdict", "trims-banks"},
		{"trace-compare", "shows", "repair-verdict", "trace"},
	} {
		in, ok := find(t, x.to).Input(x.input)
		require.True(t, ok, x)
		o, ok := find(t, x.from).Output(checks.Figure{Name: x.output})
		require.True(t, ok, x)
		assert.NotEmpty(t, o.Options, x)
		assert.Subset(t, in.Options, o.Options, x)
	}
}

func TestAStatementThatIsOneOfSomeWordsIsOneOfThem(t *testing.T) {
	for _, c := range checks.All() {
		r, err := c.Run(c.Example)
		require.NoError(t, err, c.Name)
		for _, f := range r.Figures {
			if o, _ := c.Output(f); len(o.Options) > 0 {
				assert.True(t, o.Words, "%s: %s", c.Name, o.Name)
				assert.Contains(t, o.Options, f.Text, "%s: %s", c.Name, o.Name)
			}
		}
	}
}

func TestAHeaterShowsWhatItsVerdictSays(t *testing.T) {
	c := find(t, "heater")
	for shows, x := range map[string]struct {
		args checks.Arguments
		want checks.Verdict
	}{
		"pass":        {c.Example, checks.Pass},
		"fail":        {with(without(c.Example, "element"), checks.Arguments{"meter": choice("over its range")}), checks.Fail},
		"cannot tell": {without(c.Example, "low", "high"), checks.More},
	} {
		r, err := c.Run(x.args)
		require.NoError(t, err)
		assert.Equal(t, x.want, r.Verdict, shows)
		assert.Equal(t, shows, figure(r, "shows"))
	}
}

func TestASignalIsWithinLimitsAfterTheWorkWhateverItWasBefore(t *testing.T) {
	bad, good := table(2000, 0.3, 0.6, 0), table(2000, 0.1, 0.85, 0)
	for _, x := range []struct{ before, after, signal, want string }{
		{bad, good, "narrow-band front", "improved"},
		{good, good, "narrow-band front", "within limits"},
		{bad, bad, "narrow-band front", "not improved"},
		{good, bad, "narrow-band front", "not improved"},
		{bad, good, "narrow-band rear", "cannot tell"}, // a rear signal has no limits to be held to
	} {
		r := run(t, "trace-compare", checks.Arguments{"before": file("before.csv", x.before), "after": file("after.csv", x.after),
			"time": words("time"), "column": words("front"), "signal": choice(x.signal)})
		assert.Equal(t, x.want, figure(r, "shows"), x.signal)
	}
}

func TestWhatAPersonSeesOfASignalCountsOnlyWhereTheCheckCannotTell(t *testing.T) {
	c := find(t, "repair-verdict")
	for _, x := range []struct {
		trace, seen string
		want        checks.Verdict
	}{
		{"cannot tell", "improved", checks.Pass},
		{"cannot tell", "not improved", checks.Fail},
		{"cannot tell", "not tested", checks.More},
		{"not improved", "improved", checks.Fail},
		{"within limits", "not improved", checks.Pass},
		{"not tested", "improved", checks.More},
	} {
		r, err := c.Run(with(c.Example, checks.Arguments{"trace": choice(x.trace), "trace-seen": choice(x.seen)}))
		require.NoError(t, err)
		assert.Equal(t, x.want, r.Verdict, x)
	}
	assert.Equal(t, checks.More, run(t, "repair-verdict", with(c.Example, checks.Arguments{"trace": choice("cannot tell")})).Verdict)
}

func TestTrimsAreToldOfTheBankThatIsAskedAbout(t *testing.T) {
	const both = "B1 750 20% +3% +18%; B1 2500 25% +1% +4%; B2 750 20% 0% +1%; B2 2500 25% 0% +1%"
	for _, x := range []struct{ readings, position, pattern, where, banks string }{
		{both, "B1S2", "lean", "worst at idle", "one bank and not the others"},
		{both, "B2S1", "within limits", "much the same throughout", "one bank and not the others"},
		{"B1 750 20% +3% +18%; B1 2500 25% +1% +4%", "b1s1", "lean", "worst at idle", "the only bank"},
		{"B1 750 20% +3% +18%; B1 2500 25% +1% +4%", "B2S1", "", "", ""}, // of a bank that was not measured nothing is said
		{"B1 1500 25% +1% +4%", "B1S1", "", "", ""},                      // neither at idle nor at raised speed
		{both, "", "", "", ""},
	} {
		args := checks.Arguments{"readings": words(x.readings)}
		if x.position != "" {
			args["position"] = words(x.position)
		}
		r := run(t, "fuel-trim", args)
		assert.Equal(t, []string{x.pattern, x.where, x.banks}, []string{figure(r, "pattern"), figure(r, "where"), figure(r, "banks")}, x)
	}
	assert.Contains(t, refusal(t, "fuel-trim", checks.Arguments{"readings": words(both), "position": words("behind")}), "write bank and sensor")
}

func TestTheBankThatIsAskedAboutIsOneOfThoseThatPointTheSameWay(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		trim := rapid.SampledFrom([]string{"0%", "+15%", "-15%"})
		text := "B1 750 20% 0% " + trim.Draw(r, "idle") + "; B1 2500 25% 0% " + trim.Draw(r, "raised")
		got, err := find(r, "fuel-trim").Run(checks.Arguments{"readings": words(text), "position": words("B1S1")})
		require.NoError(r, err)
		assert.Equal(r, got.Verdict == checks.Pass, figure(got, "pattern") == "within limits")
		assert.Equal(r, "the only bank", figure(got, "banks"))
	})
}

package checks_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

func one(text string) checks.Argument { return checks.Argument{Quantity: quantity.MustParse(text)} }

func choice(text string) checks.Argument { return checks.Argument{Choice: text} }

// series makes readings five minutes apart.
func series(texts ...string) checks.Argument {
	var all []checks.Sample
	for i, text := range texts {
		all = append(all, checks.Sample{After: time.Duration(i) * 5 * time.Minute, Value: quantity.MustParse(text)})
	}
	return checks.Argument{Series: all}
}

func find(t require.TestingT, name string) checks.Check {
	c, ok := checks.Find(name)
	require.True(t, ok, name)
	return c
}

// figure finds the text of a figure, empty when it is absent.
func figure(r checks.Result, name string) string {
	for _, f := range r.Figures {
		if f.Name == name {
			return f.Text
		}
	}
	return ""
}

// with copies arguments and changes some.
func with(args checks.Arguments, changes checks.Arguments) checks.Arguments {
	changed := checks.Arguments{}
	for name, arg := range args {
		changed[name] = arg
	}
	for name, arg := range changes {
		changed[name] = arg
	}
	return changed
}

// without copies arguments and leaves some out.
func without(args checks.Arguments, names ...string) checks.Arguments {
	fewer := with(args, nil)
	for _, name := range names {
		delete(fewer, name)
	}
	return fewer
}

func TestEveryCheckIsFoundAndItsExamplePasses(t *testing.T) {
	all := checks.All()
	require.NotEmpty(t, all)
	for i, c := range all {
		if i > 0 {
			assert.Less(t, all[i-1].Name, c.Name, "in order, no name twice")
		}
		r, err := find(t, c.Name).Run(c.Example)
		require.NoError(t, err, c.Name)
		want := checks.Pass
		if c.Reckons {
			want = checks.None
		}
		assert.Equal(t, want, r.Verdict, c.Name)
		assert.NotEmpty(t, r.Because, c.Name)
		assert.NotEmpty(t, r.Workings, c.Name)
		assert.Equal(t, c.Sources, r.Sources, c.Name)
	}
	_, ok := checks.Find("guesswork")
	assert.False(t, ok)
}

func TestEveryCheckDeclaresWhatItTakesAndGives(t *testing.T) {
	for _, c := range checks.All() {
		assert.NotEmpty(t, c.Title, c.Name)
		assert.NotEmpty(t, c.Doc, c.Name)
		assert.NotEmpty(t, c.Sources, c.Name)
		for _, in := range c.Inputs {
			holdInput(t, c.Name+": "+in.Name, in)
		}
		r, err := c.Run(c.Example)
		require.NoError(t, err)
		holdFigures(t, c, r)
	}
}

func holdInput(t *testing.T, name string, in checks.Input) {
	assert.NotEmpty(t, in.Doc, name)
	assert.Equal(t, in.Kind == checks.KindChoice, len(in.Options) > 0, name)
	switch in.Kind {
	case checks.KindSeries:
		assert.True(t, in.Dimension.Known(), name)
	case checks.KindQuantity:
		assert.True(t, in.Dimension == "" || in.Dimension.Known(), name)
	default:
		assert.Empty(t, in.Dimension, name)
	}
}

// holdFigures holds the figures of an example to the outputs: every one declared, in order, in the declared unit.
func holdFigures(t *testing.T, c checks.Check, r checks.Result) {
	var order []string
	for _, f := range r.Figures {
		o, ok := c.Output(f)
		require.True(t, ok, "%s: %s", c.Name, f.Name)
		assert.Equal(t, o.Many, o.Name != f.Name, "%s: %s", c.Name, f.Name)
		if !slices.Contains(order, o.Name) {
			order = append(order, o.Name)
		}
		assert.NotEmpty(t, f.Text, "%s: %s", c.Name, f.Name)
		_, unit, number := c.Number(f)
		if !o.Many {
			assert.Equal(t, !o.Words, number, "%s: %s is %q", c.Name, f.Name, f.Text)
		}
		if number && !o.Many {
			assert.Equal(t, o.Unit, unit, "%s: %s is %q", c.Name, f.Name, f.Text)
		}
	}
	var declared []string
	for _, o := range c.Outputs {
		assert.NotEmpty(t, o.Doc, "%s: %s", c.Name, o.Name)
		if o.Dimension != "" {
			assert.Contains(t, quantity.Units(o.Dimension), o.Unit, "%s: %s", c.Name, o.Name)
		}
		if !o.Maybe && !o.Many || slices.Contains(order, o.Name) {
			declared = append(declared, o.Name)
		}
	}
	assert.Equal(t, declared, order, c.Name)
}

func TestArgumentsThatDoNotFitAreRefusedBeforeTheCheckRuns(t *testing.T) {
	torque, touch := find(t, "torque-applied"), find(t, "touch-safe")
	late := series("50 °C", "45 °C")
	late.Series[0].After = time.Hour
	for _, x := range []struct {
		check checks.Check
		args  checks.Arguments
		want  string
	}{
		{torque, with(torque.Example, checks.Arguments{"torque": one("45 Nm")}), `no input "torque"; it takes reading, low, high`},
		{torque, without(torque.Example, "low"), `input "low" is missing; give torque in one of: N·m, lbf·ft`},
		{torque, with(torque.Example, checks.Arguments{"low": one("40 mm")}), `input "low": "40 mm" is of dimension length`},
		{torque, with(torque.Example, checks.Arguments{"low": one("40")}), `input "low": "40" is of dimension number`},
		{torque, with(torque.Example, checks.Arguments{"low": {}}), `input "low": no value`},
		{torque, with(torque.Example, checks.Arguments{"angle": {}}), `input "angle": no value`},
		{touch, without(touch.Example, "method"), "give one of: contact probe, infrared"},
		{touch, without(touch.Example, "surface"), "give readings, each temperature in one of: °C, °F, K"},
		{touch, with(touch.Example, checks.Arguments{"method": choice("by hand")}), `input "method": "by hand" is not a choice`},
		{touch, with(touch.Example, checks.Arguments{"surface": series("50 °C", "45 V")}), `input "surface": reading 2: "45 V"`},
		{touch, with(touch.Example, checks.Arguments{"surface": late}), `input "surface": reading 2 is timed before reading 1`},
		{touch, with(touch.Example, checks.Arguments{"emissivity": one("95 %")}), "give a bare number"},
		{touch, with(touch.Example, checks.Arguments{"finish": choice("")}), `input "finish"`},
	} {
		require.ErrorContains(t, x.check.Accepts(x.args), x.want)
		r, err := x.check.Run(x.args)
		require.ErrorContains(t, err, x.want)
		assert.Empty(t, r.Verdict)
	}
}

func TestNoCallerCanChangeTheRegister(t *testing.T) {
	spoilt := find(t, "touch-safe")
	spoilt.Inputs[0].Name = "spoilt"
	spoilt.Sources[0] = "spoilt"
	spoilt.Example["limit"] = one("900 °C")
	again := find(t, "touch-safe")
	assert.Equal(t, "surface", again.Inputs[0].Name)
	assert.NotEqual(t, "spoilt", again.Sources[0])
	assert.Equal(t, "48 °C", again.Example["limit"].Quantity.String())
}

func TestARecordedTextIsTakenAsItsInputIsOrNotAtAll(t *testing.T) {
	torque := checks.Input{Kind: checks.KindQuantity, Dimension: quantity.Torque}
	for _, x := range []struct {
		in   checks.Input
		text string
		want bool
	}{
		{torque, "45 N·m", true}, {torque, "45 mm", false}, {torque, "45", false}, {checks.Input{Kind: checks.KindQuantity}, "45 mm", true},
		{checks.Input{Kind: checks.KindChoice}, "left", true}, {checks.Input{Kind: checks.KindText}, "P0141", true},
		{checks.Input{Kind: checks.KindSeries, Dimension: quantity.Torque}, "45 N·m", false}, {checks.Input{Kind: checks.KindData}, "45 N·m", false},
	} {
		arg, ok := x.in.Take(x.text)
		assert.Equal(t, x.want, ok, "%s %s", x.in.Kind, x.text)
		if ok {
			assert.Contains(t, []string{arg.Text, arg.Choice, arg.Quantity.String()}, x.text)
		}
	}
}

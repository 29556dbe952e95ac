package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fenderside/checks"
	"fenderside/checks/quantity"
)

// changed puts what was made up in the place of one input.
func changed(in checks.Input, text string, number float64) (checks.Argument, bool) {
	switch in.Kind {
	case checks.KindText:
		return words(text), true
	case checks.KindData:
		return file("made-up", text), true
	case checks.KindChoice:
		return choice(in.Options[len(text)%len(in.Options)]), true
	}
	d := in.Dimension
	if d == "" {
		d = quantity.Torque
	}
	q, err := quantity.FromBase(number, d)
	if err != nil {
		return checks.Argument{}, false
	}
	if in.Kind == checks.KindSeries {
		return checks.Argument{Series: []checks.Sample{{Value: q}, {After: 1e9, Value: q}}}, true
	}
	return checks.Argument{Quantity: q}, true
}

// FuzzNoCheckPanicsNorGivesWhatIsNoNumber changes one input of each check's example.
func FuzzNoCheckPanicsNorGivesWhatIsNoNumber(f *testing.F) {
	for which := range checks.All() {
		f.Add(uint8(which), uint8(0), "P0135", 1.0)
		f.Add(uint8(which), uint8(1), "41 05 6E", -1e14)
		f.Add(uint8(which), uint8(2), "time (s);B1S1 (V)\n0;0.1\n1;0.9\n", 0.0)
		f.Add(uint8(which), uint8(3), "(1.0) can0 7E8#0341053C\n", 1e-300)
	}
	f.Fuzz(func(t *testing.T, which, input uint8, text string, number float64) {
		all := checks.All()
		c := all[int(which)%len(all)]
		in := c.Inputs[int(input)%len(c.Inputs)]
		arg, ok := changed(in, text, number)
		if !ok || math.IsNaN(number) {
			return
		}
		r, err := c.Run(with(c.Example, checks.Arguments{in.Name: arg}))
		if err != nil {
			require.Empty(t, r.Verdict)
			return
		}
		require.Equal(t, c.Reckons, r.Verdict == checks.None || c.Reckons && r.Verdict == checks.More, "%s: %s", c.Name, r.Verdict)
		require.NotEmpty(t, r.Because)
		for _, fig := range r.Figures {
			_, declared := c.Output(fig)
			require.True(t, declared, fig.Name)
			require.False(t, strings.Contains(fig.Text, "NaN") || strings.Contains(fig.Text, "Inf"), "%s: %s", c.Name, fig.Text)
		}
	})
}

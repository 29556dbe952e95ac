// The rule of this file: a check can be found by one name, and none runs
// before its arguments fit its inputs.

package checks

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"fenderside/checks/quantity"
)

// makers make every check. A check is made anew for each caller, so that none can change what another one sees.
var makers = []func() Check{
	convert,
	torqueApplied, torqueSetting, threadDressing, leftMarked, preload, antiSeize, thread, socketFit, toolDue, toolAccuracy,
	touchSafe, touchTimes, coolingForecast,
	heaterCircuit, zirconiaEMF,
	sensorTrace, traceCompare, catalyst,
	stoichiometricRatio, blendRatio, airFuel, exhaustLambda, fuelTrim,
	troubleCode, sensorPosition, obdReply, canLog, readiness, vin,
	faultVerdict, repairVerdict, changeSides,
}

// byName finds the maker of a check. The names are read off the checks once.
var byName = sync.OnceValue(func() map[string]func() Check {
	named := make(map[string]func() Check, len(makers))
	for _, maker := range makers {
		named[maker().Name] = maker
	}
	return named
})

// All lists the checks in order of name.
func All() []Check {
	all := make([]Check, 0, len(makers))
	for _, maker := range makers {
		all = append(all, guarded(maker()))
	}
	slices.SortFunc(all, func(a, b Check) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// Find returns the check of that name.
func Find(name string) (Check, bool) {
	maker, ok := byName()[name]
	if !ok {
		return Check{}, false
	}
	return guarded(maker()), true
}

// guarded makes Run refuse arguments that do not fit the inputs.
func guarded(c Check) Check {
	run := c.Run
	c.Run = func(args Arguments) (Result, error) {
		if err := c.Accepts(args); err != nil {
			return Result{}, err
		}
		result, err := run(args)
		if err != nil {
			return Result{}, fmt.Errorf("check %s: %w; given %s", c.Name, err, c.given(args))
		}
		result.Sources = slices.Clone(c.Sources)
		return result, nil
	}
	return c
}

// given quotes the arguments as they were given, in the order of the inputs:
// the topics reckon in base units, and a person looks for what was typed.
func (c Check) given(args Arguments) string {
	var said []string
	for _, in := range c.Inputs {
		arg, ok := args[in.Name]
		switch {
		case !ok:
		case in.Kind == KindSeries:
			said = append(said, fmt.Sprintf("%s of %d readings", in.Name, len(arg.Series)))
		case in.Kind == KindChoice:
			said = append(said, fmt.Sprintf("%s %q", in.Name, arg.Choice))
		case in.Kind == KindText:
			said = append(said, fmt.Sprintf("%s %q", in.Name, clip(arg.Text)))
		case in.Kind == KindData:
			said = append(said, fmt.Sprintf("%s %q", in.Name, arg.Data.Name))
		default:
			said = append(said, fmt.Sprintf("%s %q", in.Name, arg.Quantity.String()))
		}
	}
	return strings.Join(said, ", ")
}

// Input returns the input of that name.
func (c Check) Input(name string) (Input, bool) {
	for _, in := range c.Inputs {
		if in.Name == name {
			return in, true
		}
	}
	return Input{}, false
}

// Accepts reports whether the arguments fit the inputs: nothing unknown,
// nothing required left out, each of its kind, dimension and options. It does
// not judge the values.
func (c Check) Accepts(args Arguments) error {
	for name := range args {
		if _, ok := c.Input(name); !ok {
			return fmt.Errorf("check %s: no input %q; it takes %s", c.Name, name, c.names())
		}
	}
	for _, in := range c.Inputs {
		arg, given := args[in.Name]
		if !given && in.Optional {
			continue
		}
		if !given {
			return fmt.Errorf("check %s: input %q is missing; give %s", c.Name, in.Name, in.wants())
		}
		if err := in.accepts(arg); err != nil {
			return fmt.Errorf("check %s: input %q: %w", c.Name, in.Name, err)
		}
	}
	return nil
}

func (c Check) names() string {
	var names []string
	for _, in := range c.Inputs {
		names = append(names, in.Name)
	}
	return strings.Join(names, ", ")
}

// wants says in words what the input takes.
func (in Input) wants() string {
	switch in.Kind {
	case KindSeries:
		return "readings, each " + in.measure()
	case KindChoice:
		return "one of: " + strings.Join(in.Options, ", ")
	case KindText:
		return "text: " + in.Doc
	case KindData:
		return "a file: " + in.Doc
	}
	return in.measure()
}

// measure says what one value of the input looks like.
func (in Input) measure() string {
	switch in.Dimension {
	case quantity.Number:
		return "a bare number"
	case "":
		return "a number with its unit"
	}
	return fmt.Sprintf("%s in one of: %s", in.Dimension, strings.Join(quantity.Units(in.Dimension), ", "))
}

func (in Input) accepts(arg Argument) error {
	switch in.Kind {
	case KindQuantity:
		return in.fits(arg.Quantity)
	case KindSeries:
		return in.acceptsSeries(arg.Series)
	case KindChoice:
		if !slices.Contains(in.Options, arg.Choice) {
			return fmt.Errorf("%q is not a choice; give %s", arg.Choice, in.wants())
		}
		return nil
	case KindText:
		return in.acceptsText(arg.Text)
	case KindData:
		if arg.Data.Open == nil {
			return fmt.Errorf("no file; give %s", in.wants())
		}
		return nil
	}
	return fmt.Errorf("unknown kind %q", in.Kind)
}

// longestText is the most bytes that an input of text may hold; what is longer
// is a file.
const longestText = 64 << 10

func (in Input) acceptsText(text string) error {
	switch {
	case strings.TrimSpace(text) == "":
		return fmt.Errorf("empty; give %s", in.wants())
	case len(text) > longestText:
		return fmt.Errorf("%d bytes of text; at most %d are taken", len(text), longestText)
	case !utf8.ValidString(text):
		return fmt.Errorf("%q is not UTF-8 text", clip(text))
	}
	return nil
}

// clip shortens a text for a message.
func clip(text string) string {
	const most = 80
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}

func (in Input) acceptsSeries(series []Sample) error {
	for i, s := range series {
		if err := in.fits(s.Value); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
		if i > 0 && s.After < series[i-1].After {
			return fmt.Errorf("reading %d is timed before reading %d; give the readings in the order they were taken", i+1, i)
		}
	}
	return nil
}

func (in Input) fits(q quantity.Quantity) error {
	if !q.Valid() {
		return fmt.Errorf("no value; give %s", in.wants())
	}
	if in.Dimension != "" && q.Dimension() != in.Dimension {
		return fmt.Errorf("%q is of dimension %s; give %s", q.String(), q.Dimension(), in.wants())
	}
	return nil
}

package main

// The rule kept here: what cannot be read on the command line is bad usage that names the input, what was given, and what
// belongs there; what a file lacks is an error of the file.

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fenderside/checks"
	"fenderside/checks/quantity"
	"fenderside/procedures"
)

// gather makes arguments of the command line, then of the card, then of the day.
func gather(w *world, c checks.Check, a asked) (checks.Arguments, error) {
	args := checks.Arguments{}
	for _, pair := range a.pairs {
		name, value, ok := strings.Cut(pair, "=")
		if !ok {
			return nil, misuse{fmt.Errorf("%q is no input: write it as NAME=VALUE, such as %s=... with its first input", pair, c.Inputs[0].Name)}
		}
		in, known := c.Input(name)
		if !known {
			return nil, misuse{fmt.Errorf("topic %s has no input %q: %s", c.Name, name, procedures.DidYouMean(name, inputsOf(c)))}
		}
		if _, twice := args[name]; twice {
			return nil, misuse{fmt.Errorf("input %q is given twice: keep one", name)}
		}
		arg, err := argument(w, in, value)
		if isFile(err) {
			return nil, fmt.Errorf("input %s: %w: check the path", name, err)
		}
		if err != nil {
			return nil, misuse{fmt.Errorf("input %s: %w", name, err)}
		}
		args[name] = arg
	}
	if err := fromCard(w, c, a.card, args); err != nil {
		return nil, err
	}
	if in, ok := c.Input("today"); ok && in.Kind == checks.KindText && args["today"].Text == "" {
		args["today"] = checks.Argument{Text: time.Now().Format(time.DateOnly)}
	}
	if err := c.Accepts(args); err != nil {
		return nil, misuse{err}
	}
	return args, nil
}

func inputsOf(c checks.Check) []string {
	var names []string
	for _, in := range c.Inputs {
		names = append(names, in.Name)
	}
	return names
}

// argument reads one value.
func argument(w *world, in checks.Input, value string) (checks.Argument, error) {
	switch in.Kind {
	case checks.KindText:
		return checks.Argument{Text: value}, nil
	case checks.KindData:
		data, err := fileOf(w, value)
		return checks.Argument{Data: data}, err
	case checks.KindSeries:
		return series(in, value)
	case checks.KindChoice:
		if !slices.Contains(in.Options, value) {
			return checks.Argument{}, fmt.Errorf("%q is no choice: %s", value, procedures.DidYouMean(value, in.Options))
		}
		return checks.Argument{Choice: value}, nil
	}
	q, err := measure(in, value)
	return checks.Argument{Quantity: q}, err
}

func measure(in checks.Input, value string) (quantity.Quantity, error) {
	if in.Dimension == "" {
		return quantity.Parse(value)
	}
	return quantity.ParseAs(value, in.Dimension)
}

// series reads value@time,value@time,... with the times in order.
func series(in checks.Input, text string) (checks.Argument, error) {
	var all []checks.Sample
	for i, part := range strings.Split(text, ",") {
		value, at, timed := strings.Cut(part, "@")
		if !timed {
			return checks.Argument{}, fmt.Errorf("reading %d, %q, has no time: write %s=61°C@0min,52°C@5min", i+1, part, in.Name)
		}
		q, err := measure(in, strings.TrimSpace(value))
		if err != nil {
			return checks.Argument{}, fmt.Errorf("reading %d: %w", i+1, err)
		}
		t, err := quantity.ParseAs(strings.TrimSpace(at), quantity.Time)
		if err != nil {
			return checks.Argument{}, fmt.Errorf("time of reading %d: %w", i+1, err)
		}
		after, err := t.Duration()
		if err != nil {
			return checks.Argument{}, fmt.Errorf("time of reading %d: %w", i+1, err)
		}
		all = append(all, checks.Sample{After: after, Value: q})
	}
	return checks.Argument{Series: all}, nil
}

// fileOf is a file by its path; - is standard input, which is read once. A file that is not there is told before anything
// else that is wrong or missing.
func fileOf(w *world, path string) (checks.Data, error) {
	if path == "-" {
		return checks.Data{Name: "standard input", Open: w.readOnce}, nil
	}
	_, err := os.Stat(path)
	return checks.Data{Name: filepath.Base(path), Open: func() (io.ReadCloser, error) { return os.Open(path) }}, err
}

// readOnce opens standard input, which cannot be begun anew.
func (w *world) readOnce() (io.ReadCloser, error) {
	if w.read {
		return nil, misuse{errors.New("standard input can be read once: give one of the two as a file")}
	}
	w.read = true
	return io.NopCloser(w.in), nil
}

// fromCard fills the inputs that a vehicle card holds and that were not given.
func fromCard(w *world, c checks.Check, name string, args checks.Arguments) error {
	if name == "" {
		return nil
	}
	h, err := w.home()
	if err != nil {
		return err
	}
	card, err := h.Card(name)
	if err != nil {
		return err
	}
	used := false
	for _, in := range c.Inputs {
		text, held := card.Lookup(factPath(in.Fact, args))
		used = used || in.Fact != ""
		if _, given := args[in.Name]; given || !held {
			continue
		}
		arg, err := argument(w, in, text)
		if err != nil {
			return fmt.Errorf("input %s from card %s, %s: %w", in.Name, card.Name, in.Fact, err)
		}
		args[in.Name] = arg
	}
	if !used {
		return misuse{fmt.Errorf("topic %s takes nothing from a card: leave --card out", c.Name)}
	}
	return nil
}

// factPath puts the given position into a path that asks for one.
func factPath(path string, args checks.Arguments) string {
	position := args["position"]
	return strings.ReplaceAll(path, "{position}", position.Choice+position.Text)
}

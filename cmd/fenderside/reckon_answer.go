package main

// The rule kept here: an answer is never printed without its unit, its workings and where they are from.

import (
	"fmt"

	"fenderside/checks"
)

// answer prints what a check found; a judgement that is not passed ends with the status of a fault.
func answer(w *world, c checks.Check, args checks.Arguments, r checks.Result, asJSON bool) error {
	if asJSON {
		if err := w.sayJSON(answerOf(c, args, r)); err != nil {
			return err
		}
	} else {
		sayAnswer(w, c, r)
	}
	if r.Verdict == checks.Pass || r.Verdict == checks.None {
		return nil
	}
	return errFound
}

// verdictTitle is a verdict as a heading.
var verdictTitle = map[checks.Verdict]string{
	checks.Pass: "PASSED", checks.Fail: "NOT PASSED", checks.More: "CANNOT TELL YET", checks.None: "",
}

func sayAnswer(w *world, c checks.Check, r checks.Result) {
	w.say("%s", c.Title)
	if title := verdictTitle[r.Verdict]; title != "" {
		w.say("%s: %s", title, r.Because)
	} else {
		w.say("%s", r.Because)
	}
	var figures []string
	for _, f := range r.Figures {
		figures = append(figures, f.Name+" = "+c.Both(f))
	}
	sayLines(w, "Figures", figures)
	sayLines(w, "Workings", r.Workings)
	sayLines(w, "Sources", r.Sources)
}

type answerLine struct {
	Topic    string       `json:"topic"`
	Title    string       `json:"title"`
	Verdict  string       `json:"verdict"`
	Because  string       `json:"because"`
	Given    []givenLine  `json:"given"`
	Figures  []figureLine `json:"figures"`
	Workings []string     `json:"workings"`
	Sources  []string     `json:"sources"`
}

type givenLine struct {
	Input string `json:"input"`
	Value any    `json:"value"`
}

// figureLine is one figure: Text as it is shown, and where it is a number, that number at its declared rounding.
type figureLine struct {
	Name  string   `json:"name"`
	Value *float64 `json:"value,omitempty"`
	Unit  string   `json:"unit,omitempty"`
	Text  string   `json:"text"`
}

func answerOf(c checks.Check, args checks.Arguments, r checks.Result) answerLine {
	a := answerLine{Topic: c.Name, Title: c.Title, Verdict: string(r.Verdict), Because: r.Because,
		Given: []givenLine{}, Figures: []figureLine{}, Workings: r.Workings, Sources: r.Sources}
	for _, in := range c.Inputs {
		if arg, given := args[in.Name]; given {
			a.Given = append(a.Given, givenLine{in.Name, givenValue(in, arg)})
		}
	}
	for _, f := range r.Figures {
		line := figureLine{Name: f.Name, Text: c.Both(f)}
		if v, unit, ok := c.Number(f); ok {
			line.Value, line.Unit = &v, unit
		}
		a.Figures = append(a.Figures, line)
	}
	return a
}

func givenValue(in checks.Input, arg checks.Argument) any {
	switch in.Kind {
	case checks.KindText:
		return arg.Text
	case checks.KindData:
		return arg.Data.Name
	case checks.KindChoice:
		return arg.Choice
	case checks.KindSeries:
		lines := []string{}
		for _, s := range arg.Series {
			lines = append(lines, fmt.Sprintf("%s @ %s", s.Value, s.After))
		}
		return lines
	}
	return arg.Quantity.String()
}
